package cells

import (
	"image"
	"strings"
	"testing"

	"atelier/halflid/imageproc"
	"atelier/halflid/palette"
)

func TestBareLeavesOnlyThePictures(t *testing.T) {
	r := imageproc.NewRaster(8, 6)
	r.Fill(palette.SRGB{R: 128, G: 128, B: 128})
	var g Grid
	Encode(&g, r, NoColour)
	g.Bare(image.Rect(1, 1, 3, 4), image.Rect(6, 0, 8, 2))
	var b strings.Builder
	if err := g.Print(&b); err != nil {
		t.Fatal(err)
	}
	want := " 55   55\n 55     \n        \n"
	if b.String() != want {
		t.Errorf("got\n%swant\n%s", b.String(), want)
	}
}

// A swatch is text of just its width in the colours that the picture has.
func TestSwatch(t *testing.T) {
	c := palette.SRGB{R: 50, G: 60, B: 70}
	if got, want := Swatch(c, 3, TrueColour), "\x1b[48;2;50;60;70m   \x1b["; !strings.HasPrefix(got, want) {
		t.Errorf("got %q, want it to begin with %q", got, want)
	}
	if got := Swatch(palette.SRGB{}, 2, NoColour); got != "00" {
		t.Errorf("without colours %q", got)
	}
}
