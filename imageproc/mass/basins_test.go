package mass

import (
	"math/rand/v2"
	"slices"
	"testing"

	"atelier/halflid/imageproc"
)

func leavesOf(rise, guide, soft []uint16, w, h int) (imageproc.Labels, int) {
	l := imageproc.NewLabels(w, h)
	b := basins{w: w, h: h, rise: rise, guide: guide, soft: soft, label: l.Pix}
	n := b.run()
	return l, n
}

// levels turns small numbers into gradients of those levels.
func levels(q ...uint16) []uint16 {
	for i := range q {
		q[i] <<= qShift
	}
	return q
}

func TestBasinsByHand(t *testing.T) {
	for _, c := range []struct {
		name  string
		w     int
		rise  []uint16
		guide []uint16
		want  string
		n     int
	}{
		{"two pits", 7, levels(0, 1, 2, 3, 2, 1, 0), make([]uint16, 7), "0000111", 2},
		{"ridge flows to what is alike", 5, levels(0, 1, 2, 1, 0), []uint16{10, 10, 40, 50, 50}, "00111", 2},
		{"plateau drains to both outlets", 7, levels(0, 1, 1, 1, 1, 1, 0), []uint16{10, 10, 10, 40, 40, 40, 40}, "0001111", 2},
		{"flat", 4, levels(3, 3, 3, 3), []uint16{1, 2, 3, 4}, "0000", 1},
		{"flat bottoms", 6, levels(1, 1, 5, 0, 0, 0), []uint16{5, 5, 5, 9, 9, 9}, "001111", 2},
	} {
		l, n := leavesOf(c.rise, c.guide, make([]uint16, len(c.rise)), c.w, len(c.rise)/c.w)
		if want := digits(t, c.want); n != c.n || !slices.Equal(l.Pix, want.Pix) {
			t.Errorf("%s: %d leaves %v, want %d %v", c.name, n, l.Pix, c.n, want.Pix)
		}
	}
}

// TestBasinsProperties: each leaf is connected and holds exactly one bottom, a
// flat part that has no lower neighbour.
func TestBasinsProperties(t *testing.T) {
	rng := rand.New(rand.NewPCG(51, 1))
	for range 200 {
		w, h := 1+rng.IntN(20), 1+rng.IntN(20)
		rise, guide := make([]uint16, w*h), make([]uint16, w*h)
		for i := range rise {
			rise[i], guide[i] = uint16(rng.IntN(5))<<qShift, uint16(rng.IntN(9))
		}
		l, n := leavesOf(rise, guide, guide, w, h)
		comp := imageproc.NewLabels(w, h)
		if m := Components(comp, l); m != n || !slices.Equal(comp.Pix, firstSeen(l.Pix)) {
			t.Fatalf("%d leaves in %d parts", n, m)
		}
		q := imageproc.NewLabels(w, h)
		for i, r := range rise {
			q.Pix[i] = int32(r)
		}
		plateau, k := flood(q, false)
		low := make([]bool, k)
		for i := range low {
			low[i] = true
		}
		for _, e := range Adjacency(plateau, k) {
			a, b := slices.Index(plateau.Pix, e.A), slices.Index(plateau.Pix, e.B)
			if q.Pix[a] > q.Pix[b] {
				low[e.A] = false
			} else {
				low[e.B] = false
			}
		}
		bottoms := make([]int, n)
		for i, isLow := range low {
			if isLow {
				bottoms[l.Pix[slices.Index(plateau.Pix, int32(i))]]++
			}
		}
		for leaf, b := range bottoms {
			if b != 1 {
				t.Fatalf("leaf %d of %d holds %d bottoms", leaf, n, b)
			}
		}
	}
}

// firstSeen renumbers labels in raster order.
func firstSeen(pix []int32) []int32 {
	number := map[int32]int32{}
	out := make([]int32, len(pix))
	for i, p := range pix {
		if _, ok := number[p]; !ok {
			number[p] = int32(len(number))
		}
		out[i] = number[p]
	}
	return out
}

func TestBasinsMirrored(t *testing.T) {
	rng := rand.New(rand.NewPCG(52, 1))
	const w, h = 25, 19
	rise, guide := make([]uint16, w*h), make([]uint16, w*h)
	mr, mg := make([]uint16, w*h), make([]uint16, w*h)
	for i := range rise {
		rise[i], guide[i] = uint16(rng.IntN(400)), uint16(rng.IntN(51200))
		j := i/w*w + w - 1 - i%w
		mr[j], mg[j] = rise[i], guide[i]
	}
	a, n := leavesOf(rise, guide, guide, w, h)
	b, m := leavesOf(mr, mg, mg, w, h)
	if n != m || coverBoth(a, mirrorLabels(b)) != 1 {
		t.Errorf("%d leaves, mirrored %d, covering %v", n, m, coverBoth(a, mirrorLabels(b)))
	}
}

func TestRegionSums(t *testing.T) {
	rng := rand.New(rand.NewPCG(53, 1))
	const w, h, n = 12, 9, 5
	p := newPlanes(w, h)
	l := randomLabels(rng, w, h, n)
	for i := range p.d {
		p.d[i], p.t[i] = uint16(rng.IntN(51200)), uint16(rng.IntN(900))
		p.a[i], p.b[i] = int16(rng.IntN(999)-500), int16(rng.IntN(999)-500)
	}
	var s regionSums
	s.add(l.Pix, n, p)
	s.settle(l.Pix, n)
	fall := newFalloff(&Focus{X: .3, Y: .6}, w, h, w)
	s.weigh(l.Pix, w, fall)
	var area, d, square, a, focus [n]float64
	for i, r := range l.Pix {
		area[r]++
		d[r] += float64(p.d[i])
		square[r] += float64(p.d[i]) * float64(p.d[i])
		a[r] += float64(p.a[i])
		focus[r] += float64(fall.at(i%w, i/w)) / focusSteps
	}
	for r := range n {
		if s.area[r] != area[r] || s.d[r] != d[r] || s.square[r] != square[r] || s.a[r] != a[r] || s.focus[r] != focus[r] {
			t.Errorf("region %d: sums %v %v %v %v %v", r, s.area[r], s.d[r], s.square[r], s.a[r], s.focus[r])
		}
		if r > 0 && s.area[r] > s.area[r-1] {
			t.Errorf("region %d is larger than the one before", r)
		}
	}
	all := s.gather([]int32{0, 1, 0, 1, 0}, 2)
	if all.area[0] != area[0]+area[2]+area[4] || all.d[1] != d[1]+d[3] {
		t.Errorf("gathered %v %v", all.area, all.d)
	}
}

func TestFalloff(t *testing.T) {
	f := newFalloff(&Focus{X: .5, Y: .5, Radius: .1, Far: .25}, 201, 101, 201)
	near, far := f.at(100, 50), f.at(0, 0)
	if near != focusSteps || far < focusSteps/4 || far > focusSteps/4+40 {
		t.Errorf("weights %d at the focal point, %d far away", near, far)
	}
	if at := f.at(120, 50); at != f.at(80, 50) || at >= near || at <= far {
		t.Errorf("weight %d a radius away", at)
	}
	if newFalloff(nil, 3, 3, 3) != nil {
		t.Error("no focus has a falloff")
	}
}
