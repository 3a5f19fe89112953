package study

import (
	"fmt"
	"image"
	"math"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/plan"
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
	Values
	Notan
)

// viewNames are the words of the command line and of the status line.
var viewNames = [...]string{"whole", "photo", "squint", "values", "notan"}

// String returns the view's word.
func (v View) String() string {
	if v < 0 || int(v) >= len(viewNames) {
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
	return 0, fmt.Errorf("there is no view %q: choose whole, photo, squint, values or notan", s)
}

// The notan is shown in the darkest and the lightest value that paint reaches
// (about N1 and N9.5; see tone.FixedTones), not in the screen's black and white.
const (
	notanDark  palette.Value = 1
	notanLight palette.Value = 9.5
)

// Ratio returns the width of what a view shows over its height.
func (s *Study) Ratio(v View) float64 {
	size := s.desk.frame.rect.Size()
	if v == Whole {
		size = s.desk.master.Size()
	}
	return float64(size.X) / float64(size.Y)
}

// Raster returns the view as a picture of exactly size, averaged in linear
// light (photo, squint) or each pixel the value that covers most of its place
// (values, notan): a plan of K values shows exactly K greys at every size. The
// raster is the caller's. It panics on a size below 1 by 1 and on a view that
// there is not.
func (s *Study) Raster(v View, size image.Point) (imageproc.Raster, error) {
	if size.X < 1 || size.Y < 1 {
		panic("study: raster of no size")
	}
	d := s.desk
	switch v {
	case Whole:
		return d.wholeRaster(size), nil
	case Photo:
		return d.averaged(d.frame.pic, size), nil
	case Squint:
		d.setColour()
		return d.averaged(d.colour.pic, size), nil
	case Notan:
		n, err := d.setNotan(s.plan)
		if err != nil {
			return imageproc.Raster{}, err
		}
		return d.paint(n.labels, size, []palette.L{notanDark.L(), notanLight.L()}), nil
	case Values:
		p := &d.values[0]
		return d.paint(p.labels, size, p.tones), nil
	}
	panic(fmt.Sprintf("study: raster of %v", v))
}

// setNotan makes the two-value reading: the plan's squint and shapes, one cut.
func (d *Desk) setNotan(p plan.Plan) (*values, error) {
	p.Values = plan.Values{K: 2, CutMethod: plan.CutLeastError, ToneMethod: plan.ToneMean}
	return d.setValues(&d.values[1], p)
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
	size   image.Point
	raster imageproc.Raster
}

// outsideLight is the share of its light that the photo keeps outside the crop:
// enough to see what is left out, too little to judge it.
const outsideLight palette.Light = 0.35

func (d *Desk) wholeRaster(size image.Point) imageproc.Raster {
	if d.whole.size != size {
		d.whole.raster = d.averaged(d.master, size)
		d.whole.size = size
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
