package crops

import (
	"context"
	"image"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"strings"
	"testing"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/reading"
)

// boat is a dark boat on a light flat with a darker far shore, its middle at
// (x, 0.62); clutter, if wanted, is a bright striped heap along the left edge.
func boat(x float64, clutter bool) imageproc.Picture {
	return painted(300, 200, func(px, py float64) float64 {
		dx, dy := (px-x)/0.08, (py-0.62)/0.06
		switch {
		case clutter && px < 0.1 && py > 0.2 && int(py*16)%2 == 0:
			return 0.95
		case clutter && px < 0.1 && py > 0.2:
			return 0.02
		case float64(dx*dx)+float64(dy*dy) < 1:
			return 0.03
		case py < 0.35:
			return 0.75
		case py < 0.42:
			return 0.3
		}
		return 0.5
	})
}

var boatPhoto = image.Pt(4800, 3200)

// The boat is found without being named: it is the strongest place.
func TestBoatIsFound(t *testing.T) {
	for _, x := range []float64{0.3, 0.7} {
		o := usual(panels(t, "6x8"))
		o.Focus = plan.Focus{}
		p := propose(t, boat(x, false), boatPhoto, o)[0]
		if math.Abs(p.Focus.X-x) > 0.1 || math.Abs(p.Focus.Y-0.62) > 0.08 {
			t.Errorf("boat at %v: focal point %+v", x, p.Focus)
		}
	}
}

// yes returns whether the answer that has those words is a yes, and whether there
// is one.
func yes(rs []Reason, words string) (yes, found bool) {
	i := slices.IndexFunc(rs, func(r Reason) bool { return strings.Contains(r.Words, words) })
	if i < 0 {
		return false, false
	}
	return rs[i].Yes(), true
}

// Practice satisfied: every proposal has the boat off the middle, with room, and
// the strongest contrast on it. Not satisfied: the crop with the boat in the middle
// scores less, and says so.
func TestBoatOffTheMiddle(t *testing.T) {
	for _, x := range []float64{0.3, 0.7} {
		pic := boat(x, false)
		o := usual(panels(t, "6x8"))
		o.Focus = plan.Focus{X: x, Y: 0.62, Radius: 0.1}
		ps := propose(t, pic, boatPhoto, o)
		for i, p := range ps {
			if ok, found := yes(p.Reasons, "Focal point "); !ok || !found {
				t.Errorf("boat at %v, proposal %d: %+v", x, i, p.Reasons)
			}
		}
		if ok, found := yes(ps[0].Reasons, "ontrast at the focal point"); found && !ok {
			t.Errorf("contrast: %+v", ps[0].Reasons)
		}
		w := 0.5
		h := w * 4800 / 3200 * 6 / 8
		across := plan.Panel{Short: 6, Long: 8, Unit: plan.Inch, Way: plan.Across}
		v, rs, err := NewScorer(pic, boatPhoto, o).Score(context.Background(), across, plan.Crop{X: x - w/2, Y: min(0.62-h/2, 1-h), W: w}, o.Focus)
		if err != nil {
			t.Fatal(err)
		}
		if v >= ps[0].Score {
			t.Errorf("boat in the middle scores %.3f, the first proposal %.3f", v, ps[0].Score)
		}
		if y := (0.62 - min(0.62-h/2, 1-h)) / h; math.Abs(y-0.5) < 0.05 {
			if ok, found := yes(rs, "in the middle"); ok || !found {
				t.Errorf("%+v", rs)
			}
		}
	}
}

// A heap of bright stripes along the left edge is cut away. The crop that keeps it
// at its edge says that the edge pulls, and scores less.
func TestClutterIsCutAway(t *testing.T) {
	pic := boat(0.6, true)
	o := usual(panels(t, "6x8"))
	o.Focus = plan.Focus{X: 0.6, Y: 0.62, Radius: 0.1}
	ps := propose(t, pic, boatPhoto, o)
	if ps[0].Crop.X < 0.1 {
		t.Errorf("the first proposal keeps the clutter: %+v", ps[0].Crop)
	}
	if _, found := yes(ps[0].Reasons, "edges are calm"); !found {
		t.Errorf("%+v", ps[0].Reasons)
	}
	across := plan.Panel{Short: 6, Long: 8, Unit: plan.Inch, Way: plan.Across}
	v, rs, err := NewScorer(pic, boatPhoto, o).Score(context.Background(), across, plan.Crop{W: 0.88}, o.Focus)
	if err != nil {
		t.Fatal(err)
	}
	if ok, found := yes(rs, "Contrast at the left edge"); ok || !found || v >= ps[0].Score {
		t.Errorf("with the clutter %.3f, without %.3f: %+v", v, ps[0].Score, rs)
	}
}

// A photo of 600 pixels on 6x8 in has at most 75 to 100 pixels an inch; one of
// 6000 ten times as many, and at half the width still more than 150.
func TestEnlargingIsSaid(t *testing.T) {
	pic := boat(0.3, false)
	o := usual(panels(t, "6x8 across"))
	for _, p := range propose(t, pic, image.Pt(600, 400), o) {
		want := p.Crop.W * 600 / 8
		if !p.Enlarges() || math.Abs(p.PixelsPerInch-want) > 0.1 || !strings.Contains(p.Sharpness(), "will look soft") {
			t.Errorf("%v pixels an inch, not %v: %s", p.PixelsPerInch, want, p.Sharpness())
		}
	}
	for _, p := range propose(t, pic, image.Pt(6000, 4000), o) {
		if p.Enlarges() || strings.Contains(p.Sharpness(), "soft") {
			t.Errorf("%v pixels an inch: %s", p.PixelsPerInch, p.Sharpness())
		}
	}
}

// Of two panels of one form the small crop goes to the one that it bears.
func TestSmallCropsForSmallPanels(t *testing.T) {
	o := usual(panels(t, "12x16 across", "6x8 across"))
	for _, p := range propose(t, boat(0.3, false), image.Pt(3000, 2000), o) {
		if p.Panel.Short == 12 && p.Enlarges() {
			t.Errorf("%.0f pixels an inch on %v", p.PixelsPerInch, p.Panel)
		}
	}
}

// On drawn scenes the first proposal outdoes 95 of 100 random crops of the same
// panels, sizes and places about the focal point.
func TestFirstOutdoesRandomCrops(t *testing.T) {
	for seed := range scenes() {
		r := rand.New(rand.NewPCG(21, seed))
		pic := quay(r, 270, 180)
		full := image.Pt(2700, 1800)
		o := usual(panels(t, "6x8", "5x7", "square"))
		first := propose(t, pic, full, o)[0]
		scorer := NewScorer(pic, full, o)
		v, reasons, err := scorer.Score(context.Background(), first.Panel, first.Crop, o.Focus)
		if err != nil || math.Abs(v-first.Score) > 1e-9 || !slices.Equal(reasons, first.Reasons) {
			t.Fatalf("the scorer says %v, the proposal %v, %v", v, first.Score, err)
		}
		forms := formsOf(o.Panels)
		below, all := 0, 0
		for all < 40 {
			f := forms[r.IntN(len(forms))]
			w := f.widest(full) * (0.4 + 0.6*r.Float64())
			b := f.box(0, 0, w, full)
			b.x, b.y = o.Focus.X-r.Float64()*b.w, o.Focus.Y-r.Float64()*b.h
			if b.x < 0 || b.y < 0 || b.x+b.w > 1 || b.y+b.h > 1 {
				continue
			}
			s, _, err := scorer.Score(context.Background(), f.panels[0], cropOf(f.panels[0], b, full), o.Focus)
			if err != nil {
				t.Fatal(err)
			}
			if all++; s < first.Score {
				below++
			}
		}
		if below*100 < 95*all {
			t.Errorf("scene %d: the first proposal, %.3f, outdoes %d of %d", seed, first.Score, below, all)
		}
	}
}

// scenes is how many scenes are drawn.
func scenes() uint64 {
	if os.Getenv("HALFLID_HEAVY") == "1" {
		return 8
	}
	return 1
}

// Answers and Scorer ask the same.
func TestAnswersWithoutAFocalPoint(t *testing.T) {
	g := newGround(boat(0.3, false), boatPhoto)
	p, err := newPieces(context.Background(), g, 1)
	if err != nil {
		t.Fatal(err)
	}
	c := &coarsener{pieces: p, k: 3}
	panel := panels(t, "6x8 across")[0]
	b := form{aspect: panel.Aspect()}.box(0.05, 0.1, 0.6, boatPhoto)
	with, _ := Answers(c.design(b, panel, plan.Focus{X: 0.3, Y: 0.62, Radius: 0.1}))
	without, reasons := Answers(c.design(b, panel, plan.Focus{}))
	if without >= with {
		t.Errorf("without a focal point %.3f, with %.3f", without, with)
	}
	for _, r := range reasons {
		if r.Topic == reading.OnPlacement && strings.Contains(r.Words, "room") {
			t.Errorf("%q", r.Words)
		}
	}
}
