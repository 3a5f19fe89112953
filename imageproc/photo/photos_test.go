package photo

import (
	"bytes"
	"context"
	"errors"
	"image"
	"image/jpeg"
	"math"
	"os"
	"path/filepath"
	"testing"
	"time"

	"atelier/halflid/imageproc"
	"atelier/halflid/palette"
	"atelier/halflid/palette/oracle"
)

// photographs returns the folder named by HALFLID_PHOTOS.
func photographs(t *testing.T) string {
	dir := os.Getenv("HALFLID_PHOTOS")
	if dir == "" {
		t.Skip("HALFLID_PHOTOS names no folder of photographs")
	}
	return dir
}

func readPhoto(t *testing.T, dir, name string) []byte {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(dir, name))
	if errors.Is(err, os.ErrNotExist) {
		t.Skipf("no %s among the photographs", name)
	}
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// TestEveryPhotograph opens all files of the folder but text.
func TestEveryPhotograph(t *testing.T) {
	dir := photographs(t)
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	opened := 0
	for _, e := range entries {
		data := readPhoto(t, dir, e.Name())
		start := time.Now()
		p, err := Decode(context.Background(), data, e.Name(), Options{})
		took := time.Since(start)
		switch filepath.Ext(e.Name()) {
		case ".md":
			if !errors.Is(err, ErrNotPicture) {
				t.Errorf("%s: %v", e.Name(), err)
			}
		default:
			if err != nil {
				t.Errorf("%s: %v", e.Name(), err)
				continue
			}
			opened++
			if p.Profile == "" {
				t.Errorf("%s: no profile named", e.Name())
			}
			t.Logf("%-22s %-4s %v, master %v, orientation %d, %s, %v %q", e.Name(), p.Format, p.Size, p.Master.Size(), p.Orientation, p.Profile, took.Round(100*time.Microsecond), p.Notes)
			if long := max(p.Master.R.W, p.Master.R.H); long > MasterSide || p.Orientation >= 5 && p.Master.R.W > p.Master.R.H {
				t.Errorf("%s: master %v", e.Name(), p.Master.Size())
			}
		}
	}
	if opened == 0 {
		t.Error("no photograph opened")
	}
}

// codeMeans returns the mean of the encoded numbers, 0 to 255, of each channel.
func codeMeans(p imageproc.Picture) (m [3]float64) {
	for i, plane := range p.Planes() {
		for _, v := range plane.Pix {
			m[i] += 255 * palette.Encode(palette.Light(v))
		}
		m[i] /= float64(len(plane.Pix))
	}
	return m
}

// TestMarketMeans holds a photograph of 16 bits, and the large one it was
// averaged from, against the means that other software finds in them.
// Source: ImageMagick 6.9.11, fx:mean of both files: 119.028 94.846 72.267 and
// 118.520 94.285 71.633; the collection's own index gives the latter as 118 94 71.
func TestMarketMeans(t *testing.T) {
	dir := photographs(t)
	small := mustDecode(t, readPhoto(t, dir, "market-16bit.png"), "market-16bit.png")
	for i, want := range []float64{119.0280, 94.8459, 72.2671} {
		oracle.Close(t, "16 bits, channel "+"RGB"[i:i+1], codeMeans(small.Master)[i], want, 0.001)
	}
	img, err := jpeg.Decode(bytes.NewReader(readPhoto(t, dir, "market-bazaar.jpg")))
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []float64{118.520, 94.285, 71.633} { // the decoders differ in how they enlarge chroma
		oracle.Close(t, "full size, channel "+"RGB"[i:i+1], codeMeans(averaged(t, img, 4096, 1))[i], want, 0.2)
	}
	// The same 4.8 x 4.8 pixels to one: the light agrees, and no shift shows
	// (one pixel aside the two differ by 17 codes rms).
	again := averaged(t, img, 640, 1)
	sum := 0.0
	for i, plane := range again.Planes() {
		light, want := 0.0, 0.0
		for k, v := range plane.Pix {
			w := small.Master.Planes()[i].Pix[k]
			d := 255 * (palette.Encode(palette.Light(v)) - palette.Encode(palette.Light(w)))
			sum += d * d
			light, want = light+float64(v), want+float64(w)
		}
		oracle.Close(t, "light of channel "+"RGB"[i:i+1], light/want, 1, 0.005)
	}
	if rms := math.Sqrt(sum / (3 * 640 * 480)); !(rms < 3.5) {
		t.Errorf("the two differ by %.2f codes rms", rms)
	}
}

// TestProfileOnPhotograph: after its Display P3 profile is applied the
// photograph equals its sRGB original, JPEG noise aside.
func TestProfileOnPhotograph(t *testing.T) {
	dir := photographs(t)
	wide := mustDecode(t, readPhoto(t, dir, "food-stall-p3.jpg"), "p3")
	plain := mustDecode(t, readPhoto(t, dir, "food-stall.jpg"), "srgb")
	a, b := codeMeans(wide.Master), codeMeans(plain.Master)
	for i := range a {
		oracle.Close(t, "mean", a[i], b[i], 0.5)
	}
	if len(wide.Notes) != 1 || len(plain.Notes) != 0 {
		t.Errorf("notes %q, %q", wide.Notes, plain.Notes)
	}
}

func TestPreviewOfPhotograph(t *testing.T) {
	data := readPhoto(t, photographs(t), "market-bazaar.jpg")
	p, err := Preview(data)
	if err != nil || p.Size() != image.Pt(160, 120) {
		t.Fatalf("%v, %v", p.Size(), err)
	}
	full, small := codeMeans(mustDecode(t, data, "market").Master), codeMeans(p)
	for i := range full {
		oracle.Close(t, "mean", small[i], full[i], 6)
	}
}
