package page

import (
	"bytes"
	"image"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"atelier/halflid/palette"
)

// Pictures of one width, and of one content under two names, come out in the same
// order each time: the library itself sorts pictures by width alone.
func TestPicturesOfOneWidthSameBytes(t *testing.T) {
	var items []Item
	for i := range 6 {
		g := image.NewGray(image.Rect(0, 0, 20, 10))
		for j := range g.Pix {
			g.Pix[j] = uint8(40 * (i % 5)) // the last is the first again
		}
		items = append(items, Picture{At: Rect{X: 10 + 30*float64(i), Y: 10, W: 20, H: 10}, Image: g, Blocky: true})
	}
	d := Document{Title: "a", Pages: []Page{{Name: "a", W: 210, H: 100, Layers: []Layer{{ID: "a", Items: items}}}}}
	var first []byte
	for range 30 {
		var b bytes.Buffer
		if err := WritePDF(&b, d); err != nil {
			t.Fatal(err)
		}
		if first == nil {
			first = b.Bytes()
		}
		if !bytes.Equal(first, b.Bytes()) {
			t.Fatal("the same pages give other bytes")
		}
	}
	if n := strings.Count(string(first), "/Subtype /Image"); n != 5 {
		t.Errorf("%d pictures in the file, want 5", n)
	}
}

// Words that follow a clip are in their own ink, also where the last fill inside
// the clip was of the same colour.
func TestWordsAfterAClipKeepTheirInk(t *testing.T) {
	if _, err := exec.LookPath("pdftoppm"); err != nil {
		if os.Getenv("HALFLID_NEED_SERVERS") != "" {
			t.Fatal("pdftoppm is not installed")
		}
		t.Skip("pdftoppm is not installed")
	}
	dark, light := Grey(palette.L(10)), Grey(palette.L(90))
	box := func(x float64, ink Ink) Path {
		return Path{Lines: []Line{Box(Rect{X: x, Y: 30, W: 10, H: 10})}, Fill: ink}
	}
	items := []Item{
		box(10, light),
		Group{Clip: Rect{X: 30, Y: 30, W: 10, H: 10}, Items: []Item{box(30, dark)}},
		Text{At: Point{X: 10, Y: 20}, Words: "HHHH", Size: 10, Bold: true, Ink: dark},
	}
	dir := t.TempDir()
	var b bytes.Buffer
	if err := WritePDF(&b, Document{Title: "a", Pages: []Page{{Name: "a", W: 60, H: 60, Layers: []Layer{{ID: "a", Items: items}}}}}); err != nil {
		t.Fatal(err)
	}
	pdf := filepath.Join(dir, "a.pdf")
	if err := os.WriteFile(pdf, b.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	if out, err := exec.Command("pdftoppm", "-r", "254", "-gray", "-singlefile", pdf, filepath.Join(dir, "a")).CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	pgm, err := os.ReadFile(filepath.Join(dir, "a.pgm"))
	if err != nil {
		t.Fatal(err)
	}
	least := uint8(255)
	for _, c := range pgm[len(pgm)-600*600:][:600*250] { // the upper part: words alone
		least = min(least, c)
	}
	if want := dark.Colour.R; least > want+3 {
		t.Errorf("the darkest of the words is %d, want %d", least, want)
	}
}
