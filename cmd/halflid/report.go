package main

import (
	"encoding/json"
	"fmt"
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
	r.Shapes, r.Kept = f.Shapes, decimals(f.Kept, 4)
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
