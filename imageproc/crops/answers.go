package crops

import (
	"cmp"
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
// answers, those with yes first, the weightiest first. What the reading asks is
// answered with no, and its words are the reading's own where it speaks of the
// same. Without a focal point in the crop all that is asked about one is answered
// with no. It panics as Design.Read does.
//
// Source: the questions are common practice, as in package reading; weights and
// limits ours.
func Answers(d reading.Design) (score float64, reasons []Reason) {
	reasons = answersOf(d.Read())
	return scoreOf(reasons), reasons
}

// answersOf answers the questions by a reading.
func answersOf(r reading.Reading) []Reason {
	f := figuresOf(r)
	lines := r.Lines(r.Panel.Ruler())
	out := make([]Reason, len(questions))
	for i, q := range questions {
		out[i] = q.answer(&f, lines, r.Focal.Inside)
	}
	slices.SortStableFunc(out, func(a, b Reason) int {
		if a.Yes() != b.Yes() {
			if a.Yes() {
				return -1
			}
			return 1
		}
		return cmp.Compare(b.Weight, a.Weight)
	})
	return out
}

// scoreOf is the weighted share of the questions that are met.
func scoreOf(reasons []Reason) float64 {
	sum, all := 0.0, 0.0
	for _, r := range reasons {
		sum += float64(r.Weight * r.Met)
		all += r.Weight
	}
	return sum / all
}

// question is one thing that practice asks. It is half met where package reading
// draws the line between saying and asking.
type question struct {
	topic  reading.Topic
	weight float64
	met    func(f *figures) float64
	words  func(f *figures) string // where the reading has none; nil: it always has

	// told are the kinds of lines that answer it in a reading: the first of them
	// that there is. asked is the kind of line that only ever asks: without it the
	// answer is yes.
	told  []string
	asked string
	own   bool // yes is said in words of its own
	focal bool // it is about the focal point: without one in the crop, no
}

// ramp returns 0 at from, 1 at to, in between by proportion; from may be the larger.
func ramp(v, from, to float64) float64 { return min(max((v-from)/(to-from), 0), 1) }

// questions are asked in this order. Weights: ours; the focal point and the pattern
// of values first.
var questions = []question{
	{
		topic: reading.OnContrast, weight: 1.5, words: silent("There is no contrast at all."), told: []string{"contrast.strongest"}, focal: true,
		met: func(f *figures) float64 { return ramp(f.focal, 0.4, 1.5) },
	},
	{
		topic: reading.OnValues, weight: 0.6, words: rulesWords, told: []string{"values.rules"}, own: true,
		met: func(f *figures) float64 { return ramp(f.ahead, 0, 0.1) },
	},
	{
		topic: reading.OnValues, weight: 0.4, words: equalWords, asked: "values.equal",
		met: func(f *figures) float64 { return ramp(f.apart, 0, 0.1) },
	},
	{
		topic: reading.OnEdges, weight: 1, words: edgeWords, told: []string{"edges.contrast"}, own: true, focal: true,
		met: func(f *figures) float64 { return ramp(f.edge, 1.2, 0.4) },
	},
	{
		topic: reading.OnDarks, weight: 1, words: silent("There are no darks."), told: []string{"darks.family.linked", "darks.linked"},
		met: (*figures).linkedWell,
	},
	{
		topic: reading.OnPlacement, weight: 1, told: []string{"placement.focal"}, focal: true,
		met: func(f *figures) float64 { return ramp(f.offMiddle(), 0.02, 0.08) },
	},
	{
		topic: reading.OnPlacement, weight: 0.8, words: roomWords, focal: true,
		met: func(f *figures) float64 { return ramp(f.room(), 0.1, 2*leastRoom-0.1) },
	},
	{
		topic: reading.OnSimplicity, weight: 0.8, told: []string{"simplicity.shapes"},
		met: func(f *figures) float64 { return ramp(float64(f.main), 21, 9) },
	},
	{
		topic: reading.OnPlacement, weight: 0.8, told: []string{"placement.balance"},
		met: func(f *figures) float64 { return ramp(math.Abs(f.left-0.5), 0.4, 0.1) },
	},
	{
		topic: reading.OnContrast, weight: 0.7, words: silent("Nothing stands out at the focal point."), told: []string{"contrast.stands"}, focal: true,
		met: func(f *figures) float64 { return ramp(f.stands, 0, 2) },
	},
	{
		topic: reading.OnDarks, weight: 0.6, words: silent("No dark leads to the focal point."), told: []string{"darks.family.reach", "darks.reach"}, focal: true,
		met: func(f *figures) float64 { return ramp(f.reach, 2*f.radius, 0) },
	},
	{
		topic: reading.OnValues, weight: 0.5, words: stepWords, asked: "values.close",
		met: func(f *figures) float64 { return ramp(f.step, 0, 2) },
	},
	{
		topic: reading.OnEdges, weight: 0.5, words: tangentWords,
		met: func(f *figures) float64 { return 1 / (1 + 1.5*float64(f.tangents)) },
	},
	{
		topic: reading.OnEdges, weight: 0.3, words: cornerWords, asked: "edges.corner",
		met: func(f *figures) float64 { return ramp(f.corner, 2*f.cornerLimit(), 0) },
	},
	{
		topic: reading.OnDirections, weight: 0.3, words: silent("No long straight border leads away from the focal point."), told: []string{"directions.pointing"}, focal: true,
		met: (*figures).leading,
	},
}

// leastRoom is how near a side the focal point may lie, share of the crop. Source:
// ours.
const leastRoom = 0.175

// justNo is what a question is met to at most where the reading asks.
const justNo = 0.49

// answer answers the question. Where the reading speaks of the same, the answer is
// the reading's: no if it asks, and in its words.
func (q question) answer(f *figures, lines []reading.Line, inside bool) Reason {
	if q.focal && !inside {
		return Reason{q.topic, "There is no focal point in the crop.", 0, q.weight}
	}
	met := q.met(f)
	line, told := q.line(lines)
	switch {
	case told && line.Asks:
		return Reason{q.topic, line.Words, min(met, justNo), q.weight}
	case told && !q.own:
		return Reason{q.topic, line.Words, max(met, 0.5), q.weight}
	case told, q.asked != "" && f.k > 1: // one value has no steps
		met = max(met, 0.5)
	}
	return Reason{q.topic, q.words(f), met, q.weight}
}

// line returns the weightiest line of a reading that answers the question.
func (q question) line(lines []reading.Line) (reading.Line, bool) {
	for _, kind := range append(q.told, q.asked) {
		for _, l := range lines {
			if kind != "" && l.Kind == kind {
				return l, true
			}
		}
	}
	return reading.Line{}, false
}

// offMiddle is how far the focal point lies from the middle, along the way on
// which it lies farther, in fractions of the crop.
func (f *figures) offMiddle() float64 { return max(math.Abs(f.x-0.5), math.Abs(f.y-0.5)) }

// room is how far the focal point lies from the nearest side.
func (f *figures) room() float64 { return min(f.x, 1-f.x, f.y, 1-f.y) }

// leading is how well the straight borders lead to the focal point: half met by
// as much as chance gives. Fewer than three lead nowhere.
func (f *figures) leading() float64 {
	if f.straights < 3 {
		return 1
	}
	return ramp(ratio(f.points, f.mean), 0.6, 1.4)
}

// linkedWell is how well the shadow family hangs together; one or two masses do.
func (f *figures) linkedWell() float64 {
	met := ramp(f.linked, 0.3, 0.9)
	if f.masses == 1 || f.masses == 2 {
		return max(met, 0.5)
	}
	return met
}

// cornerLimit is the share of contrast in a corner from which on it is asked about.
func (f *figures) cornerLimit() float64 { return max(0.02, 4*f.cornerArea) }

// score is the weighted share of the questions that are met by the figures alone:
// what a search over many crops goes by.
func (f *figures) score() float64 {
	sum, all := 0.0, 0.0
	for _, q := range questions {
		sum += float64(q.weight * q.met(f))
		all += q.weight
	}
	return sum / all
}
