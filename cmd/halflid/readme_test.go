package main

import (
	"bytes"
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/charmbracelet/x/vt"
	"golang.org/x/image/font"
	"golang.org/x/image/font/basicfont"
	"golang.org/x/image/math/fixed"

	"atelier/halflid/palette/oracle"
	"atelier/halflid/tui/keys"
)

const (
	keysBegin = "<!-- keys: generated from tui/keys by `make golden`; do not edit -->\n"
	keysEnd   = "<!-- end of keys -->\n"
)

// The README's key table is the one that the studio uses.
func TestReadmeKeys(t *testing.T) {
	path := filepath.Join(oracle.Root(t), "README.md")
	text := string(readFileT(t, path))
	head, rest, ok := strings.Cut(text, keysBegin)
	_, tail, ok2 := strings.Cut(rest, keysEnd)
	if !ok || !ok2 {
		t.Fatal("README.md has no place for the keys")
	}
	want := head + keysBegin + keys.Markdown() + keysEnd + tail
	if *update {
		if err := os.WriteFile(path, []byte(want), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	if text != want {
		t.Error("README.md has another key table than the studio: make golden")
	}
}

// Every flag and command that the README shows exists.
func TestReadmeCommandsExist(t *testing.T) {
	text := string(readFileT(t, filepath.Join(oracle.Root(t), "README.md")))
	root := rootCommand(nil, nil)
	tried := 0
	inCode := false
	for _, line := range strings.Split(text, "\n") {
		if strings.HasPrefix(line, "```") {
			inCode = !inCode
		}
		line, _, _ = strings.Cut(line, "#")
		words := strings.Fields(line)
		if !inCode || len(words) < 3 || words[0] != "halflid" {
			continue
		}
		tried++
		cmd, _, err := root.Find(words[1:])
		if err != nil || cmd == root {
			t.Errorf("%q names no command", line)
			continue
		}
		for _, w := range words {
			if name, ok := strings.CutPrefix(w, "--"); ok && cmd.Flags().Lookup(name) == nil {
				t.Errorf("%q: there is no flag %s", line, w)
			}
		}
	}
	if tried < 4 {
		t.Errorf("only %d commands found in the README", tried)
	}
}

// The README's picture of the program is made by the program: the studio with
// the demo scene, photo and plan side by side. Without -update the test only
// proves that the screen which it shows can still be had, and that the picture
// is there.
func TestReadmePicture(t *testing.T) {
	path := filepath.Join(oracle.Root(t), "testdata", "readme", "studio.png")
	term := start(t, 176, 38, t.TempDir())
	term.shows("6x8 in across")
	term.keys("c", "3", "b")
	term.shows("crop | plan")
	term.until("the photo", func(string) bool { return len(term.colours(35)) > 100 }) // it is computed after the words
	term.quiet()
	term.mu.Lock()
	shot := picture(term.emu)
	term.mu.Unlock()
	term.keys("q")
	term.ends()
	if *update {
		var b bytes.Buffer
		if err := png.Encode(&b, shot); err != nil {
			t.Fatal(err)
		}
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, b.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	kept := readPNG(t, path)
	if kept.Bounds() != shot.Bounds() {
		t.Errorf("the README's picture is %v, the program's screen %v: make picture", kept.Bounds(), shot.Bounds())
	}
	if n := len(distinct(shot)); n < 100 {
		t.Errorf("the screen has only %d colours", n)
	}
}

func distinct(img image.Image) map[color.Color]bool {
	seen := map[color.Color]bool{}
	b := img.Bounds()
	for y := b.Min.Y; y < b.Max.Y; y += 3 {
		for x := b.Min.X; x < b.Max.X; x += 3 {
			seen[img.At(x, y)] = true
		}
	}
	return seen
}

// Cells of the picture of a screen, in pixels: twice as high as wide, so that
// half blocks are square.
const (
	cellW = 8
	cellH = 16
)

// picture draws an emulator's screen.
func picture(emu *vt.Emulator) *image.RGBA {
	img := image.NewRGBA(image.Rect(0, 0, cellW*emu.Width(), cellH*emu.Height()))
	fill := func(r image.Rectangle, c color.Color, standard uint8) {
		if c == nil {
			c = color.Gray{Y: standard}
		}
		draw.Draw(img, r, image.NewUniform(c), image.Point{}, draw.Src)
	}
	for y := range emu.Height() {
		for x := range emu.Width() {
			c := emu.CellAt(x, y)
			if c == nil {
				continue
			}
			box := image.Rect(cellW*x, cellH*y, cellW*(x+1), cellH*(y+1))
			upper, lower := box, box
			upper.Max.Y -= cellH / 2
			lower.Min.Y += cellH / 2
			fill(box, c.Style.Bg, 0)
			switch c.Content {
			case "▀":
				fill(upper, c.Style.Fg, 200)
			case "▄":
				fill(lower, c.Style.Fg, 200)
			case "█":
				fill(box, c.Style.Fg, 200)
			default:
				write := c.Style.Fg
				if write == nil {
					write = color.Gray{Y: 200}
				}
				d := font.Drawer{
					Dst: img, Src: image.NewUniform(write), Face: basicfont.Face7x13,
					Dot: fixed.P(box.Min.X, box.Min.Y+12),
				}
				d.DrawString(plainLetters(c.Content))
			}
		}
	}
	return img
}

// plainLetters replaces what the built-in face lacks.
func plainLetters(s string) string {
	return strings.NewReplacer("←", "<", "→", ">", "↑", "^", "↓", "v", "…", ".").Replace(s)
}
