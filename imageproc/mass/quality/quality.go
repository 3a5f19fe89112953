// Package quality measures how well a plan of few flat shapes stands for a
// photograph: how near it comes when both are squinted at, how short its
// outlines are, and whether they lie on the photograph's own edges. Lengths are
// relative to the longer side, so that pictures of any size compare.
package quality

import (
	"fmt"
	"math"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/tone"
	"atelier/halflid/palette"
)

// Measures are the figures of one plan.
type Measures struct {
	Values, Shapes int
	// Error1 and Error2 are root mean square differences in L* of photograph and
	// plan under a squint of 1 and 2 percent.
	Error1, Error2 float64
	// Outline is the length of all borders over the picture's own outline.
	Outline float64
	// Thin is the share of area in parts narrower than 2 percent, 0..1.
	Thin float64
	// Precision is the share of borders that lie on an edge of the photograph,
	// Recall the share of its strong edges (by strength) that have a border, F
	// their harmonic mean; all 0..1.
	Precision, Recall, F float64
	// Invented is the length of border where the photograph has no edge of 4 L*,
	// over width plus height.
	Invented float64
}

// Photo is a photograph made ready to be compared with plans. Not for
// concurrent use.
type Photo struct {
	w, h   int
	long   float64
	blur   tone.Blurrer
	light1 imageproc.Plane[palette.L] // under a squint of 1 %
	light2 imageproc.Plane[palette.L]
	nearby []bool    // within .006 of an edge of 6..12 L*
	faint  []bool    // within .01 of an edge of 4 L*
	strong []float64 // height of the strong edges, 0 elsewhere
}

// New prepares pic. Source: ours.
func New(pic imageproc.Picture) *Photo {
	p := &Photo{w: pic.R.W, h: pic.R.H, long: float64(max(pic.R.W, pic.R.H))}
	y := pic.Luminance(imageproc.Plane[palette.Y]{})
	p.light1, p.light2 = p.squinted(y, .01), p.squinted(y, .02)
	raw := imageproc.Lightness(imageproc.Plane[palette.L]{}, y)

	sharp := p.edges(raw, .003)
	hysteresis(sharp, p.w, p.h, 6, 12)
	p.nearby = within(positive(sharp), p.w, p.h, .006*p.long)

	faint := p.edges(raw, .006)
	for i, v := range faint {
		if v < 4 {
			faint[i] = 0
		}
	}
	p.faint = within(positive(faint), p.w, p.h, .01*p.long)

	p.strong = ridges(p.light1, .01*p.long)
	keepStrongest(p.strong, 3*(p.w+p.h), 6)
	return p
}

// squinted returns the lightness of y under a squint of share of the long side.
func (p *Photo) squinted(y imageproc.Plane[palette.Y], share float64) imageproc.Plane[palette.L] {
	dst := imageproc.NewPlane[palette.Y](p.w, p.h)
	tone.BlurPlane(&p.blur, dst, y, share*p.long)
	return imageproc.Lightness(imageproc.Plane[palette.L]{}, dst)
}

// edges returns the heights of the edges of l at a spread of share of the long
// side, zero off the ridges.
func (p *Photo) edges(l imageproc.Plane[palette.L], share float64) []float64 {
	soft := imageproc.NewPlane[palette.L](p.w, p.h)
	tone.BlurPlane(&p.blur, soft, l, share*p.long)
	return ridges(soft, share*p.long)
}

// Measure compares a plan with the photograph: values holds the value of each
// pixel, tones the tone of each value. It panics if the sizes differ.
func (p *Photo) Measure(values imageproc.Labels, shapes int, tones []palette.L) Measures {
	if values.W != p.w || values.H != p.h {
		panic(fmt.Sprintf("quality: plan of %d by %d for a photograph of %d by %d", values.W, values.H, p.w, p.h))
	}
	m := Measures{Values: used(values, len(tones)), Shapes: shapes}
	flat := imageproc.NewPlane[palette.Y](p.w, p.h)
	for i, v := range values.Pix {
		flat.Pix[i] = float32(tones[v].Y())
	}
	m.Error1 = difference(p.squinted(flat, .01), p.light1)
	m.Error2 = difference(p.squinted(flat, .02), p.light2)
	m.Thin = thin(values, len(tones), math.Round(.01*p.long))

	border, sides := borders(values)
	m.Outline = float64(sides) / float64(2*(p.w+p.h))
	on, all, invented := 0, 0, 0
	for i, b := range border {
		if !b {
			continue
		}
		all++
		if p.nearby[i] {
			on++
		}
		if !p.faint[i] {
			invented++
		}
	}
	m.Invented = float64(invented) / float64(p.w+p.h)
	m.Precision = 1
	if all > 0 {
		m.Precision = float64(on) / float64(all)
	}
	near := within(border, p.w, p.h, .01*p.long)
	met, total := 0.0, 0.0
	for i, s := range p.strong {
		total += s
		if near[i] {
			met += s
		}
	}
	m.Recall = 1
	if total > 0 {
		m.Recall = met / total
	}
	if m.Precision+m.Recall > 0 {
		m.F = 2 * m.Precision * m.Recall / (m.Precision + m.Recall)
	}
	return m
}

// used counts the values that have pixels.
func used(values imageproc.Labels, n int) int {
	seen, k := make([]bool, n), 0
	for _, v := range values.Pix {
		if !seen[v] {
			seen[v] = true
			k++
		}
	}
	return k
}

// difference returns the root mean square difference.
func difference(a, b imageproc.Plane[palette.L]) float64 {
	sum := 0.0
	for i, v := range a.Pix {
		d := float64(v - b.Pix[i])
		sum += d * d
	}
	return math.Sqrt(sum / float64(len(a.Pix)))
}

// borders marks the pixels whose right or lower neighbour differs and counts
// the sides between different pixels.
func borders(values imageproc.Labels) (at []bool, sides int) {
	w, h := values.W, values.H
	at = make([]bool, w*h)
	for y := range h {
		for x := range w {
			i := y*w + x
			if x+1 < w && values.Pix[i] != values.Pix[i+1] {
				at[i] = true
				sides++
			}
			if y+1 < h && values.Pix[i] != values.Pix[i+w] {
				at[i] = true
				sides++
			}
		}
	}
	return at, sides
}

// Mean returns the mean of each figure.
func Mean(all []Measures) Measures {
	var m Measures
	n := float64(len(all))
	k, s := 0, 0
	for _, a := range all {
		k, s = k+a.Values, s+a.Shapes
		m.Error1 += a.Error1 / n
		m.Error2 += a.Error2 / n
		m.Outline += a.Outline / n
		m.Thin += a.Thin / n
		m.Precision += a.Precision / n
		m.Recall += a.Recall / n
		m.F += a.F / n
		m.Invented += a.Invented / n
	}
	m.Values, m.Shapes = int(float64(k)/n+.5), int(float64(s)/n+.5)
	return m
}

// Cost is one figure for means over pictures, 1 for the reference, lower is
// better: squint error, and the roots of outline and of edges missed.
//
// Source: ours.
func Cost(m, ref Measures) float64 {
	return m.Error1 / ref.Error1 * math.Sqrt(m.Outline/ref.Outline) * math.Sqrt((1-m.F)/(1-ref.F))
}
