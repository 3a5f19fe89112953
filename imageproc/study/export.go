package study

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"hash/crc32"
	"image"
	"image/color"
	"image/png"
	"io"
	"math"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/plan"
	"atelier/halflid/palette"
)

// PlanPicture returns the value plan as a grey picture whose long side is long
// pixels, or of the working size if long is 0 or less. Larger than the working
// picture, outlines are drawn smoothly; no size mixes values. The picture is the
// caller's. Plan must have been made.
func (s *Study) PlanPicture(long int) *image.Gray {
	p := s.planRows(long)
	out := image.NewGray(image.Rectangle{Max: p.size})
	for y := range p.size.Y {
		to := out.Pix[y*out.Stride:][:p.size.X]
		for x, k := range p.row(y) {
			to[x] = p.greys[k].G
		}
	}
	return out
}

// planRows is the plan at some size, made row by row where it is enlarged: a
// picture of twenty thousand pixels across would take more memory than all else.
type planRows struct {
	size   image.Point
	greys  []palette.SRGB
	labels imageproc.Labels     // at that size, or
	larger *imageproc.Enlarging // its rows
	line   []int32
	at     int // the row in line
}

// planRows returns the plan at a size as PlanPicture says.
func (s *Study) planRows(long int) *planRows {
	s.check(Plan)
	d, v := s.desk, &s.desk.shapes.drawing
	p := &planRows{size: v.labels.Size(), greys: greys(v.tones), labels: v.labels, at: -1}
	if long <= 0 || long == max(p.size.X, p.size.Y) {
		return p
	}
	scale := float64(long) / float64(max(p.size.X, p.size.Y))
	p.size = image.Pt(max(1, int(math.Round(float64(p.size.X)*scale))), max(1, int(math.Round(float64(p.size.Y)*scale))))
	if scale > 1 {
		p.larger, p.line = v.labels.Enlarging(p.size.X, p.size.Y, len(v.tones)), make([]int32, p.size.X)
		return p
	}
	d.shown = v.labels.Majority(d.shown, p.size.X, p.size.Y, len(v.tones))
	p.labels = d.shown
	return p
}

// row returns the value of each pixel of row y; it holds until the next call.
func (p *planRows) row(y int) []int32 {
	if p.larger == nil {
		return p.labels.Row(y)
	}
	if p.at != y {
		p.larger.Row(p.line, y)
		p.at = y
	}
	return p.line
}

// The plan as a picture of a palette, which makes the file a quarter of the size.
// It is read row by row.
func (p *planRows) ColorModel() color.Model { return p.palette() }

func (p *planRows) Bounds() image.Rectangle { return image.Rectangle{Max: p.size} }

func (p *planRows) ColorIndexAt(x, y int) uint8 { return uint8(p.row(y)[x]) }

func (p *planRows) At(x, y int) color.Color { return color.Gray{Y: p.greys[p.row(y)[x]].G} }

func (p *planRows) palette() color.Palette {
	var out color.Palette
	for _, g := range p.greys {
		out = append(out, color.Gray{Y: g.G})
	}
	return out
}

// planKeyword names the text in a saved picture that holds the plan's hash.
const planKeyword = "Plan"

// WritePlan writes PlanPicture as a PNG that carries the plan's hash (plan.Hash)
// as text under the keyword "Plan", so that a picture can be traced to its plan.
// The same plan of the same photo gives the same bytes: there is no date in
// them. Errors are w's.
func (s *Study) WritePlan(w io.Writer, long int) error {
	var file bytes.Buffer
	enc := png.Encoder{CompressionLevel: png.BestCompression}
	if err := enc.Encode(&file, s.planRows(long)); err != nil {
		return fmt.Errorf("the plan picture could not be made: %w", err)
	}
	// Text may stand anywhere between the header and the end; right behind the
	// header it is found without reading the picture.
	head := file.Next(pngHeader)
	for _, part := range [][]byte{head, textChunk(planKeyword, plan.Hash(s.plan)), file.Bytes()} {
		if _, err := w.Write(part); err != nil {
			return fmt.Errorf("the plan picture could not be written: %w", err)
		}
	}
	return nil
}

// pngHeader is the length of a PNG's signature and its first chunk, IHDR.
const pngHeader = 8 + 12 + 13

// textChunk returns a PNG chunk of Latin-1 text under a keyword.
// Source: W3C PNG (third edition) 5.3, 11.3.3.2.
func textChunk(keyword, text string) []byte {
	data := keyword + "\x00" + text
	chunk := binary.BigEndian.AppendUint32(nil, uint32(len(data)))
	chunk = append(chunk, "tEXt"+data...)
	return binary.BigEndian.AppendUint32(chunk, crc32.ChecksumIEEE(chunk[4:]))
}
