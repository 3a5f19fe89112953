package page

import (
	"bytes"
	"crypto/sha256"
	"fmt"
	"image"
	"image/jpeg"
	"image/png"
	"io"
	"time"

	"codeberg.org/go-pdf/fpdf"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
)

// photoQuality is the JPEG quality of photographs in files.
const photoQuality = 90

// WritePDF writes all pages as one PDF: lines as lines, words in the embedded
// lettering, plans without loss, photographs as JPEG. Title and mark (as keywords)
// are in its properties. The same document gives the same bytes: there is no date
// in them. It panics on a document without pages and on what no page can hold.
// Errors are w's.
func WritePDF(w io.Writer, d Document) error {
	if len(d.Pages) == 0 {
		panic("page: no pages")
	}
	f := fpdf.New("P", "mm", "A4", "")
	f.SetCatalogSort(true)
	f.SetCreationDate(time.Unix(0, 0).UTC())
	f.SetModificationDate(time.Unix(0, 0).UTC())
	f.SetProducer("halflid", true)
	f.SetTitle(lettered(d.Title, false), true)
	f.SetKeywords(d.Mark, true)
	f.SetAutoPageBreak(false, 0)
	f.SetMargins(0, 0, 0)
	f.AddUTF8FontFromBytes("Go", "", goregular.TTF)
	f.AddUTF8FontFromBytes("Go", "B", gobold.TTF)
	f.SetLineJoinStyle("round")
	f.SetLineCapStyle("round")
	p := &pdf{f: f, pictures: map[image.Image]kept{}, contents: map[[sha256.Size]byte]kept{}, widths: map[int]bool{}}
	for i := range d.Pages {
		one := d.one(i)
		f.AddPageFormat("P", fpdf.SizeType{Wd: one.W, Ht: one.H})
		for _, l := range one.Layers {
			p.items(l.Items, Point{})
		}
	}
	if err := f.Error(); err != nil {
		return fmt.Errorf("page: writing PDF: %w", err)
	}
	return f.Output(w)
}

// pdf draws items on the page in hand.
type pdf struct {
	f        *fpdf.Fpdf
	pictures map[image.Image]kept
	contents map[[sha256.Size]byte]kept
	widths   map[int]bool // of pictures in the file, pixels
}

func (p *pdf) items(items []Item, shift Point) {
	for _, it := range items {
		switch it := it.(type) {
		case Path:
			p.path(it, shift)
		case Text:
			p.text(it, shift)
		case Picture:
			p.picture(it, shift)
		case Group:
			cut := it.Clip.W > 0
			if cut {
				p.f.ClipRect(it.Clip.X+shift.X, it.Clip.Y+shift.Y, it.Clip.W, it.Clip.H, false)
			}
			p.items(it.Items, shift.plus(it.Shift))
			if cut {
				p.f.ClipEnd()
			}
		}
	}
}

func (p *pdf) path(it Path, shift Point) {
	style := ""
	if it.Fill.On {
		style = "F"
		p.f.SetFillColor(int(it.Fill.Colour.R), int(it.Fill.Colour.G), int(it.Fill.Colour.B))
	}
	if it.Stroke.On {
		style += "D"
		p.f.SetDrawColor(int(it.Stroke.Colour.R), int(it.Stroke.Colour.G), int(it.Stroke.Colour.B))
		p.f.SetLineWidth(it.Width)
		p.f.SetDashPattern(it.Dash, 0)
	}
	if style == "" {
		return
	}
	drawn := false
	for _, l := range it.Lines {
		for i, s := range l.Segments {
			if i == 0 {
				p.f.MoveTo(s.From.X+shift.X, s.From.Y+shift.Y)
			}
			to := s.To.plus(shift)
			if s.Straight {
				p.f.LineTo(to.X, to.Y)
			} else {
				a, b := s.C1.plus(shift), s.C2.plus(shift)
				p.f.CurveBezierCubicTo(a.X, a.Y, b.X, b.Y, to.X, to.Y)
			}
			drawn = true
		}
		if l.Closed && len(l.Segments) > 0 {
			p.f.ClosePath()
		}
	}
	if drawn {
		p.f.DrawPath(style)
	}
}

func (p *pdf) text(it Text, shift Point) {
	style := ""
	if it.Bold {
		style = "B"
	}
	words := lettered(it.Words, it.Bold)
	p.f.SetFont("Go", style, 10)
	p.f.SetFontUnitSize(it.Size)
	// The fill is said too: after a clip the file's fill is another than the writer
	// remembers, and it leaves out the colour of words that it believes to be set.
	p.f.SetFillColor(int(it.Ink.Colour.R), int(it.Ink.Colour.G), int(it.Ink.Colour.B))
	p.f.SetTextColor(int(it.Ink.Colour.R), int(it.Ink.Colour.G), int(it.Ink.Colour.B))
	p.f.Text(it.left()+shift.X, it.At.Y+shift.Y, words)
}

// left returns where the words of a text begin.
func (t Text) left() float64 {
	switch t.Anchor {
	case Middle:
		return t.At.X - Width(t.Words, t.Size, t.Bold)/2
	case End:
		return t.At.X - Width(t.Words, t.Size, t.Bold)
	default:
		return t.At.X
	}
}

func (p *pdf) picture(it Picture, shift Point) {
	kept, known := p.pictures[it.Image]
	if !known {
		kept = p.keep(it)
		p.pictures[it.Image] = kept
	}
	x, y := it.At.X+shift.X, it.At.Y+shift.Y
	if kept.wider > 1 {
		p.f.ClipRect(x, y, it.At.W, it.At.H, false)
		defer p.f.ClipEnd()
	}
	p.f.ImageOptions(kept.name, x, y, it.At.W*kept.wider, it.At.H, false, fpdf.ImageOptions{}, 0, "")
}

// encoded returns a picture as the file that goes into a page: a grey one, a plan
// mostly, without loss, one in colour as JPEG.
func encoded(it Picture) (kind string, data []byte) {
	var b bytes.Buffer
	if _, grey := it.Image.(*image.Gray); grey || it.Blocky {
		_ = png.Encode(&b, it.Image) // a Buffer takes everything
		return "png", b.Bytes()
	}
	_ = jpeg.Encode(&b, it.Image, &jpeg.Options{Quality: photoQuality})
	return "jpg", b.Bytes()
}
