package main

var (
	navy   = vec{0.035, 0.045, 0.075}
	oil    = vec{0.62, 0.40, 0.08}
	cream  = vec{0.74, 0.68, 0.55}
	brown  = vec{0.13, 0.085, 0.05}
	redden = vec{0.42, 0.075, 0.05}
	slaty  = vec{0.16, 0.18, 0.20}
	rubber = vec{0.03, 0.03, 0.028}
	blueJ  = vec{0.12, 0.22, 0.36}
)

// crowd returns everybody: on the shore in world places, where y 0 means on
// the ground, and on the quay in the quay's frame.
func crowd() (ashore, onQuay []pose) {
	walk := [2]float64{0.42, -0.30}
	step := [2]float64{0.10, 0.45}
	still, easy := [2]float64{0.04, -0.05}, [2]float64{0.05, 0.08}
	hang, apart := [2]float64{0.05, 0.1}, [2]float64{0.14, 0.12}
	ashore = []pose{
		// the two scrapers: one low at the forefoot, one on the staging
		{
			x: -2.75, z: 14.75, turn: 1.05, tall: 1.76, lean: 0.62, nod: -0.1, hip: [2]float64{0.62, -0.15}, knee: [2]float64{0.75, 0.25},
			arm: [2]float64{1.05, 1.35}, out: [2]float64{0.1, 0.1}, bow: [2]float64{0.5, 0.3}, dress: dress{hat: redden, coat: cream, legs: blueJ, boots: rubber},
		},
		{
			x: -3.72, y: 1.06, z: 18.4, turn: 1.35, tall: 1.74, lean: 0.16, nod: -0.15, hip: [2]float64{0.15, -0.12}, knee: easy,
			arm: [2]float64{1.9, 2.25}, out: [2]float64{0.15, 0.15}, bow: [2]float64{0.35, 0.25}, dress: dress{hat: cream, coat: oil, legs: slaty, boots: rubber},
		},
		// bringing things: a plank on the shoulder, the foreground mender
		{
			x: -6.3, z: 19.3, turn: 1.75, tall: 1.78, lean: 0.08, hip: walk, knee: step, arm: [2]float64{0.4, 0.6}, out: [2]float64{0.2, 0.45}, bow: [2]float64{0.5, 2.1},
			dress: dress{hat: brown, coat: blueJ, legs: brown, boots: rubber},
		},
		{
			x: -4.15, z: 9.9, turn: -2.0, tall: 1.72, lean: 0.38, nod: 0.35, hip: [2]float64{1.45, 1.30}, knee: [2]float64{1.35, 1.2}, arm: [2]float64{0.55, 0.6}, out: apart, bow: [2]float64{0.9, 0.8},
			dress: dress{hat: slaty, coat: navy, legs: brown, boots: rubber},
		},
		// three talking by the stern
		{x: 5.9, z: 21.2, turn: 0.6, tall: 1.80, lean: 0.02, hip: still, knee: easy, arm: hang, out: apart, bow: [2]float64{0.2, 0.2}, dress: dress{hat: navy, coat: navy, legs: slaty, boots: rubber}},
		{x: 6.8, z: 21.8, turn: -1.5, tall: 1.70, lean: 0.04, hip: still, knee: easy, arm: [2]float64{0.3, 0.9}, out: apart, bow: [2]float64{1.0, 1.2}, dress: dress{hat: brown, coat: redden, legs: navy, boots: rubber}},
		{x: 5.1, z: 22.0, turn: 1.6, tall: 1.76, lean: -0.02, hip: still, knee: easy, arm: hang, out: apart, bow: [2]float64{0.3, 0.1}, dress: dress{hat: slaty, coat: oil, legs: oil.mul(0.8), boots: rubber}},
		// a woman and a child crossing the mud
		{
			x: 7.3, z: 15.8, turn: -0.5, tall: 1.66, lean: 0.05, hip: [2]float64{0.25, -0.2}, knee: [2]float64{0.1, 0.3}, arm: [2]float64{0.2, -0.1}, out: [2]float64{0.35, 0.1}, bow: [2]float64{0.1, 0.4},
			dress: dress{hat: cream, coat: vec{0.20, 0.09, 0.11}, legs: slaty, boots: rubber, skirt: true, brim: true},
		},
		{x: 6.65, z: 15.7, turn: -0.4, tall: 1.12, lean: 0.05, hip: walk, knee: step, arm: [2]float64{-0.2, 0.4}, out: [2]float64{0.1, 0.5}, bow: [2]float64{0.2, 0.2}, dress: dress{hat: redden, coat: oil, legs: navy, boots: redden}},
		// cockle diggers far out, bent double
		{x: 5.2, z: 37, turn: 1.9, tall: 1.74, lean: 1.15, nod: 0.3, hip: [2]float64{0.1, -0.1}, knee: [2]float64{0.25, 0.2}, arm: [2]float64{0.2, 0.3}, out: apart, bow: hang, dress: dress{hat: brown, coat: slaty, legs: navy, boots: rubber}},
		{x: 7.0, z: 39.5, turn: -1.2, tall: 1.72, lean: 0.75, nod: 0.3, hip: [2]float64{0.2, -0.2}, knee: easy, arm: [2]float64{0.5, 0.4}, out: apart, bow: hang, dress: dress{hat: navy, coat: cream, legs: brown, boots: rubber, skirt: true}},
	}
	onQuay = []pose{
		{x: 1.0, z: 19.6, turn: -1.3, tall: 1.78, hip: still, knee: easy, arm: hang, out: apart, bow: [2]float64{1.3, 1.4}, dress: dress{hat: navy, coat: navy, legs: navy, boots: rubber}},
		{x: 1.5, z: 20.5, turn: -1.8, tall: 1.72, hip: still, knee: easy, arm: hang, out: apart, bow: [2]float64{0.2, 0.5}, dress: dress{hat: brown, coat: cream, legs: slaty, boots: rubber, brim: true}},
		{x: 1.2, z: 44, turn: 0.3, tall: 1.75, hip: walk, knee: step, arm: [2]float64{-0.3, 0.4}, out: apart, bow: hang, dress: dress{hat: slaty, coat: redden, legs: navy, boots: rubber}},
	}
	return ashore, onQuay
}

// layFigures puts everybody in place, with what they hold.
func layFigures(p pen, detail float64) {
	ashore, onQuay := crowd()
	for _, a := range ashore {
		if a.y == 0 {
			a.y = groundY(a.x, a.z) - 0.015
		}
		person(p, a, 0.021/detail)
	}
	q := quayAt(p)
	for _, a := range onQuay {
		person(q, a, 0.024/detail)
	}
	carried := p.with(timber(vec{0.45, 0.35, 0.22}))
	carried.beam(vec{-8.1, 1.60, 19.66}, vec{-4.7, 1.53, 19.42}, 0.05, 0.20)
	scraper := p.with(timber(vec{0.5, 0.38, 0.22}))
	scraper.rod(vec{-1.98, 1.35, 14.93}, vec{-1.26, 1.57, 15.6}, 0.022, 6)
	scraper.rod(vec{-3.42, 2.72, 18.35}, vec{-2.50, 3.18, 18.6}, 0.022, 6)
	layBirds(p)
}
