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

	"atelier/halflid/imageproc/plan"
)

// PlanPicture returns the value plan as a grey picture whose long side is long
// pixels, or of the working size if long is 0 or less. Larger than the working
// picture, outlines are drawn smoothly; no size mixes values. The picture is the
// caller's. Plan must have been made.
func (s *Study) PlanPicture(long int) *image.Gray {
	s.check(Plan)
	d, v := s.desk, &s.desk.shapes.drawing
	labels := v.labels
	if size := labels.Size(); long > 0 && long != max(size.X, size.Y) {
		scale := float64(long) / float64(max(size.X, size.Y))
		w := max(1, int(math.Round(float64(size.X)*scale)))
		h := max(1, int(math.Round(float64(size.Y)*scale)))
		if scale > 1 {
			labels = labels.Enlarge(w, h, len(v.tones))
		} else {
			d.shown = labels.Majority(d.shown, w, h, len(v.tones))
			labels = d.shown
		}
	}
	tones := greys(v.tones)
	out := image.NewGray(image.Rect(0, 0, labels.W, labels.H))
	for i, k := range labels.Pix {
		out.Pix[i] = tones[k].G
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
	if err := enc.Encode(&file, asPalette(s.PlanPicture(long))); err != nil {
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

// asPalette stores a picture of a few greys with a palette, which makes the file
// a quarter of the size; pictures of more than 256 greys cannot come here.
func asPalette(g *image.Gray) *image.Paletted {
	var index [256]int
	var greys color.Palette
	out := image.NewPaletted(g.Rect, nil)
	for i, c := range g.Pix {
		if index[c] == 0 {
			greys = append(greys, color.Gray{Y: c})
			index[c] = len(greys)
		}
		out.Pix[i] = uint8(index[c] - 1)
	}
	out.Palette = greys
	return out
}
