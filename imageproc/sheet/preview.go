package sheet

import (
	"image"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/page"
	"atelier/halflid/palette"
)

// previewDPI is how finely a page is drawn before it is averaged for a screen.
const previewDPI = 75

// Preview returns a page as a picture of exactly size: half of it averaged in linear
// light, as it looks from afar, half the darkest of each pixel's place, since the
// thin lines of a drawing would be lost in an average. What is flat on the page keeps
// its tone. The raster is the caller's. It panics on a size below 1 by 1.
func Preview(p page.Page, size image.Point) imageproc.Raster {
	img := page.Draw(p, previewDPI)
	w, h := img.Rect.Dx(), img.Rect.Dy()
	full := imageproc.NewPicture(w, h)
	for i := range w * h {
		c := palette.SRGB{R: img.Pix[4*i], G: img.Pix[4*i+1], B: img.Pix[4*i+2]}.Linear()
		full.R.Pix[i], full.G.Pix[i], full.B.Pix[i] = float32(c.R), float32(c.G), float32(c.B)
	}
	small := imageproc.NewPicture(size.X, size.Y)
	imageproc.Average(small, full, imageproc.WholeBox(w, h))
	thicken(small, full)
	return small.Raster(imageproc.Raster{})
}

// thicken mixes into each pixel the darkest of its place in the page.
func thicken(small, full imageproc.Picture) {
	size, whole := small.Size(), full.Size()
	for y := range size.Y {
		for x := range size.X {
			least := float32(1)
			at := 0
			for fy := y * whole.Y / size.Y; fy < max((y+1)*whole.Y/size.Y, y*whole.Y/size.Y+1); fy++ {
				for fx := x * whole.X / size.X; fx < max((x+1)*whole.X/size.X, x*whole.X/size.X+1); fx++ {
					i := fy*whole.X + fx
					if v := full.G.Pix[i]; v <= least {
						least, at = v, i
					}
				}
			}
			i := y*size.X + x
			small.R.Pix[i] = (small.R.Pix[i] + full.R.Pix[at]) / 2
			small.G.Pix[i] = (small.G.Pix[i] + full.G.Pix[at]) / 2
			small.B.Pix[i] = (small.B.Pix[i] + full.B.Pix[at]) / 2
		}
	}
}
