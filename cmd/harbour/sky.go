package main

import "math"

// toSun is the one direction that the light comes from: low, from the left
// and a little behind the sheds, so that their fronts stand in shadow.
var toSun = vec{-0.84, 0.36, 0.25}.unit()

var (
	sunLight = vec{2.75, 2.10, 1.38} // low sun on a white card that faces it
	skyFill  = vec{0.40, 0.48, 0.60} // open sky on a white card, on average
)

// clearSky is the sky without clouds in direction d; below the horizon it is
// the light thrown back by mud and water out of sight.
func clearSky(d vec) vec {
	if d.y < 0 {
		return vec{0.30, 0.27, 0.23}.mix(vec{0.62, 0.62, 0.60}, ramp(-0.12, 0, d.y))
	}
	k := 1 - math.Exp(-d.y*3.4)
	c := vec{0.80, 0.80, 0.78}.mix(vec{0.19, 0.33, 0.58}, k)
	side := clamp(d.dot(vec{toSun.x, 0.05, toSun.z}.unit()), 0, 1)
	glow := math.Pow(side, 3) * math.Exp(-d.y*1.6)
	return c.add(vec{0.62, 0.47, 0.27}.mul(glow))
}

// cloudySky is the sky as it is seen: soft heaped clouds above, streaks low
// down, all brighter towards the sun.
func cloudySky(d vec) vec {
	c := clearSky(d)
	if d.y <= 0.004 {
		return c
	}
	k := 1 / (d.y + 0.10)
	x, y := d.x*k*1.15+4.3, d.z*k*1.15+1.9
	x += 0.7 * (fbm(x*0.6, y*0.6, 2, 71) - 0.5)
	thick := cloudAt(x, y)
	lit := cloudAt(x+toSun.x*0.22, y+toSun.z*0.22)
	cover := ramp(0.46, 0.70, thick) * ramp(0.004, 0.09, d.y)
	side := clamp(d.dot(toSun), 0, 1)
	bright := vec{0.93, 0.89, 0.83}.add(vec{0.5, 0.36, 0.16}.mul(math.Pow(side, 3)))
	dark := vec{0.38, 0.41, 0.48}
	shade := ramp(-0.10, 0.16, lit-thick+0.03) * 0.95 * ramp(0.5, 0.85, thick+0.1)
	c = c.mix(bright.mix(dark, shade), cover*0.95)
	// high thin veil
	veil := ramp(0.45, 0.8, fbm(d.x*k*0.5+9, d.z*k*2.1, 4, 83))
	return c.mix(bright, 0.28*veil*ramp(0.02, 0.2, d.y))
}

func cloudAt(x, y float64) float64 { return fbm(x, y*1.5, 6, 61) }

// hazed lays the air between the eye and something at the given distance over
// its colour; far away it is lighter and cooler, towards the sun warmer.
func hazed(d vec, dist float64) (through vec, air vec) {
	if dist < 1 {
		return grey(1), vec{}
	}
	through = vec{math.Exp(-dist / 1750), math.Exp(-dist / 1500), math.Exp(-dist / 1200)}
	flat := vec{d.x, 0.03, d.z}.unit()
	glow := clearSky(flat).times(vec{0.80, 0.88, 0.98})
	return through, glow.times(grey(1).sub(through))
}
