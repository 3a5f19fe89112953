package contour_test

import (
	"bytes"
	"context"
	"image"
	"image/color"
	"image/png"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"atelier/halflid/cmd/halflid/demo"
	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/contour"
	"atelier/halflid/imageproc/photo"
	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/study"
)

// seeded returns a generator whose seed is the same in every run and is printed
// when the test fails.
func seeded(t testing.TB, seed uint64) *rand.Rand {
	t.Cleanup(func() {
		if t.Failed() {
			t.Logf("random seed %d", seed)
		}
	})
	return rand.New(rand.NewPCG(seed, 0x5eed))
}

// drawn returns labels with what f gives at the middle of each pixel.
func drawn(w, h int, f func(x, y float64) int) imageproc.Labels {
	l := imageproc.NewLabels(w, h)
	for i := range l.Pix {
		l.Pix[i] = int32(f(float64(i%w)+0.5, float64(i/w)+0.5))
	}
	return l
}

func label(is bool) int {
	if is {
		return 1
	}
	return 0
}

// A scene is one drawn picture.
type scene struct {
	name   string
	labels imageproc.Labels
}

func turned(x, y, cx, cy, angle float64) (u, v float64) {
	s, c := math.Sincos(angle)
	return (x-cx)*c + (y-cy)*s, (y-cy)*c - (x-cx)*s
}

// scenes returns the drawn pictures.
func scenes() []scene {
	in := func(x, y, half float64) bool { return math.Abs(x) < half && math.Abs(y) < half }
	return []scene{
		{"circle", drawn(300, 260, func(x, y float64) int { return label(math.Hypot(x-151.3, y-127.8) < 90.4) })},
		{"small circles", drawn(300, 200, func(x, y float64) int {
			for i := 1; i < 12; i++ {
				if math.Hypot(x-float64(25*i), y-100) < float64(i)+0.3 {
					return i
				}
			}
			return 0
		})},
		{"square", drawn(300, 260, func(x, y float64) int { return label(in(x-140, y-130, 80)) })},
		{"turned square", drawn(300, 260, func(x, y float64) int {
			u, v := turned(x, y, 150.2, 130.7, 0.31)
			return label(in(u, v, 80))
		})},
		{"roof", drawn(300, 260, func(x, y float64) int {
			switch {
			case y > 200:
				return 3
			case math.Abs(x-150) < 90 && y > 130:
				return 2
			case y > 60+0.62*math.Abs(x-150) && y < 130:
				return 1
			}
			return 0
		})},
		{"checker", drawn(300, 260, func(x, y float64) int { return (int(x)/20 + int(y)/20) % 2 })},
		{"fine checker", drawn(60, 40, func(x, y float64) int { return (int(x) + int(y)) % 2 })},
		{"rings", drawn(300, 260, func(x, y float64) int { return int(math.Hypot(x-150, y-130)/9.5) % 4 })},
		{"lines", drawn(300, 260, func(x, y float64) int {
			return label(int(y) == 50 && x > 20 || int(x) == 70 && y > 80 || int(x) == int(y) && x > 120 || int(x) == int(y/3) && y > 120)
		})},
		{"three", drawn(300, 260, func(x, y float64) int { return int(3 * (math.Atan2(y-131, x-148) + math.Pi) / (2*math.Pi + 1e-9)) })},
		{"waves", drawn(300, 260, func(x, y float64) int {
			return int((y + 14*math.Sin(x/21) + 3*math.Sin(x/4.7)) / 43)
		})},
		{"one", drawn(30, 20, func(x, y float64) int { return 7 })},
		{"pixel", drawn(1, 1, func(x, y float64) int { return -3 })},
		{"crumbs", drawn(300, 260, func(x, y float64) int {
			u, v := math.Mod(x, 21), math.Mod(y, 17)
			return label(x*0.7+y < 260) + 2*label(u < 2 && v < 1) + 4*label(u > 8 && u < 11 && v > 7 && v < 10)
		})},
	}
}

// look writes the map as a picture, three times as large, into the folder that
// HALFLID_LOOK names: the filled labels in greys, the lines over them, a dot at
// each end of a segment.
func look(t testing.TB, name string, m *contour.Map) {
	dir := os.Getenv("HALFLID_LOOK")
	if dir == "" {
		return
	}
	const zoom, inner = 3, 3
	w, h := m.W*zoom, m.H*zoom
	fill := m.Fill(w*inner, h*inner)
	most := int32(1)
	for _, r := range m.Regions {
		most = max(most, r.Label)
	}
	img := image.NewRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			sum := 0
			for j := range inner {
				for i := range inner {
					sum += 70 + 170*int(fill.At(x*inner+i, y*inner+j))/int(most)
				}
			}
			g := uint8(min(max(sum/(inner*inner), 0), 255))
			img.Set(x, y, color.RGBA{g, g, g, 255})
		}
	}
	for _, c := range m.Chains {
		if c.Edge {
			continue
		}
		for _, s := range c.Segments {
			x, y := int(s.From.X*zoom), int(s.From.Y*zoom)
			dot := color.RGBA{220, 40, 30, 255}
			if s.Straight {
				dot = color.RGBA{30, 90, 220, 255}
			}
			for _, d := range [][2]int{{0, 0}, {1, 0}, {0, 1}, {1, 1}} {
				img.Set(x+d[0], y+d[1], dot)
			}
		}
	}
	var buf bytes.Buffer
	if err := png.Encode(&buf, img); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, strings.ReplaceAll(name, " ", "-")+".png"), buf.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
}

// planned returns the values and the shapes of a picture's plan.
func planned(t testing.TB, name string, data []byte, values, shapes int) (byValue, byShape imageproc.Labels) {
	t.Helper()
	p, err := photo.Decode(context.Background(), data, name, photo.Options{})
	if err != nil {
		t.Fatal(err)
	}
	size := p.Master.Size()
	desk := study.NewDesk(p.Master)
	pl := plan.Default(size)
	for _, e := range []plan.Edit{plan.SetK(values), plan.SetShapes(shapes)} {
		pl = e(pl, plan.Frame{Photo: size})
	}
	s, err := desk.Make(context.Background(), pl, study.Plan)
	if err != nil {
		t.Fatal(err)
	}
	byShape = s.Figures.Map
	byValue = imageproc.NewLabels(byShape.W, byShape.H)
	for i, v := range byShape.Pix {
		byValue.Pix[i] = int32(s.Figures.List[v].Value)
	}
	return byValue, byShape
}

func harbour(t testing.TB, values, shapes int) (byValue, byShape imageproc.Labels) {
	name, data := demo.Photo()
	return planned(t, name, data, values, shapes)
}
