package photo

import (
	"context"
	"encoding/binary"
	"errors"
	"os"
	"path/filepath"
	"testing"
)

// FuzzDecode: whatever the bytes, Decode gives a photo within its limits or one
// of its errors, and Preview does not panic.
func FuzzDecode(f *testing.F) {
	entries, err := os.ReadDir(filepath.Join("testdata", "fixtures"))
	if err != nil {
		f.Fatal(err)
	}
	for _, e := range entries {
		f.Add(fixture(f, e.Name()))
	}
	jpg := encodeJPEG(f, letters(8), 80)
	f.Add(withEXIF(jpg, exifBlock(binary.LittleEndian, 6, encodeJPEG(f, letters(4), 80))))
	f.Add(withSegment(jpg, 0xe2, append([]byte("ICC_PROFILE\x00\x01\x01"), matrixProfile("quay", p3D50, curv(563))...)))
	f.Add(hugePNG(100000, 100000))
	f.Add(hugeGIF(12000, 12000))
	f.Add(hugeBMP(70, 70))
	f.Add(hugeTIFF(9, 9))
	f.Fuzz(func(t *testing.T, data []byte) {
		p, err := Decode(context.Background(), data, "fuzz", Options{MaxPixels: 1 << 18, MaxBytes: 1 << 18})
		if err != nil {
			var e *Error
			if p != nil || !errors.As(err, &e) || e.Line == "" {
				t.Fatalf("%v with %v", err, p)
			}
		} else {
			if p.Size.X*p.Size.Y > 1<<18 || p.Master.R.W > p.Size.X || p.Master.R.H > p.Size.Y || len(p.SHA256) != 64 {
				t.Fatalf("%v, master %v", p.Size, p.Master.Size())
			}
			for _, plane := range p.Master.Planes() {
				for i, v := range plane.Pix {
					if !(v >= 0 && v <= 1) {
						t.Fatalf("light %g at %d", v, i)
					}
				}
			}
		}
		if q, err := Preview(data); err == nil && (q.R.W == 0 || q.R.H == 0) {
			t.Fatal("an empty preview")
		}
	})
}
