package main

import "math"

// pose is a person: joints in radians, forward positive; left and right pairs.
type pose struct {
	x, y, z, turn float64
	tall          float64
	lean, nod     float64
	hip, knee     [2]float64
	arm, out, bow [2]float64 // upper arm forward, sideways, elbow bent
	dress         dress
}

type dress struct {
	hat, coat, legs, boots vec
	brim, skirt, apron     bool
}

var skin = vec{0.42, 0.26, 0.18}

// person models a clothed figure; cell is the size of its smallest detail.
func person(p pen, a pose, cell float64) {
	k := a.tall / 1.75
	p = p.move(a.x, a.y, a.z).turn(a.turn)
	mat := func(c vec) int32 { return p.with(cloth(c)).mat }
	flesh := p.with(plain(skin, 0)).mat
	coat, legs, boots, hat := mat(a.dress.coat), mat(a.dress.legs), mat(a.dress.boots), mat(a.dress.hat)
	b := blob{soft: 0.05 * k}
	put := func(u, v vec, ra, rb float64, m int32, hard bool) {
		b.limbs = append(b.limbs, limb{u.mul(k), v.mul(k), ra * k, rb * k, m, hard})
	}
	swing := func(angle, side float64) vec { // a direction hanging down, swung
		s, c := math.Sincos(angle)
		return vec{math.Sin(side), -c * math.Cos(side), s * math.Cos(side)}
	}
	var knees, feet [2]vec
	low := 0.0
	for i := range 2 {
		x := 0.10 * float64(2*i-1)
		h := vec{x, 0, 0}
		knees[i] = h.add(swing(a.hip[i], 0.07*float64(2*i-1)).mul(0.43))
		feet[i] = knees[i].add(swing(a.hip[i]-a.knee[i], 0.02*float64(2*i-1)).mul(0.41))
		low = math.Min(low, feet[i].y-0.07)
	}
	up := vec{0, -low, 0}
	s, c := math.Sincos(a.lean)
	spine := vec{0, c, s}
	hips, chest := up, up.add(spine.mul(0.42))
	for i := range 2 {
		x := float64(2*i - 1)
		kn, ft := knees[i].add(up), feet[i].add(up)
		put(up.add(vec{0.09 * x, 0, 0}), kn, 0.098, 0.075, legs, false)
		put(kn, ft.add(vec{0, 0.12, 0}), 0.074, 0.066, legs, false)
		put(ft.add(vec{0, 0.16, 0}), ft, 0.072, 0.062, boots, true)
		put(ft.add(vec{0, -0.015, -0.02}), ft.add(vec{0.02 * x, -0.025, 0.16}), 0.055, 0.045, boots, false)
		sh := chest.add(spine.mul(0.07)).add(vec{0.175 * x, 0, 0})
		el := sh.add(swing(a.arm[i]+a.lean*0.3, a.out[i]*x).mul(0.29))
		ha := el.add(swing(a.arm[i]+a.bow[i]+a.lean*0.3, a.out[i]*x*0.3-0.25*x*math.Min(a.bow[i], 1)).mul(0.26))
		put(sh, el, 0.066, 0.055, coat, false)
		put(el, ha, 0.055, 0.044, coat, false)
		put(ha, ha.add(ha.sub(el).mul(0.25)), 0.042, 0.036, flesh, true)
		put(chest.add(spine.mul(0.04)).add(vec{0.07 * x, 0, 0}), sh, 0.10, 0.07, coat, false)
		put(hips.add(vec{0.07 * x, 0.02, 0}), chest.add(vec{0.075 * x, 0, 0.01}), 0.105, 0.118, coat, false)
		put(hips.sub(spine.mul(0.07)).add(vec{0.06 * x, 0, 0}), hips.add(spine.mul(0.08)).add(vec{0.06 * x, 0, 0}), 0.115, 0.11, coat, true)
		if a.dress.skirt {
			put(hips.add(vec{0.05 * x, 0, 0}), kn.add(vec{0.03 * x, -0.18, 0}), 0.13, 0.17, legs, false)
		}
	}
	if a.dress.apron {
		ap := mat(vec{0.62, 0.56, 0.42})
		put(hips.add(vec{0, 0.12, 0.09}), hips.add(vec{0, -0.34, 0.12}), 0.09, 0.12, ap, true)
	}
	a.head(put, chest.add(spine.mul(0.12)), flesh, hat)
	p.blob(b, cell*math.Max(1, a.z/22))
}

// head sets neck, head and hat on the shoulders.
func (a pose) head(put func(u, v vec, ra, rb float64, m int32, hard bool), neck vec, flesh, hat int32) {
	n := a.lean*0.55 + a.nod
	sn, cn := math.Sincos(n)
	head := neck.add(vec{0, cn, sn}.mul(0.17))
	put(neck, head, 0.055, 0.055, flesh, true)
	put(head.add(vec{0, -0.03, 0.02}), head.add(vec{0, 0.04, 0}), 0.082, 0.10, flesh, true)
	top := head.add(vec{0, cn, sn}.mul(0.075)).add(vec{0, 0, -0.012})
	put(top.sub(vec{0, 0.01, 0.02}), top.add(vec{0, 0.02, 0.01}), 0.100, 0.092, hat, true)
	put(top.add(vec{-0.04, -0.02, 0.07}), top.add(vec{0.04, -0.02, 0.11}), 0.035, 0.028, hat, true)
	if a.dress.brim {
		for i := range 8 {
			s, c := math.Sincos(float64(i) * math.Pi / 4)
			put(top.add(vec{0, -0.03, 0}), top.add(vec{0.15 * c, -0.045, 0.15 * s}), 0.03, 0.018, hat, true)
		}
	}
}
