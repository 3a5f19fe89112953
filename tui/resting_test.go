package tui

import (
	"context"
	"errors"
	"slices"
	"strings"
	"testing"

	"github.com/charmbracelet/x/ansi"

	"atelier/halflid/imageproc/study"
)

// The lines below every view of the photo say what they say below the plan.
func TestViewsAgreeOnFigures(t *testing.T) {
	b := opened(t, 160, 30)
	lines := func() string {
		status := strings.Fields(b.status())
		return ansi.Strip(b.m.valuesLine()) + strings.Join(status[slices.Index(status, "in"):], " ")
	}
	for _, change := range []string{"2", ".", "i", "4", ","} {
		b.press("m", change)
		b.do()
		want := lines()
		if !strings.Contains(want, "shape") {
			t.Fatalf("below the plan: %q", want)
		}
		for _, v := range []string{"w", "c", "s", " ", " "} {
			b.press(v)
			b.do()
			if got := lines(); got != want {
				t.Errorf("after %s, below the %s:\n%s\nbelow the plan:\n%s", change, b.m.view, got, want)
			}
		}
	}
}

// The picture comes first; the plan is measured when no key follows, and what was
// measured last stands there in between, marked as old.
func TestMeasuredWhenKeysRest(t *testing.T) {
	b := opened(t, 160, 30)
	old := ansi.Strip(b.m.valuesLine())
	b.press("c", "i", "i")
	for !b.m.unmeasured() {
		b.step()
	}
	if b.m.shown.want.plan.Crop.W == b.m.plan().Crop.W {
		t.Fatal("the first picture was to be of an older plan")
	}
	for b.m.shown.want.plan != b.m.plan() {
		b.step()
	}
	if got := strings.Join(strings.Fields(ansi.Strip(b.m.valuesLine())), " "); got != strings.Join(strings.Fields(old), " ")+" …" || !strings.Contains(b.status(), "… shapes") {
		t.Errorf("before it is measured: %q, %q", got, b.status())
	}
	b.do()
	if b.m.unmeasured() || strings.Contains(b.status(), "…") || b.m.shown.figures.Map.W == 0 {
		t.Errorf("after: %q", b.status())
	}
}

// A key ends the measuring, and its picture is next.
func TestKeyEndsMeasuring(t *testing.T) {
	b := opened(t, 160, 30)
	b.press("c", ".")
	for b.m.jobs.stop == nil {
		b.step()
	}
	measuring := b.todo[len(b.todo)-1]
	b.press(".")
	msg, ok := measuring().(done)
	if !ok || !errors.Is(msg.err, context.Canceled) {
		t.Fatalf("measuring went on: %+v", msg)
	}
	b.todo = b.todo[:len(b.todo)-1]
	b.tell(msg)
	if b.m.note != "" || !b.m.jobs.running || b.m.jobs.last.plan != b.m.plan() {
		t.Errorf("note %q, running %v", b.m.note, b.m.jobs.running)
	}
	b.do()
	if b.m.unmeasured() || b.m.shown.want.plan != b.m.plan() {
		t.Error("the last plan is not measured")
	}
}

// What cannot be measured is said once and not tried for ever.
func TestMeasuringFailsOnce(t *testing.T) {
	b := opened(t, 160, 30)
	b.press("c", ".")
	for b.m.jobs.stop == nil {
		b.step()
	}
	b.todo = nil
	b.tell(done{want: b.m.jobs.last, err: errors.New("no plan can be made of this")})
	b.do()
	if b.m.note != "no plan can be made of this" || b.m.jobs.running {
		t.Errorf("note %q, running %v", b.m.note, b.m.jobs.running)
	}
	b.press(",")
	b.do()
	if b.m.unmeasured() || b.m.view != study.Squint {
		t.Errorf("another plan, in %s, is not measured", b.m.view)
	}
}
