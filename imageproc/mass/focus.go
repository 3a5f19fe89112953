package mass

// Focus is where the painter looks: near it more shapes are kept, elsewhere
// fewer. X and Y are fractions of the picture's width and height; Radius is a
// fraction of the longer side (of Options.Long), .20 if zero; Far is the weight far away, 0..1,
// .15 if zero.
type Focus struct {
	X, Y   float64
	Radius float64
	Far    float64
}

// focusSteps is what a focal weight of one counts as: weights are whole steps,
// so that sums of them do not depend on their order.
const focusSteps = 1 << 14

// falloff is a Focus on a picture: far + (1 - far) times a Gaussian of the
// distance, which is a product of one number a column and one a row.
type falloff struct {
	far      float64
	col, row []float64
}

func newFalloff(f *Focus, w, h int, long float64) *falloff {
	if f == nil {
		return nil
	}
	radius, far := f.Radius, f.Far
	if !(radius > 0) {
		radius = .20
	}
	if !(far > 0) {
		far = .15
	}
	out := &falloff{far: min(far, 1), col: make([]float64, w), row: make([]float64, h)}
	r := radius * long
	fill := func(line []float64, centre float64) {
		for i := range line {
			d := (float64(i) + .5 - centre) / r
			line[i] = expNeg(float64(d*d) / 2)
		}
	}
	fill(out.col, float64(f.X*float64(w)))
	fill(out.row, float64(f.Y*float64(h)))
	return out
}

// at returns the weight at a pixel in focusSteps.
func (f *falloff) at(x, y int) int32 {
	return int32(float64((f.far+float64((1-f.far)*float64(f.col[x]*f.row[y])))*focusSteps) + .5)
}
