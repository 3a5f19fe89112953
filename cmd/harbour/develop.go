package main

import (
	"image"
	"image/color"
	"math"
)

// develop turns the film into a picture: the lens darkens the corners, the
// sensor adds noise that grows with the light, a soft shoulder holds the sky.
func develop(f *film) *image.RGBA {
	soft := f.soften()
	out := image.NewRGBA(image.Rect(0, 0, f.w, f.h))
	for y := range f.h {
		for x := range f.w {
			i := y*f.w + x
			c := soft[i]
			u, v := (float64(x)+0.5)/float64(f.w)-0.5, ((float64(y)+0.5)-0.5*float64(f.h))/float64(f.w)
			c = c.mul(1 - 0.62*math.Pow(u*u+v*v, 1.1))
			r := dice{s: scramble(uint64(i) ^ 0x5eed)}
			g := r.bell()
			c = vec{grain(c.x, g, r.bell()), grain(c.y, g, r.bell()), grain(c.z, g, r.bell())}
			out.SetRGBA(x, y, color.RGBA{code(c.x), code(c.y), code(c.z), 255})
		}
	}
	return out
}

// soften joins the parts of the light and gives them the slight blur of a
// plain lens: 1 6 1 eighths across and down.
func (f *film) soften() []vec {
	all := make([]vec, len(f.direct))
	for i := range all {
		all[i] = f.direct[i].add(f.albedo[i].times(f.indirect[i]))
	}
	blur := func(src []vec, n, across, lines, down int) []vec {
		out := make([]vec, len(src))
		for l := range lines {
			for k := range n {
				i := l*down + k*across
				a, b := l*down+max(k-1, 0)*across, l*down+min(k+1, n-1)*across
				out[i] = src[i].mul(0.75).add(src[a].add(src[b]).mul(0.125))
			}
		}
		return out
	}
	return blur(blur(all, f.w, 1, f.h, f.w), f.h, f.w, f.w, 1)
}

func grain(v, shared, own float64) float64 {
	s := math.Sqrt(0.00012*math.Max(v, 0) + 0.000004)
	return v + s*(0.8*shared+0.5*own)
}

// code is the 8-bit sRGB code (IEC 61966-2-1) of v after the shoulder.
func code(v float64) uint8 {
	v = math.Max(v, 0) * 1.24
	v = 1.06 * (1 - math.Exp(-1.25*v-0.35*v*v)) // near straight in the darks
	v = clamp(v-0.004, 0, 1)
	if v <= 0.0031308 {
		v *= 12.92
	} else {
		v = 1.055*math.Pow(v, 1/2.4) - 0.055
	}
	return uint8(clamp(v, 0, 1)*255 + 0.5)
}
