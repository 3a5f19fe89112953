package contour

import "atelier/halflid/imageproc"

// regionsOf numbers the parts of l whose pixels touch along a side, in raster
// order of their first pixels. Source: two passes with a union of equals
// (Rosenfeld and Pfaltz 1966), here by runs.
func regionsOf(l imageproc.Labels) (imageproc.Labels, []Region) {
	out := imageproc.NewLabels(l.W, l.H)
	var parent []int32
	root := func(i int32) int32 {
		for parent[i] != i {
			parent[i] = parent[parent[i]]
			i = parent[i]
		}
		return i
	}
	for y := range l.H {
		row, to := l.Row(y), out.Row(y)
		var above, upper []int32
		if y > 0 {
			above, upper = l.Row(y-1), out.Row(y-1)
		}
		for x := 0; x < l.W; {
			v, x0, id := row[x], x, int32(-1)
			for ; x < l.W && row[x] == v; x++ {
				if above == nil || above[x] != v || x > x0 && above[x-1] == v {
					continue // each run above is joined once
				}
				switch r := root(upper[x]); {
				case id < 0:
					id = r
				case r < id:
					parent[id] = r
					id = r
				default:
					parent[r] = id
				}
			}
			if id < 0 {
				id = int32(len(parent))
				parent = append(parent, id)
			}
			for i := x0; i < x; i++ {
				to[i] = id
			}
		}
	}
	// A root is the smallest of its set, so it comes first.
	number := make([]int32, len(parent))
	var regions []Region
	for i := range parent {
		if r := root(int32(i)); int(r) == i {
			number[i] = int32(len(regions))
			regions = append(regions, Region{})
		} else {
			number[i] = number[r]
		}
	}
	for i, id := range out.Pix {
		n := number[id]
		out.Pix[i] = n
		regions[n].Pixels++
		regions[n].Label = l.Pix[i]
	}
	return out, regions
}
