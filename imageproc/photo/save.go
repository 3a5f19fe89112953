package photo

import (
	"fmt"
	"image"
	"image/png"
	"io"

	"github.com/disintegration/imaging"

	"atelier/halflid/imageproc"
)

// WritePNG writes r to w as an 8-bit RGB PNG, compressed as small as the format
// allows; the same raster gives the same bytes. It panics if r's pixels do not
// fit its size. An empty raster is an error.
//
// imaging has a part in nothing else here: its arithmetic works on encoded
// values, and its own goroutines panic beyond recovery on an index outside a
// palette (CVE-2023-36308), so no picture from a file ever reaches it.
func WritePNG(w io.Writer, r imageproc.Raster) error {
	if len(r.Pix) != 3*r.W*r.H {
		panic(fmt.Sprintf("photo: raster of %d by %d with %d bytes", r.W, r.H, len(r.Pix)))
	}
	if len(r.Pix) == 0 {
		return fmt.Errorf("photo: a picture of %d x %d pixels cannot be saved", r.W, r.H)
	}
	img := image.NewNRGBA(image.Rect(0, 0, r.W, r.H))
	for i, j := 0, 0; i < len(r.Pix); i, j = i+3, j+4 {
		d, s := img.Pix[j:j+4:j+4], r.Pix[i:i+3:i+3]
		d[0], d[1], d[2], d[3] = s[0], s[1], s[2], 255
	}
	if err := imaging.Encode(w, img, imaging.PNG, imaging.PNGCompressionLevel(png.BestCompression)); err != nil {
		return fmt.Errorf("photo: writing PNG: %w", err)
	}
	return nil
}
