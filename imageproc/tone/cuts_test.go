package tone

import (
	"errors"
	"fmt"
	"math"
	"math/rand"
	"slices"
	"strconv"
	"strings"
	"testing"

	"atelier/halflid/imageproc"
	"atelier/halflid/palette"
	"atelier/halflid/palette/oracle"
)

func floats(t *testing.T, s string) []float64 {
	t.Helper()
	var out []float64
	for _, f := range strings.Fields(s) {
		v, err := strconv.ParseFloat(f, 64)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, v)
	}
	return out
}

func ones(n int) []float64 {
	w := make([]float64, n)
	for i := range w {
		w[i] = 1
	}
	return w
}

func closeTo(t *testing.T, what string, got, want []float64, tol float64) {
	t.Helper()
	if len(got) != len(want) {
		t.Errorf("%s: got %v, want %v", what, got, want)
		return
	}
	for i := range want {
		oracle.Close(t, what, got[i], want[i], tol)
	}
}

// runs returns the count and mean of each run.
func runs(values, weights []float64, first []int) (count, mean []float64) {
	bounds := append(append([]int{0}, first...), len(values))
	for c := range len(bounds) - 1 {
		n, sum := 0.0, 0.0
		for i := bounds[c]; i < bounds[c+1]; i++ {
			n += weights[i]
			sum += weights[i] * values[i]
		}
		count, mean = append(count, n), append(mean, sum/n)
	}
	return count, mean
}

// published: first row the documented example of Wang and Song 2011, R Journal
// 3(2) 29-33; the others exhaustive over all splits in rational numbers (t06).
func TestPublishedKMeans(t *testing.T) {
	for _, r := range oracle.Load(t, "t06_kmeans1d.csv", 17).Rows {
		values := floats(t, r.Text(t, "sorted_values"))
		k := int(r.Num(t, "k"))
		first, sse := KMeans(values, ones(len(values)), k)
		what := fmt.Sprintf("%s k=%d", r.Text(t, "name"), k)
		var starts []float64
		for _, i := range first {
			starts = append(starts, values[i])
		}
		closeTo(t, what+" cuts", starts, floats(t, r.Text(t, "first_value_of_each_upper_class")), 0)
		count, mean := runs(values, ones(len(values)), first)
		closeTo(t, what+" sizes", count, floats(t, r.Text(t, "class_sizes")), 0)
		closeTo(t, what+" means", mean, floats(t, r.Text(t, "class_means")), 5.1e-7)
		want := rational(t, r.Text(t, "sse_exact"))
		oracle.Close(t, what+" error", sse, want, 1e-12*want)
		if next := r.Num(t, "second_best_sse"); sse >= next-1e-8 {
			t.Errorf("%s: error %g is not below the second best, %g", what, sse, next)
		}
	}
}

func rational(t *testing.T, s string) float64 {
	num, den, found := strings.Cut(s, "/")
	if !found {
		den = "1"
	}
	return floats(t, num)[0] / floats(t, den)[0]
}

// published: optimum of the within-class error on the grey histograms of twelve
// scikit-image sample pictures (camera, coins, ...), exact programme; Otsu 1979;
// Liao, Chen, Chung 2001; Wang and Song 2011 (t06).
func TestPublishedOtsu(t *testing.T) {
	grey := map[string][]float64{}
	for _, r := range oracle.Load(t, "t06_histograms.csv", 12).Rows {
		if len(r.Field) != 257 {
			t.Fatalf("histogram of %d codes", len(r.Field)-1)
		}
		grey[r.Field[0]] = floats(t, strings.Join(r.Field[1:], " "))
	}
	for _, r := range oracle.Load(t, "t06_otsu.csv", 48).Rows {
		name, k := r.Text(t, "image"), int(r.Num(t, "k"))
		what := fmt.Sprintf("%s k=%d", name, k)
		var codes, counts []float64
		for code, n := range grey[name] {
			if n > 0 {
				codes, counts = append(codes, float64(code)), append(counts, n)
			}
		}
		first, sse := KMeans(codes, counts, k)
		var starts []float64
		for i, c := range floats(t, r.Text(t, "cuts")) {
			// A cut in a gap without pixels may be named by either end.
			if i < len(first) && codes[first[i]-1] < c && c <= codes[first[i]] {
				starts = append(starts, c)
			}
		}
		closeTo(t, what+" cuts", starts, floats(t, r.Text(t, "cuts")), 0)
		count, mean := runs(codes, counts, first)
		closeTo(t, what+" counts", count, floats(t, r.Text(t, "class_counts")), 0)
		closeTo(t, what+" means", mean, floats(t, r.Text(t, "class_means")), 5.1e-5)
		want := r.Num(t, "sse")
		oracle.Close(t, what+" error", sse, want, max(1e-12*want, 5.1e-4)) // printed to 0.001
		_, total := KMeans(codes, counts, 1)
		oracle.Close(t, what+" kept", 1-sse/total, r.Num(t, "eta_between_over_total"), 5.1e-9)
	}
}

// published: one of each code 0..255, error 349504, 87360, 21824, 5440 for 2, 4,
// 8, 16 classes, cuts equidistant (exact arithmetic).
func TestPublishedRampOfCodes(t *testing.T) {
	var codes []float64
	for c := range 256 {
		codes = append(codes, float64(c))
	}
	for k, want := range map[int]float64{2: 349504, 4: 87360, 8: 21824, 16: 5440} {
		first, sse := KMeans(codes, ones(256), k)
		oracle.Close(t, fmt.Sprint("ramp in ", k), sse, want, 1e-12*want)
		for i, f := range first {
			if f != (i+1)*256/k {
				t.Errorf("ramp in %d: cuts %v", k, first)
				break
			}
		}
	}
}

// bruteForce tries every split, taking of equals the one whose uppermost run
// starts lowest, and so on down.
func bruteForce(values, weights []float64, k int) ([]int, float64) {
	best, at := math.Inf(1), []int(nil)
	var try func(starts []int, from int)
	try = func(starts []int, from int) {
		if len(starts) == k-1 {
			bounds := append(append([]int{0}, starts...), len(values))
			sse := 0.0
			for c := range k {
				sse += spreadOf(values, weights, bounds[c], bounds[c+1])
			}
			lower := slices.Clone(starts)
			slices.Reverse(lower)
			old := slices.Clone(at)
			slices.Reverse(old)
			if sse < best-1e-9 || sse < best+1e-9 && slices.Compare(lower, old) < 0 {
				best, at = min(sse, best), slices.Clone(starts)
			}
			return
		}
		for i := from; i < len(values); i++ {
			try(append(slices.Clone(starts), i), i+1)
		}
	}
	try(nil, 1)
	return at, best
}

func TestKMeansAgainstEverySplit(t *testing.T) {
	r := rand.New(rand.NewSource(11))
	for range 300 {
		n := 2 + r.Intn(10)
		var values, weights []float64
		v := 0.0
		for range n {
			v += float64(1 + r.Intn(3)) // small whole steps: many ties
			values, weights = append(values, v), append(weights, float64(1+r.Intn(2)))
		}
		for k := 1; k <= min(n, 5); k++ {
			first, sse := KMeans(values, weights, k)
			want, least := bruteForce(values, weights, k)
			oracle.Close(t, fmt.Sprintf("%v x %v in %d", values, weights, k), sse, least, 1e-9)
			if !slices.Equal(first, want) {
				t.Errorf("%v x %v in %d: %v, want %v", values, weights, k, first, want)
			}
		}
	}
}

func TestKMeansOfFewValues(t *testing.T) {
	if first, sse := KMeans(nil, nil, 3); first != nil || sse != 0 {
		t.Errorf("nothing gives %v, %v", first, sse)
	}
	first, sse := KMeans([]float64{4, 4, 4, 9}, ones(4), 5)
	if !slices.Equal(first, []int{3}) || sse != 0 {
		t.Errorf("two values in five give %v, %v", first, sse)
	}
	for _, bad := range []struct {
		values, weights []float64
		k               int
	}{
		{[]float64{2, 1}, ones(2), 2},
		{[]float64{1, math.NaN()}, ones(2), 2},
		{[]float64{math.Inf(1)}, ones(1), 2},
		{[]float64{1, 2}, ones(3), 2},
		{[]float64{1, 2}, []float64{1, 0}, 2},
		{[]float64{1, 2}, []float64{math.NaN(), 1}, 2},
		{[]float64{1, 2}, ones(2), 0},
	} {
		func() {
			defer func() {
				if p := fmt.Sprint(recover()); !strings.HasPrefix(p, "tone: KMeans of ") {
					t.Errorf("%v with %v into %d: panic %q", bad.values, bad.weights, bad.k, p)
				}
			}()
			KMeans(bad.values, bad.weights, bad.k)
		}()
	}
}

// Published invariant: the best split moves with the scale, y to y + c and to
// s*y; also very far from 0, where squares alone would swallow the differences.
func TestKMeansFollowsTheScale(t *testing.T) {
	r := rand.New(rand.NewSource(12))
	for range 200 {
		var values, weights []float64
		v := 0.0
		for range 3 + r.Intn(30) {
			v += float64(1 + r.Intn(40))
			values, weights = append(values, v), append(weights, float64(1+r.Intn(9)))
		}
		for k := 1; k <= 5; k++ {
			first, sse := KMeans(values, weights, k)
			for _, f := range []struct{ scale, shift float64 }{{1, 7}, {1, -3e8}, {1, 5e9}, {0.5, 0}, {1 << 20, 0}, {3, 1e8}} {
				moved := make([]float64, len(values))
				for i, v := range values {
					moved[i] = f.scale*v + f.shift // whole numbers and halves: exact
				}
				got, e := KMeans(moved, weights, k)
				if !slices.Equal(got, first) {
					t.Fatalf("%v x %v in %d: %v, times %v and %v on: %v", values, weights, k, first, f.scale, f.shift, got)
				}
				oracle.Close(t, "error", e, sse*f.scale*f.scale, 1e-6*(1+sse*f.scale*f.scale))
			}
		}
	}
}

func lightnessPlane(w, h int, f func(r *rand.Rand) float64) imageproc.Plane[palette.L] {
	r := rand.New(rand.NewSource(19))
	p := imageproc.NewPlane[palette.L](w, h)
	for i := range p.Pix {
		p.Pix[i] = float32(f(r))
	}
	return p
}

func counted(l imageproc.Plane[palette.L]) Histogram {
	var h Histogram
	h.Count(l)
	return h
}

// errorOf is the squared error of l when each class takes its mean, pixel by
// pixel, and its variance.
func errorOf(l imageproc.Plane[palette.L], cuts []palette.L) (sse, total float64) {
	labels := imageproc.NewLabels(l.W, l.H)
	Classify(labels, l, cuts)
	k := len(cuts) + 1
	n, sum, all := make([]float64, k), make([]float64, k), 0.0
	for i, v := range labels.Pix {
		n[v]++
		sum[v] += float64(l.Pix[i])
		all += float64(l.Pix[i])
	}
	for i, v := range labels.Pix {
		d, e := float64(l.Pix[i])-sum[v]/n[v], float64(l.Pix[i])-all/float64(len(l.Pix))
		sse, total = sse+d*d, total+e*e
	}
	return sse, total
}

func bumpy(r *rand.Rand) float64 {
	return max(0, min(100, []float64{12, 30, 55, 81}[r.Intn(4)]+6*r.NormFloat64()))
}

func TestLeastErrorIsLeast(t *testing.T) {
	l := lightnessPlane(90, 70, bumpy)
	h := counted(l)
	last := math.Inf(1)
	for k := 1; k <= 6; k++ {
		cuts := LeastError(h, k)
		if err := CheckCuts(cuts, k); err != nil {
			t.Fatal(err)
		}
		sse, total := errorOf(l, cuts)
		oracle.Close(t, fmt.Sprint("kept with ", k), h.Kept(cuts), 1-sse/total, 1e-9)
		if !(sse < last) {
			t.Errorf("%d values: error %g, with one fewer %g", k, sse, last)
		}
		last = sse
		for i := range cuts { // no cut can be moved for the better
			for _, d := range []palette.L{-3, -0.5, -0.0625, 0.0625, 0.5, 3} {
				moved := slices.Clone(cuts)
				moved[i] += d
				if CheckCuts(moved, k) != nil {
					continue
				}
				if worse, _ := errorOf(l, moved); worse < sse-1e-6 {
					t.Errorf("%d values: cut %d moved by %v errs by %g instead of %g", k, i, d, worse, sse)
				}
			}
		}
	}
}

func TestLeastErrorFollowsTheScale(t *testing.T) {
	l := lightnessPlane(60, 50, func(r *rand.Rand) float64 { return 10 + bumpy(r)/4 })
	moved, spread := imageproc.NewPlane[palette.L](60, 50), imageproc.NewPlane[palette.L](60, 50)
	for i := range l.Pix {
		l.Pix[i] = float32(binOf(l.Pix[i])) / binsPerL // on limits, so that no bin is cut anew
		moved.Pix[i] = l.Pix[i] + 7.5
		spread.Pix[i] = 2 * l.Pix[i]
	}
	for k := 2; k <= 5; k++ {
		cuts := LeastError(counted(l), k)
		a, b, c := imageproc.NewLabels(60, 50), imageproc.NewLabels(60, 50), imageproc.NewLabels(60, 50)
		Classify(a, l, cuts)
		Classify(b, moved, LeastError(counted(moved), k))
		Classify(c, spread, LeastError(counted(spread), k))
		if !slices.Equal(a.Pix, b.Pix) || !slices.Equal(a.Pix, c.Pix) {
			t.Errorf("%d values change when the whole photo becomes lighter or contrastier", k)
		}
		for i, m := range LeastError(counted(moved), k) {
			oracle.Close(t, "cut moves along", float64(m), float64(cuts[i])+7.5, 1e-9)
		}
	}
}

func TestValuesOnceMoreAreTheSame(t *testing.T) {
	l := lightnessPlane(60, 50, bumpy)
	y := imageproc.NewPlane[palette.Y](60, 50)
	for i, v := range l.Pix {
		y.Pix[i] = float32(palette.L(v).Y())
	}
	for k := 2; k <= 5; k++ {
		labels, again := imageproc.NewLabels(60, 50), imageproc.NewLabels(60, 50)
		cuts := LeastError(counted(l), k)
		Classify(labels, l, cuts)
		tones := MeanTones(labels, y, cuts)
		painted := imageproc.NewPlane[palette.L](60, 50)
		for i, v := range labels.Pix {
			painted.Pix[i] = float32(tones[v])
		}
		Classify(again, painted, LeastError(counted(painted), k))
		if !slices.Equal(labels.Pix, again.Pix) {
			t.Errorf("%d values of their own values are others", k)
		}
		oracle.Close(t, "nothing more is lost", counted(painted).Kept(LeastError(counted(painted), k)), 1, 1e-9)
		for i, v := range l.Pix {
			for j := range 7 {
				if l.Pix[j] < v && labels.Pix[j] > labels.Pix[i] {
					t.Fatalf("a darker pixel has a lighter value")
				}
			}
		}
	}
}

func TestLeastErrorOfFlatAndPoorPhotos(t *testing.T) {
	for _, levels := range [][]float64{{0}, {50}, {100}, {20, 80}, {99.97, 100}, {0, 0.03}, {3, 50, 97}} {
		i := 0
		l := lightnessPlane(8, 3, func(*rand.Rand) float64 { i++; return levels[i%len(levels)] })
		y := imageproc.NewPlane[palette.Y](8, 3)
		for i, v := range l.Pix {
			y.Pix[i] = float32(palette.L(v).Y())
		}
		for k := 1; k <= 6; k++ {
			cuts := LeastError(counted(l), k)
			if err := CheckCuts(cuts, k); err != nil {
				t.Errorf("%v in %d: %v", levels, k, err)
			}
			labels := imageproc.NewLabels(8, 3)
			Classify(labels, l, cuts)
			if err := CheckTones(MeanTones(labels, y, cuts), k); err != nil {
				t.Errorf("%v in %d: %v", levels, k, err)
			}
			if sse, _ := errorOf(l, cuts); k >= len(levels) && sse > 1e-9 && levels[0] != 99.97 && levels[len(levels)-1] != 0.03 {
				t.Errorf("%v in %d: cuts %v err by %g", levels, k, cuts, sse)
			}
		}
	}
	if cuts := LeastError(Histogram{}, 3); CheckCuts(cuts, 3) != nil {
		t.Errorf("no photo: cuts %v", cuts)
	}
	oracle.Close(t, "kept of no photo", Histogram{}.Kept(nil), 1, 0)
	two := LeastError(counted(lightnessPlane(10, 1, func(r *rand.Rand) float64 { return []float64{20, 80}[r.Intn(2)] })), 2)
	oracle.Close(t, "cut midway in the gap", float64(two[0]), 50.03125, 1e-12)
}

func TestHistogramCounts(t *testing.T) {
	l := imageproc.NewPlane[palette.L](7, 1)
	copy(l.Pix, []float32{-2, 0, 49.99, 50, 100, 140, float32(math.NaN())})
	h := counted(l)
	if h.Pixels() != 7 {
		t.Errorf("%d pixels", h.Pixels())
	}
	oracle.Close(t, "mean", float64(h.Mean()), (49.99+50+100+100)/7, 1e-6)
	if h.bins[0].n != 3 || h.bins[799].n != 1 || h.bins[800].n != 1 || h.bins[1600].n != 2 {
		t.Errorf("bins %v %v %v %v", h.bins[0], h.bins[799], h.bins[800], h.bins[1600])
	}
	h.Count(imageproc.NewPlane[palette.L](2, 1)) // counts start anew
	if h.Pixels() != 2 || h.bins[1600].n != 0 {
		t.Error("old counts linger")
	}
}

// published: Y per Munsell value, ASTM D1535 (t02): N5 is Y 19.272, L* 51.00.
func TestEqualSteps(t *testing.T) {
	closeL := func(got []palette.L, want ...float64) {
		t.Helper()
		var f []float64
		for _, c := range got {
			f = append(f, float64(c))
		}
		closeTo(t, "steps", f, want, 1e-3)
	}
	closeL(EqualSteps(1))
	closeL(EqualSteps(2), 51.004)
	closeL(EqualSteps(5), 20.236, 40.737, 61.047, 80.527)
	closeL(FixedTones(2), 20.236, 80.527)
	closeL(FixedTones(3), 20.236, 51.004, 80.527)
	closeL(FixedTones(4), 20.236, 40.737, 61.047, 80.527)
	closeL(FixedTones(5), 10.408, 30.379, 51.004, 70.861, 90.181)
	closeL(FixedTones(1), 51.004)
	for k := 1; k < 12; k++ {
		if err := errors.Join(CheckCuts(EqualSteps(k), k), CheckTones(FixedTones(k), k)); err != nil {
			t.Error(err)
		}
		if k > 1 && k < 6 {
			labels := map[int]bool{} // each value is painted in a tone of its own stretch
			for _, tone := range FixedTones(k) {
				n := 0
				for _, c := range EqualSteps(k) {
					if tone >= c {
						n++
					}
				}
				labels[n] = true
			}
			if len(labels) != k {
				t.Errorf("%d values: the fixed tones fall into %d of the equal steps", k, len(labels))
			}
		}
	}
}

func TestCheckCutsAndTonesSayWhatIsWrong(t *testing.T) {
	nan := palette.L(math.NaN())
	for _, c := range []struct {
		err    error
		is     error
		phrase string
	}{
		{CheckCuts([]palette.L{30}, 3), ErrCuts, "3 values need 2 cuts, not 1"},
		{CheckCuts([]palette.L{60, 30}, 3), ErrCuts, "cut 2 at value 2.96 is not lighter than cut 1 at value 5.89"},
		{CheckCuts([]palette.L{30, 30}, 3), ErrCuts, "from dark to light"},
		{CheckCuts([]palette.L{0}, 2), ErrCuts, "above black"},
		{CheckCuts([]palette.L{nan}, 2), ErrCuts, "no value of the scale"},
		{CheckCuts([]palette.L{101}, 2), ErrCuts, "cut 1"},
		{CheckTones([]palette.L{1, 2, 3}, 2), ErrTones, "2 values need 2 tones, not 3"},
		{CheckTones([]palette.L{50, 50}, 2), ErrTones, "tone 2, value 4.90, is not lighter than tone 1"},
		{CheckTones([]palette.L{-1, 50}, 2), ErrTones, "tone 1 is no value of the scale"},
		{CheckTones([]palette.L{1, nan}, 2), ErrTones, "tone 2"},
	} {
		if !errors.Is(c.err, c.is) || !strings.Contains(fmt.Sprint(c.err), c.phrase) {
			t.Errorf("error %q, want it to say %q", c.err, c.phrase)
		}
	}
	if err := errors.Join(CheckCuts([]palette.L{30, 100}, 3), CheckTones([]palette.L{0, 100}, 2), CheckCuts(nil, 1)); err != nil {
		t.Error(err)
	}
}

func TestClassify(t *testing.T) {
	l := imageproc.NewPlane[palette.L](9, 1)
	copy(l.Pix, []float32{0, 19.999, 20, 20.001, 50, 79, 80, 100, float32(math.NaN())})
	cuts := []palette.L{20, 50, 80}
	want := []int32{0, 0, 1, 1, 2, 2, 3, 3, 0}
	labels := imageproc.NewLabels(9, 1)
	Classify(labels, l, cuts)
	if !slices.Equal(labels.Pix, want) {
		t.Errorf("got %v, want %v", labels.Pix, want)
	}
	Classify(labels, l, nil)
	if slices.Max(labels.Pix) != 0 {
		t.Errorf("without cuts: %v", labels.Pix)
	}
	// Many cuts, and cuts that no float32 hits, by the plain rule.
	r := rand.New(rand.NewSource(2))
	big := lightnessPlane(50, 40, func(r *rand.Rand) float64 { return 100 * r.Float64() })
	for k := 2; k < 9; k++ {
		cuts := make([]palette.L, k-1)
		for i := range cuts {
			cuts[i] = palette.L(100 * r.Float64())
		}
		cuts[0] = palette.L(float64(big.Pix[0]) + 1e-9)
		slices.Sort(cuts)
		out := imageproc.NewLabels(50, 40)
		Classify(out, big, cuts)
		for i, v := range big.Pix {
			n := int32(0)
			for _, c := range cuts {
				if float64(v) >= float64(c) {
					n++
				}
			}
			if out.Pix[i] != n {
				t.Fatalf("%d cuts: %v is labelled %d, want %d", k-1, v, out.Pix[i], n)
			}
		}
	}
}

func TestMeanTonesAreOfMeanLight(t *testing.T) {
	labels := imageproc.Labels{W: 4, H: 1, Pix: []int32{0, 0, 1, 1}}
	y := imageproc.Plane[palette.Y]{W: 4, H: 1, Pix: []float32{0, 0.1, 0.2, 1}}
	tones := MeanTones(labels, y, []palette.L{40})
	oracle.Close(t, "dark", float64(tones[0]), cieL(0.05), 1e-5)
	oracle.Close(t, "light", float64(tones[1]), cieL(0.6), 1e-5)
	// Nobody carries the middle: it lies between its cuts.
	tones = MeanTones(imageproc.Labels{W: 4, H: 1, Pix: []int32{0, 0, 2, 2}}, y, []palette.L{40, 60})
	oracle.Close(t, "middle", float64(tones[1]), 50, 1e-9)
	// Nor the ends: they lie between the outer cuts and black and white.
	tones = MeanTones(imageproc.Labels{W: 4, H: 1, Pix: []int32{1, 1, 1, 1}}, y, []palette.L{10, 88})
	oracle.Close(t, "darkest", float64(tones[0]), 5, 1e-9)
	oracle.Close(t, "lightest", float64(tones[2]), 94, 1e-9)
}

func TestMeanTonesInTheWrongOrderMeet(t *testing.T) {
	labels := imageproc.Labels{W: 6, H: 1, Pix: []int32{0, 0, 0, 1, 1, 2}}
	y := imageproc.Plane[palette.Y]{W: 6, H: 1, Pix: []float32{0.5, 0.5, 0.5, 0.1, 0.1, 0.9}}
	tones := MeanTones(labels, y, []palette.L{40, 80})
	common := (3*cieL(0.5) + 2*cieL(0.1)) / 5
	oracle.Close(t, "lower", float64(tones[0]), common-1.0/32, 1e-5)
	oracle.Close(t, "upper", float64(tones[1]), common+1.0/32, 1e-5)
	oracle.Close(t, "one in order", float64(tones[2]), cieL(0.9), 1e-5)
}

func TestMeanTonesAlwaysIncrease(t *testing.T) {
	r := rand.New(rand.NewSource(23))
	for range 500 {
		k := 1 + r.Intn(5)
		labels, y := imageproc.NewLabels(6, 2), imageproc.NewPlane[palette.Y](6, 2)
		level := []float32{0, 0.18, 1, r.Float32()}[r.Intn(4)]
		for i := range labels.Pix {
			labels.Pix[i] = int32(r.Intn(k)) // in no order at all
			y.Pix[i] = level
			if r.Intn(3) == 0 {
				y.Pix[i] = r.Float32()
			}
		}
		tones := MeanTones(labels, y, EqualSteps(k))
		if err := CheckTones(tones, k); err != nil {
			t.Fatalf("%v of %v: %v", labels.Pix, y.Pix, err)
		}
		for i := 1; i < k; i++ {
			if tones[i]-tones[i-1] < leastStep-1e-9 {
				t.Fatalf("tones %v are too close", tones)
			}
		}
	}
}

func TestShares(t *testing.T) {
	got := Shares(imageproc.Labels{W: 4, H: 2, Pix: []int32{0, 0, 0, 2, 2, 0, 2, 0}}, 4)
	closeTo(t, "shares", got, []float64{0.625, 0, 0.375, 0}, 0)
	closeTo(t, "shares of nothing", Shares(imageproc.Labels{}, 2), []float64{0, 0}, 0)
}

func BenchmarkValues(b *testing.B) {
	l := lightnessPlane(768, 576, bumpy)
	y := imageproc.NewPlane[palette.Y](768, 576)
	for i, v := range l.Pix {
		y.Pix[i] = float32(palette.L(v).Y())
	}
	labels := imageproc.NewLabels(768, 576)
	var h Histogram
	h.Count(l)
	cuts := LeastError(h, 5)
	Classify(labels, l, cuts)
	for _, c := range []struct {
		name string
		f    func()
	}{
		{"count/768x576", func() { h.Count(l) }},
		{"leasterror/k=2", func() { LeastError(h, 2) }},
		{"leasterror/k=5", func() { LeastError(h, 5) }},
		{"classify/768x576", func() { Classify(labels, l, cuts) }},
		{"meantones/768x576", func() { MeanTones(labels, y, cuts) }},
		{"shares/768x576", func() { Shares(labels, 5) }},
	} {
		b.Run(c.name, func(b *testing.B) {
			b.ReportAllocs()
			for range b.N {
				c.f()
			}
		})
	}
}
