package study

import (
	"image"

	"atelier/halflid/imageproc"
)

// What tests of the way to a picture look at, beside the picture.

var (
	RegionOf  = regionOf
	OnLattice = onLattice
)

// BaseShapes returns the base shape of each pixel of the crop and where the crop
// lies in its region, in pixels of the working picture.
func (s *Study) BaseShapes() (imageproc.Labels, image.Point) {
	return s.desk.shapes.cut.Labels(), s.desk.shapes.crop.rect.Min
}
