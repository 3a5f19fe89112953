package reading

import (
	"testing"

	"atelier/halflid/imageproc/plan"
	"atelier/halflid/palette"
)

// Four bands: sky N9, ground N7, slant N4, upright N1: Carlson's order. With sky
// and ground exchanged it is asked, by 2 steps.
func bands(order ...plan.Plane) Design {
	d := drawn(200, 160, 4, func(_, y int) int { return 3 - y/40 })
	for i, v := range []palette.Value{1, 4, 7, 9} {
		d.Tones[i] = v.L()
	}
	for i, p := range order {
		d.Shapes[i].Plane, d.Shapes[i].PlaneSure = p, 1
	}
	return d
}

func TestPlanes(t *testing.T) {
	r := bands(plan.Sky, plan.Ground, plan.Slant, plan.Standing).Read()
	if len(r.Planes.List) != 4 || len(r.Planes.Against) != 0 || r.Planes.Uprights != 1 || asks(r, OnPlanes) {
		t.Errorf("%+v", r.Planes)
	}
	for i, want := range []float64{9, 7, 4, 1} {
		near(t, "plane", float64(r.Planes.List[i].Tone), want, 1e-9)
		near(t, "share", r.Planes.List[i].Share, 0.25, 1e-12)
	}
	r = bands(plan.Ground, plan.Sky, plan.Slant, plan.Standing).Read()
	a := r.Planes.Against
	if len(a) != 1 || a[0].Lighter != plan.Sky || a[0].Darker != plan.Ground || !asks(r, OnPlanes) {
		t.Fatalf("%+v", a)
	}
	near(t, "by", a[0].By, 2, 1e-9)
	if r := bands(plan.Sky, plan.Ground, plan.Standing, plan.Standing).Read(); r.Planes.Uprights != 2 || !asks(r, OnPlanes) {
		t.Errorf("uprights in %d values", r.Planes.Uprights)
	}
	d := bands(plan.Ground, plan.Sky, plan.Slant, plan.Standing)
	for i := range d.Shapes {
		d.Shapes[i].PlaneSure = 0.2
	}
	if r := d.Read(); len(r.Planes.List) != 0 {
		t.Error("guesses are taken for planes")
	}
}

// Far N7 and greyish blue, near N1 and brown: lighter, weaker, cooler. The other
// way round the far comes forward, and it is asked.
func TestRecession(t *testing.T) {
	grey, brown := palette.RGB{R: 0.4, G: 0.42, B: 0.48}, palette.RGB{R: 0.2, G: 0.08, B: 0.03}
	d := bands(plan.Sky, plan.Ground, plan.Ground, plan.Ground)
	set := func(depths ...plan.Depth) {
		for i, depth := range depths {
			d.Shapes[i].Depth, d.Shapes[i].DepthSure = depth, 1
		}
	}
	set(plan.Far, plan.Far, plan.Middle, plan.Near)
	d.Colours = []palette.RGB{grey, grey, grey, brown}
	r := d.Read()
	if !r.Recession.Known || len(r.Recession.List) != 3 || asks(r, OnRecession) {
		t.Errorf("%+v", r.Recession)
	}
	near(t, "lighter", r.Recession.Lighter, 6, 1e-9) // the sky, N9, is left out
	want := grey.XYZ().Lab().LCh().C - brown.XYZ().Lab().LCh().C
	near(t, "chroma", r.Recession.Chroma, want, 1e-9)
	if r.Recession.Warmer >= 0 {
		t.Errorf("a grey blue is warmer than brown by %v", r.Recession.Warmer)
	}
	set(plan.Far, plan.Near, plan.Middle, plan.Far)
	r = d.Read()
	near(t, "darker", r.Recession.Lighter, -6, 1e-9)
	if !asks(r, OnRecession) {
		t.Error("a far that comes forward is not asked about")
	}
	d.Colours = nil
	if r := d.Read().Recession; r.Coloured || r.Chroma != 0 || r.Warmer != 0 {
		t.Errorf("without colours: %+v", r)
	}
	set(plan.Near, plan.Near, plan.Near, plan.Near)
	if r := d.Read().Recession; r.Known || r.Lighter != 0 {
		t.Errorf("without far: %+v", r)
	}
}
