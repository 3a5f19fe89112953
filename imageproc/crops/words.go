package crops

import (
	"fmt"
	"math"
	"strings"

	"atelier/halflid/imageproc/plan"
)

// The words of answers where a reading has no line about the same.

// percent writes a share in whole percent, a decimal below 3 %.
func percent(v float64) string {
	v *= 100
	if v != 0 && math.Abs(v) < 2.95 {
		return fmt.Sprintf("%.1f %%", v)
	}
	return fmt.Sprintf("%.0f %%", v)
}

// valueName is the painter's word for a value of the plan.
func (f *figures) valueName(i int) string {
	if f.k == 1 {
		return "one tone"
	}
	return plan.ValueName(i, f.k)
}

func capital(s string) string { return strings.ToUpper(s[:1]) + s[1:] }

// silent returns words for what a reading says nothing about.
func silent(words string) func(*figures) string { return func(*figures) string { return words } }

func rulesWords(f *figures) string {
	if f.k == 1 {
		return "All is one value."
	}
	return fmt.Sprintf("%s rules with %s, %s ahead of the next.", capital(f.valueName(f.ruling)), percent(f.shares[f.ruling]), points(f.ahead))
}

func equalWords(f *figures) string {
	if f.apart >= 1 {
		return "No other two values take nearly as much of the picture."
	}
	return fmt.Sprintf("The other values: %s and %s differ by %s.", f.valueName(f.equal[0]), f.valueName(f.equal[1]), points(f.apart))
}

// points writes a difference of shares.
func points(v float64) string {
	if math.Round(100*v) == 1 {
		return "1 point"
	}
	return fmt.Sprintf("%.0f points", 100*v)
}

func edgeWords(f *figures) string {
	if f.edge == 0 {
		return "The edges are calm: there is no contrast."
	}
	return fmt.Sprintf("The edges are calm: at most %.1f times the focal point's contrast.", f.edge)
}

func roomWords(f *figures) string {
	if f.room() >= leastRoom {
		return fmt.Sprintf("The focal point has room: %s to the nearest side.", percent(f.room()))
	}
	return fmt.Sprintf("The focal point is cramped: %s to the nearest side.", percent(f.room()))
}

func stepWords(f *figures) string {
	if f.k == 1 {
		return "One value has no steps."
	}
	return fmt.Sprintf("The tones are %.1f values apart or more.", f.step)
}

func tangentWords(f *figures) string {
	switch f.tangents {
	case 0:
		return "No shape touches an edge in passing."
	case 1:
		return "1 shape just touches an edge, or almost."
	}
	return fmt.Sprintf("%d shapes just touch an edge, or almost.", f.tangents)
}

func cornerWords(f *figures) string {
	return fmt.Sprintf("The corners are quiet: %s of the contrast in one at most.", percent(f.corner))
}
