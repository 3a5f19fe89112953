package main

import (
	"bytes"
	"fmt"
	"io"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"github.com/charmbracelet/x/vt"
)

// screenFigures measures the program as it is built, from outside.
func screenFigures(t *testing.T, data []byte) {
	binary := filepath.Join(t.TempDir(), "halflid")
	if out, err := exec.Command("go", "build", "-o", binary, ".").CombinedOutput(); err != nil {
		t.Fatalf("building the program: %v\n%s", err, out)
	}
	dir := t.TempDir()
	file := write(t, dir, "camera.jpg", data)
	startFigures(t, binary, "24 MP photo with a preview in it", 150*time.Millisecond, file)
	startFigures(t, binary, "demo", 0)

	w := watchProgram(t, binary, dir, file)
	w.opens()
	keyFigures(w)
	w.quits()

	fresh := t.TempDir()
	w = watchProgram(t, binary, fresh, write(t, fresh, "camera.jpg", data))
	memoryFigures(w)
	w.quits()
}

// startFigures times starts, from before the process exists.
func startFigures(t *testing.T, binary, name string, goal time.Duration, args ...string) {
	var first, full []time.Duration
	size, preview := 0, 0
	for range 7 {
		w := watchProgram(t, binary, t.TempDir(), args...)
		w.settles(w.begun)
		for {
			// Looked at only while nothing arrives, and on a copy: what is
			// timed must not wait for it.
			w.mu.Lock()
			var all []byte
			for _, a := range w.got {
				all = append(all, a.data...)
			}
			quiet := time.Since(w.last) > 5*still
			w.mu.Unlock()
			if quiet && bytes.Contains(all, []byte("whole photo")) {
				break
			}
			if time.Since(w.begun) > 30*time.Second {
				t.Fatal("the photo does not open")
			}
			time.Sleep(20 * time.Millisecond)
		}
		one := w.firstPicture()
		first, full = append(first, one.first), append(full, one.full)
		size, preview = one.bytes, one.firstBytes
		w.quits()
	}
	goalText := ""
	if goal > 0 {
		goalText = fmt.Sprintf("<= %d ms", goal.Milliseconds())
	}
	row("start to first picture, "+name, fmt.Sprintf("%s ms, slowest of 7 %s (%.0f kB)", ms(median(first)), ms(quantile(first, 1)), float64(preview)/1e3), goalText, median(first) <= goal)
	row("start to the photo itself, "+name, fmt.Sprintf("%s ms, slowest %s (%.0f kB in all)", ms(median(full)), ms(quantile(full, 1)), float64(size)/1e3), "", true)
}

type started struct {
	first, full       time.Duration
	firstBytes, bytes int
}

// firstPicture shows a fresh emulator all that came and finds when the band was
// first full of picture: as many cells differ from the surround as in the end,
// over all and in its last row.
func (w *watched) firstPicture() started {
	w.t.Helper()
	final := vt.NewEmulator(figureCols, figureRows)
	defer final.Close()
	go func() { _, _ = io.Copy(io.Discard, final) }()
	w.mu.Lock()
	for _, a := range w.got {
		_, _ = final.Write(a.data)
	}
	w.mu.Unlock()
	ground := hex(final.CellAt(0, 0).Style.Bg) // left of the picture
	wantAll, wantLast := pictureCells(final, ground)
	if wantAll < figureCols*(figureRows-figureText)/2 {
		w.t.Fatalf("no picture; the screen shows:\n%s", text(final))
	}
	var s started
	n := 0
	f := w.catchUp(w.begun, func(a arrival) {
		n += len(a.data)
		if s.first > 0 {
			return
		}
		if all, last := pictureCells(w.emu, ground); 10*all >= 9*wantAll && 10*last >= 9*wantLast {
			s.first, s.firstBytes = a.at.Sub(w.begun), n
		}
	})
	s.full, s.bytes = f.picture, f.bytes
	return s
}

// pictureCells counts the cells of the band, and of its last row, that show
// picture and not the ground around it.
func pictureCells(emu *vt.Emulator, ground string) (all, last int) {
	const band = figureRows - figureText
	for y := range band {
		for x := range figureCols {
			c := emu.CellAt(x, y)
			if c == nil || c.Content != "▀" && c.Content != "▄" && (c.Style.Bg == nil || hex(c.Style.Bg) == ground) {
				continue
			}
			all++
			if y == band-1 {
				last++
			}
		}
	}
	return all, last
}

// keyFigures times keys with the photo open.
func keyFigures(w *watched) {
	const goal = 25 * time.Millisecond
	squint := []string{".", ","}
	series(w, "squint step, photo squinted at", "s", squint, 60, goal, 0)
	series(w, "squint step, values", "v", squint, 60, goal, 0)
	series(w, "squint step, plan", "m", squint, 30, 120*time.Millisecond, 0)
	series(w, "another number of values, plan", "m", []string{"4", "5", "3", "2", "3"}, 30, goal, 0)
	w.press("R") // the column follows in the picture's rows
	w.press("c") // so that the plan, shown next, is a change to wait for
	series(w, "another number of values, plan with the reading beside it", "m", []string{"4", "2", "3"}, 30, 50*time.Millisecond, 0)
	w.press("\x1b")
	for range 10 {
		w.press("i") // room to move the crop in
	}
	round := []string{"\x1b[C", "\x1b[C", "\x1b[C", "\x1b[C", "\x1b[B", "\x1b[B", "\x1b[D", "\x1b[D", "\x1b[D", "\x1b[D", "\x1b[A", "\x1b[A"}
	series(w, "crop move, crop", "c", round, 48, goal, 20_000)
	series(w, "crop move, whole photo", "w", round, 48, goal, 20_000)
	series(w, "crop move, values", "v", round, 48, goal, 20_000)
	series(w, "crop move, plan", "m", round, 48, 120*time.Millisecond, 20_000)
	w.press("\r") // a shape in the hand
	series(w, "a value given to a shape, plan", "\x1b[C", []string{"1", "3", "2"}, 45, 15*time.Millisecond, 0)
	series(w, "an outline smoothed, and as photographed again, plan", "\x1b[D", []string{"w", "W"}, 40, 15*time.Millisecond, 0)
	series(w, "a shape left out and brought back, plan", "\x1b[1;2B", []string{"x", "u"}, 20, 0, 0)
	w.press("\x1b")
}

// series shows a view, presses n keys and prints what came. The key to its last
// byte is the last byte of the picture. The words below it go out with the ticks
// of their renderer, some of them only after the picture is measured; they are
// given in a line of their own.
func series(w *watched, name, view string, keys []string, n int, goal time.Duration, most int) {
	w.press(view)
	for _, k := range keys { // warm
		w.press(k)
	}
	var picture, words []time.Duration
	var size []int
	before, told := w.processor()
	for i := range n {
		f := w.press(keys[i%len(keys)])
		picture, words = append(picture, f.picture), append(words, f.whole())
		size = append(size, f.bytes)
	}
	two := func(ds []time.Duration) string {
		return fmt.Sprintf("%s / %s ms", ms(median(ds)), ms(quantile(ds, 0.95)))
	}
	after, _ := w.processor()
	p95 := quantile(picture, 0.95)
	goalOf := ""
	if goal > 0 {
		goalOf = fmt.Sprintf("p95 <= %d ms", goal.Milliseconds())
	}
	row(name+": key to last byte p50 / p95", two(picture), goalOf, p95 <= goal)
	row(name+": the same with its words", two(words), "", true)
	if told {
		row(name+": processor time a key", ms((after-before)/time.Duration(n))+" ms", "", true)
	}
	measured := fmt.Sprintf("%.1f / %.1f kB", float64(median(size))/1e3, float64(quantile(size, 0.95))/1e3)
	goalText := ""
	if most > 0 {
		goalText = fmt.Sprintf("p95 <= %d kB", most/1000)
	}
	row(name+": bytes a key p50 / p95", measured, goalText, quantile(size, 0.95) <= most)
}

// memoryFigures reads what the process holds.
func memoryFigures(w *watched) {
	const goal = 350
	w.opens()
	time.Sleep(2 * time.Second)
	say := func(when string) {
		now, ok := w.resident("VmRSS")
		peak, too := w.resident("VmHWM")
		if !ok || !too {
			row("resident memory, 24 MP, "+when, "this system does not say", "", true)
			return
		}
		row("resident memory, 24 MP, "+when, fmt.Sprintf("%.0f MB, at most so far %.0f", now, peak), fmt.Sprintf("<= %d MB", goal), peak <= goal)
	}
	say("just opened")
	w.press("s")
	for i := range 50 {
		w.press([]string{".", ".", ",", ","}[i%4])
	}
	w.press("c")
	for range 10 {
		w.press("i")
	}
	for i := range 50 {
		w.press([]string{"l", "j", "h", "k"}[i%4])
	}
	w.press("v")
	for i := range 10 {
		w.press([]string{"2", "3", "4", "5"}[i%4])
	}
	time.Sleep(2 * time.Second)
	say("after 50 squints, 50 moves of the crop, 10 numbers of values")
}
