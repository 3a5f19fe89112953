package sheet

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"atelier/halflid/imageproc/page"
	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/study"
)

// Options say which sheets are made and how. The zero value makes an outline on
// the paper that is usual with the panel.
type Options struct {
	Kinds []Kind     // in any order; none: Outline alone
	Paper page.Paper // turned as fits best; the zero Paper: UsualPaper of the panel

	Grid   plan.Grid // over the outline, and on the grid sheet, which without one takes UsualGrid
	Fill   bool      // the outline's masses in their greys, not as lines alone
	Mirror bool      // the outline's left and right exchanged, its numbers still readable: for tracing through
	Light  bool      // lines so light that paint covers them, without numbers: for printing on the support itself; not with Fill

	Order study.Order // of the steps; empty: the darkest first

	Title string // what stands at the head of each page; empty: the photo's name
	Note  string // a paragraph on the hand-out; may be empty

	// Long is the long side of the picture in mm where the panel is free, 20 to
	// 3000; 0: as long as fits on one page. A panel that has a size ignores it.
	Long float64
}

// Limits of Options.Long, as of a panel's sides.
const (
	leastLongMM = 20
	mostLongMM  = 3000
)

// leastSide is the shorter side in mm of the smallest paper that the ruler and
// the words about it have room on.
const leastSide = 90

// UsualPaper returns letter for panels in inches, A4 for all others.
func UsualPaper(p plan.Panel) page.Paper {
	name := "a4"
	if !p.Free() && p.Unit == plan.Inch {
		name = "letter"
	}
	out, err := page.ParsePaper(name)
	if err != nil {
		panic("sheet: no paper " + name)
	}
	return out
}

// UsualGrid returns the grid of a panel where none is named: squares that a ruler
// finds at once, halves with diagonals on a panel of no size.
func UsualGrid(p plan.Panel) plan.Grid {
	all := plan.Grids(p)
	if p.Free() {
		return all[1]
	}
	return all[len(all)-1]
}

// fitted returns the options with what they leave open filled in.
func (o Options) fitted(m Material) (Options, error) {
	for _, k := range o.Kinds {
		if _, err := ParseKind(string(k)); err != nil {
			return o, err
		}
	}
	if o.Paper == (page.Paper{}) {
		o.Paper = UsualPaper(m.Plan.Panel)
	}
	w, h := o.Paper.W, o.Paper.H
	if !(min(w, h) >= leastSide) || !(max(w, h) <= mostLongMM) {
		return o, fmt.Errorf("paper of %s by %s mm: sheets need %d to %d mm each way", short(w), short(h), leastSide, mostLongMM)
	}
	switch o.Order {
	case "":
		o.Order = study.DarkFirst
	case study.DarkFirst, study.LightFirst, study.LargeFirst:
	default:
		return o, fmt.Errorf("there is no order %q: choose dark, light or large", string(o.Order))
	}
	if o.Long != 0 && !(o.Long >= leastLongMM && o.Long <= mostLongMM) {
		return o, fmt.Errorf("a long side of %s mm is out of range: %d to %d", short(o.Long), leastLongMM, mostLongMM)
	}
	if o.Title == "" {
		o.Title = m.Name
	}
	switch {
	case o.has(Hung) && len(m.Thumbnails) == 0:
		return o, ErrNoThumbnails
	case o.Fill && o.Light:
		return o, errors.New("an outline is filled or light, not both")
	}
	return o, nil
}

// has reports whether sheets of a kind are wanted.
func (o Options) has(k Kind) bool {
	return slices.Contains(o.Kinds, k) || len(o.Kinds) == 0 && k == Outline
}

// short writes a number with at most one decimal.
func short(v float64) string {
	v = math.Round(v*10) / 10
	if v == math.Trunc(v) {
		return fmt.Sprintf("%.0f", v)
	}
	return fmt.Sprintf("%.1f", v)
}
