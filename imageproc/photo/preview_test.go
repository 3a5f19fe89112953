package photo

import (
	"encoding/binary"
	"errors"
	"fmt"
	"image"
	"testing"
)

func TestPreview(t *testing.T) {
	full := encodeJPEG(t, letters(100), 80) // 300 x 200
	for _, c := range []struct {
		name        string
		thumb       *image.Gray
		orientation uint32
		want        image.Point
		first, last byte // letters in the upper left and lower right corners
	}{
		{"same shape", letters(50), 1, image.Pt(150, 100), 'a', 'f'},
		{"turned", letters(50), 6, image.Pt(100, 150), 'd', 'c'},
		{"mirrored", letters(50), 2, image.Pt(150, 100), 'c', 'd'},
		{"rounded to blocks", letters(50).SubImage(image.Rect(0, 0, 150, 98)).(*image.Gray), 1, image.Pt(150, 98), 'a', 'f'},
		{"bars above and below", lettersOn(150, 120, 50), 1, image.Pt(150, 98), 'a', 'f'},
		{"bars at the sides", lettersOn(200, 100, 50), 8, image.Pt(100, 148), 'c', 'd'},
	} {
		t.Run(c.name, func(t *testing.T) {
			data := withEXIF(full, exifBlock(binary.LittleEndian, c.orientation, encodeJPEG(t, c.thumb, 95)))
			p, err := Preview(data)
			if err != nil {
				t.Fatal(err)
			}
			if p.Size() != c.want {
				t.Fatalf("size %v, want %v", p.Size(), c.want)
			}
			for i, corner := range []struct {
				at     image.Point
				letter byte
			}{{image.Pt(6, 6), c.first}, {c.want.Sub(image.Pt(7, 7)), c.last}} {
				g := int(greyOf(corner.letter))
				near(t, fmt.Sprint("corner ", i), codeAt(p, corner.at.X, corner.at.Y), [3]int{g, g, g}, 4)
			}
		})
	}
}

func TestNoPreview(t *testing.T) {
	full := encodeJPEG(t, letters(100), 80)
	with := func(thumb []byte) []byte { return withEXIF(full, exifBlock(binary.BigEndian, 1, thumb)) }
	thumb := encodeJPEG(t, letters(50), 90)
	for name, data := range map[string][]byte{
		"empty": nil, "not a JPEG": encodePNG(t, letters(8)), "none": full, "no thumbnail": withEXIF(full, exifBlock(binary.BigEndian, 1, nil)),
		"other shape": with(encodeJPEG(t, harbour(120, 120), 90)), "damaged": with(thumb[:len(thumb)/2]),
		"text": with([]byte("low tide at six")), "huge claim": with(hugeJPEG(60000, 40000)),
		"header cut": with(thumb)[:400],
	} {
		if p, err := Preview(data); !errors.Is(err, ErrNoPreview) || p.R.Pix != nil {
			t.Errorf("%s: %v, %v", name, p.Size(), err)
		}
	}
}
