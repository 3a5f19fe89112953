package mass

import (
	"context"
	"fmt"
	"math"
	"runtime"

	"atelier/halflid/imageproc"
)

// Options are what the base shapes depend on beside the picture.
type Options struct {
	// Squint is the standard deviation of the squint in percent of the longer
	// side; 1 if zero. Values are means of the picture under half of it.
	Squint float64
	// Focus, if not nil, is where the painter looks.
	Focus *Focus
	// Long is the length in pixels that all lengths are fractions of: the longer
	// side of pic if zero. A region around a crop is built with the crop's longer
	// side, so that its shapes are those of the crop's scale.
	Long float64
	// ColourLeaves lets edges of colour alone part leaves too. People part a
	// picture so; a plan of values does not need it.
	ColourLeaves bool
	// Threads is how many goroutines may work at once: as many as there are
	// processors, at most 4, if zero. Results do not depend on it.
	Threads int
}

// mostLeaves is how many regions the values and base shapes are made of at most.
const mostLeaves = 3000

// Maker makes base shapes and keeps its scratch memory, some 38 bytes a pixel,
// between calls; the zero value is ready. Not for concurrent use.
type Maker struct {
	l, t, edge []uint16
	ab         [2][]int16
	guide      guide
	basins     basins
	classes    imageproc.Labels
	label      Labeller
}

// Survey is a picture taken apart into leaves, before the painter's focus
// matters: steps that need not be repeated when only the focal point moves.
// Immutable; it keeps 12 bytes a pixel.
type Survey struct {
	w, h    int
	long    float64
	threads int
	light   []float32
	soft    []uint16
	rise    []uint16
	leaf    imageproc.Labels
	sums    regionSums
	border  borderGraph
}

// Build returns the base shapes of pic. pic must have at least one pixel; what
// is not 0..1 in it is clamped, NaN is black. The working size matters: shapes
// of one picture at two sizes differ. The error is that of ctx.
func Build(ctx context.Context, pic imageproc.Picture, opt Options) (*Base, error) {
	var m Maker
	return m.Build(ctx, pic, opt)
}

// Build is the function Build with m's memory.
func (m *Maker) Build(ctx context.Context, pic imageproc.Picture, opt Options) (*Base, error) {
	s, err := m.Survey(ctx, pic, opt)
	if err != nil {
		return nil, err
	}
	return m.Base(ctx, s, opt.Focus)
}

// Survey takes pic apart into leaves; opt.Focus does not matter yet.
func (m *Maker) Survey(ctx context.Context, pic imageproc.Picture, opt Options) (*Survey, error) {
	w, h := pic.R.W, pic.R.H
	if w == 0 || h == 0 || pic.G.Size() != pic.Size() || pic.B.Size() != pic.Size() {
		panic(fmt.Sprintf("mass: shapes of planes of %v, %v, %v", pic.R.Size(), pic.G.Size(), pic.B.Size()))
	}
	squint := opt.Squint
	if !(squint > 0) {
		squint = 1
	}
	n := w * h
	s := &Survey{
		w: w, h: h, long: opt.Long, threads: opt.Threads,
		light: make([]float32, n), soft: make([]uint16, n), rise: make([]uint16, n), leaf: imageproc.NewLabels(w, h),
	}
	if !(s.long > 0) {
		s.long = float64(max(w, h))
	}
	if s.threads <= 0 {
		s.threads = min(runtime.GOMAXPROCS(0), 4)
	}
	m.l, m.t, m.edge = resize(m.l, n), resize(m.t, n), resize(m.edge, n)
	m.ab[0], m.ab[1] = resize(m.ab[0], n), resize(m.ab[1], n)
	p := &planes{w: w, h: h, y: s.light, l: m.l, d: s.soft, a: m.ab[0], b: m.ab[1], t: m.t}
	p.measure(pic, s.threads)
	p.soften(squint/200*s.long, s.threads)
	p.feelTexture(.008*s.long, m.edge, s.threads)
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	m.guide.w, m.guide.h, m.guide.threads = w, h, s.threads
	if err := m.guide.run(ctx, m.l, m.l, s.long); err != nil {
		return nil, err
	}
	gradients(s.rise, m.edge, m.l, p.a, p.b, w, h, s.threads)
	b := &m.basins
	b.w, b.h, b.rise, b.guide, b.soft, b.label = w, h, s.rise, m.l, s.soft, s.leaf.Pix
	if opt.ColourLeaves {
		b.rise = m.edge
	}
	leaves := b.run()
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	s.sums.add(s.leaf.Pix, leaves, p)
	s.sums.settle(s.leaf.Pix, leaves)
	s.border.build(s.leaf, leaves, s.rise, m.edge)
	s.border.first, s.border.fill, s.border.pairs = nil, nil, nil
	return s, nil
}

// Base makes base shapes of what s holds, with the painter's focus (nil: none).
func (m *Maker) Base(ctx context.Context, s *Survey, focus *Focus) (*Base, error) {
	fall := newFalloff(focus, s.w, s.h, s.long)
	sums := s.sums
	if fall != nil {
		sums.focus = make([]float64, len(sums.area))
		sums.weigh(s.leaf.Pix, s.w, fall)
	}
	t, err := growTree(ctx, &sums, &s.border)
	if err != nil {
		return nil, err
	}
	border, region := &s.border, []int32(nil)
	if t.n > mostLeaves {
		t, region = t.prune(t.n - mostLeaves)
		sums = *sums.gather(region, t.n)
		border = &borderGraph{}
		border.contract(&s.border, region)
	}
	smooth := findSmooth(t, &sums, border)
	value := make([]float64, t.n)
	for i := range value {
		value[i] = smooth.value(smooth.region[i], sums.mean(int32(i)))
	}
	starts := countMasses(t, &sums, float64(s.w*s.h)).leastError(baseValues)
	lab := newLabelling(value, &sums, border, s.long)
	lab.run(starts)
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	return m.finish(s, smooth, lab.class, region, len(starts), fall), nil
}

// finish draws the outlines of the classes, numbers below classes, and gives
// every pixel its value.
func (m *Maker) finish(s *Survey, smooth *smoothed, class, region []int32, classes int, fall *falloff) *Base {
	n := s.w * s.h
	leafClass, leafRegion := class, smooth.region
	if region != nil {
		leafClass, leafRegion = make([]int32, len(region)), make([]int32, len(region))
		for i, r := range region {
			leafClass[i], leafRegion[i] = class[r], smooth.region[r]
		}
	}
	m.classes = imageproc.Labels{W: s.w, H: s.h, Pix: resize(m.classes.Pix, n)}
	smoothOutlines(m.classes.Pix, s.leaf.Pix, leafClass, s.rise, s.w, s.h, s.long, s.threads)
	b := &Base{long: s.long, value: make([]uint16, n), light: s.light, rise: s.rise, focus: fall}
	for i, l := range s.leaf.Pix {
		v := smooth.value(leafRegion[l], float64(s.soft[i])/stepsL)
		b.value[i] = uint16(math.Min(float64(v*stepsL)+.5, 100*stepsL))
	}
	b.assemble(m.classes, classes, &m.label)
	return b
}
