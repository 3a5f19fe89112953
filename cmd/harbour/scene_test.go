package main

import (
	"math"
	"testing"
)

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: got %.6g, want %.6g within %.3g", what, got, want, tol)
	}
}

func TestTreeFindsWhatAPlainSearchFinds(t *testing.T) {
	m := &mesh{}
	p := pen{m: m, f: worldFrame()}
	layHulls(p)
	tr := newTree(m.faces)
	if len(tr.faces) != len(m.faces) {
		t.Fatalf("the tree holds %d faces of %d", len(tr.faces), len(m.faces))
	}
	d := dice{s: 9}
	met := 0
	for range 60 {
		o := vec{d.between(-6, 6), d.between(0, 6), d.between(5, 12)}
		dir := vec{d.between(-0.5, 0.5), d.between(-0.3, 0.2), 1}.unit()
		of, df := f32(o), f32(dir)
		best := float32(1000)
		for i := range tr.tris {
			if s, _, _, ok := tr.tris[i].cut(&of, &df, best); ok {
				best = s
			}
		}
		id, dist, _, _ := tr.meet(o, dir, 1000, false)
		if (id >= 0) != (best < 1000) {
			t.Fatalf("from %v along %v: found %v, a plain search %v", o, dir, id >= 0, best < 1000)
		}
		if id >= 0 {
			met++
			near(t, "distance", dist, float64(best), 0)
		}
	}
	if met < 10 {
		t.Errorf("only %d rays met anything: the test shows nothing", met)
	}
}

func TestFramesStayRightAngled(t *testing.T) {
	f := worldFrame().move(vec{1, 2, 3}).turn(0.7).pitch(-0.4).roll(1.1)
	near(t, "x.y", f.x.dot(f.y), 0, 1e-12)
	near(t, "y.z", f.y.dot(f.z), 0, 1e-12)
	near(t, "x length", f.x.length(), 1, 1e-12)
	near(t, "handedness", f.x.cross(f.y).dot(f.z), 1, 1e-12)
	near(t, "turned z", worldFrame().turn(math.Pi/2).z.x, 1, 1e-12)
}

func TestBlobOfOneLimbIsABall(t *testing.T) {
	m := &mesh{}
	p := pen{m: m, f: worldFrame()}
	p.blob(blob{limbs: []limb{{ra: 0.5, rb: 0.5}}, soft: 0.05}, 0.05)
	if len(m.faces) < 200 {
		t.Fatalf("%d faces", len(m.faces))
	}
	volume := 0.0
	for _, f := range m.faces {
		a, b, c := f.c[0].p, f.c[1].p, f.c[2].p
		near(t, "radius", a.length(), 0.5, 0.01)
		near(t, "normal", f.c[0].n.dot(a.unit()), 1, 0.01)
		volume += math.Abs(a.dot(b.cross(c))) / 6
	}
	near(t, "volume", volume, math.Pi/6, 0.02) // closed: no holes in the skin
}

func TestPeopleAreTheirHeightAndStandOnTheGround(t *testing.T) {
	ashore, onQuay := crowd()
	if n := len(ashore) + len(onQuay); n < 12 {
		t.Errorf("%d people, want a dozen", n)
	}
	upright := pose{tall: 1.75, dress: dress{hat: navy, coat: navy, legs: navy, boots: navy}}
	m := &mesh{}
	person(pen{m: m, f: worldFrame()}, upright, 0.04)
	lo, hi := span(m)
	near(t, "soles", lo.y, 0, 0.06)
	near(t, "height with a cap", hi.y-lo.y, 1.80, 0.12)
	for i, a := range ashore {
		if a.y == 0 {
			a.y = groundY(a.x, a.z)
		}
		m := &mesh{}
		person(pen{m: m, f: worldFrame()}, a, 0.05)
		if lo, _ := span(m); math.Abs(lo.y-a.y) > 0.1 {
			t.Errorf("person %d stands %.2f m above their ground", i, lo.y-a.y)
		}
	}
}

func span(m *mesh) (lo, hi vec) {
	b := noBound()
	for _, f := range m.faces {
		for _, c := range f.c {
			b.take(bound{arr(c.p), arr(c.p)})
		}
	}
	return vec{b.lo[0], b.lo[1], b.lo[2]}, vec{b.hi[0], b.hi[1], b.hi[2]}
}

func TestHullLines(t *testing.T) {
	for _, h := range []hull{trawler, smack, coble, dinghy} {
		near(t, "breadth at the stem", h.at(1, 1).x, 0, 1e-9)
		near(t, "full breadth amidships", 2*h.at(0.45, 1).x, h.beam, 1e-9)
		near(t, "length on deck", h.at(1, 1).z-h.at(0, 1).z, h.length, 1e-9)
		if !(h.sheer(1) > h.sheer(0) && h.sheer(0) > h.sheer(0.42)) {
			t.Error("the sheer must sweep up to the stern and more to the bow")
		}
		for i := range 40 {
			s := float64(i) / 40
			for k := range 20 {
				if a, b := h.at(s, float64(k)/20), h.at(s, float64(k+1)/20); b.y < a.y || b.x < a.x-1e-9 {
					t.Fatalf("station %.2f tumbles home or folds at %.2f", s, float64(k)/20)
				}
			}
		}
	}
}

func TestNothingIsBroken(t *testing.T) {
	for i, f := range rough().tree.faces {
		for _, c := range f.c {
			for _, v := range []float64{c.p.x, c.p.y, c.p.z, c.n.x, c.n.y, c.n.z} {
				if math.IsNaN(v) || math.IsInf(v, 0) {
					t.Fatalf("face %d has no place: %v", i, f)
				}
			}
		}
	}
}

func TestLightComesFromOneSide(t *testing.T) {
	s := rough()
	r := &dice{s: 1}
	count := func(p vec) (lit float64) {
		for range 64 {
			lit += s.sunlit(p, vec{0, 1, 0}, r) / 64
		}
		return lit
	}
	near(t, "in front of the bow", count(vec{-1.2, 0.4, 13.0}), 1, 0.1)
	near(t, "under the dark side of the hull", count(vec{3, 0.3, 22}), 0, 0.1)
	near(t, "before the sheds", count(vec{-4.6, 0.3, 25.1}), 0, 0.1)
}

func TestDistanceIsPaler(t *testing.T) {
	d := vec{0.2, 0, 1}.unit()
	last := -1.0
	for _, dist := range []float64{20, 200, 700, 1900, 4200} {
		through, air := hazed(d, dist)
		dark := luma(vec{0.05, 0.06, 0.03}.times(through).add(air))
		if dark <= last {
			t.Errorf("a dark thing %v m away is no paler than a nearer one", dist)
		}
		last = dark
		if through.z > through.x {
			t.Errorf("at %v m the air lets more blue through than red", dist)
		}
	}
}

func TestNoiseIsEvenAndFixed(t *testing.T) {
	near(t, "spot", spot(3, -4, 5), spot(3, -4, 5), 0)
	sum, low, high := 0.0, 1.0, 0.0
	for i := range 4000 {
		v := fbm(float64(i)*0.37, float64(i%61)*0.91, 4, 3)
		sum += v / 4000
		low, high = math.Min(low, v), math.Max(high, v)
	}
	near(t, "mean", sum, 0.5, 0.05)
	if low < 0 || high > 1 || high-low < 0.5 {
		t.Errorf("noise runs from %.2f to %.2f", low, high)
	}
	d := dice{s: 7}
	mean, square := 0.0, 0.0
	for range 20000 {
		v := d.bell()
		mean += v / 20000
		square += v * v / 20000
	}
	near(t, "bell mean", mean, 0, 0.03)
	near(t, "bell spread", square, 1, 0.05)
}

func TestShoreHasPuddlesAndYard(t *testing.T) {
	wet, n := 0.0, 0.0
	for z := 8.0; z < 30; z += 0.25 {
		for x := 3.0; x < 0.5*z; x += 0.25 {
			n++
			if groundY(x, z) < waterLevel {
				wet++
			}
		}
	}
	if k := wet / n; !(k > 0.1 && k < 0.6) {
		t.Errorf("%.2f of the mud lies under water", k)
	}
	if groundY(-6, 18) < waterLevel || groundY(12, 80) > waterLevel-0.1 {
		t.Error("the yard must be dry and the sea wet")
	}
}
