package mass

import (
	"fmt"
	"image"
	"slices"

	"atelier/halflid/imageproc"
)

// Outline is a part of the picture whose outlines are smoothed: Sigma is the
// standard deviation of the smoothing in pixels, at most 100. With 0 they stay
// as the picture has them.
type Outline struct {
	Mask  imageproc.Mask
	Sigma float64
}

// widestOutline keeps the counts of a window inside 32 bits.
const widestOutline = 100

// redraw is the values of a plan's pixels while outlines are smoothed.
type redraw struct {
	l        *Layout
	p        *Plan
	old, out imageproc.Labels
	which    []uint16 // the outline that a pixel is redrawn by, from 1; 0: none
}

// Smooth redraws p, a plan of l, inside the outlines, the later where several
// meet: each pixel takes the value that is most frequent around it, counted with
// a window near a Gaussian, so that corners round off and straight edges stay;
// of values equally frequent its own if it is one of them, else the darkest. The
// picture is mirrored at its edges. A shape narrower than about sigma goes, but
// the last of a value stays as it was. Crumbs of fewer than least pixels inside
// the outlines are taken in by the neighbour with the longest border; where one
// would be left outside, the shape that it was part of stays as it was. Outside
// nothing changes. All that the plan says is measured again, but Next is -1. p is
// not changed; without outlines of a sigma it is returned. It panics if p or a
// mask is not of the picture's size.
//
// Source: threshold dynamics, Merriman, Bence, Osher 1992.
func (l *Layout) Smooth(p Plan, outlines []Outline, least int) Plan {
	b := l.base
	if p.Labels.W != b.w || p.Labels.H != b.h {
		panic(fmt.Sprintf("mass: smooth a plan of %d by %d on a picture of %d by %d", p.Labels.W, p.Labels.H, b.w, b.h))
	}
	r := &redraw{l: l, p: &p, which: make([]uint16, b.w*b.h)}
	areas := r.find(outlines)
	if areas == nil {
		return p
	}
	r.old, r.out = imageproc.NewLabels(b.w, b.h), imageproc.NewLabels(b.w, b.h)
	for i, s := range p.Labels.Pix {
		r.old.Pix[i] = int32(p.Shapes[s].Value)
	}
	copy(r.out.Pix, r.old.Pix)
	for n, area := range areas {
		if !area.Empty() {
			r.vote(uint16(n+1), area, min(outlines[n].Sigma, widestOutline))
		}
	}
	r.keepValues()
	return r.measure(r.takeCrumbsIn(least))
}

// find notes which outline redraws each pixel and returns where each lies, nil
// if none does anything.
func (r *redraw) find(outlines []Outline) []image.Rectangle {
	w := r.l.base.w
	areas := make([]image.Rectangle, len(outlines))
	for n, o := range outlines {
		r.l.base.sameSize("smooth", o.Mask)
		number := uint16(n + 1)
		if !(o.Sigma > 0) {
			number = 0
		}
		for y := range o.Mask.H {
			first, last := w, -1
			which := r.which[y*w:][:w]
			for x, in := range o.Mask.Pix[y*w:][:len(which)] {
				if in {
					which[x] = number
					first, last = min(first, x), x
				}
			}
			if last >= 0 && number > 0 {
				areas[n] = areas[n].Union(image.Rect(first, y, last+1, y+1))
			}
		}
	}
	for _, number := range r.which {
		if number > 0 {
			return areas
		}
	}
	return nil
}

// vote gives the pixels of outline n, which lie in area, their most frequent
// value.
func (r *redraw) vote(n uint16, area image.Rectangle, sigma float64) {
	win := windowOf(sigma)
	used := r.valuesNear(area, win.reach())
	if len(used) < 2 || win.reach() == 0 {
		return
	}
	// A word counts two values, 32 bits each.
	words := (len(used) + 1) / 2
	count := make([]uint64, len(r.p.Tones))
	place := make([]int, len(r.p.Tones))
	for k, v := range used {
		place[v], count[v] = k/2, 1<<(32*(k%2))
	}
	b, reach, w := r.l.base, win.reach(), area.Dx()
	var sums columnSums
	sums.start(win, words*w, 0, ^uint64(0))
	line := make([]uint64, words*(w+2*reach))
	mid := make([]uint64, w+2*win.r2)
	of := make([]int, w+2*reach)
	for x := range of {
		of[x] = mirrored(area.Min.X-reach+x, b.w)
	}
	y := area.Min.Y
	for from := y - reach; y < area.Max.Y; from++ {
		row := r.old.Row(mirrored(from, b.h))
		clear(line)
		for x, at := range of {
			v := row[at]
			line[place[v]*len(of)+x] = count[v]
		}
		sums.leave()
		slot := sums.slot()
		for k := range words {
			runningSum(mid, line[k*len(of):][:len(of)], win.r1)
			runningSum(slot[k*w:][:w], mid, win.r2)
		}
		if sum := sums.enter(); sum != nil {
			r.decide(n, image.Pt(area.Min.X, y), sum, used, w)
			y++
		}
	}
}

// decide sets a row of w pixels from the counts around them.
func (r *redraw) decide(n uint16, at image.Point, sum []uint64, used []int32, w int) {
	from := at.Y*r.l.base.w + at.X
	which, out, old := r.which[from:][:w], r.out.Pix[from:][:w], r.old.Pix[from:][:w]
	for x, o := range which {
		if o != n {
			continue
		}
		best, most, own := int32(-1), uint32(0), uint32(0)
		for k, v := range used {
			c := uint32(sum[k/2*w+x] >> (32 * (k % 2)))
			if v == old[x] {
				own = c
			}
			if c > most {
				best, most = v, c
			}
		}
		if own < most {
			out[x] = best
		}
	}
}

// valuesNear returns the values within reach of area, rising.
func (r *redraw) valuesNear(area image.Rectangle, reach int) []int32 {
	b := r.l.base
	// Mirrored pixels lie within reach of the edge, so inside the same rectangle.
	area = area.Inset(-reach).Intersect(image.Rect(0, 0, b.w, b.h))
	seen := make([]bool, len(r.p.Tones))
	for y := area.Min.Y; y < area.Max.Y; y++ {
		last := int32(-1)
		for _, v := range r.old.Row(y)[area.Min.X:area.Max.X] {
			if v != last {
				seen[v], last = true, v
			}
		}
	}
	var out []int32
	for v, ok := range seen {
		if ok {
			out = append(out, int32(v))
		}
	}
	return out
}

// keepValues undoes what would take the last pixels of a value.
func (r *redraw) keepValues() {
	for {
		had, has := make([]bool, len(r.p.Tones)), make([]bool, len(r.p.Tones))
		for i, v := range r.out.Pix {
			has[v], had[r.old.Pix[i]] = true, true
		}
		if slices.Equal(had, has) {
			return
		}
		for i, v := range r.old.Pix {
			if !has[v] {
				r.out.Pix[i] = v
			}
		}
	}
}
