package main

import (
	"bytes"
	"encoding/binary"
	"hash/crc32"
	"image"
	"image/color"
	"image/png"
	"os"
	"path/filepath"
	"testing"
)

// quayPicture is a small invented scene of flat areas: a light sky, a dark shed
// with a door, a middle quay, a dark hull, and specks of clutter. Areas and greys
// are known by construction.
func quayPicture(w, h int) *image.NRGBA {
	img := image.NewNRGBA(image.Rect(0, 0, w, h))
	in := func(x, y int, x0, y0, x1, y1 float64) bool {
		fx, fy := (float64(x)+0.5)/float64(w), (float64(y)+0.5)/float64(h)
		return fx >= x0 && fx < x1 && fy >= y0 && fy < y1
	}
	for y := range h {
		for x := range w {
			c := color.NRGBA{214, 220, 226, 255} // sky
			switch {
			case in(x, y, 0.10, 0.25, 0.45, 0.60):
				c = color.NRGBA{52, 44, 40, 255} // shed
			case in(x, y, 0.55, 0.50, 0.95, 0.75):
				c = color.NRGBA{40, 52, 60, 255} // hull
			case y >= h*6/10:
				c = color.NRGBA{136, 128, 110, 255} // quay
			}
			if in(x, y, 0.25, 0.45, 0.32, 0.60) {
				c = color.NRGBA{120, 108, 96, 255} // door
			}
			if (x*7+y*13)%97 == 0 {
				c = color.NRGBA{255 - c.R, 255 - c.G, 255 - c.B, 255} // clutter
			}
			img.SetNRGBA(x, y, c)
		}
	}
	return img
}

func encodePNG(t testing.TB, img image.Image) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := png.Encode(&b, img); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// quay writes the scene as quay.png into a new folder and returns the folder and
// the file.
func quay(t testing.TB) (dir, file string) {
	t.Helper()
	dir = t.TempDir()
	return dir, write(t, dir, "quay.png", encodePNG(t, quayPicture(400, 300)))
}

func write(t testing.TB, dir, name string, data []byte) string {
	t.Helper()
	path := filepath.Join(dir, name)
	if err := os.WriteFile(path, data, 0o644); err != nil {
		t.Fatal(err)
	}
	return path
}

// fixCRC makes the checksum of a PNG's header right again after its fields were
// changed.
func fixCRC(data []byte) []byte {
	binary.BigEndian.PutUint32(data[29:33], crc32.ChecksumIEEE(data[12:29]))
	return data
}
