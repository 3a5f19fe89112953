package main

// build assembles the harbour. detail 1 is meant for the full picture; smaller
// numbers make coarser bodies for quick trials.
func build(detail float64) *scene {
	m := &mesh{}
	p := pen{m: m, f: worldFrame()}
	layGround(p, int(300*detail), int(300*detail))
	layHills(p)
	layQuay(p)
	layVehicles(p)
	laySheds(p)
	layHulls(p)
	layClutter(p, detail)
	layFigures(p, detail)
	return &scene{tree: newTree(m.faces), mats: m.mats}
}
