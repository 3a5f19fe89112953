package main

import (
	"context"
	"fmt"
	"image"
	"io"
	"strconv"
	"strings"

	"atelier/halflid/imageproc/photo"
	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/reading"
	"atelier/halflid/imageproc/study"
)

// told is one plan that was read.
type told struct {
	file, photo string
	thumbnail   int    // 1 the first; 0: the plan itself
	name        string // of the thumbnail
	plan        plan.Plan
	size        image.Point // of the photo
	reading     reading.Reading
	lines       []reading.Line
	work        *work
}

// one reads what is wanted of one file: its plan, or thumbnails, or all of them.
// One desk makes them all.
func (r *reader) one(ctx context.Context, file string) ([]told, error) {
	w, err := openWork(ctx, file)
	if err != nil {
		return nil, err
	}
	if err := w.unsound(); err != nil {
		return nil, err
	}
	desk := study.NewDesk(w.photo.Master)
	numbers := r.numbers
	switch {
	case r.every:
		numbers = []int{0}
		for i := range w.file.Thumbnails {
			numbers = append(numbers, i+1)
		}
	case r.compare && len(numbers) == 1:
		numbers = []int{0, numbers[0]}
	case len(numbers) == 0:
		numbers = []int{0}
	}
	var out []told
	for _, n := range numbers {
		t := told{file: file, photo: w.name(), thumbnail: n, plan: w.plan, size: w.photo.Size, work: w}
		if n > 0 {
			if t.plan, err = w.thumbnail(n); err != nil {
				return nil, err
			}
			t.name = w.file.Thumbnails[n-1].Name
		}
		if t.plan, err = r.changes.apply(ctx, desk, t.plan, w.frame()); err != nil {
			return nil, err
		}
		s, err := desk.Make(ctx, t.plan, study.Plan)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", file, err)
		}
		t.reading = reading.Read(s)
		t.lines = t.reading.Lines(t.plan.Panel.Ruler())
		out = append(out, t)
	}
	return out, nil
}

// label names what was read on a line.
func (t told) label() string {
	if t.thumbnail == 0 {
		return photo.SafeName(t.file)
	}
	return photo.SafeName(t.file) + ", " + t.short()
}

// short names the thumbnail, without its file.
func (t told) short() string {
	switch {
	case t.thumbnail == 0:
		return "the plan"
	case t.name == "":
		return "thumbnail " + strconv.Itoa(t.thumbnail)
	}
	return "thumbnail " + strconv.Itoa(t.thumbnail) + " " + photo.SafeName(t.name)
}

// inWords writes the lines of a reading, what is asked apart from the rest.
func (t told) inWords() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s: %s\n", t.label(), t.plan.Panel)
	for _, part := range []struct {
		asks bool
		head string
	}{{true, "practice would ask"}, {false, "and it says"}} {
		head := "  " + part.head + "\n"
		for _, l := range t.lines {
			if l.Asks == part.asks {
				line := fmt.Sprintf("    %-66s  %s", l.Words, t.place(l))
				b.WriteString(head + strings.TrimRight(line, " ") + "\n")
				head = ""
			}
		}
	}
	return b.String()
}

// place says where in the crop the one place lies that a line speaks of; empty if
// it speaks of several, or of none.
func (t told) place(l reading.Line) string {
	x0, y0, x1, y1 := t.plan.Rect(t.size)
	var at plan.Point
	switch {
	case len(l.At) == 1:
		at = l.At[0]
	case !l.Area.Empty():
		left, top, right, bottom := l.Area.Bounds()
		at = plan.Point{X: (left + right) / 2, Y: (top + bottom) / 2}
	default:
		return ""
	}
	return fmt.Sprintf("%.0f %% across, %.0f %% down", 100*(at.X-x0)/(x1-x0), 100*(at.Y-y0)/(y1-y0))
}

// entry is one reading as JSON; reading.Schema says what it means.
type entry struct {
	File      string          `json:"file"`
	Photo     string          `json:"photo"`
	Thumbnail *int            `json:"thumbnail"`
	Panel     string          `json:"panel"`
	Hash      string          `json:"plan_hash"`
	Reading   reading.Reading `json:"reading"`
	Lines     []reading.Line  `json:"lines"`
}

// writeReadings writes all that was read as one JSON list.
func writeReadings(w io.Writer, all []told) error {
	out := []entry{}
	for _, t := range all {
		e := entry{File: t.file, Photo: t.photo, Panel: t.plan.Panel.String(), Hash: plan.Hash(t.plan), Reading: t.reading, Lines: t.lines}
		if t.thumbnail > 0 {
			e.Thumbnail = &t.thumbnail
		}
		out = append(out, e)
	}
	return printJSON(w, out)
}
