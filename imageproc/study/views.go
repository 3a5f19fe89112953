package study

import (
	"fmt"
	"image"
	"math"

	"atelier/halflid/imageproc"
	"atelier/halflid/palette"
)

// View is one way of looking at a study.
type View int

// The views. Whole shows the photo with the crop marked; the others show the
// crop alone.
const (
	Whole View = iota
	Photo
	Squint
	Values  // the squinted crop, each pixel in its value, crumbs taken in
	Plan    // the value plan: few flat shapes with the photo's own edges
	Notan   // the plan in one dark and one light
	Outline // the borders of the plan's masses as a drawing
	Steps   // the plan being blocked in, value by value, the darkest first
	views   // how many there are
)

// viewNames are the words of the command line.
var viewNames = [views]string{"whole", "photo", "squint", "values", "plan", "notan", "outline", "steps"}

// String returns the view's word.
func (v View) String() string {
	if v < 0 || v >= views {
		return fmt.Sprintf("View(%d)", int(v))
	}
	return viewNames[v]
}

// ParseView returns the view of a word; the error lists the words there are.
func ParseView(s string) (View, error) {
	for i, n := range viewNames {
		if s == n {
			return View(i), nil
		}
	}
	return 0, fmt.Errorf("there is no view %q: choose whole, photo, squint, values, plan, notan, outline or steps", s)
}

// The notan is shown in the darkest and the lightest value that paint reaches
// (about N1 and N9.5; see tone.FixedTones), not in the screen's black and white.
const (
	notanDark  palette.Value = 1
	notanLight palette.Value = 9.5
	notanSplit palette.Value = 5
)

// Ratio returns the width of what a view shows over its height.
func (s *Study) Ratio(v View) float64 {
	size := s.desk.frame.rect.Size()
	switch v {
	case Whole:
		size = s.desk.master.Size()
	case Steps:
		return s.stepsRatio()
	}
	return float64(size.X) / float64(size.Y)
}

// Raster returns a view that was made as a picture of exactly size, averaged in
// linear light (whole, photo, squint) or each pixel the value that covers most
// of its place (values, plan, notan): K values show at most K greys at every
// size. The raster is the caller's. It panics on a size below 1 by 1 and on a
// view that was not named to Make.
func (s *Study) Raster(v View, size image.Point) imageproc.Raster {
	if size.X < 1 || size.Y < 1 {
		panic("study: raster of no size")
	}
	s.check(v)
	d := s.desk
	switch v {
	case Whole:
		return d.wholeRaster(size)
	case Photo:
		return d.photoRaster(size)
	case Squint:
		return d.averaged(d.colour.pic, size)
	case Values:
		return d.paint(d.values.labels, size, d.values.tones)
	case Outline:
		return s.outlineRaster(size)
	case Steps:
		return s.stepsRaster(size)
	case Notan:
		tones := []palette.L{notanDark.L(), notanLight.L()}
		if d.notanAllLight() {
			tones = tones[1:]
		}
		return d.paint(d.shapes.notan.labels, size, tones)
	default:
		g := &d.shapes.drawing
		return d.paint(g.labels, size, g.tones)
	}
}

// notanAllLight reports whether the notan is one light: a flat photo is all light
// or all dark.
func (d *Desk) notanAllLight() bool {
	n := &d.shapes.notan
	return len(n.tones) == 1 && n.tones[0] >= notanSplit.L()
}

// NotanShares returns how much of the picture is dark and how much is light in
// the notan, summing to 1. It panics unless Notan was named to Make.
func (s *Study) NotanShares() (dark, light float64) {
	s.check(Notan)
	shares := s.desk.shapes.notan.plan.Shares
	switch {
	case len(shares) > 1:
		return shares[0], shares[1]
	case s.desk.notanAllLight():
		return 0, 1
	}
	return 1, 0
}

// photoRaster averages the crop straight from the master, over a box on the
// lattice of the raster's cells laid over the photo (a cell is one pixel wide
// and two high). It lies half a cell off at most, and a crop that moves shows
// the very same cells elsewhere, which a terminal can move instead of being sent
// them anew. Only against the photo's far edges it leaves the lattice.
func (d *Desk) photoRaster(size image.Point) imageproc.Raster {
	r, m := d.frame.rect, d.master.Size()
	x := onLattice(r.Min.X, r.Dx(), m.X, float64(r.Dx())/float64(size.X))
	y := onLattice(r.Min.Y, r.Dy(), m.Y, 2*float64(r.Dy())/float64(size.Y))
	d.small = d.small.Reshape(size.X, size.Y)
	d.averager.Average(d.small, d.master, imageproc.Box{X0: x, Y0: y, X1: x + float64(r.Dx()), Y1: y + float64(r.Dy())})
	return d.small.Raster(imageproc.Raster{})
}

// onLattice returns the place nearest to at on a lattice of that pitch, or the
// last place at which length fits into n if that comes first.
func onLattice(at, length, n int, pitch float64) float64 {
	return min(math.Round(float64(at)/pitch)*pitch, float64(n-length))
}

func (d *Desk) paint(labels imageproc.Labels, size image.Point, tones []palette.L) imageproc.Raster {
	if size != labels.Size() {
		d.shown = labels.Majority(d.shown, size.X, size.Y, len(tones))
		labels = d.shown
	}
	return labels.Paint(imageproc.Raster{}, greys(tones))
}

func greys(tones []palette.L) []palette.SRGB {
	out := make([]palette.SRGB, len(tones))
	for i, t := range tones {
		out[i] = palette.Grey(t.Y())
	}
	return out
}

func (d *Desk) averaged(pic imageproc.Picture, size image.Point) imageproc.Raster {
	if pic.Size() != size {
		d.small = d.small.Reshape(size.X, size.Y)
		d.averager.Average(d.small, pic, imageproc.WholeBox(pic.R.W, pic.R.H))
		pic = d.small
	}
	return pic.Raster(imageproc.Raster{})
}

// whole is the whole photo at the size it was last shown: while the crop moves
// over it only the marking changes.
type whole struct {
	size      image.Point
	retouched int // which state of the photo
	raster    imageproc.Raster
}

// outsideLight is the share of its light that the photo keeps outside the crop:
// enough to see what is left out, too little to judge it.
const outsideLight palette.Light = 0.35

func (d *Desk) wholeRaster(size image.Point) imageproc.Raster {
	if w := &d.whole; w.size != size || w.retouched != d.retouched.made {
		w.raster = d.averaged(d.master, size)
		w.size, w.retouched = size, d.retouched.made
	}
	out := imageproc.NewRaster(size.X, size.Y)
	copy(out.Pix, d.whole.raster.Pix)
	r, m := d.frame.rect, d.master.Size()
	if r == (image.Rectangle{Max: m}) {
		return out
	}
	x0, x1 := scaled(r.Min.X, r.Max.X, m.X, size.X)
	y0, y1 := scaled(r.Min.Y, r.Max.Y, m.Y, size.Y)
	out.Dim(image.Rect(x0, y0, x1, y1), outsideLight)
	return out
}

// scaled returns the stretch lo..hi of a line of m pixels on a line of n, to
// the nearest whole pixels; at least one, so that the smallest crop still shows.
func scaled(lo, hi, m, n int) (int, int) {
	at := func(i int) int { return int(math.Round(float64(i) * float64(n) / float64(m))) }
	from := min(at(lo), n-1)
	return from, max(at(hi), from+1)
}
