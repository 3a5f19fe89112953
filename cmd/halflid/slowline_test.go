package main

import (
	"bytes"
	"fmt"
	"os"
	"slices"
	"testing"
	"time"

	"github.com/charmbracelet/x/vt"
)

// keyPace is how fast a held key repeats.
const keyPace = 33 * time.Millisecond

// heldFor is how long it is held.
const heldFor = 3 * time.Second

// band returns the codes of the picture's cells, six a cell, upper half first.
func band(emu *vt.Emulator, w, h int) []uint8 {
	out := make([]uint8, 0, 6*w*h)
	for y := range h - figureText {
		for x := range w {
			c := emu.CellAt(x, y)
			if c == nil {
				out = append(out, 0, 0, 0, 0, 0, 0)
				continue
			}
			top, bottom := codes(c.Style.Fg), codes(c.Style.Bg)
			switch c.Content {
			case "▀":
			case "▄":
				top, bottom = bottom, top
			case "█":
				bottom = top
			default:
				top = bottom
			}
			out = append(append(out, top[:]...), bottom[:]...)
		}
	}
	return out
}

func codes(c interface{ RGBA() (r, g, b, a uint32) }) [3]uint8 {
	if c == nil {
		return [3]uint8{}
	}
	r, g, b, _ := c.RGBA()
	return [3]uint8{uint8(r >> 8), uint8(g >> 8), uint8(b >> 8)}
}

// apart is how far two pictures are apart: the mean square of their codes.
func apart(a, b []uint8) float64 {
	sum := 0
	for i := range a {
		d := int(a[i]) - int(b[i])
		sum += d * d
	}
	return float64(sum) / float64(len(a))
}

// swing is a key held towards more squint and then towards less, and so on:
// each step a picture that differs from the one before. The steps are far enough
// apart to tell the pictures by, and begin where the first is seen at all.
type swing struct {
	keys   string // . or , for each press
	levels []int  // which picture it leads to; 0 is where it begins
	most   int
}

func newSwing(n int) swing {
	s := swing{most: 12}
	level, up := 0, true
	for range n {
		if level == s.most {
			up = false
		} else if level == 0 {
			up = true
		}
		if up {
			level++
			s.keys += "."
		} else {
			level--
			s.keys += ","
		}
		s.levels = append(s.levels, level)
	}
	return s
}

// toFirst leads from the squint that a photo opens with to where a swing begins.
const toFirst = ",,,"

// references are the exact pictures of each level, from a fast line.
func references(t *testing.T, w, h, most int) [][]uint8 {
	t.Helper()
	f := openFar(t, program(t, t.TempDir()), w, h)
	f.shows("whole photo")
	f.types("s")
	f.shows("squinted")
	begun := time.Now()
	f.types(toFirst)
	f.rests(begun, here)
	var all [][]uint8
	for range most + 1 {
		all = append(all, band(f.screen(), w, h))
		begun = time.Now()
		f.types(".")
		f.rests(begun, here)
	}
	f.types("q")
	return all
}

// held is what holding a key came to.
type held struct {
	ages          []time.Duration // of the picture on the screen, each ms from the first second on
	last, exact   time.Duration   // from the last key to its picture, and to it exact
	frames, bytes int
}

// hold holds a key and looks at what came.
func hold(t *testing.T, f *far, refs [][]uint8) held {
	t.Helper()
	s := newSwing(int(heldFor / keyPace))
	var presses []time.Time
	start := time.Now()
	for i := range s.keys {
		time.Sleep(time.Until(start.Add(time.Duration(i) * keyPace)))
		presses = append(presses, time.Now())
		f.types(s.keys[i : i+1])
	}
	f.rests(time.Now().Add(-time.Second), yonder)

	emu := silentEmulator(f.w, f.h)
	f.mu.Lock()
	got := slices.Clone(f.got)
	f.mu.Unlock()
	var h held
	shown, level := -1, 0 // the newest key whose picture is on the screen
	var since time.Time   // when the level came to the screen
	usual := 50 * time.Millisecond
	type change struct {
		at  time.Time
		key int
	}
	var changes []change
	final := refs[s.levels[len(s.levels)-1]]
	for _, a := range got {
		_, _ = emu.Write(a.data)
		if a.at.Before(start) {
			continue
		}
		h.bytes += len(a.data)
		if !bytes.Contains(a.data, []byte("\x1b[c")) && !bytes.Contains(a.data, []byte("\x1b[?2026l")) && !bytes.HasSuffix(a.data, []byte("H")) {
			continue // in the midst of a frame
		}
		h.frames += bytes.Count(a.data, []byte("\x1b[c"))
		now := band(emu, f.w, f.h)
		if n := nearest(refs, now); n != level {
			level, since = n, a.at
			// The key of that level whose picture is about as old as the one
			// before was when it came.
			best := -1
			for k := shown + 1; k < len(s.levels) && presses[k].Before(a.at); k++ {
				if s.levels[k] == level && (best < 0 || closer(a.at.Sub(presses[k]), a.at.Sub(presses[best]), usual)) {
					best = k
				}
			}
			if best >= 0 {
				shown, usual = best, a.at.Sub(presses[best])
				changes = append(changes, change{a.at, best})
			}
		}
		if bytes.Equal(now, final) && a.at.After(presses[len(presses)-1]) && h.exact == 0 {
			h.exact = a.at.Sub(presses[len(presses)-1])
		}
	}
	h.last = max(since.Sub(presses[len(presses)-1]), 1)
	if len(changes) == 0 {
		t.Fatalf("no picture came; the screen shows:\n%s", text(emu))
	}
	if !bytes.Equal(band(emu, f.w, f.h), final) {
		t.Errorf("the last picture is not exact: %.3f apart", apart(band(emu, f.w, f.h), final))
	}
	i := 0
	for at := changes[0].at; at.Before(presses[len(presses)-1]); at = at.Add(time.Millisecond) {
		for i+1 < len(changes) && !changes[i+1].at.After(at) {
			i++
		}
		h.ages = append(h.ages, at.Sub(presses[changes[i].key]))
	}
	return h
}

// closer reports whether a is closer to c than b is.
func closer(a, b, c time.Duration) bool { return (a - c).Abs() < (b - c).Abs() }

func nearest(refs [][]uint8, p []uint8) int {
	best, least := 0, apart(refs[0], p)
	for i, r := range refs[1:] {
		if d := apart(r, p); d < least {
			best, least = i+1, d
		}
	}
	return best
}

// slowLine is one line to hold a key over.
type slowLine struct {
	name     string
	w, h     int
	rate     float64 // bits a second
	trip     time.Duration
	p50, p95 time.Duration // to reach
	last     time.Duration // to reach; 0: nothing set
}

var slowLines = []slowLine{
	{"10 Mbit/s, 30 ms, 200x60", 200, 60, 10e6, 30 * time.Millisecond, 150 * time.Millisecond, 220 * time.Millisecond, 120 * time.Millisecond},
	{"2 Mbit/s, 60 ms, 120x40", 120, 40, 2e6, 60 * time.Millisecond, 0, 350 * time.Millisecond, 0},
}

// aged says that the picture on the screen grew older while the key was held;
// empty if it did not.
func (h held) aged(l slowLine) string {
	half := len(h.ages) / 2
	first, second := quantile(h.ages[:half], 0.95), quantile(h.ages[half:], 0.95)
	frame := time.Duration(float64(h.bytes/max(h.frames, 1)) / (l.rate / 8) * float64(time.Second))
	if second > first*3/2+frame || h.last > first*3/2+frame {
		return fmt.Sprintf("the picture grows older: %v, then %v, then %v after the last key", first, second, h.last)
	}
	return ""
}

// A key held over a slow line: the picture on the screen does not grow older,
// the last one comes and becomes exact, and nothing is typed into the shell.
func TestSlowLine(t *testing.T) {
	heavy(t)
	server := startSSH(t)
	for _, l := range slowLines {
		t.Run(l.name, func(t *testing.T) {
			h := l.measure(t, server)
			aged := h.aged(l)
			if aged != "" {
				// A machine that is busy for a moment does that once, a line that
				// is filled faster than it empties each time.
				t.Log(aged)
				h = l.measure(t, server)
				aged = h.aged(l)
			}
			if aged != "" {
				t.Error(aged)
			}
			if os.Getenv("HALFLID_BENCH") != "" {
				l.print(h)
			}
		})
	}
}

// measure holds the key in a studio at the other end of the line, with the
// demo, and quits it in the midst of pictures.
func (l slowLine) measure(t *testing.T, server *secureShell) held {
	t.Helper()
	refs := references(t, l.w, l.h, newSwing(1).most)
	addr := narrow(t, server.addr, l.rate/8, l.trip)
	f := openFar(t, server.command(addr, thenTyped(programLine(t, t.TempDir()))), l.w, l.h)
	f.shows("whole photo")
	f.rests(time.Time{}, yonder)
	begun := time.Now()
	f.types("s" + toFirst)
	f.rests(begun, yonder)
	h := hold(t, f, refs)
	if h.exact == 0 {
		t.Error("the last picture did not become exact")
	}
	f.types("..,,.q") // answers are still to come
	f.shows("code 0, typed []")
	if f.screen().IsAltScreen() {
		t.Error("the alternate screen was left on")
	}
	return h
}

// print prints the figures as figures_test.go does.
func (l slowLine) print(h held) {
	name := "key held 30/s over " + l.name + ", photo squinted at: "
	p50, p95 := median(h.ages), quantile(h.ages, 0.95)
	goal := fmt.Sprintf("p95 <= %d ms", l.p95.Milliseconds())
	if l.p50 > 0 {
		goal = fmt.Sprintf("<= %d / %d ms", l.p50.Milliseconds(), l.p95.Milliseconds())
	}
	row(name+"age of the picture p50 / p95", ms(p50)+" / "+ms(p95)+" ms", goal, (l.p50 == 0 || p50 <= l.p50) && p95 <= l.p95)
	goal = ""
	if l.last > 0 {
		goal = fmt.Sprintf("<= %d ms", l.last.Milliseconds())
	}
	row(name+"after the last key, its picture", ms(h.last)+" ms", goal, h.last <= l.last)
	row(name+"after the last key, it exact", ms(h.exact)+" ms", "", true)
	row(name+"frames, bytes", fmt.Sprintf("%d, %.0f kB", h.frames, float64(h.bytes)/1e3), "", true)
}
