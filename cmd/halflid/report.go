package main

import (
	"encoding/json"
	"fmt"
	"image"
	"io"
	"math"
	"strings"

	"atelier/halflid/imageproc/photo"
	"atelier/halflid/imageproc/study"
	"atelier/halflid/palette"
)

// report is what halflid plan says about one file. Lightness is CIE L* 0..100,
// value is Munsell value 0..10, shares are parts of the picture.
type report struct {
	File    string     `json:"file"`
	Photo   string     `json:"photo"`
	Format  string     `json:"format"`
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
}

type level struct {
	Lightness float64 `json:"lightness"`
	Value     float64 `json:"value"`
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
	}
	for _, n := range s.Neighbours {
		out.Neighbours = append(out.Neighbours, neighbour{n.Shape, decimals(float64(n.Length)/max(w, h), 4), decimals(float64(n.Step), 2)})
	}
	return out
}

func levelOf(l palette.L) level {
	return level{decimals(float64(l), 2), decimals(float64(l.Value()), 2)}
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

// words writes the report for a reader.
func (r *report) words(w io.Writer) error {
	var b strings.Builder
	fmt.Fprintf(&b, "%s: %s, squint %g %%\n", photo.SafeName(r.File), r.Panel, r.Squint)
	for i, t := range r.Tones {
		name := "middle"
		switch i {
		case 0:
			name = "darkest"
		case len(r.Tones) - 1:
			name = "lightest"
		}
		fmt.Fprintf(&b, "  %-9s N%-4.1f L* %5.1f  %5.1f %% of the picture\n", name, t.Value, t.Lightness, 100*t.Share)
	}
	for i, c := range r.Cuts {
		head := "         "
		if i == 0 {
			head = "cut at   "
		}
		fmt.Fprintf(&b, "  %s N%-4.1f L* %5.1f\n", head, c.Value, c.Lightness)
	}
	noun := "shapes"
	if r.Shapes == 1 {
		noun = "shape"
	}
	fmt.Fprintf(&b, "  %d %s; the plan keeps %.0f %% of the squinted photo's variation\n", r.Shapes, noun, 100*r.Kept)
	for _, n := range r.Notes {
		fmt.Fprintf(&b, "  note: %s\n", photo.SafeName(n))
	}
	if r.Picture != "" {
		fmt.Fprintf(&b, "  wrote %s and %s\n", photo.SafeName(r.Picture), photo.SafeName(r.Plan))
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// writeJSON writes all reports as one JSON list.
func writeJSON(w io.Writer, all []*report) error {
	enc := json.NewEncoder(w)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	if all == nil {
		all = []*report{}
	}
	return enc.Encode(all)
}
