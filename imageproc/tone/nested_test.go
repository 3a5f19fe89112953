package tone

import (
	"math/rand"
	"slices"
	"strconv"
	"testing"

	"atelier/halflid/imageproc"
	"atelier/halflid/palette"
	"atelier/halflid/palette/oracle"
)

func TestNestedCutsAreNested(t *testing.T) {
	for seed := range int64(40) {
		r := rand.New(rand.NewSource(seed))
		l := imageproc.NewPlane[palette.L](60, 50)
		for i := range l.Pix {
			l.Pix[i] = float32(bumpy(r))
		}
		h := counted(l)
		last := Nested(h, 2)
		if least := LeastError(h, 2); !slices.Equal(last, least) {
			t.Errorf("two values are cut at %v, least error is at %v", last, least)
		}
		for k := 3; k <= 6; k++ {
			cuts := Nested(h, k)
			if len(cuts) != k-1 || CheckCuts(cuts, k) != nil {
				t.Fatalf("%d values: cuts %v", k, cuts)
			}
			for _, c := range last {
				if !slices.Contains(cuts, c) {
					t.Errorf("%d values lose the cut %v of %d: %v", k, c, k-1, cuts)
				}
			}
			if h.Kept(cuts) < h.Kept(last) {
				t.Errorf("%d values keep less than %d", k, k-1)
			}
			last = cuts
		}
	}
}

func TestNestedOfFlatPhotos(t *testing.T) {
	l := imageproc.NewPlane[palette.L](4, 4)
	for k := 1; k <= 5; k++ {
		if cuts := Nested(counted(l), k); len(cuts) != k-1 || CheckCuts(cuts, k) != nil {
			t.Errorf("a black photo in %d values is cut at %v", k, cuts)
		}
	}
}

// What nesting costs on the histograms of twelve published pictures, against the
// least error there is. Source: the histograms and least errors of
// t06_histograms.csv and t06_otsu.csv (scikit-image samples; Otsu 1979, Liao et
// al. 2001, Wang and Song 2011).
func TestNestedCost(t *testing.T) {
	histograms := map[string][]float64{}
	for _, row := range oracle.Load(t, "t06_histograms.csv", 12).Rows {
		counts := make([]float64, 256)
		for i, f := range row.Field[1:] {
			n, err := strconv.ParseFloat(f, 64)
			if err != nil {
				t.Fatal(err)
			}
			counts[i] = n
		}
		histograms[row.Text(t, "image")] = counts
	}
	worst, sum, n := 0.0, 0.0, 0.0
	for _, row := range oracle.Load(t, "t06_otsu.csv", 48).Rows {
		counts := histograms[row.Text(t, "image")]
		var values, weights []float64
		for code, c := range counts {
			if c > 0 {
				values, weights = append(values, float64(code)), append(weights, c)
			}
		}
		k := int(row.Num(t, "k"))
		first := nest(values, weights, k)
		bounds := append(append([]int{0}, first...), len(values))
		got := 0.0
		for i := range k {
			got += spreadOf(values, weights, bounds[i], bounds[i+1])
		}
		ratio := got / row.Num(t, "sse")
		if ratio < 1-1e-9 || k == 2 && ratio > 1+1e-9 {
			t.Errorf("%s in %d: error %g of the least there is", row.Text(t, "image"), k, ratio)
		}
		if k > 2 {
			worst, sum, n = max(worst, ratio), sum+ratio, n+1
		}
	}
	t.Logf("nested cuts cost %.3f times the least error in the mean, %.3f at most", sum/n, worst)
	if sum/n > 1.14 || worst > 1.44 {
		t.Errorf("nested cuts cost %.3f in the mean, %.3f at most: more than is stated", sum/n, worst)
	}
}
