package mass

import (
	"math"

	"atelier/halflid/palette"
)

// toneGap is how far tones that had to be pooled are kept apart.
const toneGap palette.L = .5

// tones returns the tone of each value of p, whose base shapes lie in shape. What
// the painter gave a value does not move its tone: a light wall that is to be
// dark is painted in the dark that is there. A value of such shapes alone has the
// tone of what the photo has of it.
func (l *Layout) tones(p *Plan, shape []int32) []palette.L {
	b, n := l.base, l.values
	own, photo := make([]sums, n), make([]sums, n)
	area := make([]float64, n)
	for i := range b.shapes {
		s, k := &b.shapes[i], p.Shapes[shape[i]].Value
		area[k] += s.area
		if l.said == nil || !l.said[i] {
			own[k].add(s)
		}
		photo[l.group[s.class]].add(s)
	}
	tones := make([]palette.L, n)
	for k := range tones {
		switch {
		case area[k] == 0:
			tones[k] = palette.L(math.NaN())
		case own[k].area > 0:
			tones[k], area[k] = own[k].mean(), own[k].area
		default:
			tones[k] = photo[k].mean()
			if photo[k].area == 0 {
				area[k] = 0 // nothing to go by
			}
		}
	}
	riseTones(tones, area)
	fillTones(tones)
	return tones
}

// sums are the area and the light of some base shapes.
type sums struct{ area, light float64 }

func (s *sums) add(b *baseShape) {
	s.area += b.area
	s.light += b.light
}

// mean returns the lightness of the mean light; NaN of nothing.
func (s sums) mean() palette.L {
	if s.area == 0 {
		return palette.L(math.NaN())
	}
	return palette.Y(s.light / s.area).L()
}

// riseTones makes the tones of the values that have pixels rise. After many
// shapes went, what is left of a value can be darker than what is left of the
// value below it; such values share their mean, half an L* apart, so that the
// lighter value stays the lighter paint. Tones that rise are left alone.
//
// Source: pooling of adjacent violators, Ayer et al. 1955, Ann. Math. Stat. 26.
func riseTones(tones []palette.L, area []float64) {
	type block struct{ sum, n, ks float64 }
	var blocks []block
	pooled := false
	for k, n := range area {
		if n == 0 {
			continue
		}
		blocks = append(blocks, block{float64(tones[k]) * n, n, 1})
		for i := len(blocks) - 1; i > 0 && blocks[i].sum/blocks[i].n <= blocks[i-1].sum/blocks[i-1].n; i-- {
			a, b := blocks[i-1], blocks[i]
			blocks[i-1], blocks = block{a.sum + b.sum, a.n + b.n, a.ks + b.ks}, blocks[:i]
			pooled = true
		}
	}
	if !pooled {
		return
	}
	var held []int
	for k, n := range area {
		if n > 0 {
			held = append(held, k)
		}
	}
	i := 0
	for _, b := range blocks {
		for j := range int(b.ks) {
			tones[held[i]] = palette.L(b.sum/b.n) + toneGap*palette.L(float64(j)-(b.ks-1)/2)
			i++
		}
	}
	for i, k := range held {
		tones[k] = max(tones[k], toneGap*palette.L(i))
		if i > 0 {
			tones[k] = max(tones[k], tones[held[i-1]]+toneGap)
		}
	}
	for i := len(held) - 1; i >= 0; i-- {
		top := 100 - toneGap*palette.L(len(held)-1-i)
		if i < len(held)-1 {
			top = min(top, tones[held[i+1]]-toneGap)
		}
		tones[held[i]] = min(tones[held[i]], top)
	}
}

// fillTones gives values without pixels tones at equal steps between their
// neighbours', black and white standing beyond the ends. Where these leave no
// room, below a value painted black, the neighbours make some.
func fillTones(tones []palette.L) {
	last, from := palette.L(0), -1
	for k := 0; k <= len(tones); k++ {
		tone := palette.L(100)
		if k < len(tones) {
			if tone = tones[k]; math.IsNaN(float64(tone)) {
				continue
			}
		}
		for i := from + 1; i < k; i++ {
			tones[i] = last + (tone-last)*palette.L(i-from)/palette.L(k-from)
		}
		last, from = tone, k
	}
	spreadTones(tones)
}

// spreadTones moves tones that do not rise apart as little as it takes, by
// toneGap or what 0..100 has room for.
func spreadTones(tones []palette.L) {
	gap := min(toneGap, 100/palette.L(len(tones)))
	rises := true
	for i := 1; i < len(tones); i++ {
		if !(tones[i] > tones[i-1]) {
			rises = false
			tones[i] = tones[i-1] + gap
		}
	}
	if rises {
		return
	}
	top := palette.L(100)
	for i := len(tones) - 1; i >= 0 && tones[i] > top; i-- {
		tones[i] = top
		top -= gap
	}
}
