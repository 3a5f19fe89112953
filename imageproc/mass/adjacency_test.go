package mass

import (
	"math/rand/v2"
	"slices"
	"testing"

	"atelier/halflid/imageproc"
	"atelier/halflid/palette/oracle"
)

// Hand count of the label array 1122/1332/1344/5544.
func TestAdjacencyPublished(t *testing.T) {
	got := Adjacency(digits(t, "1122/1332/1344/5544"), 6)
	rows := oracle.Load(t, "t07_rag.csv", 8).Rows
	if len(got) != len(rows) {
		t.Fatalf("%d borders %v, want %d", len(got), got, len(rows))
	}
	for i, r := range rows {
		oracle.Close(t, "a", float64(got[i].A), r.Num(t, "a"), 0)
		oracle.Close(t, "b", float64(got[i].B), r.Num(t, "b"), 0)
		oracle.Close(t, "length", float64(got[i].Len), r.Num(t, "shared_edges"), 0)
	}
}

// TestBorderGraphAgainstPairs counts every pair of pixels the plain way.
func TestBorderGraphAgainstPairs(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	var g borderGraph
	for range 200 {
		v := randomLabels(rng, 1+rng.IntN(12), 1+rng.IntN(12), 6)
		rise, edge := make([]uint16, len(v.Pix)), make([]uint16, len(v.Pix))
		for i := range rise {
			rise[i], edge[i] = uint16(rng.IntN(50)), uint16(rng.IntN(50))
		}
		length, sum, colour := map[[2]int32]float64{}, map[[2]int32]float64{}, map[[2]int32]float64{}
		pair := func(i, j int) {
			a, b := min(v.Pix[i], v.Pix[j]), max(v.Pix[i], v.Pix[j])
			if a != b {
				length[[2]int32{a, b}]++
				sum[[2]int32{a, b}] += float64(max(rise[i], rise[j]))
				colour[[2]int32{a, b}] += float64(max(edge[i], edge[j]))
			}
		}
		for y := range v.H {
			for x := range v.W {
				if i := y*v.W + x; x+1 < v.W {
					pair(i, i+1)
				}
				if i := y*v.W + x; y+1 < v.H {
					pair(i, i+v.W)
				}
			}
		}
		g.build(v, 6, rise, edge)
		if len(g.a) != len(length) {
			t.Fatalf("%d borders, want %d", len(g.a), len(length))
		}
		for e := range g.a {
			key := [2]int32{g.a[e], g.b[e]}
			if g.len[e] != length[key] || g.rise[e] != sum[key] || g.edge[e] != colour[key] || key[0] >= key[1] {
				t.Fatalf("border %v: length %v rise %v edge %v, want %v %v %v", key, g.len[e], g.rise[e], g.edge[e], length[key], sum[key], colour[key])
			}
			if e > 0 && (g.a[e-1] > g.a[e] || g.a[e-1] == g.a[e] && g.b[e-1] >= g.b[e]) {
				t.Fatalf("borders out of order at %d", e)
			}
		}
	}
}

func TestAdjacencyOfOne(t *testing.T) {
	if got := Adjacency(imageproc.NewLabels(5, 1), 1); len(got) != 0 {
		t.Errorf("one label has borders %v", got)
	}
	if got := Adjacency(imageproc.Labels{}, 0); len(got) != 0 {
		t.Errorf("nothing has borders %v", got)
	}
}

// TestContract compares borders of merged labels with borders counted afresh.
func TestContract(t *testing.T) {
	rng := rand.New(rand.NewPCG(15, 16))
	var fine, got, want borderGraph
	for range 100 {
		v := randomLabels(rng, 9, 8, 7)
		rise := make([]uint16, len(v.Pix))
		for i := range rise {
			rise[i] = uint16(rng.IntN(50))
		}
		fine.build(v, 7, rise, rise)
		region := []int32{2, 0, 1, 1, 0, 2, 0}
		got.contract(&fine, region)
		for i, p := range v.Pix {
			v.Pix[i] = region[p]
		}
		want.build(v, 3, rise, rise)
		if !slices.Equal(got.a, want.a) || !slices.Equal(got.b, want.b) || !slices.Equal(got.len, want.len) ||
			!slices.Equal(got.rise, want.rise) || !slices.Equal(got.edge, want.edge) {
			t.Fatalf("contracted %v %v %v, want %v %v %v", got.a, got.b, got.len, want.a, want.b, want.len)
		}
	}
}
