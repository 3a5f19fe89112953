package main

import (
	"errors"
	"path/filepath"
	"strings"
	"testing"

	"atelier/halflid/cmd/halflid/keep"
	"atelier/halflid/imageproc/plan"
)

// A window that read the plan while another still had it: what that one saved
// last is not written over. The studio goes on from it, a command says so.
func TestWhatAnotherWindowSavedStays(t *testing.T) {
	t.Setenv("XDG_STATE_HOME", t.TempDir())
	for _, named := range []string{"quay.png", "quay.plan.json"} {
		dir, file := quay(t)
		path := filepath.Join(dir, "quay.plan.json")
		if named == "quay.plan.json" {
			must(t, "plan", file)
		}
		w, err := openWork(t.Context(), filepath.Join(dir, named))
		if err != nil {
			t.Fatal(err)
		}
		other, err := openWork(t.Context(), file)
		if err != nil {
			t.Fatal(err)
		}
		theirs := other.file.With(plan.SetSquint(4)(other.plan, other.frame()))
		if err := keep.Save(path, theirs.Text()); err != nil {
			t.Fatal(err)
		}
		if _, err := w.lock(path); !errors.Is(err, errMeanwhile) {
			t.Errorf("%s: %v", named, err)
		}
		k, note := newKeeper(w, func(string) {})
		if k.notSet != nil || w.file.Plan.Squint != 4 || k.file.Plan.Squint != 4 {
			t.Errorf("%s: %v, squint %g, %s", named, k.notSet, w.file.Plan.Squint, note)
		}
		h := w.file.History()
		k.Changed(h.Do("", plan.SetK(2)(h.Plan(), w.frame())))
		if err := k.Close(); err != nil {
			t.Fatal(err)
		}
		if f, err := keep.Load(path); err != nil || f.Plan.Squint != 4 || f.Plan.Values.K != 2 {
			t.Errorf("%s: kept %+v, %v", named, f.Plan, err)
		}
	}
}

// A plan of a newer version that another window saves while this one opens is left
// as it is: it is not set aside like one that cannot be read.
func TestNewerPlanSavedMeanwhileIsLeft(t *testing.T) {
	t.Setenv("XDG_STATE_HOME", t.TempDir())
	dir, file := quay(t)
	w, err := openWork(t.Context(), file)
	if err != nil {
		t.Fatal(err)
	}
	newer := strings.Replace(string(w.file.Text()), `"version": 1`, `"version": 99`, 1)
	path := write(t, dir, "quay.plan.json", []byte(newer))
	k, _ := newKeeper(w, func(string) {})
	if k.notSet == nil {
		t.Error("it is written over")
	}
	h := w.file.History()
	k.Changed(h.Do("", plan.SetK(2)(h.Plan(), w.frame())))
	if err := k.Close(); err != nil {
		t.Error(err)
	}
	if got := string(readFileT(t, path)); got != newer {
		t.Errorf("it is now\n%s", got)
	}
}
