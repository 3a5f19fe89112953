package sheet

import (
	"image"
	"strings"
	"testing"

	"atelier/halflid/imageproc/page"
	"atelier/halflid/palette"
)

// What is flat on a page keeps its tone in a small picture of it, the paper is
// white, and the thin lines of a drawing still show.
func TestPreview(t *testing.T) {
	s := sceneOf(t, "6x8", 3, 12, 4)
	d, m := s.compose(t, Options{Kinds: []Kind{Values, Outline}, Paper: paper(t, "letter")})
	size := image.Pt(86, 111)
	r := Preview(d.Pages[1], size)
	if c := r.At(0, 0); c.G != 255 {
		t.Errorf("the paper is %v", c)
	}
	found := false
	for _, l := range d.Pages[1].Layers {
		if strings.HasPrefix(l.ID, "value-1-") {
			b := l.Items[0].(page.Path).Lines[0].Segments
			x, y := (b[0].From.X+b[1].From.X)/2, (b[0].From.Y+b[2].From.Y)/2
			c, want := r.At(int(x/d.Pages[1].W*float64(size.X)), int(y/d.Pages[1].H*float64(size.Y))), palette.Grey(m.Figures.Tones[0].Y())
			if found = true; c != want {
				t.Errorf("the first patch is %v, want %v", c, want)
			}
		}
	}
	if !found {
		t.Error("no patch of the first value")
	}
	dark := 0
	o := Preview(d.Pages[0], image.Pt(111, 86))
	for i := 0; i < len(o.Pix); i += 3 {
		if o.Pix[i] < 215 {
			dark++
		}
	}
	if dark < 150 {
		t.Errorf("only %d pixels of the drawing show", dark)
	}
}
