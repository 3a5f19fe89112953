package previews

import (
	"bytes"
	"encoding/binary"
	"image"
	"image/color"
	"image/jpeg"
	"testing"
)

func greyJPEG(t *testing.T, w, h int, grey uint8) []byte {
	t.Helper()
	img := image.NewGray(image.Rect(0, 0, w, h))
	for i := range img.Pix {
		img.Pix[i] = grey
	}
	img.SetGray(0, 0, color.Gray{Y: grey})
	var b bytes.Buffer
	if err := jpeg.Encode(&b, img, &jpeg.Options{Quality: 95}); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// withThumbnail puts a small picture into a JPEG as a camera does: the second
// directory of its Exif block. Source: CIPA DC-008 (Exif 2.32) 4.5.5 and 4.6.8.
func withThumbnail(picture, small []byte) []byte {
	var b bytes.Buffer
	b.WriteString("Exif\x00\x00II*\x00")
	order := binary.LittleEndian
	put := func(vs ...any) {
		for _, v := range vs {
			_ = binary.Write(&b, order, v)
		}
	}
	const first, second, at = 8, 8 + 2 + 4, 8 + 2 + 4 + 2 + 2*12 + 4
	put(uint32(first), uint16(0), uint32(second))
	put(uint16(2),
		uint16(0x0201), uint16(4), uint32(1), uint32(at),
		uint16(0x0202), uint16(4), uint32(1), uint32(len(small)),
		uint32(0))
	b.Write(small)
	out := append([]byte{}, picture[:2]...)
	out = append(out, 0xff, 0xe1)
	out = binary.BigEndian.AppendUint16(out, uint16(b.Len()+2))
	return append(append(out, b.Bytes()...), picture[2:]...)
}

// The camera's own small picture is taken where there is one: the rest of the
// file is not even looked at.
func TestCamerasOwnPictureIsTaken(t *testing.T) {
	m, dir := newMaker(t), t.TempDir()
	whole := withThumbnail(greyJPEG(t, 640, 480, 40), greyJPEG(t, 160, 120, 200))
	for _, data := range [][]byte{whole, whole[:len(whole)-2000]} {
		s, err := m.Photo(t.Context(), write(t, dir, "camera.jpg", data))
		if err != nil {
			t.Fatal(err)
		}
		if s.r.Size() != image.Pt(160, 120) {
			t.Errorf("size %v", s.r.Size())
		}
		if c := s.Raster(image.Pt(8, 6)).At(4, 3); c.R < 198 || c.R > 202 {
			t.Errorf("grey %v, the camera's small picture has 200", c)
		}
	}
	// One whose shape is not the picture's, as after a crop, is not.
	wrong := withThumbnail(greyJPEG(t, 640, 240, 40), greyJPEG(t, 160, 120, 200))
	s, err := m.Photo(t.Context(), write(t, dir, "cropped.jpg", wrong))
	if err != nil {
		t.Fatal(err)
	}
	if c := s.Raster(image.Pt(8, 3)).At(4, 1); c.R < 38 || c.R > 42 {
		t.Errorf("grey %v, the picture has 40", c)
	}
}
