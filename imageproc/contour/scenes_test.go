package contour_test

import (
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/contour"
	"atelier/halflid/imageproc/outline"
	"atelier/halflid/palette/oracle"
)

// holds checks what Trace promises of every map.
func holds(t testing.TB, name string, l imageproc.Labels, m *contour.Map, tolerance float64) measured {
	t.Helper()
	d := measure(l, m)
	if d.area > 0.01 || d.far > tolerance {
		t.Errorf("%s: %v; tolerance %.2f", name, d, tolerance)
	}
	whole := 0.0
	for i, r := range m.Regions {
		whole += r.Area
		if off := math.Abs(r.Area - float64(r.Pixels)); off > max(1, 0.03*float64(r.Pixels)) {
			t.Errorf("%s: region %d has %d pixels, %.2f by its lines", name, i, r.Pixels, r.Area)
		}
		area := 0.0
		for k, ring := range m.RegionRings(i) {
			for j, s := range ring {
				if s.To != ring[(j+1)%len(ring)].From {
					t.Fatalf("%s: ring %d of region %d gapes after %d", name, k, i, j)
				}
			}
			a := outline.Area(contour.Flat(ring, 0.01))
			if (a > 0) != (k == 0) {
				t.Errorf("%s: ring %d of region %d has area %.2f", name, k, i, a)
			}
			area += a
		}
		oracle.Close(t, name+" area of rings", area, r.Area, 0.02*math.Sqrt(r.Area)*4+0.05)
	}
	oracle.Close(t, name+" area of all", whole, float64(l.W*l.H), 1e-6*float64(l.W*l.H))
	return d
}

func tolerance(l imageproc.Labels) float64 { return max(0.75, 0.004*float64(max(l.W, l.H))) }

func TestScenes(t *testing.T) {
	for _, s := range scenes() {
		m := contour.Trace(s.labels, contour.Options{})
		look(t, s.name, m)
		d := holds(t, s.name, s.labels, m, tolerance(s.labels))
		if s.name == "small circles" && d.smallArea > 1 {
			t.Errorf("%s: %v", s.name, d)
		}
		if s.name == "fine checker" {
			continue // a drawing of corners only: every pair of thousands would be looked at
		}
		if n := crossings(m); n > 0 {
			t.Errorf("%s: %d crossings", s.name, n)
		}
		t.Logf("%s: %v, %d regions, %d chains, %+v", s.name, d, len(m.Regions), len(m.Chains), m.Level)
	}
}

func sceneNamed(t testing.TB, name string) imageproc.Labels {
	for _, s := range scenes() {
		if s.name == name {
			return s.labels
		}
	}
	t.Fatalf("no scene %q", name)
	return imageproc.Labels{}
}

// A square, straight or turned, stays four straight lines between sharp corners,
// and the corners lie where they were drawn.
func TestCornersStay(t *testing.T) {
	for name, angle := range map[string]float64{"square": 0, "turned square": 0.31} {
		m := contour.Trace(sceneNamed(t, name), contour.Options{})
		ring := m.Rings(1)[0]
		if len(ring) != 4 {
			t.Errorf("%s: %d segments", name, len(ring))
		}
		cx, cy := 140.0, 130.0
		if angle != 0 {
			cx, cy = 150.2, 130.7
		}
		for _, s := range ring {
			u, v := turned(s.From.X, s.From.Y, cx, cy, angle)
			if !s.Straight || math.Abs(math.Abs(u)-80) > 0.75 || math.Abs(math.Abs(v)-80) > 0.75 {
				t.Errorf("%s: corner at %.2f, %.2f of its middle, straight %v", name, u, v, s.Straight)
			}
		}
	}
}

// The edges of a roof are straight lines to its ridge, within a third of a pixel of
// where they were drawn, and it comes to a point.
func TestRoofIsStraight(t *testing.T) {
	m := contour.Trace(sceneNamed(t, "roof"), contour.Options{})
	ring := contour.Flat(m.Rings(1)[0], 0.01)
	top := math.Inf(1)
	for _, p := range ring {
		top = min(top, p.Y)
		if p.Y < 129 {
			oracle.Close(t, "edge of the roof", p.Y, 60+0.62*math.Abs(p.X-150), 0.5)
		}
	}
	oracle.Close(t, "ridge", top, 60, 1)
}

// A circle is few curves, everywhere within a pixel of where it was drawn, and
// smooth where they join.
func TestCircleIsRound(t *testing.T) {
	m := contour.Trace(sceneNamed(t, "circle"), contour.Options{})
	ring := m.Rings(1)[0]
	if len(ring) > 8 {
		t.Errorf("%d segments", len(ring))
	}
	for i, s := range ring {
		for k := range 20 {
			p := s.At(float64(k) / 20)
			oracle.Close(t, "radius", math.Hypot(p.X-151.3, p.Y-127.8), 90.4, 0.7)
		}
		n := ring[(i+1)%len(ring)]
		in := math.Atan2(s.To.Y-s.C2.Y, s.To.X-s.C2.X)
		out := math.Atan2(n.C1.Y-n.From.Y, n.C1.X-n.From.X)
		oracle.Close(t, "kink", math.Abs(math.Remainder(out-in, 2*math.Pi)), 0, 1e-6)
	}
}

// Polygons of known area, drawn large, keep it. Source: the table's (shapely).
func TestPublishedAreas(t *testing.T) {
	for _, row := range oracle.Load(t, "t07_polygons.csv", 5).Rows {
		const scale = 37.0
		var ring outline.Ring
		f := strings.Fields(row.Text(t, "points"))
		for i := 0; i+1 < len(f); i += 2 {
			x, _ := strconv.ParseFloat(f[i], 64)
			y, _ := strconv.ParseFloat(f[i+1], 64)
			ring = append(ring, outline.Point{X: scale*x + 60, Y: scale*y + 60})
		}
		mask := imageproc.NewMask(320, 280)
		outline.Fill(mask, []outline.Ring{ring})
		l := imageproc.NewLabels(320, 280)
		for i, in := range mask.Pix {
			l.Pix[i] = int32(label(in))
		}
		m := contour.Trace(l, contour.Options{})
		holds(t, row.Text(t, "name"), l, m, tolerance(l))
		want := scale * scale * row.Num(t, "area")
		oracle.Close(t, row.Text(t, "name"), m.Regions[1].Area, want, 0.01*want)
	}
}

func TestDemo(t *testing.T) {
	for _, n := range [][2]int{{4, 24}, {5, 40}} {
		byValue, byShape := harbour(t, n[0], n[1])
		for name, l := range map[string]imageproc.Labels{"values": byValue, "shapes": byShape} {
			m := contour.Trace(l, contour.Options{})
			look(t, "demo", m)
			d := holds(t, name, l, m, tolerance(l))
			if d.differ > 0.01 {
				t.Errorf("demo %s: %v", name, d)
			}
			if n := crossings(m); n > 0 {
				t.Errorf("demo %s: %d crossings", name, n)
			}
			t.Logf("demo %s: %v, %+v", name, d, m.Level)
		}
	}
}

func TestPhotographs(t *testing.T) {
	dir := os.Getenv("HALFLID_PHOTOS")
	if dir == "" {
		t.Skip("HALFLID_PHOTOS names no folder of photographs")
	}
	files, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range files {
		switch strings.ToLower(filepath.Ext(f.Name())) {
		case ".jpg", ".png", ".webp":
		default:
			continue
		}
		data, err := os.ReadFile(filepath.Join(dir, f.Name()))
		if err != nil {
			t.Fatal(err)
		}
		_, l := planned(t, f.Name(), data, 5, 40)
		m := contour.Trace(l, contour.Options{})
		look(t, f.Name(), m)
		d := holds(t, f.Name(), l, m, tolerance(l))
		if d.differ > 0.01 {
			t.Errorf("%s: %v", f.Name(), d)
		}
		if n := crossings(m); n > 0 {
			t.Errorf("%s: %d crossings", f.Name(), n)
		}
		t.Logf("%s %v: %v, %+v", f.Name(), l.Size(), d, m.Level)
	}
}
