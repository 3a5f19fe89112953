package study_test

import (
	"fmt"
	"image"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"testing"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/photo"
	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/study"
	"atelier/halflid/palette"
	"atelier/halflid/palette/oracle"
)

// turned returns the picture with every colour turned about the grey of its own
// luminance, saturation kept as far as light stays within 0..1.
func turned(p imageproc.Picture, angle float64) imageproc.Picture {
	cos, sin := math.Cos(angle), math.Sin(angle)
	size := p.Size()
	return painted(size.X, size.Y, func(x, y int) palette.RGB {
		c := palette.RGB{R: palette.Light(p.R.At(x, y)), G: palette.Light(p.G.At(x, y)), B: palette.Light(p.B.At(x, y))}
		grey := float64(c.Y())
		// Two colour differences turned into each other; green pays for both.
		r, b := float64(c.R)-grey, float64(c.B)-grey
		r, b = r*cos-b*sin, r*sin+b*cos
		g := -(0.2126*r + 0.0722*b) / 0.7152
		s := 1.0
		for _, d := range []float64{r, g, b} {
			if d > 0 {
				s = min(s, (1-grey)/d)
			} else if d < 0 {
				s = min(s, grey/-d)
			}
		}
		return palette.RGB{R: palette.Light(grey + s*r), G: palette.Light(grey + s*g), B: palette.Light(grey + s*b)}
	})
}

// Published: the invariant that values depend on luminance alone. Light is held
// in float32, so a pixel may change its value only where it lies on a cut. Flat
// shapes may differ: colour helps to tell things apart.
func TestHueDoesNotMatter(t *testing.T) {
	r := seeded(t, 15)
	size := image.Pt(160, 120)
	master := harbour(r, size.X, size.Y)
	for _, angle := range []float64{0.7, 2, 4} {
		other := turned(master, angle)
		for _, squint := range []float64{0, 1} {
			for k := 2; k <= 5; k++ {
				p := edited(whole(size), size, plan.SetK(k), plan.SetSquint(squint), smallestShape(0))
				a, b := make1(t, study.NewDesk(master), p, study.Values), make1(t, study.NewDesk(other), p, study.Values)
				for i := range k {
					oracle.Close(t, "tone", float64(b.Figures.Tones[i]), float64(a.Figures.Tones[i]), 2e-3)
					oracle.Close(t, "share", b.Figures.Shares[i], a.Figures.Shares[i], 1e-3)
				}
				oracle.Close(t, "kept", b.Figures.Kept, a.Figures.Kept, 1e-4)
				for i, cut := range a.Figures.Cuts {
					oracle.Close(t, "cut", float64(b.Figures.Cuts[i]), float64(cut), 1./16)
				}
				if n := differing(codes(t, b, study.Values), codes(t, a, study.Values)); n > len(master.R.Pix)/1000 {
					t.Errorf("hues turned by %v, %d values, squint %v: %d pixels changed", angle, k, squint, n)
				}
			}
		}
		if reflect.DeepEqual(master.G.Pix, other.G.Pix) {
			t.Fatal("no hue was turned: this shows nothing")
		}
	}
}

// codes returns the greys of a view at working size.
func codes(t *testing.T, s *study.Study, v study.View) []uint8 {
	t.Helper()
	r := raster(t, s, v, s.Figures.Size)
	out := make([]uint8, r.W*r.H)
	for i := range out {
		out[i] = r.Pix[3*i]
	}
	return out
}

// differing counts the pixels that are not of one grey, or one code apart where
// a tone fell on the other side of a rounding.
func differing(a, b []uint8) (n int) {
	for i := range a {
		if d := int(a[i]) - int(b[i]); d < -1 || d > 1 {
			n++
		}
	}
	return n
}

// A mirrored photo gives the mirrored values: exactly so up to the working size
// unless two crumbs are equal in area and value, which go by reading order. Its
// flat shapes are nearly those mirrored: where nothing else decides, reading
// order does.
func TestMirror(t *testing.T) {
	r := seeded(t, 16)
	for _, size := range []image.Point{{X: 160, Y: 120}, {X: 161, Y: 97}, {X: 900, Y: 300}} {
		master := harbour(r, size.X, size.Y)
		compareMirrored(t, fmt.Sprint(size), master, 0.001, 0.02)
	}
}

func compareMirrored(t *testing.T, name string, master imageproc.Picture, most, mostOfPlan float64) {
	size := master.Size()
	desk, other := study.NewDesk(master), study.NewDesk(mirror(master))
	for _, squint := range []float64{0, 1, 16} {
		for _, k := range []int{2, 3, 5} {
			for _, smallest := range []float64{0, 0.03} {
				p := edited(whole(size), size, plan.SetSquint(squint), plan.SetK(k), smallestShape(smallest))
				a, b := make1(t, desk, p, study.Values), make1(t, other, p, study.Values)
				pic, back := codes(t, a, study.Values), mirrored(codes(t, b, study.Values), a.Figures.Size.X)
				n := differing(back, pic)
				if n > 0 {
					t.Logf("%s, squint %v, %d values, smallest %v: %d of %d pixels differ", name, squint, k, smallest, n, len(back))
				}
				if float64(n) > most*float64(len(back)) || smallest == 0 && max(size.X, size.Y) <= study.WorkingSide && n > 0 {
					t.Errorf("%s, squint %v, %d values, smallest %v: %d of %d pixels are not mirrored", name, squint, k, smallest, n, len(back))
				}
			}
		}
	}
	total, n := 0, 0
	for _, k := range []int{2, 3, 5} {
		p := edited(whole(size), size, plan.SetK(k), plan.SetToneMethod(plan.ToneFixed))
		a, b := make1(t, desk, p, study.Plan), make1(t, other, p, study.Plan)
		pic, back := codes(t, a, study.Plan), mirrored(codes(t, b, study.Plan), a.Figures.Size.X)
		total, n = total+len(pic), n+differing(back, pic)
	}
	share := float64(n) / float64(total)
	t.Logf("%s: of the plans %.2f %% of the pixels are not mirrored", name, 100*share)
	if share > mostOfPlan {
		t.Errorf("%s: of the plans %.2f %% of the pixels are not mirrored", name, 100*share)
	}
}

// mirrored returns rows of w greys, each turned about.
func mirrored(pix []uint8, w int) []uint8 {
	out := make([]uint8, len(pix))
	for i, c := range pix {
		out[i-i%w+w-1-i%w] = c
	}
	return out
}

// The same with photographs, where there are any to try.
func TestMirrorPhotos(t *testing.T) {
	folder := os.Getenv("HALFLID_PHOTOS")
	if folder == "" {
		t.Skip("HALFLID_PHOTOS names no folder of photographs")
	}
	if testing.Short() {
		t.Skip("reads photographs")
	}
	files, err := filepath.Glob(filepath.Join(folder, "*.jpg"))
	if err != nil || len(files) == 0 {
		t.Fatalf("no .jpg in %s (%v)", folder, err)
	}
	for _, file := range files[:min(3, len(files))] {
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		ph, err := photo.Decode(t.Context(), data, filepath.Base(file), photo.Options{})
		if err != nil {
			t.Logf("%s left out: %v", file, err)
			continue
		}
		compareMirrored(t, filepath.Base(file), ph.Master, 0.002, 0.1)
	}
}
