package photo

import (
	"context"
	"encoding/binary"
	"errors"
	"image"
	"os"
	"path/filepath"
	"strings"
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
		switch filepath.Ext(e.Name()) {
		case ".heic", ".avif", ".md": // these have targets of their own
		default:
			f.Add(fixture(f, e.Name()))
		}
	}
	jpg := encodeJPEG(f, letters(8), 80)
	f.Add(withEXIF(jpg, exifBlock(binary.LittleEndian, 6, encodeJPEG(f, letters(4), 80))))
	f.Add(withSegment(jpg, 0xe2, append([]byte("ICC_PROFILE\x00\x01\x01"), matrixProfile("quay", p3D50, curv(563))...)))
	f.Add(hugePNG(100000, 100000))
	f.Add(hugeGIF(12000, 12000))
	f.Add(hugeBMP(70, 70))
	f.Add(hugeTIFF(9, 9))
	f.Add(toldPNG(f))
	for _, packing := range []int{1, 8, 32773} {
		f.Add(inkFile(f, binary.BigEndian, 5, 3, 4, 8, packing, packing == 8))
	}
	f.Fuzz(decodesOrTells)
}

// toldPNG tells its colours in every way a PNG has.
func toldPNG(t testing.TB) []byte {
	file := fixture(t, "boats-interlaced.png")
	file = withChunk(file, "gAMA", gama(45455))
	file = withChunk(file, "cHRM", chrm(31270, 32900, 68000, 32000, 26500, 69000, 15000, 6000))
	file = withChunk(file, "cICP", []byte{9, 16, 0, 1})
	return withChunk(file, "eXIf", adobeEXIF(65535, "R03"))
}

// decodesOrTells fails if data neither opens within its limits nor ends in an
// error of the package's own.
func decodesOrTells(t *testing.T, data []byte) {
	p, err := Decode(context.Background(), data, "fuzz", Options{MaxPixels: 1 << 18, MaxBytes: 1 << 18, MaxMemory: 400 << 20})
	if err != nil {
		var e *Error
		if p != nil || !errors.As(err, &e) || e.Line == "" || strings.ContainsAny(err.Error(), "\n\x1b") {
			t.Fatalf("%v with %v", err, p)
		}
	} else {
		if p.Size.X*p.Size.Y > 1<<18 || max(p.Master.R.W, p.Master.R.H) > max(p.Size.X, p.Size.Y) || len(p.SHA256) != 64 {
			t.Fatalf("%v, master %v", p.Size, p.Master.Size())
		}
		if p.Profile == "" || strings.ContainsAny(p.Profile, "\n\x1b") || p.Orientation < 1 || p.Orientation > 8 {
			t.Fatalf("profile %q, orientation %d", p.Profile, p.Orientation)
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
}

// FuzzAVIF does for coded AVIF data what FuzzDecode does for whole files.
func FuzzAVIF(f *testing.F) {
	for _, n := range []string{"boats-420.avif", "boats-10bit.avif"} {
		part := codedPart(f, n)
		f.Add(part.data, part.props[0][8:])
	}
	f.Fuzz(func(t *testing.T, coded, av1c []byte) {
		if len(coded) > 0 {
			decodesOrTells(t, buildHEIF("avif", 1, heifPart{kind: "av01", data: coded, props: [][]byte{box("av1C", av1c), ispe(64, 64)}}))
		}
	})
}

// FuzzContainer: the index of a HEIF file is read within its bounds, and every
// item's data lies in the file.
func FuzzContainer(f *testing.F) {
	f.Add(fixture(f, "boats-420.heic"))
	f.Add(fixture(f, "boats-10bit.avif"))
	f.Add(gridOf(f, "boats-420.heic", 2, 2, 120, 100, append(turnBoxes(7), nclx(1, 13, 6, true), clap(40, 30, -4, 6))...))
	f.Fuzz(func(t *testing.T, data []byte) {
		p, err := openHEIF(data)
		if err != nil {
			return
		}
		if p.crop.Empty() || !p.crop.In(image.Rectangle{Max: p.size}) || p.orientation < 1 || p.orientation > 8 || len(p.tiles) != p.cols*p.rows {
			t.Fatalf("%+v", p)
		}
		for _, it := range p.tiles {
			if b, err := p.file.bytes(it); err == nil && (len(b) == 0 || len(b) > len(data)) {
				t.Fatalf("%d bytes of %d", len(b), len(data))
			}
		}
	})
}

// FuzzProfile: a profile is refused or gives curves within 0 to 1 and a matrix
// that keeps white white.
func FuzzProfile(f *testing.F) {
	for _, trc := range [][]byte{srgbPara, curv(), curv(563), curv(0, 9000, 65535), para(0, 2.2), para(1, 1.8, 0.98, 0.02), para(2, 1.8, 0.96, 0.02, 0.002), para(4, 2, 0.5, 0, 0.25, 0.5, 0.25, 0.0625)} {
		f.Add(matrixProfile("Quay", p3D50, trc))
		f.Add(buildProfile("GRAY", "Lab ", "desc", mluc("Grey"), "kTRC", trc))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		p, err := parseProfile(data)
		if err != nil {
			return
		}
		for _, tone := range p.tone {
			for i := range 256 {
				if tone == nil {
					break
				}
				if v := tone(float64(i) / 255); !(v >= 0 && v <= 1.001) {
					t.Fatalf("light %g of code %d", v, i)
				}
			}
		}
		if p.mix != nil {
			r, g, b := p.mix.apply(1, 1, 1)
			for _, v := range []float32{r, g, b} {
				if !(v > 0.99 && v < 1.01) {
					t.Fatalf("white became %g %g %g", r, g, b)
				}
			}
		}
		if s := shortName(p.name); s == "" || strings.ContainsAny(s, "\n\x1b") {
			t.Fatalf("name %q", s)
		}
	})
}

// FuzzEXIF: every way into an EXIF block stays within it and ends.
func FuzzEXIF(f *testing.F) {
	f.Add(exifBlock(binary.LittleEndian, 6, []byte("a thumbnail")))
	f.Add(exifBlock(binary.BigEndian, 8, nil))
	f.Add(adobeEXIF(65535, "R03"))
	f.Add(hugeTIFF(9, 9))
	f.Fuzz(func(t *testing.T, data []byte) {
		if o := exifOrientation(data); o < 1 || o > 8 {
			t.Fatalf("orientation %d", o)
		}
		thumbnail(data)
		adobeMarked(data)
		n := 0
		walkIFDs(data, func(ifd) { n++ })
		if n > maxDirectories {
			t.Fatalf("%d directories", n)
		}
	})
}

// FuzzRaw: the picture inside a raw file lies within it, or there is none.
func FuzzRaw(f *testing.F) {
	small, large := rawShot(f, 40, 30), rawShot(f, 64, 48)
	f.Add(rawTIFF(binary.LittleEndian, small, large, 6))
	f.Add(rawTIFF(binary.BigEndian, small, large, 1))
	f.Add(rawCR3(small, large, 8))
	f.Add(rawRAF(large))
	f.Fuzz(func(t *testing.T, data []byte) {
		picture, _ := rawPicture(data)
		if picture != nil && (!hasHead(picture, "\xff\xd8\xff") || len(picture) > len(data)) {
			t.Fatalf("%d bytes of %d", len(picture), len(data))
		}
	})
}
