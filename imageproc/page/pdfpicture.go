package page

import (
	"bytes"
	"crypto/sha256"
	"fmt"
	"image"
	"image/draw"

	"codeberg.org/go-pdf/fpdf"
)

// kept is a picture that is in the file.
type kept struct {
	name  string
	wider float64 // how many times as wide it is there as what is shown of it
}

// keep puts a picture into the file, once for each content. The library writes
// pictures in the order of their widths, and equally wide ones in no order, so that
// the same pages would not give the same bytes: a picture as wide as another is
// drawn out at its right edge by a column or more, which is then cut off.
func (p *pdf) keep(it Picture) kept {
	kind, data := encoded(it)
	sum := sha256.Sum256(data)
	if k, known := p.contents[sum]; known {
		return k
	}
	size := it.Image.Bounds().Size()
	w := size.X
	for p.widths[w] {
		w++
	}
	p.widths[w] = true
	if w > size.X {
		it.Image = drawnOut(it.Image, w)
		kind, data = encoded(it)
	}
	k := kept{fmt.Sprintf("picture%d", len(p.contents)), float64(w) / float64(size.X)}
	p.contents[sum] = k
	p.f.RegisterImageOptionsReader(k.name, fpdf.ImageOptions{ImageType: kind}, bytes.NewReader(data))
	return k
}

// drawnOut returns a picture w pixels wide, its last column repeated.
func drawnOut(img image.Image, w int) image.Image {
	b := img.Bounds()
	size := image.Rect(0, 0, w, b.Dy())
	var out draw.Image = image.NewNRGBA(size)
	if _, grey := img.(*image.Gray); grey {
		out = image.NewGray(size)
	}
	draw.Draw(out, size, img, b.Min, draw.Src)
	for x := b.Dx(); x < w; x++ {
		draw.Draw(out, image.Rect(x, 0, x+1, b.Dy()), img, image.Pt(b.Max.X-1, b.Min.Y), draw.Src)
	}
	return out
}
