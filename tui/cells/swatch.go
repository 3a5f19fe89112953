package cells

import (
	"strings"

	"atelier/halflid/imageproc"
	"atelier/halflid/palette"
)

// Swatch returns n cells of one colour as text for a line of the view, in just
// the colours that the picture has at that depth; the default colours again
// after it. tones are those of the picture if it is painted in few (see
// Grid.SetTones), c among them.
func Swatch(c palette.SRGB, n int, d Depth, tones ...palette.SRGB) string {
	r := imageproc.NewRaster(n, 2)
	r.Fill(c)
	var g Grid
	g.SetTones(tones)
	Encode(&g, r, d)
	var out strings.Builder
	_ = g.Print(&out) // a Builder takes everything
	return strings.TrimSuffix(out.String(), "\n")
}
