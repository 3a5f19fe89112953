package photo

import (
	"bytes"
	"errors"
	"fmt"
	"testing"

	"atelier/halflid/imageproc"
	"atelier/halflid/palette"
)

func TestWritePNG(t *testing.T) {
	r := imageproc.NewRaster(37, 23)
	for y := range 23 {
		for x := range 37 {
			r.Set(x, y, palette.SRGB{R: uint8(7 * x), G: uint8(11 * y), B: uint8(x * y)})
		}
	}
	var one, two bytes.Buffer
	if err := errors.Join(WritePNG(&one, r), WritePNG(&two, r)); err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(one.Bytes(), two.Bytes()) {
		t.Error("the same raster gave different bytes")
	}
	p := mustDecode(t, one.Bytes(), "saved.png")
	back := p.Master.Raster(imageproc.Raster{})
	if back.Size() != r.Size() || !bytes.Equal(back.Pix, r.Pix) {
		t.Error("the saved picture is not the raster")
	}
}

type full struct{}

func (full) Write([]byte) (int, error) { return 0, errFull }

var errFull = errors.New("no room")

func TestWritePNGFails(t *testing.T) {
	if err := WritePNG(full{}, imageproc.NewRaster(3, 3)); !errors.Is(err, errFull) {
		t.Errorf("got %v", err)
	}
	if err := WritePNG(&bytes.Buffer{}, imageproc.Raster{}); err == nil {
		t.Error("an empty raster was saved")
	}
	defer func() {
		if r := recover(); fmt.Sprint(r) != "photo: raster of 2 by 2 with 3 bytes" {
			t.Errorf("panic %v", r)
		}
	}()
	WritePNG(&bytes.Buffer{}, imageproc.Raster{W: 2, H: 2, Pix: make([]uint8, 3)})
}
