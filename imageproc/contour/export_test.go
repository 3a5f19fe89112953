package contour

import "image"

// RegionAt returns the region of a pixel. It panics outside the picture.
func (m *Map) RegionAt(p image.Point) int { return int(m.labels.At(p.X, p.Y)) }
