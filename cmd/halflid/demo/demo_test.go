package demo

import (
	"bytes"
	"image/jpeg"
	"testing"
)

func TestPhotoDecodes(t *testing.T) {
	name, data := Photo()
	if name != "harbour.jpg" {
		t.Errorf("name %q", name)
	}
	if len(data) > 700_000 {
		t.Errorf("%d bytes; the program should carry 700 kB at most", len(data))
	}
	img, err := jpeg.Decode(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	if s := img.Bounds().Size(); s.X != 1600 || s.Y != 1200 {
		t.Errorf("size %v, want 1600 by 1200", s)
	}
}

func TestPhotoCarriesNoMetadata(t *testing.T) {
	if _, data := Photo(); bytes.Contains(data[:min(len(data), 4096)], []byte("Exif")) {
		t.Error("the scene carries camera data")
	}
}
