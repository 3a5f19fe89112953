package sheet

import (
	"fmt"

	"atelier/halflid/imageproc/page"
	"atelier/halflid/imageproc/study"
)

// orderWords says which value comes first.
var orderWords = map[study.Order]string{
	study.DarkFirst: "the darkest value first", study.LightFirst: "the lightest value first", study.LargeFirst: "the largest value first",
}

// stepsPage shows the drawing, then the plan as each value is laid in.
func stepsPage(m Material, o Options) *leaf {
	order := m.Figures.BlockIn(o.Order)
	n, aspect := 1+len(order), m.aspect()
	fit := func(r page.Rect) cells { return arranged(r, n, aspect, captionHeight, r.W) }
	l := newLeaf("steps", o.Paper, turnedFor(o.Paper, func(r page.Rect) float64 { return fit(r).w }), "Blocking in, "+orderWords[o.Order])
	c := fit(l.room)
	tones := m.Figures.Tones
	first := drawing{m: m.Map, at: c.at(0)}
	items := []page.Item{page.Path{Lines: []page.Line{page.Box(first.at)}, Fill: inkBare}}
	for _, lines := range first.borders(len(tones)) {
		items = append(items, page.Path{Lines: lines, Stroke: inkQuiet, Width: hair})
	}
	items = append(items, frame(first.at))
	l.layer("step-0", "the drawing", append(items, captioned(first.at, "The drawing", fmt.Sprintf("%d masses in %d values", len(m.Map.Regions), len(tones)))...)...)
	sum := 0.0
	for i, v := range order {
		sum += m.Figures.Shares[v]
		d := drawing{m: m.Map, at: c.at(i + 1)}
		bold := fmt.Sprintf("%d \u00b7 Value %d, %s", i+1, v+1, munsell(tones[v]))
		quiet := percent(m.Figures.Shares[v]) + " of the picture"
		if i > 0 {
			quiet += ", " + percent(sum) + " laid in"
		}
		l.layer(fmt.Sprintf("step-%d", i+1), bold, append(d.painted(order[:i+1], tones), captioned(d.at, bold, quiet)...)...)
	}
	return l
}

// percent writes a share, whole above one per cent.
func percent(share float64) string {
	if share > 0 && share < 0.0095 {
		return fmt.Sprintf("%.1f\u00a0%%", 100*share)
	}
	return fmt.Sprintf("%.0f\u00a0%%", 100*share)
}
