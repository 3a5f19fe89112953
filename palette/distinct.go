package palette

import (
	"math"
	"slices"
)

// Distinct256 returns one entry, 16..255, of a 256-colour terminal for each
// tone, in the order given: equal tones share one, different tones get different
// ones whose lightness is in the order of the tones', with the least error
// summed over all. Tones of equal lightness count as ordered by red, green, blue.
// If there are more tones than entries (more than 30 greys, say), each gets its
// nearest, and some share. No tones give no entries.
//
// Source: ours (exact, by dynamic programming over tones and entries).
func Distinct256(tones []SRGB) []uint8 {
	entries := sortedEntries()
	order := distinctTones(tones)
	// sum[j] is the least cost of the tones so far with the last one at entry j
	// or darker; from[t][j] is the entry of tone t in it.
	sum := make([]float64, len(entries))
	from := make([][]int, len(order))
	for t, tone := range order {
		greyOnly := staysGrey(tone.lab)
		next := make([]float64, len(entries))
		from[t] = make([]int, len(entries))
		best, at := math.Inf(1), -1
		for j := range entries {
			before := 0.0
			if t > 0 {
				before = math.Inf(1)
				if j > 0 {
					before = sum[j-1]
				}
			}
			if k := before + entries[j].cost(tone.lab, greyOnly); k < best {
				best, at = k, j
			}
			next[j], from[t][j] = best, at
		}
		sum = next
	}
	chosen := make(map[SRGB]uint8, len(order))
	if len(order) > 0 && !math.IsInf(sum[len(sum)-1], 1) {
		for t, j := len(order)-1, len(entries)-1; t >= 0; t-- {
			j = from[t][j]
			chosen[order[t].rgb] = entries[j].index
			j--
		}
	}
	out := make([]uint8, len(tones))
	for i, tone := range tones {
		index, ok := chosen[tone]
		if !ok {
			index = nearestEntry(entries, tone.Linear().XYZ().Lab())
		}
		out[i] = index
	}
	return out
}

// toned is a tone with its place in CIELAB.
type toned struct {
	rgb SRGB
	lab Lab
}

// distinctTones returns the different tones from dark to light.
func distinctTones(tones []SRGB) []toned {
	var out []toned
	for _, c := range tones {
		if !slices.ContainsFunc(out, func(t toned) bool { return t.rgb == c }) {
			out = append(out, toned{c, c.Linear().XYZ().Lab()})
		}
	}
	slices.SortFunc(out, func(a, b toned) int {
		switch {
		case a.lab.L < b.lab.L:
			return -1
		case a.lab.L > b.lab.L:
			return 1
		}
		return int(a.rgb.R)<<16 + int(a.rgb.G)<<8 + int(a.rgb.B) -
			(int(b.rgb.R)<<16 + int(b.rgb.G)<<8 + int(b.rgb.B))
	})
	return out
}
