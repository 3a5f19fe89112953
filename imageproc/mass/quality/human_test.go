package quality

import (
	"bytes"
	"context"
	"encoding/binary"
	"fmt"
	"image"
	"image/jpeg"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/mass"
	"atelier/halflid/palette/oracle"
)

// cutLimits are the costs at which the order of growing together is cut, the
// same for every picture: nine to each factor of ten.
func cutLimits() []float64 {
	var out []float64
	for i := range 46 {
		out = append(out, math.Pow(10, 1+float64(i)/9))
	}
	return out
}

// agreement says how a hierarchy agrees with divisions that people drew: at the
// one cut that is best for all pictures (fixed), and at the best cut of each
// picture (own).
type agreement struct {
	pictures                                                int
	coverFixed, coverOwn                                    float64
	randFixed, randOwn, variationFixed, variationOwn        float64
	atCover /* the cost of the best fixed cut */, leastOwns float64
}

// cutScores are one picture's measures at each cut. covered counts pixels over
// all divisions, total is their number.
type cutScores struct {
	covered, rand, variation []float64
	total                    float64
}

// scoreCuts measures every cut of pic's hierarchy against divisions.
//
// Source: the region benchmark of Arbelaez, Maire, Fowlkes, Malik 2011: Rand
// index and variation of information are means over the people, covering is
// that of the people's divisions.
func scoreCuts(ctx context.Context, pic imageproc.Picture, divisions []imageproc.Labels) (cutScores, error) {
	var m mass.Maker
	survey, err := m.Survey(ctx, pic, mass.Options{ColourLeaves: true})
	if err != nil {
		return cutScores{}, err
	}
	h, err := survey.Hierarchy(ctx)
	if err != nil {
		return cutScores{}, err
	}
	var s cutScores
	var cut imageproc.Labels
	pixels, n := float64(len(pic.R.Pix)), float64(len(divisions))
	s.total = pixels * n
	for _, limit := range cutLimits() {
		cut, _ = h.Cut(cut, limit)
		covered, rand, variation := 0., 0., 0.
		for _, d := range divisions {
			o := mass.NewOverlap(d, cut)
			covered += o.Covering() * pixels
			rand += o.Rand() / n
			variation += o.Variation() / n
		}
		s.covered, s.rand, s.variation = append(s.covered, covered), append(s.rand, rand), append(s.variation, variation)
	}
	return s, nil
}

// agree sums the scores of all pictures up as the benchmark does: covering by
// pixels of all divisions, the others as means over pictures.
func agree(all []cutScores) agreement {
	a := agreement{pictures: len(all), randFixed: math.Inf(-1), variationFixed: math.Inf(1), coverFixed: math.Inf(-1), leastOwns: 1}
	n, total := float64(len(all)), 0.
	for _, s := range all {
		total += s.total
		best := slices.Max(s.covered)
		a.coverOwn += best
		a.leastOwns = min(a.leastOwns, best/s.total)
		a.randOwn += slices.Max(s.rand) / n
		a.variationOwn += slices.Min(s.variation) / n
	}
	a.coverOwn /= total
	for i, limit := range cutLimits() {
		covered, rand, variation := 0., 0., 0.
		for _, s := range all {
			covered += s.covered[i] / total
			rand += s.rand[i] / n
			variation += s.variation[i] / n
		}
		if covered > a.coverFixed {
			a.coverFixed, a.atCover = covered, limit
		}
		a.randFixed, a.variationFixed = max(a.randFixed, rand), min(a.variationFixed, variation)
	}
	return a
}

// agreeWithPeople compares the hierarchies of the pictures images/test/*.jpg in
// dir with groundTruth/test/*.mat of the same names.
func agreeWithPeople(ctx context.Context, dir string) (agreement, error) {
	names, err := filepath.Glob(filepath.Join(dir, "images", "test", "*.jpg"))
	if err != nil {
		return agreement{}, err
	}
	if len(names) == 0 {
		return agreement{}, fmt.Errorf("no picture in %s: the folder should hold images/test/*.jpg and groundTruth/test/*.mat", dir)
	}
	slices.Sort(names)
	var all []cutScores
	for _, name := range names {
		data, err := os.ReadFile(name)
		if err != nil {
			return agreement{}, err
		}
		img, _, err := image.Decode(bytes.NewReader(data))
		if err != nil {
			return agreement{}, fmt.Errorf("%s: %w", name, err)
		}
		pic := fromImage(img, math.MaxInt)
		people := filepath.Join(dir, "groundTruth", "test", strings.TrimSuffix(filepath.Base(name), ".jpg")+".mat")
		if data, err = os.ReadFile(people); err != nil {
			return agreement{}, err
		}
		divisions, err := ReadDivisions(data)
		if err != nil {
			return agreement{}, fmt.Errorf("%s: %w", people, err)
		}
		if divisions[0].Size() != pic.Size() {
			return agreement{}, fmt.Errorf("%s is of %v, its picture of %v", people, divisions[0].Size(), pic.Size())
		}
		s, err := scoreCuts(ctx, pic, divisions)
		if err != nil {
			return agreement{}, err
		}
		all = append(all, s)
	}
	return agree(all), nil
}

func (a agreement) print(t testing.TB) {
	say(t, "\n%d pictures           covering: fixed, best   Rand: fixed, best   variation: fixed, best", a.pictures)
	line := func(name string, v ...any) {
		say(t, "%-24s "+strings.TrimSpace(strings.Repeat("%-10v ", len(v))), append([]any{name}, v...)...)
	}
	two := func(v float64) string { return fmt.Sprintf("%.3f", v) }
	line("our order", two(a.coverFixed), two(a.coverOwn), two(a.randFixed), two(a.randOwn), two(a.variationFixed), two(a.variationOwn))
	for _, r := range oracle.Load(t, "t11_bsds500_published.csv", 7).Rows {
		line(r.Text(t, "method"), r.Text(t, "covering_ODS"), r.Text(t, "covering_OIS"), r.Text(t, "PRI_ODS"), r.Text(t, "PRI_OIS"),
			r.Text(t, "VI_ODS"), r.Text(t, "VI_OIS"))
	}
	say(t, "covering is best at a cut of %.3g for all; the picture with the least has %.3f", a.atCover, a.leastOwns)
}

// TestHuman compares with divisions drawn by people, in the folder
// HALFLID_BSDS: the test set of Arbelaez, Maire, Fowlkes, Malik 2011, with its
// folders images/test and groundTruth/test.
func TestHuman(t *testing.T) {
	dir := os.Getenv("HALFLID_BSDS")
	if dir == "" {
		t.Skip("HALFLID_BSDS names no folder with images/test/*.jpg and groundTruth/test/*.mat")
	}
	a, err := agreeWithPeople(t.Context(), dir)
	if err != nil {
		t.Fatal(err)
	}
	a.print(t)
	if a.coverOwn < .63 || a.coverFixed < .55 {
		t.Errorf("covering %.3f at the best cut of each picture, %.3f at one for all; .63 and .55 wanted", a.coverOwn, a.coverFixed)
	}
}

// writeInvented writes a folder of the benchmark's kind with n drawn pictures,
// divided as they were drawn and, by a second person, not at all.
func writeInvented(t *testing.T, dir string, n int) {
	t.Helper()
	for _, sub := range []string{"images", "groundTruth"} {
		if err := os.MkdirAll(filepath.Join(dir, sub, "test"), 0o777); err != nil {
			t.Fatal(err)
		}
	}
	for i := range n {
		pic, l := halves(60+10*i, 40, 20+5*i)
		img := image.NewNRGBA(image.Rect(0, 0, l.W, l.H))
		for p, c := 0, pic.Raster(imageproc.Raster{}); p < l.W*l.H; p++ {
			copy(img.Pix[4*p:], c.Pix[3*p:3*p+3])
			img.Pix[4*p+3] = 255
		}
		var b bytes.Buffer
		if err := jpeg.Encode(&b, img, &jpeg.Options{Quality: 98}); err != nil {
			t.Fatal(err)
		}
		first, second := numbered(l.W, l.H, func(x, y int) int32 { return 1 + l.At(x, y) }), numbered(l.W, l.H, func(_, _ int) int32 { return 1 })
		for name, data := range map[string][]byte{
			fmt.Sprintf("images/test/%d.jpg", i):      b.Bytes(),
			fmt.Sprintf("groundTruth/test/%d.mat", i): matWriter{binary.LittleEndian}.divisionsFile(true, first, second),
		} {
			if err := os.WriteFile(filepath.Join(dir, name), data, 0o666); err != nil {
				t.Fatal(err)
			}
		}
	}
}

// TestHumanPath runs the comparison on an invented folder whose figures are
// known: a cut in two agrees wholly with the first person, and with the second
// as far as the larger half goes.
func TestHumanPath(t *testing.T) {
	dir := t.TempDir()
	writeInvented(t, dir, 3)
	a, err := agreeWithPeople(t.Context(), dir)
	if err != nil {
		t.Fatal(err)
	}
	pixels, covered, rand, variation := 0., 0., 0., 0.
	for i := range 3 {
		w, at := float64(60+10*i), float64(20+5*i)
		p, n := at/w, 40*w
		// Cut in two: 1 and max(p, 1-p). One region: p^2 + (1-p)^2 and 1, never more here.
		pixels += 2 * n
		covered += n * max(1+max(p, 1-p), p*p+(1-p)*(1-p)+1)
		pairs := (p*n*(p*n-1) + (1-p)*n*((1-p)*n-1)) / (n * (n - 1))
		rand += (1 + pairs) / 2 / 3
		variation += -(p*math.Log2(p) + (1-p)*math.Log2(1-p)) / 2 / 3
	}
	oracle.Close(t, "covering at the best cuts", a.coverOwn, covered/pixels, .01)
	oracle.Close(t, "covering at one cut", a.coverFixed, covered/pixels, .01)
	oracle.Close(t, "Rand index", a.randOwn, rand, .01)
	oracle.Close(t, "variation of information", a.variationOwn, variation, .02)
	if a.pictures != 3 {
		t.Errorf("%d pictures", a.pictures)
	}
	a.print(t)

	if _, err := agreeWithPeople(t.Context(), t.TempDir()); err == nil || !strings.Contains(err.Error(), "images/test") {
		t.Errorf("an empty folder: %v", err)
	}
	if err := os.WriteFile(filepath.Join(dir, "groundTruth", "test", "1.mat"), []byte("words"), 0o666); err != nil {
		t.Fatal(err)
	}
	if _, err := agreeWithPeople(t.Context(), dir); err == nil || !strings.Contains(err.Error(), "1.mat") {
		t.Errorf("a damaged file: %v", err)
	}
}

// TestAgree: one cut for all is no better than the best of each.
func TestAgree(t *testing.T) {
	n := len(cutLimits())
	score := func(best int, total float64) cutScores {
		s := cutScores{make([]float64, n), make([]float64, n), make([]float64, n), total}
		for i := range n {
			d := math.Abs(float64(i - best))
			s.covered[i], s.rand[i], s.variation[i] = total*(.8-.1*min(d, 5)), .9-.1*min(d, 5), 1+d
		}
		return s
	}
	a := agree([]cutScores{score(10, 300), score(12, 100)})
	oracle.Close(t, "best covering", a.coverOwn, .8, 1e-12)
	oracle.Close(t, "covering at one cut", a.coverFixed, .75*.8+.25*.6, 1e-12)
	oracle.Close(t, "the cut", a.atCover, cutLimits()[10], 1e-9)
	oracle.Close(t, "best Rand", a.randOwn, .9, 1e-12)
	oracle.Close(t, "Rand at one cut", a.randFixed, .8, 1e-12)
	oracle.Close(t, "best variation", a.variationOwn, 1, 1e-12)
	oracle.Close(t, "variation at one cut", a.variationFixed, 2, 1e-12)
}
