package mass

import (
	"cmp"
	"slices"
)

// massCost is where the tree is cut for masses, cutCosts where for the value
// cuts.
const massCost = 60

var cutCosts = [4]float64{30, 60, 120, 240}

// smoothed is which smooth region each leaf lies in, and what value the leaf
// takes there.
type smoothed struct {
	region []int32
	n      int
	pull   []float64 // per region: how much of a leaf's own value it keeps
	mean   []float64 // per region, L*
}

// value returns the value in L* of a place with lightness d in region r: a
// smooth region has nearly one value, a textured one keeps some of its own.
func (s *smoothed) value(r int32, d float64) float64 {
	return float64(s.pull[r]*d) + float64((1-s.pull[r])*s.mean[r])
}

// findSmooth joins masses where the picture has no edge between them, so that
// a sky has one value, and measures how even each region is. A narrow leak does
// not join: the shared border must be a fair part of the shorter outline.
//
// Source: ours (TestRampIsOneShape, TestSmallStepIsOneShape).
func findSmooth(t *tree, s *regionSums, g *borderGraph) *smoothed {
	masses, n := t.cut(t.joinsBelow(massCost))
	var mg borderGraph
	mg.contract(g, masses)
	outline := make([]float64, n)
	order := make([]int32, len(mg.a))
	for e := range mg.a {
		order[e] = int32(e)
		outline[mg.a[e]] += mg.len[e]
		outline[mg.b[e]] += mg.len[e]
	}
	slices.SortFunc(order, func(i, j int32) int {
		return cmp.Or(cmp.Compare(mg.step(int(i)), mg.step(int(j))), cmp.Compare(i, j))
	})
	parent := make([]int32, n)
	for i := range parent {
		parent[i] = int32(i)
	}
	for _, e := range order {
		if mg.step(int(e)) >= 1.5 {
			break
		}
		a, b := mg.a[e], mg.b[e]
		if mg.len[e] < .3*min(outline[a], outline[b]) {
			continue
		}
		a, b = find(parent, a), find(parent, b)
		parent[max(a, b)] = min(a, b)
	}
	out := &smoothed{region: make([]int32, len(masses))}
	number := make([]int32, n)
	for i, m := range masses {
		r := find(parent, m)
		if number[r] == 0 {
			out.n++
			number[r] = int32(out.n)
		}
		out.region[i] = number[r] - 1
	}
	out.measure(s, g)
	return out
}

// measure computes mean and pull of each region.
func (s *smoothed) measure(sums *regionSums, g *borderGraph) {
	all := sums.gather(s.region, s.n)
	length, rise := make([]float64, s.n), make([]float64, s.n)
	for e := range g.a {
		if r := s.region[g.a[e]]; r == s.region[g.b[e]] {
			length[r] += g.len[e]
			rise[r] += g.rise[e]
		}
	}
	s.pull, s.mean = make([]float64, s.n), make([]float64, s.n)
	for r := range s.n {
		uneven := 0.0
		if length[r] > 0 {
			uneven = 2 * rise[r] / length[r] / stepsL
		}
		s.pull[r] = .7 - float64(.6*expNeg(uneven*uneven))
		s.mean[r] = all.mean(int32(r))
	}
}
