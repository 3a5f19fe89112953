package photo

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"strings"
	"testing"

	"github.com/bep/imagemeta"
	"github.com/disintegration/imaging"

	"atelier/halflid/palette/oracle"
)

// letters is a picture of 3 x 2 squares of side n in the greys of "abc/def".
func letters(n int) *image.Gray {
	m := image.NewGray(image.Rect(0, 0, 3*n, 2*n))
	for y := range 2 * n {
		for x := range 3 * n {
			m.SetGray(x, y, color.Gray{greyOf("abcdef"[y/n*3+x/n])})
		}
	}
	return m
}

func greyOf(letter byte) uint8 { return 20 + 40*(letter-'a') }

// files gives the letters in each format that can carry an orientation.
func turnedFiles(t *testing.T, orientation uint32) map[string][]byte {
	little, big := exifBlock(binary.LittleEndian, orientation, nil), exifBlock(binary.BigEndian, orientation, nil)
	jpg := encodeJPEG(t, letters(16), 100)
	m := letters(16)
	tif := buildTIFF(binary.BigEndian, m.Pix, func(at uint32) [][]field {
		return [][]field{{
			short(256, 48), short(257, 32), short(258, 8), short(259, 1), short(262, 1), long(273, at),
			short(tagOrientation, orientation), short(277, 1), short(278, 32), long(279, uint32(len(m.Pix))),
		}}
	})
	return map[string][]byte{
		"JPEG": withEXIF(jpg, little), "JPEG big": withSegment(withEXIF(jpg, big), 0xe0, []byte("JFIF\x00\x01\x01\x00\x00\x01\x00\x01\x00\x00")),
		"PNG":  withChunk(encodePNG(t, letters(16)), "eXIf", big),
		"TIFF": tif,
	}
}

// TestOrientationTable opens all eight orientations in each format.
// Source: Exif 2.3 (CIPA DC-008-2012), tag 0x0112, as in t10_exif_orientation.csv.
func TestOrientationTable(t *testing.T) {
	for _, row := range oracle.Load(t, "t10_exif_orientation.csv", 8).Rows {
		o := uint32(row.Num(t, "orientation"))
		want := strings.Split(row.Text(t, "display_rows"), "/")
		for name, data := range turnedFiles(t, o) {
			p := mustDecode(t, data, name)
			if p.Orientation != int(o) {
				t.Errorf("%s: orientation %d, want %d", name, p.Orientation, o)
			}
			if size := image.Pt(16*len(want[0]), 16*len(want)); p.Size != size || p.Master.Size() != size {
				t.Errorf("%s %d: size %v, want %v", name, o, p.Size, size)
				continue
			}
			for y, line := range want {
				for x := range len(line) {
					g := int(greyOf(line[x]))
					for _, d := range []int{1, 14} {
						near(t, fmt.Sprintf("%s %d: square %d,%d", name, o, x, y), codeAt(p.Master, 16*x+d, 16*y+d), [3]int{g, g, g}, 1)
					}
				}
			}
		}
	}
}

// TestOrientedWebP turns a WebP whose picture chunk has an odd length, behind
// which the padding must be skipped to find the EXIF block.
func TestOrientedWebP(t *testing.T) {
	for _, name := range []string{"boats-lossless.webp", "boats-lossy.webp"} {
		for _, head := range []string{"", "Exif\x00\x00"} {
			block := append([]byte(head), exifBlock(binary.LittleEndian, 6, nil)...)
			odd := webpChunk("XYZW", []byte{1, 2, 3})
			p := mustDecode(t, extendWebP(t, fixture(t, name), 8, 64, 64, odd, webpChunk("EXIF", block)), name)
			if p.Orientation != 6 {
				t.Errorf("%s: orientation %d", name, p.Orientation)
			}
			for i, from := range []int{2, 0, 3, 1} { // a quarter turn to the right
				near(t, name, codeAt(p.Master, 32*(i%2)+16, 32*(i/2)+16), quarters[from], 3)
			}
		}
	}
}

// TestWebPTurns opens all eight orientations in WebP, lossy, lossless and moving.
func TestWebPTurns(t *testing.T) {
	for o := 1; o <= 8; o++ {
		exif := webpChunk("EXIF", exifBlock(binary.BigEndian, uint32(o), nil))
		moving := append(append([]byte{}, fixture(t, "boats-moving.webp")...), exif...)
		moving[20] |= 8
		for name, data := range map[string][]byte{
			"lossless": extendWebP(t, fixture(t, "boats-lossless.webp"), 8, 64, 64, nil, exif),
			"lossy":    extendWebP(t, fixture(t, "boats-lossy.webp"), 8, 64, 64, nil, exif),
			"moving":   moving,
		} {
			p := mustDecode(t, data, name)
			if p.Orientation != o {
				t.Errorf("%s: orientation %d, want %d", name, p.Orientation, o)
			}
			for i, q := range shownQuarters(o) {
				near(t, fmt.Sprintf("%s %d: quarter %d", name, o, i), codeAt(p.Master, 32*(i%2)+10, 32*(i/2)+20), quarters[q], 3)
			}
		}
	}
}

// TestOrientationAgainstImaging holds our eight against imaging's turns.
func TestOrientationAgainstImaging(t *testing.T) {
	m := harbour(37, 23)
	turns := []func(image.Image) *image.NRGBA{
		nil, imaging.Clone, imaging.FlipH, imaging.Rotate180, imaging.FlipV,
		imaging.Transpose, imaging.Rotate270, imaging.Transverse, imaging.Rotate90,
	}
	for o := 1; o <= 8; o++ {
		got, want := averaged(t, m, 64, o), averaged(t, turns[o](m), 64, 1)
		if got.Size() != want.Size() {
			t.Fatalf("%d: size %v, want %v", o, got.Size(), want.Size())
		}
		for i, plane := range got.Planes() {
			for k, v := range plane.Pix {
				if v != want.Planes()[i].Pix[k] {
					t.Fatalf("%d: channel %d pixel %d: %g, want %g", o, i, k, v, want.Planes()[i].Pix[k])
				}
			}
		}
	}
}

// TestOrientationAgainstImagemeta reads the same blocks with another reader.
func TestOrientationAgainstImagemeta(t *testing.T) {
	kinds := map[string]imagemeta.ImageFormat{"JPEG": imagemeta.JPEG, "JPEG big": imagemeta.JPEG, "PNG": imagemeta.PNG, "TIFF": imagemeta.TIFF}
	for o := uint32(1); o <= 8; o++ {
		for name, data := range turnedFiles(t, o) {
			var found any
			_, err := imagemeta.Decode(imagemeta.Options{
				R: bytes.NewReader(data), ImageFormat: kinds[name], Sources: imagemeta.EXIF,
				HandleTag: func(tag imagemeta.TagInfo) error {
					if tag.Tag == "Orientation" {
						found = tag.Value
					}
					return nil
				},
			})
			kind, _, _ := strings.Cut(name, " ")
			if ours := readMeta(kind, data).orientation; err != nil || fmt.Sprint(found) != fmt.Sprint(ours) || ours != int(o) {
				t.Errorf("%s: ours %d, imagemeta %v (%v), want %d", name, ours, found, err, o)
			}
		}
	}
}

// TestStrayOrientation: values that mean nothing count as upright.
func TestStrayOrientation(t *testing.T) {
	jpg := encodeJPEG(t, letters(8), 90)
	block := exifBlock(binary.LittleEndian, 6, nil)
	for name, data := range map[string][]byte{
		"zero": withEXIF(jpg, exifBlock(binary.LittleEndian, 0, nil)), "nine": withEXIF(jpg, exifBlock(binary.BigEndian, 9, nil)),
		"cut": withEXIF(jpg, block[:12]), "no mark": withEXIF(jpg, block[2:]), "empty": withEXIF(jpg, nil),
		"far": withEXIF(jpg, append([]byte("II*\x00\xff\xff\xff\xff"), block[8:]...)),
		"two": withEXIF(jpg, buildTIFF(binary.LittleEndian, nil, func(uint32) [][]field { return [][]field{{short(tagOrientation, 6, 6)}} })),
	} {
		if p := mustDecode(t, data, name); p.Orientation != 1 || p.Size != image.Pt(24, 16) {
			t.Errorf("%s: orientation %d, size %v", name, p.Orientation, p.Size)
		}
	}
}

// lettersOn draws the letters with black bars around them.
func lettersOn(w, h, n int) *image.Gray {
	m := image.NewGray(image.Rect(0, 0, w, h))
	l := letters(n)
	draw.Draw(m, l.Rect.Add(image.Pt((w-3*n)/2, (h-2*n)/2)), l, image.Point{}, draw.Src)
	return m
}
