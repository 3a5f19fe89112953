package photo

import (
	"bytes"
	"context"
	"fmt"
	"image"
	"image/jpeg"

	"atelier/halflid/imageproc"
	"atelier/halflid/palette"
)

const (
	// thumbSide bounds an EXIF thumbnail: it shares 64 kB with its block, so a
	// larger claim is damage.
	thumbSide = 1024
	// shapeSlack is how far a thumbnail's sides may be from the picture's shape,
	// in thumbnail pixels: cameras round to whole blocks. Source: ours.
	shapeSlack = 2.0
	// barLight is the most light a letterbox bar may show, about code 30: black
	// with the ringing of a JPEG. Source: ours.
	barLight = 0.013
)

// Preview returns the small picture that a camera keeps inside its JPEG files,
// upright, in linear sRGB, some 160 pixels long: enough for a first look while
// Decode works (under a millisecond against hundreds). Black bars that fit it
// to another shape are cut away. Its fine values differ from the Master's, so
// nothing is measured on it.
//
// The error wraps ErrNoPreview when there is none, when it is damaged, or when
// its shape is not the picture's, as after a crop that left it behind.
func Preview(data []byte) (p imageproc.Picture, err error) {
	defer func() {
		if r := recover(); r != nil {
			p, err = imageproc.Picture{}, fmt.Errorf("%w: decoder panicked: %v", ErrNoPreview, r)
		}
	}()
	none := func(why string) (imageproc.Picture, error) {
		return imageproc.Picture{}, fmt.Errorf("%w: %s", ErrNoPreview, why)
	}
	if !hasHead(data, "\xff\xd8\xff") {
		return none("not a JPEG")
	}
	meta := readMeta(kindJPEG, data)
	small := thumbnail(meta.exif)
	if small == nil {
		return none("the file carries none")
	}
	full, err := jpeg.DecodeConfig(bytes.NewReader(data))
	if err != nil {
		return none("the picture's size cannot be read")
	}
	size, err := jpeg.DecodeConfig(bytes.NewReader(small))
	if err != nil || size.Width > thumbSide || size.Height > thumbSide {
		return none("it is damaged")
	}
	img, err := jpeg.Decode(bytes.NewReader(small))
	if err != nil {
		return none("it is damaged")
	}
	colours, _ := coloursOf(kindJPEG, img, meta)
	pic, err := average(context.Background(), img, colours.curves(), thumbSide, 1, nil)
	if err != nil {
		return none(err.Error())
	}
	part, ok := withoutBars(pic, image.Pt(full.Width, full.Height))
	if !ok {
		return none("its shape is not the picture's")
	}
	return upright(pic.Crop(part), meta.orientation), nil
}

// withoutBars returns the part of a thumbnail that shows a picture of size
// full, and whether what lies outside is black bars.
func withoutBars(pic imageproc.Picture, full image.Point) (image.Rectangle, bool) {
	w, h := pic.R.W, pic.R.H
	if full.X <= 0 || full.Y <= 0 || w == 0 || h == 0 {
		return image.Rectangle{}, false
	}
	tall := float64(w) * float64(full.Y) / float64(full.X) // the height that would fit the width
	wide := float64(h) * float64(full.X) / float64(full.Y)
	part := image.Rect(0, 0, w, h)
	switch {
	case abs(tall-float64(h)) <= shapeSlack || abs(wide-float64(w)) <= shapeSlack:
		return part, true
	case tall < float64(h):
		bar := int((float64(h) - tall) / 2)
		part.Min.Y, part.Max.Y = bar, h-bar
	default:
		bar := int((float64(w) - wide) / 2)
		part.Min.X, part.Max.X = bar, w-bar
	}
	edge := part.Inset(-1) // the bar's last line may share a block with the picture
	for _, plane := range pic.Planes() {
		for y := range h {
			for x, v := range plane.Row(y) {
				if v > barLight && !image.Pt(x, y).In(edge) {
					return image.Rectangle{}, false
				}
			}
		}
	}
	if part.Min.Y > 0 {
		part.Min.Y, part.Max.Y = part.Min.Y+1, part.Max.Y-1
	} else {
		part.Min.X, part.Max.X = part.Min.X+1, part.Max.X-1
	}
	return part, !part.Empty()
}

func abs(v float64) float64 { return max(v, -v) }

// upright turns a small picture by its EXIF orientation.
func upright(p imageproc.Picture, orientation int) imageproc.Picture {
	size := p.Size()
	out := placed{size: size, orientation: orientation}
	if orientation >= 5 {
		out.pic = imageproc.NewPicture(size.Y, size.X)
	} else {
		out.pic = imageproc.NewPicture(size.X, size.Y)
	}
	src := [3]imageproc.Plane[palette.Light]{p.R, p.G, p.B}
	for y := range size.Y {
		r, g, b, at, step := out.row(y)
		for x := range size.X {
			r[at], g[at], b[at] = src[0].At(x, y), src[1].At(x, y), src[2].At(x, y)
			at += step
		}
	}
	return out.pic
}
