package crops

import (
	"context"
	"image"
	"math/rand/v2"
	"reflect"
	"testing"

	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/reading"
	"atelier/halflid/imageproc/study"
)

// Fewer crops are the first of more, and those of a course stand by falling score.
func TestFewerAreTheFirstOfMore(t *testing.T) {
	pic := quay(rand.New(rand.NewPCG(3, 5)), 180, 120)
	full := image.Pt(3600, 2400)
	for _, focus := range []plan.Focus{{}, {X: 0.4, Y: 0.55, Radius: 0.2}} {
		o := usual(panels(t, "6x8", "square"))
		o.Focus, o.N = focus, 8
		all := propose(t, pic, full, o)
		if len(all) < Course+2 {
			t.Fatalf("only %d proposals", len(all))
		}
		sound(t, all, full, o)
		for i := range all {
			if i%Course > 0 && all[i].Score > all[i-1].Score {
				t.Errorf("proposal %d scores %.4f, the one before it %.4f", i+1, all[i].Score, all[i-1].Score)
			}
		}
		for _, n := range []int{1, 7} {
			o.N = n
			if got := propose(t, pic, full, o); !reflect.DeepEqual(got, all[:n]) {
				t.Errorf("of %d: %v, not %v", n, got[0].Crop, all[0].Crop)
			}
		}
	}
}

// Every proposal, not only the first ones, says what a reading of the plan says
// that takes it: of the painter's own plan, with all else that it decides.
func TestProposalsAreReadInFull(t *testing.T) {
	pic := quay(rand.New(rand.NewPCG(3, 6)), 300, 200)
	full := image.Pt(3000, 2000)
	f := plan.Frame{Photo: full}
	own := plan.SetShapes(12)(plan.Default(full), f)
	own.Values.CutMethod, own.Values.ToneMethod = plan.CutEqualSteps, plan.ToneFixed
	for _, start := range []plan.Plan{{}, own} {
		o := usual(panels(t, "6x8"))
		o.N, o.Plan = 8, start
		if start == (plan.Plan{}) {
			start = plan.Default(full)
		}
		for i, p := range propose(t, pic, full, o) {
			taken := plan.SetBrush(o.Brush)(plan.SetSquint(o.Squint)(plan.SetK(o.Values)(p.Edit()(start, f), f), f), f)
			s, err := study.NewDesk(pic).Make(context.Background(), taken, study.Plan)
			if err != nil {
				t.Fatal(err)
			}
			score, reasons := Answers(reading.DesignOf(s))
			if score != p.Score || !reflect.DeepEqual(reasons, p.Reasons) {
				t.Errorf("proposal %d: read %.4f %+v, proposed %.4f %+v", i+1, score, reasons, p.Score, p.Reasons)
			}
		}
	}
}
