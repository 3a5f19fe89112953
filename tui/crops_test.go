package tui

import (
	"reflect"
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"

	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/study"
	"atelier/halflid/tui/keys"
)

// Crops worth trying hang on the wall, each as its three-value plan, with what
// speaks for the chosen one beside it; Enter takes panel and place and leaves the
// painter's values; u brings the old crop back.
func TestCropsOnTheWall(t *testing.T) {
	b := opened(t, 140, 40)
	b.press("4")
	b.do()
	before := b.m.plan()
	b.press("C")
	if line := b.m.cropLine(); !strings.Contains(line, "looking for crops") {
		t.Errorf("while it looks: %q", line)
	}
	b.do()
	c := b.m.wall.crops
	if len(c.list) == 0 || len(c.list) > cropsProposed || len(c.plans) != len(c.list) {
		t.Fatalf("%d crops, %d plans: %s", len(c.list), len(c.plans), c.said)
	}
	for i, p := range c.plans {
		b.m.wall.at = i
		if p.Plan.Values.K != cropValues || b.m.wall.drawn[p.Plan].None() {
			t.Errorf("crop %d: %d values, drawn %v", i+1, p.Plan.Values.K, !b.m.wall.drawn[p.Plan].None())
		}
		if got := b.m.cropColumn(); !strings.Contains(got, "what speaks for it") || !strings.Contains(got, c.list[i].Panel.String()) {
			t.Errorf("crop %d: %q", i+1, got)
		}
	}
	if b.m.plan() != before {
		t.Fatal("looking changes the plan")
	}
	b.m.wall.at = 0
	b.press("l")
	want := c.list[min(1, len(c.list)-1)].Edit()(before, b.m.frame)
	b.tell(tea.KeyMsg{Type: tea.KeyEnter})
	b.do()
	if got := b.m.plan(); got != want || got.Values.K != 4 || b.m.scope != keys.Studio || b.m.view != study.Photo {
		t.Errorf("taken: %v, scope %v", got.Crop, b.m.scope)
	}
	b.press("u")
	b.do()
	if b.m.plan() != before {
		t.Error("undo does not bring the crop back")
	}
	// They are found once for one focal point.
	b.press("C")
	if b.m.wall.crops.inWork && !before.Focus.None() {
		t.Error("looked for anew")
	}
	b.do()
	b.press("y")
	b.do()
	if n := len(b.m.hist.Thumbnails()); n != 1 {
		t.Errorf("%d thumbnails kept", n)
	}
	b.press("C")
	b.do()
	if b.m.wall.hangs != kept {
		t.Error("C does not lead back to the thumbnails")
	}
}

// What is left out of the photo is left out of the crops that are looked for: the
// search begins anew, on the photo without it. A value given to a shape changes
// no photo.
func TestCropsKnowWhatIsLeftOut(t *testing.T) {
	b := opened(t, 140, 40)
	b.m.do("", plan.SetFocus(plan.Focus{X: .4, Y: .5, Radius: plan.UsualRadius}))
	b.press("C")
	b.do()
	with := b.m.wall.crops.list
	b.press("C", "T")
	b.do()
	add := func(c plan.Choice) {
		b.m.do("", plan.Choose(c))
		b.press("C")
	}
	add(plan.Choice{What: plan.GiveValue, Area: plan.BoxArea(.3, .3, .5, .6), Value: 1})
	if b.m.wall.crops.inWork {
		t.Error("a value given to a shape begins the search anew")
	}
	b.press("C", "T")
	add(plan.Choice{What: plan.LeaveOut, Area: plan.BoxArea(.2, .1, .65, .9)}) // the block
	if !b.m.wall.crops.inWork {
		t.Fatal("the crops of the photo with the block stay")
	}
	b.do()
	if without := b.m.wall.crops.list; len(without) == 0 || reflect.DeepEqual(with, without) {
		t.Errorf("the same %d crops as with the block", len(without))
	}
}

func TestPanelsAtHand(t *testing.T) {
	for _, own := range plan.Panels() {
		for _, p := range panelsAtHand(own) {
			if p.Free() || p.Way != "" || !own.Free() && (p.Unit == plan.Inch) != (own.Unit == plan.Inch) {
				t.Errorf("beside %v lies %v", own, p)
			}
		}
		if n := len(panelsAtHand(own)); n < 5 {
			t.Errorf("beside %v only %d panels", own, n)
		}
	}
}

// All that is said of a crop can be read: windowful by windowful in a low column,
// thing by thing where there is none.
func TestAllThatIsSaidOfACrop(t *testing.T) {
	for _, size := range [][2]int{{120, 24}, {120, 16}, {80, 24}, {40, 12}} {
		b := opened(t, size[0], size[1])
		b.hit("C")
		if len(b.m.wall.crops.list) == 0 {
			t.Fatalf("no crops: %s", b.m.wall.crops.said)
		}
		var said strings.Builder
		for range 30 {
			if b.m.hasColumn() {
				column := b.m.cropColumn()
				if n := strings.Count(column, "\n") + 1; n > b.m.bandRows() {
					t.Fatalf("%v: a column of %d rows in %d", size, n, b.m.bandRows())
				}
				said.WriteString(column + "\n")
			}
			b.tell(tea.KeyMsg{Type: tea.KeyPgDown})
			b.do()
			said.WriteString(b.m.note + "\n")
		}
		all := strings.Join(strings.Fields(said.String()), " ")
		for _, r := range b.m.chosenCrop().Reasons {
			if !strings.Contains(all, strings.Join(strings.Fields(r.Words), " ")) {
				t.Errorf("%v: %q is never said: %s", size, r.Words, all)
			}
		}
		if !strings.Contains(all, strings.Join(strings.Fields(b.m.chosenCrop().Sharpness()), " ")) {
			t.Errorf("%v: how sharp it is is never said", size)
		}
		at := b.m.readOn()
		b.tell(tea.KeyMsg{Type: tea.KeyPgUp})
		if b.m.readOn() >= at && at > 1 {
			t.Errorf("%v: PgUp does not go back", size)
		}
		b.hit("l")
		if b.m.wall.at > 0 && b.m.readOn() != 0 {
			t.Errorf("%v: the next crop is not read from its beginning", size)
		}
	}
}
