package crops

import (
	"fmt"
	"math"
	"strings"
)

// The words of each answer, with yes or with no.

// percent writes a share in whole percent, a decimal below 3 %.
func percent(v float64) string {
	v *= 100
	if v != 0 && math.Abs(v) < 2.95 {
		return fmt.Sprintf("%.1f %%", v)
	}
	return fmt.Sprintf("%.0f %%", v)
}

// valueNames are the words for 1 to 5 values, dark to light.
var valueNames = [...][]string{
	{"one tone"},
	{"dark", "light"},
	{"dark", "middle", "light"},
	{"dark", "half-dark", "half-light", "light"},
	{"darkest", "dark", "middle", "light", "lightest"},
}

func (f *figures) valueName(i int) string { return valueNames[f.k-1][i] }

func capital(s string) string { return strings.ToUpper(s[:1]) + s[1:] }

func focalWords(f *figures, yes bool) string {
	switch {
	case f.focal >= mostRatio:
		return "All strong contrast lies at the focal point."
	case yes && f.focal < 1:
		return fmt.Sprintf("Contrast at the focal point is %.1f times the strongest elsewhere.", f.focal)
	case yes:
		return fmt.Sprintf("Strongest contrast at the focal point, %.1f times the next.", f.focal)
	case f.focal == 0:
		return "There is no contrast at the focal point."
	}
	return fmt.Sprintf("Elsewhere contrast is %.1f times the focal point's.", min(mostRatio, 1/f.focal))
}

func rulesWords(f *figures, yes bool) string {
	if f.k == 1 {
		return "All is one value."
	}
	name, share := capital(f.valueName(f.ruling)), percent(f.shares[f.ruling])
	if yes {
		return fmt.Sprintf("%s rules with %s, %s ahead of the next.", name, share, points(f.ahead))
	}
	return fmt.Sprintf("No value rules: %s has %s, %s ahead of the next.", f.valueName(f.ruling), share, points(f.ahead))
}

func equalWords(f *figures, yes bool) string {
	if f.k == 1 || yes && f.apart >= 1 {
		return "No two values take nearly as much of the picture."
	}
	a, b := f.equal[0], f.equal[1]
	if yes {
		return fmt.Sprintf("No two are equal: %s and %s differ by %s.", f.valueName(a), f.valueName(b), points(f.apart))
	}
	return fmt.Sprintf("%s %s and %s %s are nearly equal: which rules?", capital(f.valueName(a)), percent(f.shares[a]), f.valueName(b), percent(f.shares[b]))
}

// points writes a difference of shares.
func points(v float64) string { return fmt.Sprintf("%.0f points", 100*v) }

func edgeWords(f *figures, yes bool) string {
	if yes {
		return fmt.Sprintf("The edges are calm: at most %.1f times the focal point's contrast.", f.edge)
	}
	if f.edge >= mostRatio {
		return fmt.Sprintf("The %s edge pulls: its contrast outdoes the focal point's.", f.side)
	}
	return fmt.Sprintf("The %s edge pulls: %.1f times the focal point's contrast.", f.side, f.edge)
}

func linkedWords(f *figures, yes bool) string {
	switch {
	case f.masses == 1 && yes:
		return "The darks are one mass."
	case f.masses == 0:
		return "There are no darks."
	case yes:
		return fmt.Sprintf("The darks link: the largest of %d masses holds %s.", f.masses, percent(f.linked))
	}
	return fmt.Sprintf("The darks are scattered: the largest of %d holds %s.", f.masses, percent(f.linked))
}

func middleWords(f *figures, yes bool) string {
	if yes {
		return fmt.Sprintf("The focal point lies %s across and %s down, off the middle.", percent(f.x), percent(f.y))
	}
	return "The focal point lies in the middle."
}

func roomWords(f *figures, yes bool) string {
	if yes {
		return fmt.Sprintf("It has room: %s to the nearest side.", percent(f.room()))
	}
	return fmt.Sprintf("The focal point is cramped: %s to the nearest side.", percent(f.room()))
}

func simpleWords(f *figures, yes bool) string {
	shapes := "1 shape makes"
	if f.main != 1 {
		shapes = fmt.Sprintf("%d shapes make", f.main)
	}
	if yes {
		return fmt.Sprintf("It is simple: %s up nine tenths.", shapes)
	}
	return fmt.Sprintf("It is busy: %s up nine tenths.", shapes)
}

func balanceWords(f *figures, yes bool) string {
	if yes {
		return fmt.Sprintf("It balances: weight %s left, %s right.", percent(f.left), percent(1-f.left))
	}
	return fmt.Sprintf("It tips over: weight %s left, %s right.", percent(f.left), percent(1-f.left))
}

func standsWords(f *figures, yes bool) string {
	if yes {
		return fmt.Sprintf("The focal point stands out by %.1f values.", f.stands)
	}
	return fmt.Sprintf("The focal point stands out by %.1f values only.", f.stands)
}

func reachWords(f *figures, yes bool) string {
	switch {
	case f.reach == 0:
		return "The focal point lies on the largest dark."
	case yes:
		return fmt.Sprintf("The darks lead to within %s of the focal point.", percent(f.reach))
	case f.reach >= 1:
		return "No dark leads to the focal point."
	}
	return fmt.Sprintf("The darks stop %s short of the focal point.", percent(f.reach))
}

func stepWords(f *figures, yes bool) string {
	if yes {
		return fmt.Sprintf("The tones are %.1f values apart or more.", f.step)
	}
	return fmt.Sprintf("Two tones lie only %.1f of a value apart.", f.step)
}

func tangentWords(f *figures, _ bool) string {
	switch f.tangents {
	case 0:
		return "No shape touches an edge in passing."
	case 1:
		return "1 shape just touches an edge, or almost."
	}
	return fmt.Sprintf("%d shapes just touch an edge, or almost.", f.tangents)
}

func cornerWords(f *figures, yes bool) string {
	if yes {
		return fmt.Sprintf("The corners are quiet: %s of the contrast in one at most.", percent(f.corner))
	}
	return fmt.Sprintf("A corner leads out: %s of the contrast lies there.", percent(f.corner))
}

func leadingWords(f *figures, _ bool) string {
	if f.straights == 0 {
		return "No long straight border leads away from the focal point."
	}
	return fmt.Sprintf("Straight borders to the focal point: %s, by chance %s.", percent(f.points), percent(f.mean))
}
