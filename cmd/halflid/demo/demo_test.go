package demo

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"image/jpeg"
	"testing"

	"atelier/halflid/imageproc/plan"
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

// A newcomer sees what is possible: something left out, two thumbnails kept.
func TestPlanIsForThePhoto(t *testing.T) {
	f, err := plan.Read(Plan())
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(f.Text(), Plan()) {
		t.Error("the plan is not as the program writes it")
	}
	name, data := Photo()
	sum := sha256.Sum256(data)
	if f.Photo.Name != name || f.Photo.SHA256 != hex.EncodeToString(sum[:]) {
		t.Errorf("the plan is for %s, %s", f.Photo.Name, f.Photo.SHA256)
	}
	if n := len(f.Thumbnails); n != 2 {
		t.Errorf("%d thumbnails", n)
	}
	if list := f.Plan.Choices.List(); len(list) != 1 || list[0].What != plan.LeaveOut {
		t.Errorf("choices %v", list)
	}
}
