package main

import "math"

// hull is the form of a boat. Its frame: x athwart, y up from the keel, z
// towards the bow, origin under midships.
type hull struct {
	length, beam, depth float64
	forward, aft        float64 // rise of the sheer at bow and stern
	rake, counter       float64 // lean of stem and sternpost
	transom             float64 // breadth of the stern, 0 pointed to 1 full
	bluff               float64 // fullness of the bow, 1.6 fine to 3 bluff
	deck                float64 // how far the deck lies below the rail
	paint               coat
}

func (h hull) breadth(s float64) float64 {
	if s > 0.45 {
		return h.beam / 2 * (1 - math.Pow((s-0.45)/0.55, h.bluff))
	}
	k := (0.45 - s) / 0.45
	return h.beam / 2 * (1 - (1-h.transom)*k*k)
}

func (h hull) sheer(s float64) float64 {
	if s > 0.42 {
		k := (s - 0.42) / 0.58
		return h.depth + h.forward*k*k
	}
	k := (0.42 - s) / 0.42
	return h.depth + h.aft*k*k
}

// at returns the point of the starboard side at s (0 stern to 1 bow) and t (0
// keel to 1 rail).
func (h hull) at(s, t float64) vec {
	left := math.Max(1-t, 0) // the stem may stand above the rail
	mid := math.Pow(1-math.Pow(left, 2.7), 0.72)
	bow := math.Pow(t, 0.72) * (0.66 + 0.34*t)
	stern := math.Pow(ramp(0.02, 1.05, t), 0.9)
	k := lerp(lerp(mid, bow, ramp(0.55, 1.0, s)), stern, ramp(0.42, 0, s))
	foot := 0.16 * h.depth * ramp(0.86, 1, s) * math.Max(s-0.86, 0) / 0.14
	y := lerp(foot, h.sheer(s), t)
	z0 := -h.length/2 + h.counter*(1-t)
	z1 := h.length/2 - h.rake*math.Pow(left, 1.7)
	return vec{h.breadth(s) * k, y, lerp(z0, z1, s)}
}

// shell draws planking, stem, keel, rails and deck.
func (h hull) shell(p pen) {
	out := p.with(h.paint.planking())
	in := p.with(timber(h.paint.inside))
	wood := p.with(rusty(h.paint.rail, 0.25))
	for _, side := range []float64{1, -1} {
		if side < 0 { // only the sunny side has been scraped yet
			c := h.paint
			c.scraped *= 0.12
			out = p.with(c.planking())
		}
		out.grid(72, 22, func(u, v float64) (vec, vec) {
			q := h.at(u, v)
			return vec{side * q.x, q.y, q.z}, vec{u * h.length, v, q.y}
		})
		in.grid(40, 3, func(u, v float64) (vec, vec) {
			q := h.at(u, 1)
			q.y -= h.deck * v
			return vec{side * math.Max(q.x-0.10-0.10*v, 0), q.y, q.z - 0.12*u}, vec{u * h.length, q.y, q.y}
		})
		h.rail(wood, side, 1, 0.09, 0.06)
		h.rail(wood, side, 0.88, 0.05, 0.05)
	}
	in.grid(40, 6, func(u, v float64) (vec, vec) {
		q := h.at(u, 1)
		x := lerp(-1, 1, v) * math.Max(q.x-0.16, 0)
		return vec{x, q.y - h.deck + 0.06*(1-4*(v-0.5)*(v-0.5)), q.z - 0.1*u}, vec{x, u * h.length, q.y}
	})
	out.grid(16, 16, func(u, v float64) (vec, vec) { // transom
		q := h.at(0, v)
		return vec{lerp(-1, 1, u) * q.x, q.y, q.z}, vec{u, v, q.y}
	})
	var stem, keel []vec
	for i := range 25 {
		q := h.at(1, float64(i)/24*1.07)
		stem = append(stem, q.add(vec{0, 0, 0.03}))
	}
	for i := range 13 {
		keel = append(keel, h.at(float64(i)/12, 0).add(vec{0, -0.02, 0}))
	}
	post := p.with(timber(h.paint.rail.mul(0.5)))
	post.tube(stem, 8, func(float64) float64 { return 0.0065*h.length + 0.01 })
	post.tube(keel, 8, func(float64) float64 { return 0.010*h.length + 0.01 })
}

// rail draws a bar along the side at height t.
func (h hull) rail(p pen, side, t, out, r float64) {
	var path []vec
	for i := range 41 {
		q := h.at(float64(i)/40, t)
		path = append(path, vec{side * (q.x + out*0.4), q.y, q.z})
	}
	p.tube(path, 6, func(float64) float64 { return r })
}

// coat is how a hull is painted.
type coat struct {
	top, below, stripe, rail, inside vec
	line                             float64 // height of the waterline above the keel
	rust, scraped                    float64
}

func (c coat) planking() material {
	return func(h *hit, s *surface) {
		u, v, y := h.t.x, h.t.y, h.t.z
		n := fbm(u*1.1, y*1.6, 4, 201)
		fine := fbm(u*9, y*14, 3, 203)
		plank := int(math.Floor(v * 17))
		tone := 0.86 + 0.28*spot(plank, int(math.Floor(u/3.1+0.4*float64(plank&1))), 205)
		col := c.top
		s.gloss, s.rough = 0.28, 0.20
		if v > 0.915 {
			col = c.stripe
		}
		switch edge := y + 0.02*(fine-0.5); {
		case edge < c.line:
			col = c.below.mul(0.75 + 0.5*n)
			weed := ramp(0.48, 0.62, fbm(u*1.7, y*2.2, 4, 207)+0.18*(c.line-y)/c.line-0.1)
			col = col.mix(vec{0.09, 0.10, 0.06}.mul(0.6+fine), 0.65*weed)
			bare := ramp(0.50, 0.56, fbm(u*1.3+4, y*2.1, 4, 209)+c.scraped*0.35*ramp(7, 14, u)-0.10)
			col = col.mix(vec{0.42, 0.33, 0.23}.mul(0.7+0.6*fine), 0.4*bare*c.scraped)
			s.gloss = 0.08
		case edge < c.line+0.17:
			col = c.rail.mix(c.stripe, 0.55)
		case v < 0.915: // paint burnt off to primer and bare wood
			bare := ramp(0.44, 0.52, n+0.22*(fine-0.5)+c.scraped*0.5*ramp(8.5, 12.5, u)-0.22-0.4*ramp(c.line+1.5, c.line+0.9, y))
			col = col.mix(vec{0.62, 0.54, 0.42}.mul(0.8+0.4*fine), bare*ramp(0.3, 0.8, c.scraped))
		}
		col = col.mul(tone * (0.74 + 0.36*n + 0.2*fine))
		run := ramp(0.60, 0.80, fbm(u*3.1, y*0.22, 4, 211)+0.10*ramp(0.4, 1, v))
		s.c = col.mix(vec{0.24, 0.10, 0.045}.mul(0.6+0.8*fine), run*c.rust)
		if math.Abs(fract(v*17)-0.5) > 0.44 {
			s.c = s.c.mul(0.66)
		}
		s.n = h.n.add(vec{0, 0.10 * (fract(v*17) - 0.5), 0}).add(vec{0.1 * (n - 0.5), 0, 0.1 * (fine - 0.5)}).unit()
	}
}

var (
	trawler = hull{
		length: 15, beam: 5.1, depth: 3.0, forward: 1.75, aft: 0.55, rake: 1.15, counter: 0.9, transom: 0.55, bluff: 2.7, deck: 0.75,
		paint: coat{top: vec{0.019, 0.031, 0.044}, below: vec{0.125, 0.046, 0.034}, stripe: vec{0.62, 0.58, 0.50}, rail: vec{0.30, 0.22, 0.13}, inside: vec{0.30, 0.25, 0.19}, line: 1.45, rust: 0.55, scraped: 1},
	}
	smack = hull{
		length: 9, beam: 3.1, depth: 1.6, forward: 0.8, aft: 0.3, rake: 0.5, counter: 0.4, transom: 0.6, bluff: 2.2, deck: 0.45,
		paint: coat{top: vec{0.06, 0.19, 0.17}, below: vec{0.13, 0.04, 0.03}, stripe: vec{0.6, 0.55, 0.42}, rail: vec{0.34, 0.25, 0.15}, inside: vec{0.34, 0.30, 0.25}, line: 0.75, rust: 0.5},
	}
	coble = hull{
		length: 7, beam: 2.4, depth: 1.15, forward: 0.75, aft: 0.15, rake: 0.7, counter: 0.2, transom: 0.75, bluff: 2.0, deck: 0.4,
		paint: coat{top: vec{0.50, 0.47, 0.40}, below: vec{0.06, 0.07, 0.09}, stripe: vec{0.10, 0.20, 0.38}, rail: vec{0.28, 0.20, 0.12}, inside: vec{0.33, 0.38, 0.36}, line: 0.45, rust: 0.4},
	}
	dinghy = hull{
		length: 3.7, beam: 1.5, depth: 0.55, forward: 0.3, aft: 0.08, rake: 0.35, counter: 0.1, transom: 0.7, bluff: 2.1, deck: 0.38,
		paint: coat{top: vec{0.44, 0.40, 0.33}, below: vec{0.10, 0.16, 0.20}, stripe: vec{0.34, 0.08, 0.05}, rail: vec{0.30, 0.20, 0.11}, inside: vec{0.27, 0.22, 0.16}, line: 0.2, rust: 0.2},
	}
)

// painted returns the hull in other colours.
func (h hull) painted(top, below, stripe vec) hull {
	h.paint.top, h.paint.below, h.paint.stripe = top, below, stripe
	return h
}

// thwarts puts seats into an open boat.
func (h hull) thwarts(p pen, at ...float64) {
	p = p.with(timber(h.paint.rail))
	for _, s := range at {
		q := h.at(s, 0.8)
		p.box(-q.x+0.06, q.y-0.04, q.z-0.13, q.x-0.06, q.y, q.z+0.13)
	}
}

func layHulls(p pen) {
	big := p.move(-0.05, 0.62, 22.1).turn(math.Pi + 0.19)
	trawler.shell(big)
	trawlerGear(big)
	shores(p, big, trawler)

	at := func(x, z, turn, heel float64) pen {
		return p.move(x, math.Max(groundY(x, z)-0.05, waterLevel-0.55), z).turn(turn).roll(heel)
	}
	a := at(9.9, 45, 2.85, 0.12)
	smack.shell(a)
	smackGear(a, smack, 7.5)
	b := at(11.7, 29.5, -2.75, -0.2)
	coble.shell(b)
	coble.thwarts(b, 0.3, 0.5, 0.68)
	smackGear(b, coble, 4.6)
	c := at(13.4, 63, 2.0, -0.06)
	red := smack.painted(vec{0.30, 0.05, 0.035}, vec{0.05, 0.06, 0.07}, vec{0.55, 0.52, 0.45})
	red.shell(c)
	smackGear(c, red, 8.2)
	d := at(20, 88, -2.0, 0.05)
	pale := smack.painted(vec{0.42, 0.45, 0.46}, vec{0.12, 0.05, 0.04}, vec{0.05, 0.1, 0.2})
	pale.shell(d)
	smackGear(d, pale, 7.8)
	e := at(4.9, 12.0, -2.2, 0.22)
	dinghy.shell(e)
	dinghy.thwarts(e, 0.28, 0.55, 0.8)
	f := p.move(-8.2, 0.66, 17.2).turn(1.9).roll(math.Pi - 0.10)
	up := dinghy.painted(vec{0.10, 0.16, 0.13}, vec{0.12, 0.11, 0.10}, vec{0.4, 0.36, 0.3})
	up.shell(f)
}

// shores are the props that hold a hull upright on its blocks.
func shores(ground, p pen, h hull) {
	prop := ground.with(timber(vec{0.26, 0.20, 0.14}))
	for i := range 5 {
		s := 0.16 + 0.165*float64(i)
		for _, side := range []float64{1, -1} {
			q := h.at(s, 0.56)
			head := p.f.point(vec{side * (q.x + 0.04), q.y, q.z})
			foot := p.f.point(vec{side * (q.x + 1.25 + 0.2*spot(i, int(side), 7)), -0.9, q.z + 0.3*spot(i, 3, int(side))})
			foot.y = groundY(foot.x, foot.z) - 0.05
			prop.rod(foot, head, 0.085, 7)
			prop.with(timber(vec{0.2, 0.16, 0.12})).move(foot.x, foot.y, foot.z).turn(float64(i)).box(-0.25, -0.05, -0.2, 0.25, 0.12, 0.2)
		}
	}
	q := h.at(0.76, 1)
	top := p.f.point(vec{-q.x - 0.06, q.y + 0.35, q.z})
	rungs(ground, top.add(vec{1.15, -top.y, -0.3}), top)
	block := p.with(timber(vec{0.17, 0.14, 0.11}))
	for z := -6.0; z < 6; z += 1.7 {
		block.box(-0.45, -0.75, z-0.17, 0.45, -0.34, z+0.17)
		block.box(-0.32, -0.34, z-0.15, 0.32, -0.10, z+0.15)
	}
	rail := p.with(rusty(vec{0.1, 0.1, 0.1}, 0.9))
	rail.box(-0.75, -0.66, -9, -0.60, -0.5, 9)
	rail.box(0.60, -0.66, -9, 0.75, -0.5, 9)
}

// rungs is a ladder from foot to head.
func rungs(p pen, foot, head vec) {
	t := p.with(timber(vec{0.40, 0.31, 0.20}))
	w := vec{0.1, 0, 0.40}
	t.rod(foot, head, 0.038, 7)
	t.rod(foot.add(w), head.add(w), 0.038, 7)
	for i := range 14 {
		q := foot.mix(head, (float64(i)+0.6)/14.5)
		t.rod(q, q.add(w), 0.022, 6)
	}
}
