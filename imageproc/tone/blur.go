package tone

import (
	"fmt"

	"atelier/halflid/imageproc"
	"atelier/halflid/palette"
)

// SigmaPixels returns the standard deviation in pixels of a squint of percent
// percent of the crop's long side, which is long pixels. Negative or NaN: 0.
func SigmaPixels(percent float64, long int) float64 {
	if !(percent > 0) || long <= 0 {
		return 0
	}
	return percent / 100 * float64(long)
}

// From these parts of the long side, or of the short, the blur is made of a few
// cosines instead: there the pyramid would need wide margins.
const (
	modesLong  = 1.0 / 16
	modesShort = 1.0 / 4
)

// Blurrer squints: it blurs by a Gaussian in linear light. It keeps its scratch
// memory; once warm it allocates nothing. The zero value is ready. Not for
// concurrent use, though it may use several processors itself.
//
// The picture is taken as mirrored at its edges (half-sample symmetric: the
// edge pixel appears twice), so the mean light is kept. A picture mirrored left
// to right or top to bottom gives exactly the mirrored result; transposed, the
// same up to rounding. The result is the same for any number of processors.
//
// Against the exact Gaussian, black and white pictures are wrong by at most
// 0.1 L* and 0.01 L* rms at every sigma.
//
// Method: small sigmas are convolved directly, symmetric pairs added before
// they are multiplied. From sigma 3.6 up the plane is halved by a B-spline, often
// enough that 1.25 of sigma remains, convolved there and doubled again; the kernel
// there makes up for the B-splines' variance and shape. From a sixteenth of the
// long side up, all that the Gaussian leaves is a few cosines.
// Source: ours; pyramids after Burt and Adelson 1983, IEEE Trans. Comm. 31(4) 532-540.
type Blurrer struct {
	crew    imageproc.Crew
	x, y    axis
	coarser []channels // level 1 and on
	lines   []lineSet
	copied  [3][]float32
	modes   modes
	workers int
	pass    pass
}

// lineSet is the scratch of one worker.
type lineSet struct {
	line, even, odd []float32
	pairs           []pair
}

// plane is a bare plane: the blur is the same for every unit.
type plane = imageproc.Plane[palette.Light]

// channels are the n planes of one size that are blurred at once: one, or the
// three of a picture. Together they share each pass among the processors, with a
// third of the waits for the slower one.
type channels struct {
	of [3]plane
	n  int
}

// reshape makes all planes w by h.
func (c *channels) reshape(n, w, h int) {
	c.n = n
	for i := range n {
		c.of[i] = c.of[i].Reshape(w, h)
	}
}

// Blur writes src blurred by sigma pixels into dst. A sigma of 0, below 0 or
// NaN copies. dst and src have the same size, or it panics; dst may be src.
func (b *Blurrer) Blur(dst, src imageproc.Picture, sigma float64) {
	b.blur(channels{dst.Planes(), 3}, channels{src.Planes(), 3}, sigma)
}

// BlurPlane is Blurrer.Blur for one plane of any unit. A blur of anything but
// light (or of Y, which is a sum of light) is not a squint.
func BlurPlane[U palette.Unit](b *Blurrer, dst, src imageproc.Plane[U], sigma float64) {
	b.blur(channels{[3]plane{plane(dst)}, 1}, channels{[3]plane{plane(src)}, 1}, sigma)
}

func (b *Blurrer) blur(dst, src channels, sigma float64) {
	for i := range dst.n {
		if dst.of[i].Size() != src.of[i].Size() || src.of[i].Size() != src.of[0].Size() {
			panic(fmt.Sprintf("tone: blur of %v into %v", src.of[i].Size(), dst.of[i].Size()))
		}
	}
	w, h := src.of[0].W, src.of[0].H
	if w == 0 || h == 0 {
		return
	}
	long := max(w, h)
	switch {
	case !(sigma > 0) || long == 1:
		for i := range dst.n {
			copy(dst.of[i].Pix, src.of[i].Pix)
		}
		return
	case sigma >= modesLong*float64(long) || sigma >= modesShort*float64(min(w, h)):
		b.prepare(w)
		for i := range dst.n {
			b.modes.blur(&b.crew, b.lines, dst.of[i], src.of[i], sigma, b.workers)
		}
		return
	}
	deep := min(depth(w, sigma), depth(h, sigma))
	b.x.plan(w, sigma, deep)
	b.y.plan(h, sigma, deep)
	b.pyramid(dst, src, deep)
}

// prepare makes the scratch of every worker: rows of n samples and more.
func (b *Blurrer) prepare(n int) {
	b.workers = imageproc.Workers()
	for len(b.lines) < b.workers {
		b.lines = append(b.lines, lineSet{})
	}
	for i := range b.lines {
		if len(b.lines[i].line) < n {
			b.lines[i].line = make([]float32, n)
			b.lines[i].even = make([]float32, n)
			b.lines[i].odd = make([]float32, n)
		}
	}
}

// pyramid halves deep times, convolves, doubles deep times.
func (b *Blurrer) pyramid(dst, src channels, deep int) {
	xs, ys := b.x.levels, b.y.levels
	widest := 0
	for _, x := range xs {
		widest = max(widest, x.n-2*x.origin)
	}
	b.prepare(widest + 2*len(b.x.kernel) + 16)
	for len(b.coarser) < deep+1 {
		b.coarser = append(b.coarser, channels{})
	}
	from := src
	for l := range deep {
		b.coarser[l].reshape(src.n, xs[l+1].n, ys[l+1].n)
		b.run(halve, b.coarser[l], from, l, ys[l+1].n, 3*xs[l].n)
		from = b.coarser[l]
	}
	last := dst
	if deep > 0 {
		b.coarser[deep].reshape(src.n, xs[deep].n, ys[deep].n)
		last = b.coarser[deep]
	} else {
		b.detach(&from, dst)
	}
	taps := len(b.x.kernel) + len(b.y.kernel)
	b.run(convolve, last, from, deep, ys[deep].hi-ys[deep].lo, xs[deep].n*taps/2)
	for l := deep - 1; l >= 0; l-- {
		to := dst
		if l > 0 {
			to = b.coarser[l-1]
		}
		b.run(double, to, last, l, ys[l].hi-ys[l].lo, 2*xs[l].n)
		last = to
	}
}

// detach makes src a copy where it shares its memory with dst, which a
// convolution would overwrite while it still reads it.
func (b *Blurrer) detach(src *channels, dst channels) {
	for i := range src.n {
		if &dst.of[i].Pix[0] == &src.of[i].Pix[0] {
			b.copied[i] = append(b.copied[i][:0], src.of[i].Pix...)
			src.of[i].Pix = b.copied[i]
		}
	}
}
