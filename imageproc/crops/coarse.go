package crops

import (
	"image"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/reading"
	"atelier/halflid/imageproc/study"
	"atelier/halflid/imageproc/tone"
	"atelier/halflid/palette"
)

// coarseSide is the long side, in pixels, of a coarse plan: about what a thumbnail
// drawn in a few minutes shows. Source: ours.
const coarseSide = 128

// coarsener makes coarse plans: the crop sampled small, squinted, parted into
// values by exact k-means, its parts of one value the shapes, crumbs taken in. It
// keeps its scratch memory and is not for concurrent use.
type coarsener struct {
	ground  *ground
	squint  float64
	k       int
	sampler sampler
	blurrer tone.Blurrer
	light   imageproc.Plane[palette.Y]
	soft    imageproc.Plane[palette.Y]
	tones   imageproc.Plane[palette.L]
	values  imageproc.Labels
	shapes  shaper
}

func newCoarsener(g *ground, squint float64, k int) *coarsener {
	return &coarsener{ground: g, squint: squint, k: k}
}

// design returns the coarse plan of a crop, to be read. It holds until the next
// call.
func (c *coarsener) design(b box, panel plan.Panel, focus plan.Focus) reading.Design {
	w, h := coarseSize(b, c.ground.full)
	c.light, c.soft, c.tones = c.light.Reshape(w, h), c.soft.Reshape(w, h), c.tones.Reshape(w, h)
	c.sampler.sample(c.light, c.ground, b.x, b.y, b.x+b.w, b.y+b.h)
	tone.BlurPlane(&c.blurrer, c.soft, c.light, tone.SigmaPixels(c.squint, max(w, h)))
	c.tones = imageproc.Lightness(c.tones, c.soft)
	c.values = c.values.Reshape(w, h)
	tones, kept := part(c.values, c.tones, c.k)
	labels, values := c.shapes.shapes(c.values, len(tones))
	d := reading.Design{
		Map: labels, Tones: tones, Kept: kept, Shapes: make([]study.Shape, len(values)),
		Photo: c.ground.full, Crop: b.pixels(c.ground.full), Focus: focus, Panel: panel,
	}
	for i, v := range values {
		d.Shapes[i] = study.Shape{Value: int(v), Tone: tones[v]}
	}
	return d
}

// coarseSize returns the pixels of the coarse plan of a crop.
func coarseSize(b box, full image.Point) (w, h int) {
	across, down := b.w*float64(full.X), b.h*float64(full.Y)
	long := max(across, down)
	scaled := func(v float64) int { return max(1, int(v/long*coarseSide+0.5)) }
	return scaled(across), scaled(down)
}

// toneBins is how many steps of lightness k-means counts a unit of L* in.
const toneBins = 2

// part parts lightness into k values, or as many as there are, writes the value of
// each pixel and returns the mean lightness of each, dark to light, and the share
// of the variance that they keep.
func part(dst imageproc.Labels, l imageproc.Plane[palette.L], k int) (tones []palette.L, kept float64) {
	var count [100*toneBins + 1]int
	bin := func(v float32) int { return min(max(int(v*toneBins+0.5), 0), len(count)-1) }
	for _, v := range l.Pix {
		count[bin(v)]++
	}
	values, weights := make([]float64, 0, len(count)), make([]float64, 0, len(count))
	mean, all := 0.0, float64(len(l.Pix))
	for i, n := range count {
		if n > 0 {
			values, weights = append(values, float64(i)/toneBins), append(weights, float64(n))
			mean += float64(i) / toneBins * float64(n) / all
		}
	}
	first, lost := tone.KMeans(values, weights, k)
	spread := 0.0
	for i, v := range values {
		spread += float64(weights[i]*(v-mean)) * (v - mean)
	}
	kept = 1
	if spread > 0 {
		kept = 1 - lost/spread
	}
	var label [len(count)]int32
	bounds := append(append([]int{0}, first...), len(values))
	for c := range len(bounds) - 1 {
		sum, n := 0.0, 0.0
		for i := bounds[c]; i < bounds[c+1]; i++ {
			sum, n = sum+float64(values[i]*weights[i]), n+weights[i]
			label[int(values[i]*toneBins)] = int32(c)
		}
		tones = append(tones, palette.L(sum/n))
	}
	for i, v := range l.Pix {
		dst.Pix[i] = label[bin(v)]
	}
	return tones, kept
}
