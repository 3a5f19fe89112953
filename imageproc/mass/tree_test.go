package mass

import (
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"atelier/halflid/imageproc"
)

// TestMeshJoins joins random regions and compares with borders counted afresh.
func TestMeshJoins(t *testing.T) {
	rng := rand.New(rand.NewPCG(61, 1))
	var g, want borderGraph
	for range 60 {
		v := randomLabels(rng, 9, 7, 12)
		n := 12
		rise := make([]uint16, len(v.Pix))
		for i := range rise {
			rise[i] = uint16(rng.IntN(40))
		}
		g.build(v, n, rise, nil)
		var m mesh
		m.load(n, g.a, g.b, g.len, g.rise)
		dead := map[int32]bool{}
		for range 7 {
			u := rng.Int32N(int32(n))
			if m.head[u] < 0 {
				continue
			}
			o := m.other(m.head[u])
			keep := m.join(u, o)
			for _, e := range m.gone {
				dead[e] = true
			}
			for i, p := range v.Pix {
				if p == u || p == o {
					v.Pix[i] = keep
				}
			}
			want.build(v, n, rise, nil)
			checkMesh(t, &m, &want, n)
		}
		if live := len(g.a) - len(dead); live != len(want.a) && len(dead) > 0 {
			t.Fatalf("%d borders left, want %d", live, len(want.a))
		}
	}
}

func checkMesh(t *testing.T, m *mesh, want *borderGraph, n int) {
	t.Helper()
	found := 0
	for u := range int32(n) {
		degree := int32(0)
		for h := m.head[u]; h >= 0; h = m.next[h] {
			degree++
			o := m.other(h)
			if u > o {
				continue
			}
			found++
			ok := false
			for e := range want.a {
				if want.a[e] == u && want.b[e] == o {
					ok = want.len[e] == m.p[h>>1] && want.rise[e] == m.q[h>>1]
				}
			}
			if !ok {
				t.Fatalf("border %d-%d with sums %v %v is not there", u, o, m.p[h>>1], m.q[h>>1])
			}
		}
		if degree != m.degree[u] {
			t.Fatalf("region %d has %d borders, says %d", u, degree, m.degree[u])
		}
	}
	if found != len(want.a) {
		t.Fatalf("%d borders, want %d", found, len(want.a))
	}
}

func TestQueue(t *testing.T) {
	rng := rand.New(rand.NewPCG(62, 1))
	price := make([]float64, 50)
	for i := range price {
		price[i] = float64(rng.IntN(20))
	}
	var q queue
	q.load(len(price), func(i, j int32) bool { return price[i] < price[j] || price[i] == price[j] && i < j })
	left := len(price)
	for left > 0 {
		i := rng.Int32N(int32(len(price)))
		if q.at[i] >= 0 {
			price[i] = float64(rng.IntN(20))
			q.fix(i)
		}
		best := int32(-1)
		for j := range int32(len(price)) {
			if q.at[j] >= 0 && (best < 0 || q.less(j, best)) {
				best = j
			}
		}
		if q.first() != best {
			t.Fatalf("first is %d, want %d", q.first(), best)
		}
		if rng.IntN(2) == 0 {
			q.remove(best)
			left--
		} else if i := rng.Int32N(int32(len(price))); q.at[i] >= 0 {
			q.remove(i)
			q.remove(i)
			left--
		}
	}
	if len(q.items) != 0 {
		t.Errorf("%d left", len(q.items))
	}
}

// randomRegions makes n regions with borders on a small picture.
func randomRegions(rng *rand.Rand, w, h int) (*regionSums, *borderGraph, int) {
	p := newPlanes(w, h)
	rise, edge := make([]uint16, w*h), make([]uint16, w*h)
	v := randomLabels(rng, w, h, 3)
	l := imageproc.NewLabels(w, h)
	n := Components(l, v)
	for i := range p.d {
		p.d[i] = uint16(rng.IntN(300)) + 9000*uint16(v.Pix[i])
		p.a[i], p.b[i], p.t[i] = int16(rng.IntN(900)), int16(rng.IntN(900)), uint16(rng.IntN(900))
		rise[i], edge[i] = uint16(rng.IntN(3000)), uint16(rng.IntN(3000))
	}
	var s regionSums
	var g borderGraph
	s.add(l.Pix, n, p)
	s.settle(l.Pix, n)
	g.build(l, n, rise, edge)
	return &s, &g, n
}

// TestTree: 2n-1 nodes, costs never fall, every leaf under one root, each cut
// coarser than the one before.
func TestTree(t *testing.T) {
	rng := rand.New(rand.NewPCG(63, 1))
	for range 30 {
		s, g, n := randomRegions(rng, 3+rng.IntN(12), 3+rng.IntN(12))
		tr, err := growTree(context.Background(), s, g)
		if err != nil {
			t.Fatal(err)
		}
		if tr.n != n || len(tr.cost) != n-1 || !slices.IsSorted(tr.cost) {
			t.Fatalf("%d leaves, %d joins, costs %v", tr.n, len(tr.cost), tr.cost)
		}
		used := make([]int, n+len(tr.cost))
		for i := range tr.cost {
			used[tr.left[i]]++
			used[tr.right[i]]++
		}
		for node, u := range used {
			if want := 1; node < len(used)-1 && u != want || node == len(used)-1 && u != 0 {
				t.Fatalf("node %d of %d has %d parents", node, len(used), u)
			}
		}
		for m := range len(tr.cost) {
			fine, a := tr.cut(m)
			coarse, b := tr.cut(m + 1)
			if a != n-m || b != a-1 || !coarser(coarse, fine) {
				t.Fatalf("cut %d: %d regions, then %d", m, a, b)
			}
		}
	}
}

// coarser says whether every region of fine lies in one region of coarse.
func coarser(coarse, fine []int32) bool {
	in := map[int32]int32{}
	for i, f := range fine {
		if c, ok := in[f]; ok && c != coarse[i] {
			return false
		}
		in[f] = coarse[i]
	}
	return true
}

// TestTreeIsGreedy: the first join is the cheapest of all by the formula, and
// its cost is what is recorded.
func TestTreeIsGreedy(t *testing.T) {
	rng := rand.New(rand.NewPCG(64, 1))
	for range 20 {
		s, g, _ := randomRegions(rng, 8, 8)
		tr, err := growTree(context.Background(), s, g)
		if err != nil {
			t.Fatal(err)
		}
		least, a, b := math.Inf(1), int32(0), int32(0)
		for e := range g.a {
			if c := plainCost(s, g, e); c < least {
				least, a, b = c, g.a[e], g.b[e]
			}
		}
		if tr.left[0] != a || tr.right[0] != b || !(math.Abs(tr.cost[0]-least) <= 1e-9*least) {
			t.Errorf("first join %d %d at %v, want %d %d at %v", tr.left[0], tr.right[0], tr.cost[0], a, b, least)
		}
	}
}

// plainCost is the price of a join written as in the formula.
func plainCost(s *regionSums, g *borderGraph, e int) float64 {
	u, v := g.a[e], g.b[e]
	d2, f := 0.0, []float64{1, 4, 4, 3}
	for i, sum := range [][]float64{s.d, s.a, s.b, s.t} {
		unit := []float64{stepsL, stepsAB, stepsAB, stepsL}[i]
		d := (sum[u]/s.area[u] - sum[v]/s.area[v]) / unit
		d2 += f[i] * d * d
	}
	variance := func(i int32) float64 {
		m := s.d[i] / s.area[i]
		return (s.square[i]/s.area[i] - m*m) / stepsL / stepsL
	}
	n := s.area[u] * s.area[v] / (s.area[u] + s.area[v])
	edge := .1 + .9*(1-math.Exp(-g.colourStep(e)/8))
	return max(s.focus[u]/s.area[u], s.focus[v]/s.area[v]) * n * d2 * edge / ((1 + .01*min(variance(u), variance(v))) * math.Pow(g.len[e], .75))
}

func TestPrune(t *testing.T) {
	rng := rand.New(rand.NewPCG(65, 1))
	s, g, _ := randomRegions(rng, 12, 10)
	tr, err := growTree(context.Background(), s, g)
	if err != nil {
		t.Fatal(err)
	}
	m := len(tr.cost) / 2
	small, region := tr.prune(m)
	if small.n != tr.n-m || len(small.cost) != small.n-1 {
		t.Fatalf("%d leaves, %d joins left of %d", small.n, len(small.cost), tr.n)
	}
	for k := range len(small.cost) + 1 {
		want, n := tr.cut(m + k)
		got, n2 := small.cut(k)
		through := make([]int32, len(region))
		for i, r := range region {
			through[i] = got[r]
		}
		if n != n2 || !slices.Equal(through, want) {
			t.Fatalf("cut %d of the pruned tree differs: %d, %d regions", k, n2, n)
		}
	}
}

func TestTreeCancelled(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	s, g, _ := randomRegions(rand.New(rand.NewPCG(66, 1)), 9, 9)
	if _, err := growTree(ctx, s, g); !errors.Is(err, context.Canceled) {
		t.Errorf("error %v", err)
	}
}

// colourStep is step with colour counted.
func (g *borderGraph) colourStep(e int) float64 { return 2 * g.edge[e] / g.len[e] / stepsL }
