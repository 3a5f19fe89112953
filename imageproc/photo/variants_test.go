package photo

import (
	"bytes"
	"context"
	"encoding/binary"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"
)

// variant is one malformed file.
type variant struct {
	name string
	data []byte
}

// sound returns files of every kind that is opened, by their names.
func sound(t testing.TB) map[string][]byte {
	t.Helper()
	files := map[string][]byte{}
	entries, err := os.ReadDir(filepath.Join("testdata", "fixtures"))
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		if filepath.Ext(e.Name()) != ".md" {
			files[e.Name()] = fixture(t, e.Name())
		}
	}
	shot := encodeJPEG(t, harbour(96, 64), 80)
	exif := exifBlock(binary.BigEndian, 6, encodeJPEG(t, letters(8), 80))
	icc := matrixProfile("Quay", p3D50, srgbPara)
	files["turned.jpg"] = withSegment(withEXIF(shot, exif), 0xe2, append([]byte("ICC_PROFILE\x00\x01\x01"), icc...))
	files["told.png"] = withChunk(withChunk(encodePNG(t, harbour(48, 32)), "iCCP", append([]byte("q\x00\x00"), deflate(icc)...)), "cICP", []byte{12, 13, 0, 1})
	files["deep.png"] = withChunk(fixture(t, "boats-interlaced.png"), "gAMA", gama(45455))
	files["grid.heic"] = gridOf(t, "boats-420.heic", 2, 2, 120, 100, turnBoxes(6)...)
	files["turned.avif"] = turnedHEIF(t, "avif", "boats-420.avif", 5)
	files["profiled.heic"] = buildHEIF("heic", 1, codedPart(t, "boats-444.heic", box("colr", []byte("prof"), icc), nclx(1, 13, 6, true), clap(40, 30, 0, 0)))
	files["quay.nef"] = rawTIFF(binary.LittleEndian, rawShot(t, 160, 120), rawShot(t, 480, 360), 6)
	files["quay.cr3"] = rawCR3(rawShot(t, 480, 360), rawShot(t, 160, 120), 3)
	files["quay.raf"] = rawRAF(rawShot(t, 480, 360))
	files["inks.tif"] = inkFile(t, binary.LittleEndian, 20, 13, 5, 16, 8, true)
	files["one.gif"] = hugeGIF(1, 1)
	return files
}

// malformed makes broken files of every sound one: cut short, bits turned,
// lengths that are not so, parts missing, doubled and put together.
func malformed(t testing.TB) []variant {
	files := sound(t)
	names := make([]string, 0, len(files))
	for n := range files {
		names = append(names, n)
	}
	slices.Sort(names)
	rng := rand.New(rand.NewPCG(9, 200))
	var out []variant
	add := func(name, what string, data []byte) {
		out = append(out, variant{fmt.Sprintf("%s, %s", name, what), data})
	}
	for k, name := range names {
		whole := files[name]
		n := len(whole)
		for _, part := range []float64{0.02, 0.1, 0.3, 0.5, 0.7, 0.9, 0.98} {
			at := int(part * float64(n))
			add(name, fmt.Sprintf("cut at %d", at), whole[:at])
		}
		add(name, "without its last byte", whole[:n-1])
		for i := range 6 {
			b := bytes.Clone(whole)
			for range 1 << i {
				at := rng.IntN(n)
				b[at] ^= 1 << rng.IntN(8)
			}
			add(name, fmt.Sprintf("%d bits turned", 1<<i), b)
		}
		for i := range 4 { // a number of 32 bits made huge, small or negative
			b := bytes.Clone(whole)
			at := 4 * rng.IntN(max(1, min(n, 400)/4-1))
			copy(b[at:], [][]byte{{0xff, 0xff, 0xff, 0xff}, {0, 0, 0, 0}, {0x7f, 0xff, 0xff, 0xff}, {0x80, 0, 0, 1}}[i])
			add(name, fmt.Sprintf("a wrong length at %d", at), b)
		}
		at, size := rng.IntN(n), 1+rng.IntN(max(1, n/8))
		end := min(at+size, n)
		add(name, "a part missing", append(bytes.Clone(whole[:at]), whole[end:]...))
		add(name, "a part doubled", append(bytes.Clone(whole[:end]), whole[at:]...))
		b := bytes.Clone(whole)
		for i := at; i < end; i++ {
			b[i] = 0
		}
		add(name, "a part of zeros", b)
		other := files[names[(k+7)%len(names)]]
		add(name, "with another's end", append(bytes.Clone(whole[:n/2]), other[len(other)/2:]...))
		add("wrong name "+names[(k+1)%len(names)], "is "+name, whole)
	}
	return out
}

// TestMalformed: each of the malformed files ends in a picture or in one line
// for the painter, soon.
func TestMalformed(t *testing.T) {
	all := malformed(t)
	if len(all) < 200 {
		t.Fatalf("only %d variants", len(all))
	}
	if _, err := Decode(context.Background(), fixture(t, "boats-420.avif"), "", Options{}); err != nil { // compiled beforehand
		t.Fatal(err)
	}
	opened, slowest := 0, time.Duration(0)
	for _, v := range all {
		before := time.Now()
		ctx, cancel := context.WithTimeout(context.Background(), 20*time.Second)
		p, err := Decode(ctx, v.data, v.name, Options{MaxPixels: 1 << 22})
		cancel()
		slowest = max(slowest, time.Since(before))
		switch e := (*Error)(nil); {
		case errors.Is(err, context.DeadlineExceeded):
			t.Errorf("%s: does not end", v.name)
		case err == nil:
			opened++
			for _, n := range p.Notes {
				if strings.ContainsAny(n, "\n\x1b") {
					t.Errorf("%s: note %q", v.name, n)
				}
			}
			if strings.ContainsAny(p.Profile, "\n\x1b") || p.Profile == "" {
				t.Errorf("%s: profile %q", v.name, p.Profile)
			}
		case !errors.As(err, &e) || p != nil:
			t.Errorf("%s: %v with %v", v.name, err, p)
		case strings.ContainsAny(err.Error(), "\n\x1b") || e.Line == "":
			t.Errorf("%s: %q", v.name, err)
		}
	}
	t.Logf("%d variants, %d of them open; the slowest took %v", len(all), opened, slowest.Round(time.Millisecond))
	if opened == 0 || opened == len(all) {
		t.Errorf("%d of %d open", opened, len(all))
	}
}
