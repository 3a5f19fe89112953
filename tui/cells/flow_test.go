package cells_test

import (
	"image"
	"slices"
	"strings"
	"testing"
	"time"

	"atelier/halflid/imageproc"
	"atelier/halflid/tui/cells"
)

// On a slow line the picture on the screen is never old, there are never more
// than two frames on their way, and in the end every cell is exact.
func TestHeldKeyOnASlowLine(t *testing.T) {
	for _, c := range []struct {
		name string
		w, h int
		rate float64
		trip time.Duration
		p95  time.Duration
	}{
		{"10 Mbit/s, 30 ms", 200, 60, 10e6 / 8, 30 * time.Millisecond, 220 * time.Millisecond},
		{"2 Mbit/s, 60 ms", 120, 40, 2e6 / 8, 60 * time.Millisecond, 350 * time.Millisecond},
	} {
		t.Run(c.name, func(t *testing.T) {
			const n = 60
			pictures := squints(c.w, 2*c.h, n)
			l := newLine(t, c.w, c.h, c.rate, c.trip/2)
			l.hold(1, 2*time.Second, true, pictures)
			l.exact(pictures(0))
			l.ages, l.most = nil, 0
			before := l.bytes
			l.hold(n, key, true, pictures)
			frames := l.asked
			bytes := l.bytes - before
			half := len(l.ages) / 2
			first, second := slices.Max(l.ages[:half]), slices.Max(l.ages[half:])
			t.Logf("age p50 %v, p95 %v; %d kB, %d questions", l.age(.5), l.age(.95), bytes/1000, frames)
			if l.age(.95) > c.p95 || second > first*3/2+2*key {
				t.Errorf("age p95 %v, at most %v and then %v", l.age(.95), first, second)
			}
			if l.most > 2 {
				t.Errorf("%d frames on their way at once", l.most)
			}
			var last time.Duration
			for l.shown < l.paint || last == 0 {
				l.clock.pass(time.Millisecond)
				last += time.Millisecond
				if last > time.Second {
					t.Fatal("the last picture does not come")
				}
			}
			for {
				if n, _ := l.wrong(pictures(n - 1)); n == 0 {
					break
				}
				l.clock.pass(5 * time.Millisecond)
				if last += 5 * time.Millisecond; last > 5*time.Second {
					t.Fatal("the picture does not become exact")
				}
			}
			t.Logf("exact %v after the last key", last)
			if l.screen.Unanswered() > 2 {
				t.Errorf("%d unanswered", l.screen.Unanswered())
			}
			l.clock.pass(2 * time.Second)
			idle := l.bytes
			l.clock.pass(time.Minute)
			if l.bytes != idle {
				t.Errorf("%d bytes on an idle line", l.bytes-idle)
			}
		})
	}
}

// Large exact pictures go one at a time: the newest waits for the answer to the
// one before, and none waits behind it.
func TestLargeFramesGoOneByOne(t *testing.T) {
	const n = 30
	pictures := squints(120, 80, n)
	l := newLine(t, 120, 40, 1e6/8, 15*time.Millisecond)
	l.hold(1, 3*time.Second, false, pictures)
	l.most = 0
	l.hold(n, key, false, pictures)
	if l.most != 1 {
		t.Errorf("%d large frames on their way at once", l.most)
	}
	l.clock.pass(4 * time.Second)
	l.exact(pictures(n - 1))
}

// On a fast line nothing is held and nothing is off.
func TestHeldKeyOnAFastLine(t *testing.T) {
	const n = 8
	pictures := squints(80, 48, n)
	l := newLine(t, 80, 24, 100e6, 50*time.Microsecond)
	for i := range n {
		l.hold(1, key, true, func(int) imageproc.Raster { return pictures(i) })
		l.exact(pictures(i))
	}
}

// A picture of few values is exact at every moment, however slow the line and
// however close the values: no colour is ever shown that is not one of them, and
// no value stands for another, once its frame has come.
func TestPlansAreNeverLossy(t *testing.T) {
	r := scene(220, 160)
	closeValues := func(i int) imageproc.Raster {
		p := plan(window(r, 9*i%100, 7*i%80, 120, 80), 2)
		for j, v := range p.Pix {
			p.Pix[j] = 100 + v/54*4 // 38, 92, 150, 214 as 100, 104, 108, 112
		}
		return p
	}
	tones := map[shade]bool{}
	for v := shade(100); v < 113; v += 4 {
		tones[v<<16|v<<8|v] = true
	}
	l := newLine(t, 120, 40, 40e3, 20*time.Millisecond)
	l.hold(1, 2*time.Second, false, closeValues)
	for i := range 8 {
		l.hold(1, key, false, func(int) imageproc.Raster { return closeValues(i + 1) })
		for y := range 40 {
			for x := range 120 {
				if c := lookOf(l.emu.CellAt(x, y)); !tones[c.top] || !tones[c.bottom] {
					t.Fatalf("step %d: cell %d, %d shows %v", i, x, y, c)
				}
			}
		}
		for n := 0; l.shown < l.paint; n++ {
			if n > 5000 {
				t.Fatal("the picture does not come")
			}
			l.clock.pass(time.Millisecond)
		}
		l.exact(closeValues(i + 1))
	}
}

// A line so slow that the first frame is given up: its late answer tells how slow.
func TestLineSlowerThanPatience(t *testing.T) {
	pictures := squints(60, 40, 10)
	l := newLine(t, 60, 20, 4000, 100*time.Millisecond)
	l.hold(1, 20*time.Second, true, pictures)
	l.most = 0
	l.hold(10, key, true, pictures)
	if l.most > 2 {
		t.Errorf("%d frames at once", l.most)
	}
	l.clock.pass(20 * time.Second)
	l.exact(pictures(9))
}

// A line that stops for a minute costs a frame or two and comes back right.
func TestLineThatStops(t *testing.T) {
	pictures := squints(100, 60, 20)
	l := newLine(t, 100, 30, 10e6/8, 15*time.Millisecond)
	l.hold(20, key, true, pictures)
	l.stopped = true
	before := l.bytes
	l.hold(1, key, true, pictures)
	for range 60 {
		l.clock.pass(time.Second)
	}
	if got := l.bytes - before; got > 150e3 {
		t.Errorf("%d bytes into a line that stands still", got)
	}
	l.goesOn()
	l.clock.pass(2 * time.Second)
	l.exact(pictures(0))
	l.ages, l.most = nil, 0
	asked := l.asked
	l.hold(20, key, true, pictures)
	if l.age(1) > 300*time.Millisecond || l.most > 2 {
		t.Errorf("afterwards age %v, %d frames at once", l.age(1), l.most)
	}
	if l.asked == asked {
		t.Error("nothing is asked any more")
	}
	l.clock.pass(2 * time.Second)
	l.exact(pictures(19))
}

// A terminal that does not answer is painted on as before, and asked again no
// more; an answer, late, takes the questions up again.
func TestMuteTerminal(t *testing.T) {
	pictures := squints(60, 40, 30)
	l := newLine(t, 60, 20, 1e8, time.Millisecond)
	l.mute = true
	for i := range 4 {
		l.hold(1, 3*time.Second, true, func(int) imageproc.Raster { return pictures(i) })
	}
	asked := l.asked
	l.hold(10, key, true, pictures)
	if l.asked != asked {
		t.Errorf("asked %d times though there are no answers", l.asked-asked)
	}
	l.clock.pass(50 * time.Millisecond)
	l.exact(pictures(9))
	l.mute = false
	l.screen.Answered()
	l.hold(3, key, true, pictures)
	if l.asked == asked {
		t.Error("an answer came and nothing is asked again")
	}
	l.clock.pass(time.Second)
	l.exact(pictures(2))
}

// What Bubble Tea writes goes out at once and whole, however full the line is,
// and what it wipes of the picture is there again in the same write.
func TestTextIsNotHeldBack(t *testing.T) {
	out := new(tape)
	h := newHours()
	s := cells.NewScreen(out)
	s.SetClock(h)
	s.SetAsk(true)
	s.Resize(40, 12)
	s.SetBand(image.Rect(0, 0, 40, 10))
	write(t, s, "\x1b[?1049h", "\x1b[2J", "\x1b[H")
	var g cells.Grid
	show := func(i int) {
		t.Helper()
		cells.Encode(&g, window(scene(60, 40), i, i, 40, 20), cells.TrueColour)
		if err := s.Paint(&g, image.Point{}); err != nil {
			t.Fatal(err)
		}
	}
	show(1)
	if s.Unanswered() != 1 {
		t.Fatalf("%d questions for a frame", s.Unanswered())
	}
	out.take()
	show(3)
	show(5)
	want(t, out, "pictures on a full line")
	const text = "\x1b[12;1Htide out\x1b[K"
	write(t, s, text)
	want(t, out, "text on a full line", text)
	write(t, s, "\x1b[4;38H\x1b[K")
	got := out.take()
	if len(got) != 1 || strings.Count(got[0], "▀")+strings.Count(got[0], "▄")+strings.Count(got[0], " ") > 4 || len(got[0]) < 30 {
		t.Errorf("a wiped corner of the picture on a full line: %q", got)
	}
	s.Answered() // to the frame
	s.Answered() // to the corner
	h.pass(0)
	if got := out.take(); len(got) != 1 || len(got[0]) < 2000 || !strings.HasSuffix(got[0], "\x1b[c") {
		t.Errorf("after the answer: %d writes", len(got))
	}
}

func TestBehind(t *testing.T) {
	pictures := squints(60, 40, 4)
	l := newLine(t, 60, 20, 1e8, time.Millisecond)
	changes := 0
	l.screen.OnBehind(func() { changes++ })
	l.hold(2, time.Second, true, pictures)
	if l.screen.Behind() || changes != 0 {
		t.Error("behind on a fast line")
	}
	l.stopped = true
	l.hold(1, 200*time.Millisecond, true, pictures)
	if l.screen.Behind() {
		t.Error("behind at once")
	}
	l.clock.pass(100 * time.Millisecond)
	if !l.screen.Behind() || changes != 1 {
		t.Errorf("not behind on a line that stands still (%d changes)", changes)
	}
	l.goesOn()
	l.clock.pass(time.Second)
	if l.screen.Behind() || changes != 2 {
		t.Errorf("behind %v after %d changes", l.screen.Behind(), changes)
	}
}
