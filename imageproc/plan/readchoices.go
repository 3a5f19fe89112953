package plan

import (
	"fmt"
	"slices"
	"strconv"

	"atelier/halflid/palette"
)

// maxTable is how many choices a plan file has at most: those of the plan, of
// the thumbnails, and as many as go into the text of a history.
const maxTable = 10_000

// choiceTable reads the choices that plans refer to.
func (r *reader) choiceTable(n node, path string) []Choice {
	if n.kind != isList {
		r.want(n, path, string(isList))
		return nil
	}
	if len(n.list) > maxTable {
		r.fail(n.at, path, fmt.Sprintf("%d choices: at most %d are kept", len(n.list), maxTable))
		return nil
	}
	out := make([]Choice, 0, len(n.list))
	for i, item := range n.list {
		if r.err != nil {
			return nil
		}
		out = append(out, r.choice(item, fmt.Sprintf("%s[%d]", path, i)))
	}
	return out
}

// whose says which kinds of choice have a field; the fields that are not here
// all have.
var whose = []struct {
	name  string
	kinds []What
}{
	{"other", []What{Apart}},
	{"value", []What{GiveValue, Add}},
	{"of", []What{GiveValue, Add}},
	{"dx", []What{Move, Copy}},
	{"dy", []What{Move, Copy}},
	{"scale", []What{Move, Copy}},
	{"mirror", []What{Move, Copy}},
	{"tone", []What{Add}},
	{"shapes", []What{Detail}},
	{"smooth", []What{Outline}},
	{"plane", []What{PlaneIs}},
	{"depth", []What{DepthIs}},
}

func (r *reader) choice(n node, path string) Choice {
	known := []string{"what", "off", "area"}
	for _, w := range whose {
		known = append(known, w.name)
	}
	o := r.object(n, path, "", known...)
	c := Choice{What: among(o, "what", Whats()...), Off: o.is("off"), Area: r.area(o, "area"), unknown: r.take()}
	for _, w := range whose {
		if !slices.Contains(w.kinds, c.What) {
			o.not(w.name, "a choice "+strconv.Quote(string(c.What))+" has no such field")
		}
	}
	if r.err != nil {
		return Choice{}
	}
	if c.valued() {
		c.Of = o.whole("of", MinK, MaxK)
		c.Value = o.whole("value", 0, max(0, c.Of-1))
	}
	if c.carries() {
		c.DX, c.DY = o.number("dx", -1, 1), o.number("dy", -1, 1)
		c.Scale, c.Mirror = o.number("scale", MinScale, MaxScale), o.is("mirror")
	}
	switch c.What {
	case Apart:
		c.Other = r.area(o, "other")
	case Add:
		c.Tone = palette.Value(o.number("tone", 0, 10))
	case Detail:
		c.Shapes = o.whole("shapes", 1, MaxWanted)
	case Outline:
		c.Smooth = o.number("smooth", 0, MaxSmooth)
	case PlaneIs:
		c.Plane = among(o, "plane", Planes()...)
	case DepthIs:
		c.Depth = among(o, "depth", Depths()...)
	}
	c, ok := c.Fit()
	if !ok && r.err == nil {
		panic("plan: a choice that was read is not sound")
	}
	return c
}

// area reads a list of rings.
func (r *reader) area(o fields, name string) Area {
	n, path := o.need(name)
	if r.err == nil && (n.kind != isList || len(n.list) == 0) {
		r.want(n, path, "a list of rings, at least one")
	}
	var grids [][]spot
	points := 0
	for i, item := range n.list {
		at := fmt.Sprintf("%s[%d]", path, i)
		if item.kind != isText {
			r.want(item, at, "a ring as text, such as \"0.1,0.2 0.3,0.2 0.3,0.4\"")
		}
		if r.err != nil {
			return Area{}
		}
		ring, problem := parseRing(item.text)
		if problem != "" {
			r.fail(item.at, at, problem)
			return Area{}
		}
		grids = append(grids, ring)
		points += len(ring)
	}
	if points > MaxPoints {
		r.fail(n.at, path, fmt.Sprintf("%d points: an area has at most %d", points, MaxPoints))
	}
	if r.err != nil {
		return Area{}
	}
	a := areaOf(grids)
	if a.Empty() {
		r.fail(n.at, path, "the rings cancel each other: nothing lies inside")
	}
	return a
}

// chosen reads a plan's list of places in the table.
func (r *reader) chosen(n node, path string) Choices {
	if r.err != nil {
		return Choices{}
	}
	if n.kind != isList {
		r.want(n, path, string(isList))
		return Choices{}
	}
	if len(n.list) > MaxChoices {
		r.fail(n.at, path, fmt.Sprintf("%d choices: a plan has at most %d", len(n.list), MaxChoices))
		return Choices{}
	}
	var out Choices
	seen := map[int]bool{}
	for i, item := range n.list {
		at := fmt.Sprintf("%s[%d]", path, i)
		if len(r.choices) == 0 {
			r.fail(item.at, at, "there is no such choice: the file's own list of choices is empty or missing")
			return Choices{}
		}
		place := r.whole(item, at, 0, len(r.choices)-1)
		if r.err == nil && seen[place] {
			r.fail(item.at, at, fmt.Sprintf("choice %d stands here twice", place))
		}
		if r.err != nil {
			return Choices{}
		}
		seen[place] = true
		longer, ok := out.and(r.choices[place])
		if !ok {
			r.fail(item.at, at, "the choices of this plan have too many points")
			return Choices{}
		}
		out = longer
	}
	return out
}
