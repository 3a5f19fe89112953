package main

import "math"

// groundY is the height of the shore: a firm yard on the left, mud with
// hollows on the right, falling away to the sea. The hollows that lie under
// the water level are the puddles.
func groundY(x, z float64) float64 {
	yard := ramp(4.5, -1.5, x+0.12*(z-14)+2.4*(fbm(x*0.25, z*0.25, 2, 121)-0.5))
	mud := -0.085 + 0.42*(fbm(x*0.24+3, z*0.17, 4, 123)-0.5) + 0.05*(fbm(x*1.9, z*1.3, 3, 125)-0.5)
	// a runnel of left-over water winding down to the sea
	mid := 7.4 + 1.6*math.Sin(z*0.16+0.6) + 0.02*z
	mud -= 0.20 * math.Exp(-math.Pow((x-mid)/0.75, 2)) * ramp(7, 13, z)
	hard := 0.06 + 0.10*(fbm(x*0.3, z*0.3, 3, 127)-0.5)
	y := lerp(mud, hard, yard)
	for _, b := range basins {
		dx, dz := (x-b.x)/b.y, (z-b.z)/(b.y*0.55)
		e := math.Hypot(dx, dz) + 0.9*(fbm(x*0.9, z*1.2, 3, 130)-0.5)
		y -= 0.24 * ramp(1.7, 0.3, e)
	}
	out := ramp(35, 52, z+6*(fbm(x*0.08, 1, 2, 129)-0.5)) * ramp(-2, 6, x+0.05*z)
	return y - 0.55*out
}

// basins are worn places where rain and spray stand: x, breadth, z.
var basins = [4]vec{{0.9, 1.15, 10.9}, {3.0, 1.5, 8.3}, {-1.5, 0.75, 7.6}, {5.4, 1.6, 14.6}}

// yardness is 1 on the paved yard and 0 on the mud.
func yardness(x, z float64) float64 {
	return ramp(0.2, 0.8, ramp(4.5, -1.5, x+0.12*(z-14)+2.4*(fbm(x*0.25, z*0.25, 2, 121)-0.5)))
}

// shore is the material of the ground.
func shore(h *hit, s *surface) {
	x, z := h.p.x, h.p.z
	fine := 1 / (1 + h.dist*0.03)
	big, mid := fbm(x*0.5, z*0.4, 4, 131), fbm(x*3.1, z*2.2, 4, 133)
	gx := fbm(x*6+9, z*4, 3, 135) - 0.5
	gz := fbm(x*6, z*4+9, 3, 137) - 0.5
	wet := ramp(0.16, -0.06, h.p.y+0.14*(big-0.5)+0.05*(mid-0.5))
	dry := vec{0.44, 0.355, 0.250}.mul(0.52 + 0.96*mid)
	mud := vec{0.25, 0.21, 0.162}.mul(0.62 + 0.76*mid)
	c := dry.mix(mud, wet)
	weed := ramp(0.56, 0.68, fbm(x*0.7+20, z*0.5, 4, 139)) * ramp(0.25, 0.5, mid)
	c = c.mix(vec{0.055, 0.062, 0.026}, weed*0.75)
	if y := yardness(x, z); y > 0 { // worn setts, half buried
		zz := z/0.17 + 0.5*noise2(x*2.1, z*2.1, 149)
		row := math.Floor(zz)
		u := (x+0.1*noise2(x*3, z*3, 150))/0.21 + 0.5*math.Mod(row, 2) + 0.3*spot(int(row), 3, 3)
		sett := vec{0.37, 0.310, 0.238}.mul(0.72 + 0.4*spot(int(math.Floor(u)), int(row), 141) + 0.25*(mid-0.5))
		edge := ramp(0.5, 0.36, math.Abs(fract(u)-0.5)) * ramp(0.5, 0.36, math.Abs(fract(zz)-0.5))
		sett = sett.mul(0.62 + 0.38*edge)
		show := y * ramp(0.62, 0.42, big)
		c = c.mix(vec{0.43, 0.350, 0.248}.mul(0.5+1.0*mid), y*0.8).mix(sett, show)
		oil := ramp(0.6, 0.72, fbm(x*0.6+5, z*0.6, 3, 143))
		c = c.mul(1 - 0.4*oil*y)
		wet *= 1 - 0.6*y
	}
	damp := ramp(0.50, 0.66, fbm(x*0.42+31, z*0.30, 4, 171)+0.10*(mid-0.5))
	c = c.mul(1 - 0.42*damp)
	wet = math.Max(wet, 0.55*damp)
	for _, off := range []float64{0, 1.35} { // wheel tracks up to the slip
		track := x + 4.6 - off + 0.34*(z-9) - 0.022*(z-9)*(z-9)
		k := ramp(0.26, 0.08, math.Abs(track)+0.14*(mid-0.5)) * ramp(22, 15, z)
		c = c.mul(1 - 0.36*k)
		gx += k * 0.5 * clamp(track/0.15, -0.6, 0.6)
		wet = math.Max(wet, 0.45*k)
	}
	wrack := ramp(0.035, 0.010, math.Abs(h.p.y-0.02+0.05*(big-0.5))) * ramp(0.50, 0.62, fbm(x*5, z*4, 3, 173))
	c = c.mix(vec{0.05, 0.045, 0.022}, 0.85*wrack)
	grit := spotAt(x*17, z*13, 175) + spotAt(x*41, z*33, 177) - 1
	c = c.mul(1 + 0.48*grit*fine*fine)
	if spotAt(x*21, z*17, 145) > 0.975 && h.dist < 40 { // pebbles and shell
		c = c.mul(0.6 + 0.75*spotAt(x*21, z*17, 147))
	}
	s.c = c
	k := (0.55 + 0.5*wet) * fine
	s.n = h.n.add(vec{gx * k, 0, gz * k}).unit()
	s.gloss, s.rough = 0.85*wet, 0.10
}

func layGround(p pen, nz, nx int) {
	p = p.with(shore)
	p.grid(nz, nx, func(u, v float64) (vec, vec) {
		z := 3.5 * math.Pow(160/3.5, u)
		x := z*lerp(-0.95, 1.05, v) + lerp(-3, 3, v)
		return vec{x, groundY(x, z), z}, vec{x, z, 0}
	})
}

// country is a hillside of fields, hedges and bracken, seen from far off.
func country(green vec) material {
	return func(h *hit, s *surface) {
		q := h.p.mul(1.0 / 95)
		cx, cz := q.x+0.5*fbm(q.x, q.z, 2, 151), q.z*0.8+0.5*fbm(q.z, q.x, 2, 153)
		field := spotAt(cx, cz, 155)
		tone := 0.6 + 0.8*field
		if fract(cx) < 0.09 || fract(cz) < 0.09 {
			tone = 0.30
		}
		wild := ramp(0.5, 0.62, fbm3(h.p.mul(1.0/70), 4, 157))
		c := green.mix(vec{0.26, 0.23, 0.10}, ramp(0.55, 0.75, field)*0.8).mul(tone)
		s.c = c.mix(vec{0.085, 0.080, 0.045}, wild*0.85).mul(0.7 + 0.6*fbm3(h.p.mul(0.08), 3, 159))
	}
}

// ridge draws one range of hills between two sides; top gives its height.
func ridge(p pen, x0, x1, z, deep float64, top func(x float64) float64) {
	p.grid(220, 16, func(u, v float64) (vec, vec) {
		x := lerp(x0, x1, u)
		y := top(x) * math.Sin(v*math.Pi/2)
		y += (fbm(x*0.02, z+v*deep*0.02, 4, 161) - 0.5) * 0.25 * top(x) * v
		return vec{x, y - 0.5, z + v*deep}, vec{x, v * deep, y}
	})
}

func layHills(p pen) {
	ridge(p.with(country(vec{0.10, 0.13, 0.07})), -3600, 4200, 4200, 1500, func(x float64) float64 {
		return 150 + 250*fbm(x*0.0009+5.4, 1, 4, 163)
	})
	ridge(p.with(country(vec{0.12, 0.15, 0.06})), -2400, 2600, 1900, 700, func(x float64) float64 {
		return math.Max(4, 45+150*(fbm(x*0.0016+2.2, 3, 4, 165)-0.25)-0.052*(x-100))
	})
	ridge(p.with(country(vec{0.13, 0.16, 0.06})), 150, 1500, 700, 260, func(x float64) float64 {
		return 2 + 62*ramp(140, 620, x) + 9*ramp(150, 200, x) + 12*(fbm(x*0.02, 7, 3, 167)-0.5)*ramp(160, 260, x)
	})
	skerries(p)
	lightTower(p.move(212, 9, 716).scale(1.45))
	d := dice{s: 17}
	white := p.with(plain(vec{0.72, 0.70, 0.66}, 0))
	roof := p.with(plain(vec{0.13, 0.12, 0.13}, 0))
	for i := range 11 { // a far village
		x, z := d.between(-150, 130)+float64(i%3)*40, 1890+d.between(0, 60)
		w, t := d.between(9, 16), d.between(-0.6, 0.6)
		y := 2 + (z-1890)*0.25
		white.move(x, y, z).turn(t).box(-w/2, 0, -4, w/2, 7, 4)
		gable(roof.move(x, y+7, z).turn(t), w+1, 9, 5)
	}
}

// skerries are rocks that low water lays bare off the headland.
func skerries(p pen) {
	p = p.with(plain(vec{0.085, 0.078, 0.062}, 0.1))
	d := dice{s: 29}
	for range 26 {
		x, z := d.between(90, 240), d.between(560, 700)
		p.ball(vec{x, -0.5, z}, vec{d.between(3, 11), d.between(0.8, 3), d.between(2, 6)}, 10)
	}
	for range 14 {
		x, z := d.between(18, 60), d.between(95, 210)
		p.ball(vec{x, -0.35, z}, vec{d.between(1, 4), d.between(0.3, 0.8), d.between(1, 3)}, 10)
	}
}

func lightTower(p pen) {
	white := p.with(plain(vec{0.86, 0.85, 0.82}, 0))
	dark := p.with(plain(vec{0.10, 0.07, 0.06}, 0))
	white.lathe(20, [2]float64{3.4, -3}, [2]float64{2.5, 15})
	dark.lathe(20, [2]float64{3.3, 15}, [2]float64{3.3, 16}, [2]float64{1.7, 16}, [2]float64{1.7, 18.4}, [2]float64{0.1, 20.5})
	white.move(7, -2, 0).box(-4, 0, -3, 5, 4.5, 3)
	gable(dark.move(7.5, 2.5, 0), 9.6, 6.6, 2.4)
	white.move(-2, -2, -5).box(-14, 0, -0.4, 18, 1.8, 0.4)
}

// gable draws a pitched roof of width w (along x, the ridge), depth d and
// rise h, its eaves at height 0.
func gable(p pen, w, d, h float64) {
	w, d = w/2, d/2
	p.flat(vec{-w, 0, -d}, vec{-w, h, 0}, vec{w, h, 0}, vec{w, 0, -d})
	p.flat(vec{-w, 0, d}, vec{w, 0, d}, vec{w, h, 0}, vec{-w, h, 0})
	p.flat(vec{-w, 0, -d}, vec{-w, 0, d}, vec{-w, h, 0})
	p.flat(vec{w, 0, -d}, vec{w, h, 0}, vec{w, 0, d})
}
