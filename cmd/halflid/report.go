package main

import (
	"fmt"
	"image"
	"io"
	"math"
	"strconv"
	"strings"

	"atelier/halflid/imageproc/photo"
	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/study"
	"atelier/halflid/palette"
)

// report is what halflid plan says about one file. Lightness is CIE L* 0..100,
// value is Munsell value 0..10, shares are parts of the picture.
type report struct {
	File    string     `json:"file"`
	Photo   string     `json:"photo"`
	Format  string     `json:"format"`
	Profile string     `json:"profile"` // of the photo's colours, as it was read
	Pixels  [2]int     `json:"pixels"`  // of the photo, upright
	Working [2]int     `json:"working"` // of the picture that was measured
	Panel   string     `json:"panel"`
	Crop    [4]float64 `json:"crop"` // x, y, w, h in parts of the photo
	Squint  float64    `json:"squint_percent"`
	Cuts    []level    `json:"cuts"`
	Tones   []toned    `json:"tones"`
	Shapes  int        `json:"shapes"`
	Most    int        `json:"most_shapes"` // that the finest plan has
	List    []shape    `json:"shape_list"`
	Kept    float64    `json:"variation_kept"`
	Hash    string     `json:"plan_hash"`
	Picture string     `json:"picture,omitempty"` // the files that were written
	Plan    string     `json:"plan,omitempty"`
	Notes   []string   `json:"notes,omitempty"`
	Choices []choice   `json:"choices"`

	Thumbnails []keptThumb `json:"thumbnails,omitzero"` // if they were asked for
	Wall       string      `json:"wall,omitempty"`      // the sheet with all of them
}

// choice is one choice about a place, in the order of the plan's list.
type choice struct {
	What     string `json:"what"`
	Words    string `json:"words"`
	Standing string `json:"standing"` // holds, off, outside the crop, overruled
}

type level struct {
	Lightness float64   `json:"lightness"`
	Value     float64   `json:"value"`
	exact     palette.L // for words: what is rounded twice can be off by one
}

type toned struct {
	level
	Share float64 `json:"share"`
}

// shape is one flat shape of the plan. Places are parts of the crop's width and
// height; border lengths are parts of its long side, steps are in Munsell value.
type shape struct {
	level
	Share      float64     `json:"share"`
	Bounds     [4]float64  `json:"bounds"` // left, top, right, bottom
	Centre     [2]float64  `json:"centre"`
	Neighbours []neighbour `json:"neighbours"`
	Plane      string      `json:"plane"`      // sky, ground, slant, upright
	PlaneSure  float64     `json:"plane_sure"` // 0..1; 1: the painter said so
	Depth      string      `json:"depth"`      // far, middle, near
	DepthSure  float64     `json:"depth_sure"`
}

type neighbour struct {
	Shape  int     `json:"shape"` // its place in the list, from 0
	Length float64 `json:"border"`
	Step   float64 `json:"step"`
}

func shapeOf(s study.Shape, size image.Point) shape {
	w, h := float64(size.X), float64(size.Y)
	out := shape{
		level: levelOf(s.Tone), Share: decimals(s.Share, 4), Neighbours: []neighbour{},
		Bounds: [4]float64{
			decimals(float64(s.Bounds.Min.X)/w, 4), decimals(float64(s.Bounds.Min.Y)/h, 4),
			decimals(float64(s.Bounds.Max.X)/w, 4), decimals(float64(s.Bounds.Max.Y)/h, 4),
		},
		Centre: [2]float64{decimals(s.X/w, 4), decimals(s.Y/h, 4)},
		Plane:  string(s.Plane), PlaneSure: decimals(s.PlaneSure, 2),
		Depth: string(s.Depth), DepthSure: decimals(s.DepthSure, 2),
	}
	for _, n := range s.Neighbours {
		out.Neighbours = append(out.Neighbours, neighbour{n.Shape, decimals(float64(n.Length)/max(w, h), 4), decimals(float64(n.Step), 2)})
	}
	return out
}

func levelOf(l palette.L) level {
	return level{decimals(float64(l), 2), decimals(float64(l.Value()), 2), l}
}

func decimals(v float64, n int) float64 {
	unit := math.Pow(10, float64(n))
	return math.Round(v*unit) / unit
}

// figures fills in what was measured.
func (r *report) figures(f study.Figures) {
	r.Working = [2]int{f.Size.X, f.Size.Y}
	r.Shapes, r.Most, r.Kept = f.Shapes, f.Most, decimals(f.Kept, 4)
	r.List = []shape{}
	for _, s := range f.List {
		r.List = append(r.List, shapeOf(s, f.Size))
	}
	r.Cuts = []level{}
	for _, c := range f.Cuts {
		r.Cuts = append(r.Cuts, levelOf(c))
	}
	for i, t := range f.Tones {
		r.Tones = append(r.Tones, toned{levelOf(t), decimals(f.Shares[i], 4)})
	}
}

// choices fills in what the painter decided about single places of p, and what
// becomes of it.
func (r *report) choices(p plan.Plan, f study.Figures) {
	r.Choices = []choice{}
	for i, c := range p.Choices.List() {
		standing := f.Choices[i].String()
		if standing == "" {
			standing = holds
		}
		r.Choices = append(r.Choices, choice{string(c.What), c.Words(), standing})
	}
}

// holds is the standing of a choice that does what it says.
const holds = "holds"

// words writes the report for a reader.
func (r *report) words(w io.Writer) error {
	var b strings.Builder
	fmt.Fprintf(&b, "%s: %s, squint %g %%\n", photo.SafeName(r.File), r.Panel, r.Squint)
	for i, t := range r.Tones {
		name := plan.ValueName(i, len(r.Tones))
		fmt.Fprintf(&b, "  %-10s N%-4.1f L* %5.1f  %5.1f %% of the picture\n", name, float64(t.exact.Value()), t.Lightness, 100*t.Share)
	}
	for i, c := range r.Cuts {
		head := ""
		if i == 0 {
			head = "cut at"
		}
		fmt.Fprintf(&b, "  %-10s N%-4.1f L* %5.1f\n", head, float64(c.exact.Value()), c.Lightness)
	}
	fmt.Fprintf(&b, "  %s; the plan keeps %.0f %% of the squinted photo's light and dark\n", counted(r.Shapes, "shape", "shapes"), 100*r.Kept)
	for i, c := range r.Choices {
		fmt.Fprintf(&b, "  choice %-3d %s", i+1, c.Words)
		if c.Standing != holds {
			b.WriteString(": " + c.Standing)
		}
		b.WriteByte('\n')
	}
	for _, n := range r.Notes {
		fmt.Fprintf(&b, "  note: %s\n", photo.SafeName(n))
	}
	if r.Picture != "" {
		fmt.Fprintf(&b, "  wrote %s and %s\n", photo.SafeName(r.Picture), photo.SafeName(r.Plan))
	}
	r.thumbnailWords(&b)
	_, err := io.WriteString(w, b.String())
	return err
}

func (r *report) thumbnailWords(b *strings.Builder) {
	if r.Thumbnails == nil {
		return
	}
	for _, t := range r.Thumbnails {
		fmt.Fprintf(b, "  thumbnail %-3d %s: %s, %d values\n", t.Number, photo.SafeName(t.Name), t.Panel, t.Values)
		if t.Picture != "" {
			fmt.Fprintf(b, "    wrote %s\n", photo.SafeName(t.Picture))
		}
	}
	switch n := len(r.Thumbnails); {
	case n == 0:
		b.WriteString("  no thumbnails are kept\n")
	case r.Wall != "":
		fmt.Fprintf(b, "  wrote %s with %s\n", photo.SafeName(r.Wall), counted(n, "thumbnail", "thumbnails"))
	}
}

// counted returns a number with its noun.
func counted(n int, one, more string) string {
	if n == 1 {
		return "1 " + one
	}
	return strconv.Itoa(n) + " " + more
}

// writeJSON writes all reports as one JSON list.
func writeJSON(w io.Writer, all []*report) error {
	if all == nil {
		all = []*report{}
	}
	return printJSON(w, all)
}
