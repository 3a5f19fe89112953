package previews

import (
	"bytes"
	"errors"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"

	"atelier/halflid/imageproc"
	"atelier/halflid/palette"
)

// Side is the longest side of a small picture, in pixels: as much as a tile of a
// wall can show.
const Side = 256

// Small is the small picture of a photo or of a plan. It is immutable; the zero
// Small is none.
type Small struct {
	r     imageproc.Raster
	greys []palette.SRGB // of a plan, dark to light; none for a photo
}

// None reports whether there is no picture.
func (s Small) None() bool { return s.r.W == 0 }

// Ratio returns its width over its height.
func (s Small) Ratio() float64 { return float64(s.r.W) / float64(s.r.H) }

// Raster returns the picture at exactly size: a photo averaged in linear light, of
// a plan each pixel the grey that covers most of its place. The raster is the
// caller's. It panics on a size below 1 by 1 and if there is no picture.
func (s Small) Raster(size image.Point) imageproc.Raster {
	if s.None() || size.X < 1 || size.Y < 1 {
		panic("previews: a raster of nothing")
	}
	if len(s.greys) > 0 {
		return s.labels().Majority(imageproc.Labels{}, size.X, size.Y, len(s.greys)).Paint(imageproc.Raster{}, s.greys)
	}
	dst := imageproc.NewPicture(size.X, size.Y)
	imageproc.Average(dst, s.Picture(), imageproc.WholeBox(s.r.W, s.r.H))
	return dst.Raster(imageproc.Raster{})
}

// Picture returns the picture in linear light. It is the caller's. It panics if
// there is none.
func (s Small) Picture() imageproc.Picture {
	if s.None() {
		panic("previews: a picture of nothing")
	}
	p := imageproc.NewPicture(s.r.W, s.r.H)
	for y := range s.r.H {
		r, g, b := p.R.Row(y), p.G.Row(y), p.B.Row(y)
		for x := range s.r.W {
			c := s.r.At(x, y).Linear()
			r[x], g[x], b[x] = float32(c.R), float32(c.G), float32(c.B)
		}
	}
	return p
}

// labels returns a plan's picture as places in its list of greys.
func (s Small) labels() imageproc.Labels {
	var place [256]int32
	for i, c := range s.greys {
		place[c.R] = int32(i)
	}
	l := imageproc.NewLabels(s.r.W, s.r.H)
	for y := range s.r.H {
		row := l.Row(y)
		for x := range row {
			row[x] = place[s.r.At(x, y).R]
		}
	}
	return l
}

// ofPhoto returns the small picture of a photo of any size.
func ofPhoto(p imageproc.Picture) Small {
	size := within(p.Size())
	if size == p.Size() {
		return Small{r: p.Raster(imageproc.Raster{})}
	}
	dst := imageproc.NewPicture(size.X, size.Y)
	imageproc.Average(dst, p, imageproc.WholeBox(p.R.W, p.R.H))
	return Small{r: dst.Raster(imageproc.Raster{})}
}

// within returns the size of a picture made no longer than Side, at least 1 by 1.
func within(size image.Point) image.Point {
	if max(size.X, size.Y) <= Side {
		return size
	}
	return imageproc.Fit(float64(size.X)/float64(size.Y), 1, image.Pt(Side, Side))
}

// mostGreys is how many values a plan's picture can have: more is no plan.
const mostGreys = 16

// ofPlan returns a plan's picture from a raster that shows nothing but its tones.
func ofPlan(r imageproc.Raster) (Small, error) {
	var met [256]bool
	n := 0
	for y := range r.H {
		for x := range r.W {
			c := r.At(x, y)
			if c.R != c.G || c.R != c.B {
				return Small{}, errors.New("previews: a plan in colours")
			}
			if !met[c.R] {
				met[c.R] = true
				n++
			}
		}
	}
	if n == 0 || n > mostGreys {
		return Small{}, errors.New("previews: not a plan's picture")
	}
	s := Small{r: r}
	for i, there := range met {
		if there {
			s.greys = append(s.greys, palette.SRGB{R: uint8(i), G: uint8(i), B: uint8(i)})
		}
	}
	if size := within(r.Size()); size != r.Size() {
		s.r = s.Raster(size)
	}
	return s, nil
}

// quality is that of a kept photo: its faults are not seen at this size.
const quality = 90

// encode returns the bytes that a small picture is kept as.
func (s Small) encode() ([]byte, error) {
	var b bytes.Buffer
	if len(s.greys) > 0 {
		g := image.NewGray(image.Rectangle{Max: s.r.Size()})
		for y := range s.r.H {
			for x := range s.r.W {
				g.SetGray(x, y, color.Gray{Y: s.r.At(x, y).R})
			}
		}
		err := png.Encode(&b, g)
		return b.Bytes(), err
	}
	img := image.NewNRGBA(image.Rectangle{Max: s.r.Size()})
	for y := range s.r.H {
		for x := range s.r.W {
			c := s.r.At(x, y)
			img.SetNRGBA(x, y, color.NRGBA{R: c.R, G: c.G, B: c.B, A: 255})
		}
	}
	err := jpeg.Encode(&b, img, &jpeg.Options{Quality: quality})
	return b.Bytes(), err
}

// decodePhoto and decodePlan are the way back. What is not a small picture of
// that kind is an error.
func decodePhoto(data []byte) (Small, error) {
	c, err := jpeg.DecodeConfig(bytes.NewReader(data))
	if err != nil || c.Width < 1 || c.Height < 1 || c.Width > Side || c.Height > Side {
		return Small{}, errors.New("previews: not a small picture")
	}
	img, err := jpeg.Decode(bytes.NewReader(data))
	if err != nil {
		return Small{}, err
	}
	return Small{r: rasterOf(img)}, nil
}

func decodePlan(data []byte, most int) (Small, error) {
	c, err := png.DecodeConfig(bytes.NewReader(data))
	if err != nil || c.Width < 1 || c.Height < 1 || c.Width > most || c.Height > most {
		return Small{}, errors.New("previews: not a plan's picture")
	}
	img, err := png.Decode(bytes.NewReader(data))
	if err != nil {
		return Small{}, err
	}
	return ofPlan(rasterOf(img))
}

func rasterOf(img image.Image) imageproc.Raster {
	b := img.Bounds()
	r := imageproc.NewRaster(b.Dx(), b.Dy())
	for y := range r.H {
		for x := range r.W {
			red, green, blue, _ := img.At(b.Min.X+x, b.Min.Y+y).RGBA()
			r.Set(x, y, palette.SRGB{R: uint8(red >> 8), G: uint8(green >> 8), B: uint8(blue >> 8)})
		}
	}
	return r
}
