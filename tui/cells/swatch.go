package cells

import (
	"strings"

	"atelier/halflid/imageproc"
	"atelier/halflid/palette"
)

// Swatch returns n cells of one colour as text for a line of the view, in just
// the colours that the picture has at that depth; the default colours again
// after it.
func Swatch(c palette.SRGB, n int, d Depth) string {
	r := imageproc.NewRaster(n, 2)
	r.Fill(c)
	var out strings.Builder
	_ = Print(&out, r, d) // a Builder takes everything
	return strings.TrimSuffix(out.String(), "\n")
}
