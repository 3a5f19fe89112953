package main

import "math"

// dice is a small reproducible source of numbers (the splitmix64 sequence).
type dice struct{ s uint64 }

func scramble(z uint64) uint64 {
	z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9
	z = (z ^ (z >> 27)) * 0x94d049bb133111eb
	return z ^ (z >> 31)
}

// next returns a number in 0..1, 1 excluded.
func (d *dice) next() float64 {
	d.s += 0x9e3779b97f4a7c15
	return float64(scramble(d.s)>>11) / (1 << 53)
}

func (d *dice) between(a, b float64) float64 { return a + (b-a)*d.next() }

// bell returns a number with mean 0 and standard deviation 1, within +-3.5.
func (d *dice) bell() float64 {
	s := 0.0
	for range 4 {
		s += d.next()
	}
	return (s - 2) * math.Sqrt(3)
}

// spot returns a fixed number in 0..1 for a cell of the whole-number lattice.
func spot(x, y, z int) float64 {
	h := uint64(uint32(x))*0x9e3779b185ebca87 ^ uint64(uint32(y))*0xc2b2ae3d27d4eb4f ^ uint64(uint32(z))*0x165667b19e3779f9
	return float64(scramble(h)>>11) / (1 << 53)
}

// spotAt is spot for the cell that holds x, y.
func spotAt(x, y float64, z int) float64 { return spot(int(math.Floor(x)), int(math.Floor(y)), z) }

// noise2 is smooth noise in 0..1 with features about one unit wide.
func noise2(x, y float64, seed int) float64 {
	fx, fy := math.Floor(x), math.Floor(y)
	ix, iy := int(fx), int(fy)
	u, v := x-fx, y-fy
	u, v = u*u*(3-2*u), v*v*(3-2*v)
	a := lerp(spot(ix, iy, seed), spot(ix+1, iy, seed), u)
	b := lerp(spot(ix, iy+1, seed), spot(ix+1, iy+1, seed), u)
	return lerp(a, b, v)
}

// noise3 is smooth noise in space, in 0..1.
func noise3(p vec, seed int) float64 {
	fz := math.Floor(p.z)
	w := p.z - fz
	w = w * w * (3 - 2*w)
	s := seed*7919 + int(fz)
	return lerp(noise2(p.x, p.y, s), noise2(p.x, p.y, s+1), w)
}

// fbm sums octaves of noise2, each half as strong and twice as fine; 0..1.
func fbm(x, y float64, octaves, seed int) float64 {
	sum, amp, all := 0.0, 1.0, 0.0
	for i := range octaves {
		sum += amp * noise2(x, y, seed+i*31)
		all += amp
		amp *= 0.5
		x, y = 1.6*x+1.2*y+3.1, 1.6*y-1.2*x+7.7
	}
	return sum / all
}

// fbm3 is fbm in space.
func fbm3(p vec, octaves, seed int) float64 {
	sum, amp, all := 0.0, 1.0, 0.0
	for i := range octaves {
		sum += amp * noise3(p, seed+i*17)
		all += amp
		amp *= 0.5
		p = p.mul(2.03).add(vec{1.7, 9.2, 4.1})
	}
	return sum / all
}
