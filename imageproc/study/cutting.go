package study

import (
	"slices"

	"atelier/halflid/imageproc/mass"
	"atelier/halflid/imageproc/plan"
)

// ruling says, for each base shape and each kind of choice, which choice it obeys:
// the last one that is about it, or none (-1).
type ruling struct{ value, weld, detail, plane, depth []int32 }

// rule lets every choice that holds act, in the order of the list. Choices that
// nothing obeys in the end are overruled.
func (d *Desk) rule(list []plan.Choice) {
	c := &d.decided
	n := c.base.Shapes()
	r := ruling{unsaid(n), unsaid(n), unsaid(n), unsaid(n), unsaid(n)}
	by := func(w plan.What) []int32 {
		switch w {
		case plan.GiveValue, plan.Add:
			return r.value
		case plan.Together:
			return r.weld
		case plan.Detail:
			return r.detail
		case plan.PlaneIs:
			return r.plane
		case plan.DepthIs:
			return r.depth
		}
		return nil
	}
	for i, x := range list {
		if c.stands[i] != Holds {
			continue
		}
		of := by(x.What)
		for _, b := range c.members[i] {
			if of != nil {
				of[b] = int32(i)
			}
		}
		switch x.What {
		case plan.GiveValue, plan.Add:
			d.takeOut(r.weld, r.value, int32(i))
		case plan.Together:
			d.joinValues(r.weld, r.value, int32(i))
		case plan.Apart:
			for _, b := range slices.Concat(c.members[i], c.others[i]) {
				r.weld[b] = -1
			}
		}
	}
	for i, x := range list {
		if of := by(x.What); of != nil && c.stands[i] == Holds && x.What != plan.Add && !slices.Contains(of, int32(i)) {
			c.stands[i] = Overruled
		}
	}
	c.ruling = r
}

// decide adds the painter's choices to what base shapes are cut by, for a plan of
// so many values. It returns which choice each of cutting.Apart is.
func (d *Desk) decide(cutting *mass.Cutting, values int) (apart []int) {
	c := &d.decided
	for b, i := range c.ruling.value {
		if i >= 0 {
			cutting.Fixed = append(cutting.Fixed, mass.Fixed{Shape: b, Value: c.choices[i].ValueIn(values)})
		}
	}
	for i, x := range c.choices {
		switch {
		case c.stands[i] != Holds:
		case x.What == plan.Together:
			if set := holding(c.ruling.weld, i); len(set) > 1 {
				cutting.Weld = append(cutting.Weld, set)
			}
		case x.What == plan.Detail:
			cutting.Detail = append(cutting.Detail, mass.Detail{Shapes: holding(c.ruling.detail, i), Most: x.Shapes})
		case x.What == plan.Apart:
			a, b := ints(c.members[i]), ints(c.others[i])
			b = slices.DeleteFunc(b, func(s int) bool { return slices.Contains(a, s) })
			if len(b) > 0 {
				cutting.Apart = append(cutting.Apart, mass.Pair{A: a, B: b})
				apart = append(apart, i)
			}
		}
	}
	return apart
}

// unsaid returns n marks of which none names a choice.
func unsaid(n int) []int32 {
	out := make([]int32, n)
	for i := range out {
		out[i] = -1
	}
	return out
}

// holding returns the base shapes that obey choice i.
func holding(by []int32, i int) []int {
	var out []int
	for b, j := range by {
		if int(j) == i {
			out = append(out, b)
		}
	}
	return out
}

func ints(of []int32) []int {
	out := make([]int, len(of))
	for i, v := range of {
		out[i] = int(v)
	}
	return out
}

// takeOut lets the value of choice i, just said, act on what was pulled together
// before: if it is about more than half of that, all of it takes the value,
// otherwise its part leaves.
func (d *Desk) takeOut(weld, value []int32, i int32) {
	c := &d.decided
	all, part := map[int32]int{}, map[int32]int{}
	for b, w := range weld {
		if w >= 0 {
			all[w] += c.areas[b]
			if value[b] == i {
				part[w] += c.areas[b]
			}
		}
	}
	for b, w := range weld {
		switch {
		case w < 0 || part[w] == 0:
		case 2*part[w] > all[w]:
			value[b] = i
		case value[b] == i:
			weld[b] = -1
		}
	}
}

// joinValues settles the value of what choice i has just pulled together: an
// earlier value of more than half of it, otherwise none that was said.
func (d *Desk) joinValues(weld, value []int32, i int32) {
	c := &d.decided
	all, part := 0, map[int32]int{}
	for b, w := range weld {
		if w == i {
			all += c.areas[b]
			if value[b] >= 0 {
				part[value[b]] += c.areas[b]
			}
		}
	}
	to := int32(-1)
	for v, n := range part {
		if 2*n > all {
			to = v
		}
	}
	for b, w := range weld {
		if w == i {
			value[b] = to
		}
	}
}
