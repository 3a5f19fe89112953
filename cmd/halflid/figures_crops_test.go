package main

import (
	"context"
	"fmt"
	"image"
	"math"
	"math/cmplx"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/crops"
	"atelier/halflid/imageproc/photo"
	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/reading"
	"atelier/halflid/imageproc/study"
	"atelier/halflid/palette"
)

// cropPanels are the panels of the figures: nine forms.
var cropPanels = []string{"6x8", "9x12", "8x10", "5x7", "a5", "square"}

// Every photograph of a folder, its focal point the strongest place that is
// found: which percentile of random crops of the same panels, sizes and places
// about the same focal point the first proposal reaches: in how much of what
// practice asks the plan of the studio answers with yes, in the weight of what the
// reading of that plan asks, and on two measures that the search does not use.
func TestCropFigures(t *testing.T) {
	dir := os.Getenv("HALFLID_PHOTOS")
	if dir == "" || os.Getenv("HALFLID_BENCH") == "" {
		t.Skip("crops of a folder of photographs take minutes: set HALFLID_BENCH=1 and HALFLID_PHOTOS")
	}
	files, err := filepath.Glob(filepath.Join(dir, "*"))
	if err != nil {
		t.Fatal(err)
	}
	fmt.Println("\n| photo | score | its percentile | lines that ask | saliency kept | quiet boundary |\n|---|---|---|---|---|---|")
	var all [4][]float64
	n := 0
	for _, file := range files {
		data, err := os.ReadFile(file)
		if err != nil {
			continue // a folder
		}
		ph, err := photo.Decode(context.Background(), data, filepath.Base(file), photo.Options{})
		if err != nil {
			continue // no photograph
		}
		n++
		m := measureCrops(t, ph.Master, ph.Size, uint64(n), randomCrops)
		fmt.Printf("| %d | %.3f |", n, m.score)
		for i, p := range m.percentiles {
			fmt.Printf(" %.1f |", p)
			all[i] = append(all[i], p)
		}
		fmt.Println()
	}
	fmt.Print("| lowest | |")
	for _, ps := range all {
		fmt.Printf(" %.1f |", slices.Min(ps))
	}
	fmt.Print("\n| median | |")
	for _, ps := range all {
		fmt.Printf(" %.1f |", median(ps))
	}
	fmt.Println()
}

// randomCrops is how many crops the first proposal is compared with.
const randomCrops = 1000

// cropMeasures are what the first proposal reaches.
type cropMeasures struct {
	score       float64
	percentiles [4]float64 // among random crops: more is better
}

func measureCrops(t *testing.T, master imageproc.Picture, full image.Point, seed uint64, random int) cropMeasures {
	t.Helper()
	ctx := context.Background()
	o := crops.Options{N: 6, Squint: 1, Values: 3, Brush: 3}
	for _, name := range cropPanels {
		p, err := plan.ParsePanel(name)
		if err != nil {
			t.Fatal(err)
		}
		o.Panels = append(o.Panels, p)
	}
	found, err := crops.Propose(ctx, master, full, o, nil)
	if err != nil {
		t.Fatal(err)
	}
	o.Focus = found[0].Focus
	if found, err = crops.Propose(ctx, master, full, o, nil); err != nil {
		t.Fatal(err)
	}
	first := found[0]
	unsearched := newUnsearched(master)
	desk := study.NewDesk(master)
	measured := func(p crops.Proposal) (out [4]float64) {
		made := p.Edit()(plan.SetFocus(o.Focus)(plan.Default(full), plan.Frame{Photo: full}), plan.Frame{Photo: full})
		s, err := desk.Make(ctx, made, study.Plan)
		if err != nil {
			t.Fatal(err)
		}
		out[0], _ = crops.Answers(reading.DesignOf(s))
		for _, l := range reading.Read(s).Lines(plan.Centimetre) {
			if l.Asks {
				out[1] -= l.Weight
			}
		}
		out[2], out[3] = unsearched.measure(p, full)
		return out
	}
	mine := measured(first)
	out := cropMeasures{score: mine[0]}
	r := rand.New(rand.NewPCG(7, seed))
	for range random {
		for i, other := range measured(randomCrop(r, o, full)) {
			switch {
			case other < mine[i]:
				out.percentiles[i] += 100 / float64(random)
			case other == mine[i]:
				out.percentiles[i] += 50 / float64(random)
			}
		}
	}
	return out
}

// randomCrop returns a crop of any of the panels, of any size from a third of the
// photo up, anywhere about the focal point.
func randomCrop(r *rand.Rand, o crops.Options, full image.Point) crops.Proposal {
	for {
		p := o.Panels[r.IntN(len(o.Panels))]
		p.Way = []plan.Way{plan.Upright, plan.Across}[r.IntN(2)]
		a := p.Aspect() * float64(full.Y) / float64(full.X) // width over height in fractions of the photo
		w := min(1, a)
		long := max(w*float64(full.X), w/a*float64(full.Y)) / float64(max(full.X, full.Y))
		w *= max(0.3/long, 0.3) + r.Float64()*(1-max(0.3/long, 0.3))
		w = min(w, 1, a)
		h := min(1, w/a)
		c := plan.Crop{X: o.Focus.X - r.Float64()*w, Y: o.Focus.Y - r.Float64()*h, W: w}
		if c.X < 0 || c.Y < 0 || c.X+w > 1 || c.Y+h > 1 {
			continue
		}
		fitted := plan.Default(full)
		fitted.Panel, fitted.Crop = p, c
		return crops.Proposal{Panel: p, Crop: plan.Fit(fitted, plan.Frame{Photo: full}).Crop, Focus: o.Focus}
	}
}

// unsearched holds the two measures that the search does not use, on the photo as it
// is: not squinted, not parted into values.
//
// Source: saliency by the spectral residual, Hou and Zhang 2007, CVPR; that a crop
// should keep it and have quiet boundaries: Fang et al. 2014, ACM Multimedia
// (from memory).
type unsearched struct {
	w, h     int
	saliency []float64 // side by side of 64, summing to 1
	gradient imageproc.Plane[palette.L]
}

const saliencySide = 64

func newUnsearched(master imageproc.Picture) *unsearched {
	y := master.Luminance(imageproc.Plane[palette.Y]{})
	small := imageproc.NewPlane[palette.Y](saliencySide, saliencySide)
	imageproc.AveragePlane(small, y, imageproc.WholeBox(y.W, y.H))
	o := &unsearched{saliency: spectralResidual(imageproc.Lightness(imageproc.Plane[palette.L]{}, small))}
	const long = 400
	o.w, o.h = max(1, y.W*long/max(y.W, y.H)), max(1, y.H*long/max(y.W, y.H))
	mid := imageproc.NewPlane[palette.Y](o.w, o.h)
	imageproc.AveragePlane(mid, y, imageproc.WholeBox(y.W, y.H))
	l := imageproc.Lightness(imageproc.Plane[palette.L]{}, mid)
	o.gradient = imageproc.NewPlane[palette.L](o.w, o.h)
	for y := range o.h - 1 {
		for x := range o.w - 1 {
			dx, dy := l.At(x+1, y)-l.At(x, y), l.At(x, y+1)-l.At(x, y)
			o.gradient.Set(x, y, float32(math.Hypot(float64(dx), float64(dy))))
		}
	}
	return o
}

// measure returns how much saliency a crop keeps for its area, and, less than 0,
// the mean gradient along its boundary where the photo goes on beyond it.
func (o *unsearched) measure(p crops.Proposal, full image.Point) (kept, quiet float64) {
	x0, y0, x1, y1 := plan.Plan{Panel: p.Panel, Crop: p.Crop}.Rect(full)
	for j := range saliencySide {
		for i := range saliencySide {
			x, y := (float64(i)+0.5)/saliencySide, (float64(j)+0.5)/saliencySide
			if x >= x0 && x < x1 && y >= y0 && y < y1 {
				kept += o.saliency[j*saliencySide+i]
			}
		}
	}
	kept /= (x1 - x0) * (y1 - y0)
	sum, n := 0.0, 0
	at := func(x, y float64) {
		px, py := min(int(x*float64(o.w)), o.w-1), min(int(y*float64(o.h)), o.h-1)
		sum += float64(o.gradient.At(px, py))
		n++
	}
	const steps = 200
	for i := range steps {
		part := (float64(i) + 0.5) / steps
		for _, x := range []float64{x0, x1} {
			at(x, y0+part*(y1-y0))
		}
		for _, y := range []float64{y0, y1} {
			at(x0+part*(x1-x0), y)
		}
	}
	return kept, -sum / float64(n)
}

// spectralResidual returns the saliency of a picture of 64 by 64: what is left of
// its log spectrum less that smoothed over 3 by 3, put back with the phase,
// squared and blurred. Source: Hou and Zhang 2007.
func spectralResidual(l imageproc.Plane[palette.L]) []float64 {
	const n = saliencySide
	f := make([]complex128, n*n)
	for i, v := range l.Pix {
		f[i] = complex(float64(v), 0)
	}
	f = transformed(f, -1)
	logs := make([]float64, n*n)
	for i, c := range f {
		logs[i] = math.Log(cmplx.Abs(c) + 1e-9)
	}
	for y := range n {
		for x := range n {
			mean := 0.0
			for dy := -1; dy <= 1; dy++ {
				for dx := -1; dx <= 1; dx++ {
					mean += logs[(y+dy+n)%n*n+(x+dx+n)%n] / 9
				}
			}
			i := y*n + x
			f[i] = cmplx.Rect(math.Exp(logs[i]-mean), cmplx.Phase(f[i]))
		}
	}
	f = transformed(f, 1)
	out, all := make([]float64, n*n), 0.0
	for y := range n {
		for x := range n {
			for dy := -4; dy <= 4; dy++ {
				for dx := -4; dx <= 4; dx++ {
					px, py := min(max(x+dx, 0), n-1), min(max(y+dy, 0), n-1)
					v := cmplx.Abs(f[py*n+px])
					out[y*n+x] += v * v * math.Exp(-float64(dx*dx+dy*dy)/(2*2.5*2.5))
				}
			}
			all += out[y*n+x]
		}
	}
	for i := range out {
		out[i] /= all
	}
	return out
}

// transformed is the discrete Fourier transform of 64 by 64 numbers, row by row
// and then column by column.
func transformed(f []complex128, sign float64) []complex128 {
	const n = saliencySide
	var turn [n]complex128
	for i := range turn {
		turn[i] = cmplx.Rect(1, sign*2*math.Pi*float64(i)/n)
	}
	for range 2 {
		out := make([]complex128, n*n)
		for y := range n {
			for k := range n {
				for x := range n {
					out[k*n+y] += f[y*n+x] * turn[k*x%n]
				}
			}
		}
		f = out
	}
	return f
}
