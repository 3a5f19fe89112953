package contour

import (
	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/outline"
)

// Place is a point inside a region.
type Place struct {
	At    Point   // the middle of a pixel
	Depth float64 // pixels to the middle of the nearest pixel that is not of the region, the picture's edge counting: 1 or more
}

// Inside returns the most inner point of each region, of several the first in
// raster order: where a number has most room. Source: outline.Depth.
func (m *Map) Inside() []Place {
	depth := make([]float32, m.W*m.H)
	outline.Depth(depth, m.labels)
	out := make([]Place, len(m.Regions))
	for i, r := range m.labels.Pix {
		if d := float64(depth[i]); d > out[r].Depth {
			out[r] = Place{Point{float64(i%m.W) + 0.5, float64(i/m.W) + 0.5}, d}
		}
	}
	return out
}

// RegionMap returns the region of each pixel, a copy.
func (m *Map) RegionMap() imageproc.Labels {
	out := imageproc.NewLabels(m.W, m.H)
	copy(out.Pix, m.labels.Pix)
	return out
}
