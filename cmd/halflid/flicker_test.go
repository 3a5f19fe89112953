package main

import (
	"bytes"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/charmbracelet/x/vt"
)

// After two hundred sizes, in the midst of keys, the screen is what a fresh start
// in the last size shows, text and picture.
func TestStormOfSizes(t *testing.T) {
	heavy(t)
	dir, file := quay(t)
	term := start(t, 100, 30, dir, file)
	term.shows("whole photo")
	for i := range 200 {
		term.resize(1+(i*37)%200, 1+(i*23)%60)
		switch i % 8 {
		case 0:
			term.keys(".")
		case 4:
			term.keys(",")
		}
		time.Sleep(time.Duration(i%5) * time.Millisecond)
	}
	term.resize(90, 28)
	term.shows("squint 1 %")
	term.keys("w")
	term.shows("whole photo")
	term.quiet()
	other, copied := quay(t)
	fresh := start(t, 90, 28, other, copied)
	fresh.shows("whole photo")
	fresh.quiet()
	differs := func() string {
		for y := range 28 {
			for x := range 90 {
				if a, b := term.cell(x, y), fresh.cell(x, y); a != b {
					return fmt.Sprintf("cell %d,%d is %q, in a fresh start %q", x, y, a, b)
				}
			}
		}
		return ""
	}
	same := func(what string) {
		t.Helper()
		// On a busy machine the last words may come after a silence.
		for deadline := time.Now().Add(5 * time.Second); ; time.Sleep(50 * time.Millisecond) {
			d := differs()
			if d == "" {
				return
			}
			if time.Now().After(deadline) {
				t.Fatalf("%s: %s", what, d)
			}
		}
	}
	same("after the storm")
	for _, s := range []*terminal{term, fresh} {
		s.keys("3")
		s.shows("plan  6x8")
		s.untilColours(25, 5)
		s.quiet()
	}
	same("after the storm, the plan")
}

// Text around the picture is sent only where it says something else: keys that
// change the picture send nothing to a row of text that stays as it is.
func TestTextIsNotResent(t *testing.T) {
	heavy(t)
	f := openFar(t, program(t, t.TempDir()), figureCols, figureRows)
	f.shows("keeps")
	begun := time.Now()
	f.types("ciiiiiiii") // room to move the crop in
	f.rests(begun, here)
	emu := silentEmulator(figureCols, figureRows)
	var rows rowFollower
	seen, pictures, spared := 0, 0, 0
	// look returns whether there was a picture and the letters to each row of text.
	look := func() (picture bool, sent [figureText]int) {
		f.mu.Lock()
		got := f.got[seen:]
		seen = len(f.got)
		f.mu.Unlock()
		for _, a := range got {
			for i := range a.data {
				p, w := rows.follow(a.data[i : i+1])
				picture = picture || p
				if w {
					sent[rows.row-(figureRows-figureText)]++
				}
			}
			_, _ = emu.Write(a.data)
		}
		return picture, sent
	}
	look()
	for i := range 18 {
		before := below(emu)
		begun := time.Now()
		f.types([]string{"l", "l", "j", "h", "h", "k"}[i%6])
		f.rests(begun, here)
		picture, sent := look()
		if picture {
			pictures++
		}
		for y, after := range below(emu) {
			switch {
			case after != before[y]:
			case sent[y] > 0:
				t.Errorf("key %d: %d letters for row %d of the text, which stays as it is", i, sent[y], y)
			default:
				spared++
			}
		}
	}
	if pictures < 15 || spared < 18 {
		t.Errorf("%d pictures, %d rows of text that stayed: too little was seen", pictures, spared)
	}
	f.types("q")
}

// below returns the rows of text below the picture, with their colours.
func below(emu *vt.Emulator) [figureText]string {
	var out [figureText]string
	for i := range out {
		var b strings.Builder
		for x := range figureCols {
			if c := emu.CellAt(x, figureRows-figureText+i); c != nil {
				fmt.Fprintf(&b, "%s %s %s;", c.Content, hex(c.Style.Fg), hex(c.Style.Bg))
			}
		}
		out[i] = b.String()
	}
	return out
}

// While a key is held no frame is torn and none is blank: at each end of a frame
// every cell of the band shows a picture, never the empty terminal.
func TestNothingIsBlankWhileAKeyIsHeld(t *testing.T) {
	heavy(t)
	f := openFar(t, program(t, t.TempDir()), 120, 40)
	f.shows("keeps")
	begun := time.Now()
	f.types("s")
	f.rests(begun, here)
	f.mu.Lock()
	from := len(f.got)
	f.mu.Unlock()
	for i := range 45 {
		f.types([]string{".", ".", ".", "3", ",", ",", ",", " ", "s"}[i%9])
		time.Sleep(keyPace)
	}
	f.rests(begun, here)
	emu := silentEmulator(120, 40)
	looked := 0
	for i, a := range f.got {
		_, _ = emu.Write(a.data)
		if i < from || !bytes.HasSuffix(a.data, []byte("\x1b[c")) {
			continue
		}
		looked++
		for y := range 40 - figureText {
			for x := range 120 {
				if c := emu.CellAt(x, y); c == nil || c.Style.Bg == nil {
					t.Fatalf("after a frame cell %d,%d is blank", x, y)
				}
			}
		}
	}
	if looked < 10 {
		t.Errorf("only %d frames were looked at", looked)
	}
	f.types("q")
}
