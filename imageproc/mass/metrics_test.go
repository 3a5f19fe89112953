package mass

import (
	"math"
	"testing"

	"atelier/halflid/imageproc"
	"atelier/halflid/palette/oracle"
)

// Covering, Rand index and variation of information of eight pairs of label
// strings; own computation that gave the published human row of the Berkeley
// benchmark, .72 .88 1.17 (Arbelaez et al. 2011).
func TestPartitionMetrics(t *testing.T) {
	for _, r := range oracle.Load(t, "t11_partition_metrics.csv", 8).Rows {
		name := r.Text(t, "name")
		a, b := digits(t, r.Text(t, "a")), digits(t, r.Text(t, "b"))
		o, back := NewOverlap(a, b), NewOverlap(b, a)
		oracle.Close(t, name+" covering of a by b", o.Covering(), r.Num(t, "covering_of_a_by_b"), 1e-8)
		oracle.Close(t, name+" covering of b by a", back.Covering(), r.Num(t, "covering_of_b_by_a"), 1e-8)
		oracle.Close(t, name+" Rand", o.Rand(), r.Num(t, "rand_index"), 1e-8)
		oracle.Close(t, name+" variation", o.Variation(), r.Num(t, "VI_bits"), 1e-8)
		oracle.Close(t, name+" Rand is symmetric", back.Rand(), o.Rand(), 1e-12)
		oracle.Close(t, name+" variation is symmetric", back.Variation(), o.Variation(), 1e-12)
	}
}

func TestMetricsOfNothing(t *testing.T) {
	o := NewOverlap(imageproc.Labels{}, imageproc.Labels{})
	for name, v := range map[string]float64{"covering": o.Covering(), "Rand": o.Rand(), "variation": o.Variation()} {
		if !math.IsNaN(v) {
			t.Errorf("%s of nothing is %v", name, v)
		}
	}
}
