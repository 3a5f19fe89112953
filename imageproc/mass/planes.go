package mass

import (
	"math"

	"atelier/halflid/imageproc"
	"atelier/halflid/palette"
)

// Numbers are kept in whole steps so that sums of them are exact in any order:
// lightness, its gradient and a border's height in steps of 1/512 L*, OKLab a
// and b times 100 in steps of 1/256.
const (
	stepsL  = 512
	stepsAB = 256
)

// planes are what is measured at each pixel before anything is decided.
type planes struct {
	w, h int
	y    []float32 // relative luminance
	l    []uint16  // L* of y
	d    []uint16  // L* of y blurred by half the squint: what means are taken of
	a, b []int16   // OKLab a and b
	t    []uint16  // texture
}

// measure fills y, l, a and b from the picture.
//
// Source: IEC 61966-2-1 (Y), CIE 15:2018 (L*), Ottosson 2020 (OKLab).
func (p *planes) measure(pic imageproc.Picture, threads int) {
	w, h := p.w, p.h
	bands(threads, h, func(_, lo, hi int) {
		light := make([]float32, w)
		for i := lo * w; i < hi*w; i++ {
			r, g, b := clean(pic.R.Pix[i]), clean(pic.G.Pix[i]), clean(pic.B.Pix[i])
			p.y[i] = min(1, float32(.2126*r)+float32(.7152*g)+float32(.0722*b))
			l := cbrt(float32(.4122214708*r) + float32(.5363325363*g) + float32(.0514459929*b))
			m := cbrt(float32(.2119034982*r) + float32(.6806995451*g) + float32(.1073969566*b))
			s := cbrt(float32(.0883024619*r) + float32(.2817188376*g) + float32(.6299787005*b))
			p.a[i] = steps(float32(1.9779984951*l) - float32(2.4285922050*m) + float32(.4505937099*s))
			p.b[i] = steps(float32(.0259040371*l) + float32(.7827717662*m) - float32(.8086757660*s))
		}
		for y := lo; y < hi; y++ {
			p.toSteps(p.l, p.y[y*w:][:w], light, y)
		}
	})
}

// toSteps stores the lightness of row y's luminance into dst; light is scratch.
func (p *planes) toSteps(dst []uint16, lum, light []float32, y int) {
	palette.LightnessRow(light, lum)
	d := dst[y*p.w:][:p.w]
	for x, v := range light[:p.w] {
		d[x] = uint16(float32(stepsL*v) + .5)
	}
}

// clean clamps light to 0..1; what is not a number is dark.
func clean(v float32) float32 {
	if !(v > 0) {
		return 0
	}
	return min(v, 1)
}

// steps rounds an OKLab coordinate to whole steps, halves away from zero.
func steps(v float32) int16 {
	v = float32(v * (100 * stepsAB))
	if v < 0 {
		return int16(v - .5)
	}
	return int16(v + .5)
}

// soften fills d: lightness of the light blurred by sigma pixels.
func (p *planes) soften(sigma float64, threads int) {
	k := gaussKernel[float32](sigma)
	bands(threads, p.h, func(_, lo, hi int) {
		buf, row := make([]float32, p.w+2*len(k)), make([]float32, p.w)
		for y := lo; y < hi; y++ {
			filterRow(row, p.y, p.w, p.h, y, k, buf)
			p.toSteps(p.d, row, row, y)
		}
	})
}

// feelTexture fills t: how far lightness strays from its own blur, blurred; tmp
// holds one number a pixel. Two running means stand for each Gaussian: the
// measure is a mean over whole regions, to which the shape of the window means
// little.
func (p *planes) feelTexture(sigma float64, tmp []uint16, threads int) {
	win := windowOf(sigma)
	area := float64(win.weight()) * float64(win.weight())
	p.runWindow(win, p.l, threads, func(y int, sum []uint64) {
		t, l := tmp[y*p.w:][:p.w], p.l[y*p.w:][:p.w]
		for x, s := range sum {
			t[x] = uint16(math.Abs(float64(s)/area-float64(l[x])) + .5)
		}
	})
	p.runWindow(win, tmp, threads, func(y int, sum []uint64) {
		t := p.t[y*p.w:][:p.w]
		for x, s := range sum {
			t[x] = uint16(float64(s)/area + .5)
		}
	})
}

// runWindow hands the window sums of src to emit, row by row.
func (p *planes) runWindow(win window, src []uint16, threads int, emit func(y int, sum []uint64)) {
	w, h, reach := p.w, p.h, win.reach()
	bands(threads, h, func(_, lo, hi int) {
		var c columnSums
		c.start(win, w, 0, math.MaxUint64)
		line, mid := make([]uint64, w+2*reach), make([]uint64, w+2*win.r2)
		for y := lo - reach; y < hi+reach; y++ {
			row := src[mirrored(y, h)*w:][:w]
			for x, v := range row {
				line[reach+x] = uint64(v)
			}
			for i := range reach {
				line[reach-1-i] = line[reach+mirrored(-1-i, w)]
				line[reach+w+i] = line[reach+mirrored(w+i, w)]
			}
			c.leave()
			runningSum(mid, line, win.r1)
			runningSum(c.slot(), mid, win.r2)
			if sum := c.enter(); sum != nil {
				emit(y-reach, sum)
			}
		}
	})
}
