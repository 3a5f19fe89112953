package mass

import (
	"math"
	"math/bits"
	"math/rand/v2"
	"slices"
	"testing"

	"atelier/halflid/imageproc"
	"atelier/halflid/palette"
	"atelier/halflid/palette/oracle"
)

// spreadOf is the least-square error of classes that begin at starts.
func spreadOf(h *counts, starts []int) float64 {
	sum := 0.0
	for k, lo := range starts {
		hi := bins
		if k+1 < len(starts) {
			hi = starts[k+1]
		}
		n, x := 0.0, 0.0
		for i := lo; i < hi; i++ {
			n += h[i]
			x += h[i] * binMiddle(i)
		}
		for i := lo; i < hi && n > 0; i++ {
			d := binMiddle(i) - x/n
			sum += h[i] * d * d
		}
	}
	return sum
}

// TestLeastError goes through all cuts of few filled bins.
func TestLeastError(t *testing.T) {
	rng := rand.New(rand.NewPCG(71, 1))
	for range 40 {
		var h counts
		filled := 0
		for i := 0; i < bins; i += 1 + rng.IntN(20) {
			h[i] = float64(1 + rng.IntN(50))
			filled++
		}
		for k := 1; k <= 4; k++ {
			got := h.leastError(k)
			if len(got) != min(k, filled) || got[0] != 0 || !slices.IsSorted(got) {
				t.Fatalf("classes %v of %d", got, k)
			}
			best := math.Inf(1)
			for range 3000 {
				try := make([]int, k)
				for i := 1; i < k; i++ {
					try[i] = 1 + rng.IntN(bins-1)
				}
				slices.Sort(try)
				best = min(best, spreadOf(&h, try))
			}
			if e := spreadOf(&h, got); e > best+1e-6 {
				t.Errorf("%d classes %v: error %v, found %v", k, got, e, best)
			}
			for i := range bins {
				c := classOf(got, i)
				if i < got[c] || int(c)+1 < len(got) && i >= got[c+1] {
					t.Fatalf("bin %d in class %d of %v", i, c, got)
				}
			}
		}
	}
}

func TestCountMassesTotal(t *testing.T) {
	rng := rand.New(rand.NewPCG(72, 1))
	s, g, _ := randomRegions(rng, 14, 12)
	tr, err := growTree(t.Context(), s, g)
	if err != nil {
		t.Fatal(err)
	}
	sum := 0.0
	for _, v := range countMasses(tr, s, 168) {
		sum += v
	}
	oracle.Close(t, "four cuts", sum, 4*168, 1e-6)
}

// TestSmoothRegions: what no edge parts is one region with nearly one value;
// what an edge parts is not.
func TestSmoothRegions(t *testing.T) {
	// Three masses side by side: a soft border, then a hard one.
	s := &regionSums{}
	s.reset(3)
	for i := range 3 {
		s.area[i], s.focus[i] = 10000, 10000
		s.d[i] = s.area[i] * stepsL * []float64{70, 80, 20}[i]
		s.square[i] = s.d[i] * s.d[i] / s.area[i]
	}
	g := &borderGraph{
		a: []int32{0, 1}, b: []int32{1, 2}, len: []float64{100, 100},
		rise: []float64{100 * .2 * stepsL, 100 * 4 * stepsL}, edge: []float64{100 * .2 * stepsL, 100 * 4 * stepsL},
	}
	tr, err := growTree(t.Context(), s, g)
	if err != nil {
		t.Fatal(err)
	}
	if tr.cost[0] < massCost {
		t.Fatalf("the masses are one before it matters: %v", tr.cost)
	}
	sm := findSmooth(tr, s, g)
	if sm.n != 2 || sm.region[0] != sm.region[1] || sm.region[1] == sm.region[2] {
		t.Fatalf("regions %v", sm.region)
	}
	r := sm.region[0]
	oracle.Close(t, "mean", sm.mean[r], 75, 1e-9)
	oracle.Close(t, "pull at a step of .4", sm.pull[r], .7-.6*math.Exp(-.16), 1e-12)
	oracle.Close(t, "pull of a region without borders", sm.pull[sm.region[2]], .1, 1e-12)
	oracle.Close(t, "value", sm.value(r, 80), 75+5*sm.pull[r], 1e-9)
	// A leak: the soft border is a small part of both outlines.
	g = &borderGraph{
		a: []int32{0, 0, 1}, b: []int32{1, 2, 2}, len: []float64{20, 100, 100},
		rise: []float64{20 * .2 * stepsL, 100 * 4 * stepsL, 100 * 4 * stepsL}, edge: make([]float64, 3),
	}
	if sm := findSmooth(tr, s, g); sm.n != 3 {
		t.Errorf("a narrow leak joined: %v", sm.region)
	}
}

func (l *labelling) energy(c float64) float64 {
	e := 0.0
	for i, v := range l.value {
		d := v - l.centre[l.class[i]]
		e += l.weight[i] * d * d
		for k := l.first[i]; k < l.first[i+1]; k++ {
			if l.class[l.to[k]] != l.class[i] {
				e += c * l.long * l.pull[k] / 2
			}
		}
	}
	return e
}

// TestPottsEnergy: no sweep raises the energy.
func TestPottsEnergy(t *testing.T) {
	rng := rand.New(rand.NewPCG(73, 1))
	for range 20 {
		s, g, n := randomRegions(rng, 16, 12)
		value := make([]float64, n)
		for i := range value {
			value[i] = s.mean(int32(i))
		}
		l := newLabelling(value, s, g, 900)
		l.centre = []float64{5, 20, 45, 80}
		for i := range l.class {
			l.class[i] = rng.Int32N(4)
		}
		for range 6 {
			before := l.energy(1)
			changed := l.sweep(1)
			if after := l.energy(1); after > before*(1+1e-12) {
				t.Fatalf("energy rose from %v to %v", before, after)
			}
			if !changed {
				break
			}
			before = l.energy(1)
			l.recentre()
			if s := l.energy(1); s > before*(1+1e-12) {
				t.Fatalf("new means raised the energy from %v to %v", before, s)
			}
		}
	}
}

func TestEdgeWeight(t *testing.T) {
	oracle.Close(t, "no edge", edgeWeight(0), 5, 1e-12)
	oracle.Close(t, "step of 8", edgeWeight(8), math.Exp(-1)*(1+4*math.Exp(-16)), 1e-12)
	oracle.Close(t, "strong edge", edgeWeight(60), .1, 1e-9)
}

// plainOutlines counts both windows around a pixel directly.
func plainOutlines(class []int32, w, h, x, y int, wide, narrow window, e float64) int32 {
	var score [8]float64
	for _, win := range []struct {
		w    window
		part float64
	}{{wide, 1 - e}, {narrow, e}} {
		k := make([]float64, win.w.reach()+1)
		for a := -win.w.r1; a <= win.w.r1; a++ {
			for b := -win.w.r2; b <= win.w.r2; b++ {
				if a+b >= 0 {
					k[a+b]++
				}
			}
		}
		all := float64(win.w.weight() * win.w.weight())
		for dy := -win.w.reach(); dy <= win.w.reach(); dy++ {
			for dx := -win.w.reach(); dx <= win.w.reach(); dx++ {
				c := class[mirrored(y+dy, h)*w+mirrored(x+dx, w)]
				score[c] += win.part * k[max(dx, -dx)] * k[max(dy, -dy)] / all
			}
		}
	}
	best := int32(0)
	for c, s := range score {
		if s > score[best]+1e-9 {
			best = int32(c)
		}
	}
	return best
}

// TestOutlines compares the packed counts with direct ones, with and without
// edges, on classes in blobs.
func TestOutlines(t *testing.T) {
	rng := rand.New(rand.NewPCG(74, 1))
	for _, long := range []float64{150, 300} {
		const w, h = 48, 33
		class := make([]int32, w*h)
		for i := range class {
			class[i] = int32(i%w/9+i/w/8) % 8
			if rng.IntN(6) == 0 {
				class[i] = rng.Int32N(8)
			}
		}
		leaf, of := make([]int32, w*h), []int32{0, 1, 2, 3, 4, 5, 6, 7}
		copy(leaf, class)
		for _, rise := range []uint16{0, 20000, 700} {
			rises := make([]uint16, w*h)
			for i := range rises {
				rises[i] = rise
			}
			got, two := make([]int32, w*h), make([]int32, w*h)
			smoothOutlines(got, leaf, of, rises, w, h, long, 1)
			smoothOutlines(two, leaf, of, rises, w, h, long, 3)
			if !slices.Equal(got, two) {
				t.Fatal("the number of threads matters")
			}
			e := 1 - math.Exp(-float64(rise)/(2*stepsL))
			off := 0
			for i, c := range got {
				if c != plainOutlines(class, w, h, i%w, i/w, windowOf(.010*long), windowOf(.003*long), e) {
					off++
				}
			}
			// Shares are in parts of 256: near ties may fall the other way.
			if off > w*h/200 {
				t.Errorf("long %v, gradient %d: %d pixels of %d differ", long, rise, off, w*h)
			}
		}
	}
}

// TestOutlinesOfLargePictures: sums that do not fit 16 bits lose low bits, not
// labels.
func TestOutlinesOfLargePictures(t *testing.T) {
	const w, h = 200, 120
	leaf := make([]int32, w*h)
	for i := range leaf {
		leaf[i] = int32(i % w / 100)
	}
	for _, long := range []float64{768, 1500, 4000} {
		got := make([]int32, w*h)
		smoothOutlines(got, leaf, []int32{3, 6}, make([]uint16, w*h), w, h, long, 1)
		for i, c := range got {
			if want := []int32{3, 6}[leaf[i]]; c != want {
				t.Fatalf("long %v: pixel %d has class %d", long, i, c)
			}
		}
	}
}

// classesOf makes a base from blocks of values, w pixels each, to test grouping.
func blockBase(t *testing.T, values []float64, w, h int) *Base {
	t.Helper()
	n := len(values) * w
	b := &Base{long: float64(n), value: make([]uint16, n*h), light: make([]float32, n*h), rise: make([]uint16, n*h)}
	classes := imageproc.NewLabels(n, h)
	sorted := slices.Clone(values)
	slices.Sort(sorted)
	sorted = slices.Compact(sorted)
	for i := range b.value {
		v := values[i%n/w]
		c := slices.Index(sorted, v)
		b.value[i] = uint16(v * stepsL)
		b.light[i] = float32(palette.L(v).Y())
		b.rise[i] = 5 * stepsL
		classes.Pix[i] = int32(c)
	}
	var label Labeller
	b.assemble(classes, len(sorted), &label)
	return b
}

// TestChain: the cuts of K are among those of K + 1, the chain is the best of
// all chains, and each free choice is the cheapest of its size.
func TestChain(t *testing.T) {
	rng := rand.New(rand.NewPCG(75, 1))
	for range 30 {
		values := make([]float64, 12)
		for i := range values {
			values[i] = float64(rng.IntN(8)) * 11
		}
		b := blockBase(t, values, 1+rng.IntN(4), 3)
		c := b.chain
		n := len(b.class)
		for k := 2; k < len(c.nested); k++ {
			if bits.OnesCount8(c.nested[k]) != k-1 || bits.OnesCount8(c.free[k]) != k-1 {
				t.Fatalf("%d values by cuts %b, %b", k, c.nested[k], c.free[k])
			}
			if k+1 < len(c.nested) && c.nested[k]&^c.nested[k+1] != 0 {
				t.Fatalf("cuts %b of %d are not among %b", c.nested[k], k, c.nested[k+1])
			}
			for set := range 1 << (n - 1) {
				if bits.OnesCount(uint(set)) == k-1 && c.cost[set] < c.cost[c.free[k]] {
					t.Fatalf("cuts %b cost less than %b", set, c.free[k])
				}
			}
		}
		if len(c.nested) > 3 {
			best := bestChain(c, 0, 2)
			oracle.Close(t, "cost of the chain", chainCost(c), best, 1e-9*best)
		}
	}
}

// Values that a brush cannot keep apart are one, however many are asked for; but
// light and dark of a fog that has no more are two.
func TestValuesThatAreNone(t *testing.T) {
	for _, c := range []struct {
		lightness []float64
		most      int
	}{
		{[]float64{20, 50, 51, 80, 20, 51, 50, 80, 20}, 3},
		{[]float64{20, 50, 53, 80, 20, 53, 50, 80, 20}, 4},
		{[]float64{60, 61, 60, 61, 60, 61}, 2},
		{[]float64{60, 61, 62, 60, 62, 61}, 2},
		{[]float64{40, 40, 40}, 1},
	} {
		b := blockBase(t, c.lightness, 3, 3)
		for _, m := range []Method{Nested, LeastError} {
			for k := 1; k <= 5; k++ {
				if got := b.CountValues(Cutting{Method: m, Values: k}); got != min(k, c.most) {
					t.Errorf("%v: %d of %d values asked for", c.lightness, got, k)
				}
			}
		}
	}
}

func ratio(c *chain, set uint8, k int) float64 {
	if least := c.cost[c.free[k]]; least > 0 {
		return chainWeight[k] * c.cost[set] / least
	}
	return chainWeight[k]
}

func chainCost(c *chain) float64 {
	sum := 0.0
	for k := 2; k < len(c.nested); k++ {
		sum += ratio(c, c.nested[k], k)
	}
	return sum
}

// bestChain tries every chain.
func bestChain(c *chain, set uint8, k int) float64 {
	if k == len(c.nested) {
		return 0
	}
	best := math.Inf(1)
	for cut := uint8(1); cut != 0 && int(cut) < len(c.cost); cut <<= 1 {
		if set&cut == 0 {
			best = min(best, ratio(c, set|cut, k)+bestChain(c, set|cut, k+1))
		}
	}
	return best
}

// TestSmallTowersStand: two small white towers against a middle sky, over a
// dark and a darker ground, keep their own value at K 3 because of the contrast
// along their edges; by areas alone they would go.
func TestSmallTowersStand(t *testing.T) {
	b := blockBase(t, []float64{15, 15, 15, 15, 15, 15, 35, 35, 35, 35, 62, 62, 80, 62, 62, 80, 62, 62}, 3, 5)
	const towersGo, groundsGo = 0b011, 0b110
	if !(groupError(b.class, towersGo) < groupError(b.class, groundsGo)) {
		t.Fatal("areas alone would keep the towers: nothing is tested")
	}
	if set := b.chain.free[3]; set != groundsGo {
		t.Errorf("least error cuts %03b, want %03b", set, groundsGo)
	}
	if set := b.chain.nested[3]; set != groundsGo {
		t.Errorf("nested cuts %03b, want %03b", set, groundsGo)
	}
}
