package crops

import (
	"math"
	"slices"

	"atelier/halflid/imageproc/reading"
)

// Reason is what practice asks of a design, and the answer.
type Reason struct {
	Topic  reading.Topic
	Words  string  // one sentence with its figures and units, 66 characters or fewer
	Met    float64 // 1: practice is satisfied, 0: it is not, in between it would ask
	Weight float64 // of the score
}

// Yes reports whether the question is answered with yes.
func (r Reason) Yes() bool { return r.Met >= 0.5 }

// Answers reads a design and returns how much of what practice asks is answered
// with yes, 0..1: the sum of Weight times Met over the sum of Weight, and the
// answers, those with yes first, the weightiest first. The focal radius counts as
// 15 % of the crop's long side at most. Without a focal point in the crop all
// that is asked about one is answered with no. It panics as Design.Read does.
//
// Source: the questions are common practice, as in package reading; weights and
// limits ours.
func Answers(d reading.Design) (score float64, reasons []Reason) {
	f := figuresOf(cramped(d).Read())
	return f.score(), f.reasons()
}

// cramped returns the design with a focal radius that is not too wide for its crop.
func cramped(d reading.Design) reading.Design {
	long := max(d.Crop.Dx(), d.Crop.Dy())
	d.Focus = within(d.Focus, float64(long), float64(max(d.Photo.X, d.Photo.Y)))
	return d
}

// question is one thing that practice asks.
type question struct {
	topic  reading.Topic
	weight float64
	met    func(f *figures) float64
	words  func(f *figures, yes bool) string
}

// ramp returns 0 at from, 1 at to, in between by proportion; from may be the larger.
func ramp(v, from, to float64) float64 { return min(max((v-from)/(to-from), 0), 1) }

// questions are asked in this order. Each is half met where package reading, or
// common practice, draws the line. Weights: ours; the focal point and the pattern
// of values first.
var questions = []question{
	{reading.OnContrast, 1.5, func(f *figures) float64 { return ramp(f.focal, 0.4, 1.5) }, focalWords},
	{reading.OnValues, 0.6, func(f *figures) float64 { return ramp(f.ahead, 0, 0.2) }, rulesWords},
	{reading.OnValues, 0.4, func(f *figures) float64 { return ramp(f.apart, 0, 0.1) }, equalWords},
	{reading.OnEdges, 1, func(f *figures) float64 { return ramp(f.edge, 1.2, 0.4) }, edgeWords},
	{reading.OnDarks, 1, func(f *figures) float64 { return ramp(f.linked, 0.3, 0.9) }, linkedWords},
	{reading.OnPlacement, 1, func(f *figures) float64 { return ramp(f.offMiddle(), 0.02, 0.08) }, middleWords},
	{reading.OnPlacement, 0.8, func(f *figures) float64 { return ramp(f.room(), 0.1, 0.25) }, roomWords},
	{reading.OnSimplicity, 0.8, func(f *figures) float64 { return ramp(float64(f.main), 21, 9) }, simpleWords},
	{reading.OnPlacement, 0.8, func(f *figures) float64 { return ramp(math.Abs(f.left-0.5), 0.4, 0.1) }, balanceWords},
	{reading.OnContrast, 0.7, func(f *figures) float64 { return ramp(f.stands, 0, 2) }, standsWords},
	{reading.OnDarks, 0.6, func(f *figures) float64 { return ramp(f.reach, 0.2, 0) }, reachWords},
	{reading.OnValues, 0.5, func(f *figures) float64 { return ramp(f.step, 0, 2) }, stepWords},
	{reading.OnEdges, 0.5, func(f *figures) float64 { return 1 / (1 + 1.5*float64(f.tangents)) }, tangentWords},
	{reading.OnEdges, 0.3, func(f *figures) float64 { return ramp(f.corner, 0.05, 0) }, cornerWords},
	{reading.OnDirections, 0.3, func(f *figures) float64 { return f.leading() }, leadingWords},
}

// offMiddle is how far the focal point lies from the middle, along the way on
// which it lies farther, in fractions of the crop.
func (f *figures) offMiddle() float64 { return max(math.Abs(f.x-0.5), math.Abs(f.y-0.5)) }

// room is how far the focal point lies from the nearest side.
func (f *figures) room() float64 { return min(f.x, 1-f.x, f.y, 1-f.y) }

// leading is how well the straight borders lead to the focal point.
func (f *figures) leading() float64 {
	if f.straights < 3 {
		return 1
	}
	return ramp(ratio(f.points, f.mean), 0.6, 1)
}

// score is the weighted share of the questions that are met.
func (f *figures) score() float64 {
	sum, all := 0.0, 0.0
	for _, q := range questions {
		sum += float64(q.weight * q.met(f))
		all += q.weight
	}
	return sum / all
}

func (f *figures) reasons() []Reason {
	out := make([]Reason, len(questions))
	for i, q := range questions {
		met := q.met(f)
		out[i] = Reason{q.topic, q.words(f, met >= 0.5), met, q.weight}
	}
	slices.SortStableFunc(out, func(a, b Reason) int {
		switch {
		case a.Yes() != b.Yes() && a.Yes():
			return -1
		case a.Yes() != b.Yes():
			return 1
		case a.Weight > b.Weight:
			return -1
		case a.Weight < b.Weight:
			return 1
		}
		return 0
	})
	return out
}
