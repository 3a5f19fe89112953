package mass

import "slices"

// sayNext finds which shape of the plan goes next after t flips, and where to.
// shape is the shape of each base shape.
func (l *Layout) sayNext(p *Plan, t int, shape []int32) {
	if l.details != nil {
		l.sayNextOutside(p, t, shape)
		return
	}
	if t == len(l.flips) {
		return
	}
	number := func(root int32) int { return int(shape[l.first[root]]) }
	p.Next = number(l.flips[t].shape)
	for _, j := range l.joinsOf(t) {
		p.goesInto(number(j.lost))
		p.goesInto(number(j.kept))
	}
	slices.Sort(p.Into)
}

// goesInto adds shape s to those that the next one joins.
func (p *Plan) goesInto(s int) {
	if s != p.Next && !slices.Contains(p.Into, s) {
		p.Into = append(p.Into, s)
	}
}

// joinsOf returns the joins of flip t.
func (l *Layout) joinsOf(t int) []join {
	from := int32(0)
	if t > 0 {
		from = l.flips[t-1].joins
	}
	return l.joins[from:l.flips[t].joins]
}

// sayNextOutside is sayNext where details decide about part of the picture: the
// next flip counts that changes something outside them, and what of its shape
// lies there goes, as part of the plan's shape that has most of it.
func (l *Layout) sayNextOutside(p *Plan, t int, shape []int32) {
	root := l.rootsAfter(t)
	seen := make([]bool, len(l.value)) // does it reach outside the details
	for i, f := range l.fine {
		if !l.details.in[i] {
			seen[root[f]] = true
		}
	}
	for ; t < len(l.flips) && !seen[l.flips[t].shape]; t++ {
		for _, j := range l.joinsOf(t) {
			seen[j.kept] = seen[j.kept] || seen[j.lost]
		}
	}
	if t == len(l.flips) {
		return
	}
	root = l.rootsAfter(t)
	f := l.flips[t]
	goes := make([]bool, len(l.fine))
	area, most := make([]float64, len(p.Shapes)), 0.0
	for i, s := range shape {
		if goes[i] = !l.details.in[i] && root[l.fine[i]] == f.shape; !goes[i] {
			continue
		}
		if area[s] += l.base.shapes[i].area; area[s] > most {
			p.Next, most = int(s), area[s]
		}
	}
	border := &l.base.border
	for e := range border.a {
		for _, ij := range [2][2]int32{{border.a[e], border.b[e]}, {border.b[e], border.a[e]}} {
			if o := shape[ij[1]]; goes[ij[0]] && int(shape[ij[0]]) == p.Next && p.Shapes[o].Value == int(f.value) {
				p.goesInto(int(o))
			}
		}
	}
	slices.Sort(p.Into)
}
