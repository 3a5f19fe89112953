package reading

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"atelier/halflid/imageproc/plan"
)

// teller writes the lines.
type teller struct {
	r              Reading
	u              plan.Unit
	panelW, panelH float64 // 0 for a free panel
	lines          []Line
	gaps           []plan.Point // of the darks, or of the lights, that were asked about
}

// say adds a line that asks nothing, ask one that asks. Weights are held to 0..1
// and rounded, so that the last bit of a sum orders nothing.
func (t *teller) say(on Topic, kind string, weight float64, l Line, format string, args ...any) {
	l.Topic, l.Kind, l.Words = on, string(on)+"."+kind, fmt.Sprintf(format, args...)
	l.Weight = math.Round(1000*min(max(weight, 0), 1)) / 1000
	t.lines = append(t.lines, l)
}

func (t *teller) ask(on Topic, kind string, weight float64, l Line, format string, args ...any) {
	l.Asks = true
	t.say(on, kind, weight, l, format, args...)
}

// percent writes a share: whole percent, a decimal below 3 %, two below 0.1 %.
func percent(v float64) string {
	switch v = 100 * v; {
	case v == 0:
	case math.Abs(v) < 0.095:
		return strconv.FormatFloat(v, 'f', 2, 64) + " %"
	case math.Abs(v) < 2.95:
		return strconv.FormatFloat(v, 'f', 1, 64) + " %"
	}
	return strconv.FormatFloat(v, 'f', 0, 64) + " %"
}

// whole writes a share in whole percent.
func whole(v float64) string {
	if v > 0 && v < 0.005 {
		return "<1 %"
	}
	return strconv.FormatFloat(100*v, 'f', 0, 64) + " %"
}

// length writes a share of the long side with what it is on the panel, "8 % (1.6 cm)".
func (t *teller) length(v float64) string {
	return percent(v) + t.onPanel(v*max(t.panelW, t.panelH))
}

// onPanel writes a length on the panel in brackets, less than a millimetre in
// millimetres; nothing for a free panel.
func (t *teller) onPanel(length float64) string {
	if t.panelW == 0 {
		return ""
	}
	decimals := map[plan.Unit]int{plan.Inch: 2, plan.Centimetre: 1, plan.Millimetre: 0}[t.u]
	u := t.u
	switch {
	case u == plan.Centimetre && length < 0.095:
		length, u = 10*length, plan.Millimetre
	case length >= 9.95:
		decimals = max(0, decimals-1)
	}
	return fmt.Sprintf(" (%s %s)", strconv.FormatFloat(length, 'f', decimals, 64), u)
}

// one writes a number with one decimal.
func one(v float64) string { return strconv.FormatFloat(v, 'f', 1, 64) }

// times writes how many times as much: one decimal below 10, at most "over 99".
func times(v float64) string {
	switch {
	case v >= 99:
		return "over 99"
	case v >= 9.95:
		return strconv.FormatFloat(v, 'f', 0, 64)
	}
	return one(v)
}

// counted writes a number of things.
func counted(n int, thing string) string {
	switch {
	case n == 1:
		return "1 " + thing
	case strings.HasSuffix(thing, "s"):
		return strconv.Itoa(n) + " " + thing + "es"
	}
	return strconv.Itoa(n) + " " + thing + "s"
}

// either picks a word.
func either(is bool, yes, no string) string {
	if is {
		return yes
	}
	return no
}

// capital returns words with a capital.
func capital(s string) string { return strings.ToUpper(s[:1]) + s[1:] }

// window returns the round window about a place.
func (t *teller) window(at plan.Point) plan.Area { return t.r.disc(at, windowShare/2*t.r.long) }

func valueName(i, k int) string {
	if k > plan.MaxK {
		return "value " + strconv.Itoa(i+1)
	}
	return plan.ValueName(i, k)
}
