package reading

import (
	"cmp"
	"slices"

	"atelier/halflid/imageproc/plan"
)

// Topic is what a line is about, in a word for the painter.
type Topic string

// The topics, in the order of lines that weigh the same.
const (
	OnValues     Topic = "values"
	OnSimplicity Topic = "simplicity"
	OnDarks      Topic = "darks"
	OnLights     Topic = "lights"
	OnContrast   Topic = "contrast"
	OnEdges      Topic = "edges"
	OnPlacement  Topic = "placement"
	OnDirections Topic = "directions"
	OnPlanes     Topic = "planes"
	OnRecession  Topic = "recession"
	OnBorders    Topic = "borders"
)

// Topics lists them in that order.
func Topics() []Topic {
	return []Topic{
		OnValues, OnSimplicity, OnDarks, OnLights, OnContrast, OnEdges,
		OnPlacement, OnDirections, OnPlanes, OnRecession, OnBorders,
	}
}

// Activity is where the painter can change what a line speaks of.
type Activity string

// The activities; empty: nowhere, it is something to know.
const (
	ByFocal  Activity = "focal point"
	ByHand   Activity = "shape in the hand"
	ByCrop   Activity = "crop"
	ByValues Activity = "values"
	ByShapes Activity = "shapes"
)

// Line is one finding in a painter's words.
type Line struct {
	Topic Topic
	// Kind is which question the line answers, whatever the answer: the topic, a
	// dot and a word, such as "darks.linked". It stays the same from plan to plan
	// and from one version of the program to the next. A reading may have several
	// lines of one kind, about different places.
	Kind   string
	Words  string       // one sentence with its figures and units, 66 characters or fewer
	Asks   bool         // common practice would ask here
	Weight float64      // how much it matters, 0..1, among those that ask and those that do not
	At     []plan.Point // places on the photo; a shape that it speaks of lies under its place
	Area   plan.Area    // the part of the photo that it speaks of, if it is not a shape
	Leads  Activity
}

// Lines returns the reading in words, lengths on the panel in u, what would be
// asked first and of that the weightiest first; equals in the order of the
// topics. Never empty. Without a unit (a free panel has none) lengths are told as
// shares alone. It panics if u is another word.
func (r Reading) Lines(u plan.Unit) []Line {
	t := teller{r: r, u: u}
	if u != "" {
		t.panelW, t.panelH = r.Panel.Size(u)
	}
	t.values()
	t.simplicity()
	t.linked(OnDarks, "dark", r.Darks.Darkest, r.Darks.Shadow, 1)
	t.linked(OnLights, "light", r.Lights.Lightest, r.Lights.Light, 0.6)
	t.contrast()
	t.edges()
	t.placement()
	t.directions()
	t.planes()
	t.recession()
	t.borders()
	slices.SortStableFunc(t.lines, before)
	return t.lines
}

// before orders lines: those that ask first, then by weight.
func before(a, b Line) int {
	if a.Asks != b.Asks {
		if a.Asks {
			return -1
		}
		return 1
	}
	return cmp.Compare(b.Weight, a.Weight)
}
