package crops

import (
	"cmp"
	"context"
	"image"
	"slices"

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

// pieces are the flat shapes of the whole photo in many values, made once: a coarse
// plan of a crop only puts them together into few values.
type pieces struct {
	full  image.Point
	of    imageproc.Labels // the piece of each pixel of the ground
	light []float64        // mean lightness L* of each
	order []int32          // pieces from dark to light
}

// pieceBrush is the brush, in mm on a panel of 6x8 in, whose mark is the smallest
// piece. Source: ours.
const pieceBrush = 1

func newPieces(ctx context.Context, g *ground, squint float64) (*pieces, error) {
	p := plan.Default(g.full)
	p.Panel, p.Crop = plan.Panel{}, plan.Crop{W: 1, H: 1}
	p.Squint = squint * usualCrop
	p.Values.K, p.Shapes.Brush = plan.MaxK, pieceBrush
	s, err := study.NewDesk(g.picture).Make(ctx, plan.Fit(p, plan.Frame{Photo: g.full}), study.Plan)
	if err != nil {
		return nil, err
	}
	out := &pieces{full: g.full, of: s.Figures.Map}
	for i, c := range s.Readable().Colours {
		out.light = append(out.light, float64(c.Y().L()))
		out.order = append(out.order, int32(i))
	}
	slices.SortStableFunc(out.order, func(a, b int32) int { return cmp.Compare(out.light[a], out.light[b]) })
	return out, nil
}

// coarsener makes coarse plans: the pieces that a crop shows, parted into values by
// exact k-means, light from shadow first; its parts of one value the shapes,
// crumbs taken in. It keeps its scratch memory and is not for concurrent use.
type coarsener struct {
	pieces *pieces
	k      int
	values imageproc.Labels
	area   []float64
	value  []int32 // by piece
	shapes shaper
}

// design returns the coarse plan of a crop, to be read. It holds until the next
// call.
func (c *coarsener) design(b box, panel plan.Panel, focus plan.Focus) reading.Design {
	w, h := coarseSize(b, c.pieces.full)
	c.values = c.values.Reshape(w, h)
	c.lay(b)
	tones := c.part()
	for i, piece := range c.values.Pix {
		c.values.Pix[i] = c.value[piece]
	}
	labels, values := c.shapes.shapes(c.values, len(tones))
	d := reading.Design{
		Map: labels, Tones: tones, Shapes: make([]study.Shape, len(values)),
		Photo: c.pieces.full, Crop: b.pixels(c.pieces.full), Focus: focus, Panel: panel,
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

// lay writes the piece under each pixel of a crop, and how many pixels each has.
func (c *coarsener) lay(b box) {
	c.area = append(c.area[:0], make([]float64, len(c.pieces.light))...)
	dst, src := c.values, c.pieces.of
	column := make([]int, dst.W)
	for x := range column {
		column[x] = pixelAt(b.x+float64((float64(x)+0.5)/float64(dst.W)*b.w), src.W)
	}
	for y := range dst.H {
		row := src.Row(pixelAt(b.y+float64((float64(y)+0.5)/float64(dst.H)*b.h), src.H))
		to := dst.Row(y)
		for x, at := range column {
			to[x] = row[at]
			c.area[row[at]]++
		}
	}
}

// pixelAt returns the pixel of n under a fraction. A fraction on the line between
// two is of the one nearer to the middle, so that the mirrored fraction has the
// mirrored pixel; rounding errors do not reach the slack.
func pixelAt(v float64, n int) int {
	const slack = 1e-9
	if v < 0.5 {
		return min(int((v+slack)*float64(n)), n-1)
	}
	return n - 1 - min(int((1-v+slack)*float64(n)), n-1)
}

// part gives each piece of the crop one of k values, or of as many as there are,
// and returns the mean lightness of each, dark to light.
func (c *coarsener) part() []palette.L {
	var here []int32
	var light, area []float64
	for _, piece := range c.pieces.order {
		if n := c.area[piece]; n > 0 {
			here = append(here, piece)
			light, area = append(light, c.pieces.light[piece]), append(area, n)
		}
	}
	bounds := nested(light, area, c.k)
	c.value = append(c.value[:0], make([]int32, len(c.pieces.light))...)
	tones := make([]palette.L, len(bounds)-1)
	for v := range tones {
		sum, n := 0.0, 0.0
		for i := bounds[v]; i < bounds[v+1]; i++ {
			sum, n = sum+float64(light[i]*area[i]), n+area[i]
			c.value[here[i]] = int32(v)
		}
		tones[v] = palette.L(sum / n)
	}
	return tones
}

// nested parts rising lightnesses into at most k runs and returns where each
// begins, and their number at the end: two by exact k-means first, then always the
// one whose best division takes away the most error. Source: as tone.Nested.
func nested(light, weight []float64, k int) []int {
	bounds := []int{0, len(light)}
	for len(bounds)-1 < k {
		most, at := 0.0, -1
		for i := range len(bounds) - 1 {
			from, to := bounds[i], bounds[i+1]
			_, whole := tone.KMeans(light[from:to], weight[from:to], 1)
			first, parted := tone.KMeans(light[from:to], weight[from:to], 2)
			if len(first) > 0 && whole-parted > most {
				most, at = whole-parted, from+first[0]
			}
		}
		if at < 0 {
			break
		}
		bounds = append(bounds, at)
		slices.Sort(bounds)
	}
	return bounds
}
