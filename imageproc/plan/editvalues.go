package plan

import (
	"slices"

	"atelier/halflid/palette"
)

// squintLadder steps by the square root of two, in the round figures of lens
// stops, from where a 768-pixel picture first softens. Source: ours.
var squintLadder = [...]float64{0, 0.12, 0.18, 0.25, 0.35, 0.5, 0.7, 1, 1.4, 2, 2.8, 4, 5.6, 8, 11, 16, 22, MaxSquint}

// SquintLadder returns the steps of SquintMore and SquintLess in percent of the
// crop's long side, 0 to MaxSquint.
func SquintLadder() []float64 { return append([]float64(nil), squintLadder[:]...) }

// SquintMore goes to the next step of SquintLadder above the present squint.
func SquintMore(p Plan, f Frame) Plan {
	p = Fit(p, f)
	for _, s := range squintLadder {
		if s > p.Squint {
			p.Squint = s
			break
		}
	}
	return p
}

// SquintLess goes to the next step of SquintLadder below the present squint.
func SquintLess(p Plan, f Frame) Plan {
	p = Fit(p, f)
	for i := len(squintLadder) - 1; i >= 0; i-- {
		if squintLadder[i] < p.Squint {
			p.Squint = squintLadder[i]
			break
		}
	}
	return p
}

// SetSquint sets the squint in percent of the crop's long side, held within 0
// and MaxSquint.
func SetSquint(percent float64) Edit {
	return func(p Plan, f Frame) Plan {
		p.Squint = percent
		return Fit(p, f)
	}
}

// SetK sets the number of values, held within MinK and MaxK. Cuts and tones set
// by hand belong to their own number of values: with another number cuts go
// back to nested and tones to the mean.
func SetK(k int) Edit {
	return func(p Plan, f Frame) Plan {
		p = Fit(p, f)
		k := min(max(k, MinK), MaxK)
		if k == p.Values.K {
			return p
		}
		p.Values.K = k
		if p.Values.CutMethod == CutByHand {
			p.Values.CutMethod = CutNested
		}
		if p.Values.ToneMethod == ToneByHand {
			p.Values.ToneMethod = ToneMean
		}
		return Fit(p, f)
	}
}

// SetCutMethod changes how cuts are found. By hand starts from equal steps of
// the value scale, unless the cuts are by hand already; SetCuts and MoveCut
// start elsewhere. A method that is not one of CutMethods changes nothing.
func SetCutMethod(m CutMethod) Edit {
	return func(p Plan, f Frame) Plan {
		p = Fit(p, f)
		switch m {
		case CutNested, CutLeastError, CutEqualSteps:
			p.Values.CutMethod = m
		case CutByHand:
			if p.Values.CutMethod == CutByHand {
				return p
			}
			cuts := make([]palette.Value, p.Values.K-1)
			for i := range cuts {
				cuts[i] = palette.Value(10 * float64(i+1) / float64(p.Values.K))
			}
			return SetCuts(cuts)(p, f)
		}
		return Fit(p, f)
	}
}

// SetToneMethod changes how tones are found. By hand starts from equal steps of
// the value scale, unless the tones are by hand already; SetTones and MoveTone
// start elsewhere. A method that is not one of ToneMethods changes nothing.
func SetToneMethod(m ToneMethod) Edit {
	return func(p Plan, f Frame) Plan {
		p = Fit(p, f)
		switch m {
		case ToneMean, ToneFixed:
			p.Values.ToneMethod = m
		case ToneByHand:
			if p.Values.ToneMethod == ToneByHand {
				return p
			}
			tones := make([]palette.Value, p.Values.K)
			for i := range tones {
				tones[i] = palette.Value(10 * (float64(i) + 0.5) / float64(p.Values.K))
			}
			return SetTones(tones)(p, f)
		}
		return Fit(p, f)
	}
}

// SetCuts sets the cuts by hand in Munsell value, and with them the number of
// values: one more than cuts. They are sorted, held within 0.1 and 9.9, and
// kept MinGap apart. Tones set by hand for another number of values go back to
// the mean. A number of cuts that no plan has changes nothing.
func SetCuts(cuts []palette.Value) Edit {
	cuts = append([]palette.Value(nil), cuts...)
	return func(p Plan, f Frame) Plan {
		if len(cuts) < MinK-1 || len(cuts) > MaxK-1 {
			return Fit(p, f)
		}
		p = SetK(len(cuts)+1)(p, f)
		p.Values.CutMethod = CutByHand
		p.Values.Cuts = [MaxK - 1]palette.Value{}
		copy(p.Values.Cuts[:], cuts)
		return Fit(p, f)
	}
}

// SetTones sets the tones by hand in Munsell value, one for each value, dark to
// light: sorted, held within 0 and 10, kept MinGap apart. It changes nothing
// unless there are as many tones as the plan has values.
func SetTones(tones []palette.Value) Edit {
	tones = append([]palette.Value(nil), tones...)
	return func(p Plan, f Frame) Plan {
		p = Fit(p, f)
		if len(tones) != p.Values.K {
			return p
		}
		p.Values.ToneMethod = ToneByHand
		copy(p.Values.Tones[:], tones)
		return Fit(p, f)
	}
}

// HoldValues sets by hand the cuts and tones that are not yet: those that were found
// for the plan. It changes nothing unless there are as many as the plan has values.
func HoldValues(cuts, tones []palette.Value) Edit {
	cuts, tones = slices.Clone(cuts), slices.Clone(tones)
	return func(p Plan, f Frame) Plan {
		p = Fit(p, f)
		if len(tones) != p.Values.K || len(cuts) != p.Values.K-1 {
			return p
		}
		if p.Values.CutMethod != CutByHand {
			p = SetCuts(cuts)(p, f)
		}
		if p.Values.ToneMethod != ToneByHand {
			p = SetTones(tones)(p, f)
		}
		return p
	}
}

// MoveCut moves cut i (0: between the darkest two values) by dV Munsell value,
// stopping MinGap from its neighbours and from both ends of the scale. Cuts
// become by hand: they start from now, the cuts on show, unless the plan has
// cuts by hand already, which count for more because now may be of an older
// plan while a key is held. It changes nothing if now, when needed, has not one
// cut fewer than the plan has values, or if there is no cut i.
func MoveCut(now []palette.Value, i int, dV palette.Value) Edit {
	now = append([]palette.Value(nil), now...)
	return func(p Plan, f Frame) Plan {
		p = Fit(p, f)
		start := now
		if p.Values.CutMethod == CutByHand {
			start = p.Values.HandCuts()
		}
		if len(start) != p.Values.K-1 || i < 0 || i >= len(start) {
			return p
		}
		return SetCuts(moved(start, i, dV, MinGap, 10-MinGap))(p, f)
	}
}

// MoveTone moves the tone of value i (0: the darkest) by dV Munsell value,
// stopping MinGap from its neighbours and at both ends of the scale. Tones
// become by hand, starting from now, the tones on show, just as with MoveCut.
func MoveTone(now []palette.Value, i int, dV palette.Value) Edit {
	now = append([]palette.Value(nil), now...)
	return func(p Plan, f Frame) Plan {
		p = Fit(p, f)
		start := now
		if p.Values.ToneMethod == ToneByHand {
			start = p.Values.HandTones()
		}
		if len(start) != p.Values.K || i < 0 || i >= len(start) {
			return p
		}
		return SetTones(moved(start, i, dV, 0, 10))(p, f)
	}
}

// moved returns vs in order with entry i moved by d, held by its neighbours.
func moved(vs []palette.Value, i int, d, lo, hi palette.Value) []palette.Value {
	out := spread(vs, lo, hi)
	if i > 0 {
		lo = out[i-1] + MinGap
	}
	if i < len(out)-1 {
		hi = out[i+1] - MinGap
	}
	if d != d {
		return out
	}
	out[i] = palette.Value(clamp(float64(out[i]+d), float64(lo), float64(hi)))
	return out
}

// SetShapes sets how many shapes are wanted, held within 0 and MaxWanted; 0
// wants all that are not too small.
func SetShapes(wanted int) Edit {
	return func(p Plan, f Frame) Plan {
		p.Shapes.Wanted = wanted
		return Fit(p, f)
	}
}

// SetBrush sets the width of the smallest mark in mm on the panel, held within 0
// and MaxBrush.
func SetBrush(mm float64) Edit {
	return func(p Plan, f Frame) Plan {
		p.Shapes.Brush = mm
		return Fit(p, f)
	}
}

// MoveFocus moves the focal point by dx to the right and dy downwards, both in
// fractions of the crop's long side, and makes its radius wider times as large.
// It stops at the photo's edges and at the limits of the radius. Without a focal
// point it puts one of the usual radius into the middle of the crop instead.
func MoveFocus(dx, dy, wider float64) Edit {
	return func(p Plan, f Frame) Plan {
		p = Fit(p, f)
		b := p.box(f)
		w, h := f.size()
		if p.Focus.None() {
			p.Focus = Focus{X: b.cx / w, Y: b.cy / h, Radius: UsualRadius * max(b.w, b.h) / max(w, h)}
			return Fit(p, f)
		}
		long := max(b.w, b.h)
		p.Focus.X += dx * long / w
		p.Focus.Y += dy * long / h
		p.Focus.Radius *= wider
		return Fit(p, f)
	}
}

// NextFall changes how fast detail falls off from the focal point: gently, as
// usual, strongly, and round again. Without a focal point it changes nothing.
func NextFall(p Plan, f Frame) Plan {
	p = Fit(p, f)
	if p.Focus.None() {
		return p
	}
	i := slices.Index(Falls(), p.Focus.Fall)
	p.Focus.Fall = Falls()[(i+1)%len(Falls())]
	return p
}

// SetFocus sets the focal point, held on the photo; a radius of 0 or less takes
// it away.
func SetFocus(focus Focus) Edit {
	return func(p Plan, f Frame) Plan {
		p.Focus = focus
		return Fit(p, f)
	}
}
