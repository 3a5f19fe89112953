package reading

import (
	"image"

	"atelier/halflid/imageproc/plan"
)

// MostRadius is how much of a crop's short side counts as "at the focal point" at
// most. A plan's radius is a share of the photo; in a small crop it may reach over
// most of the panel, and then every contrast would be the focal point's. On a panel
// of 6x8 in it is 1.2 in. Source: ours.
const MostRadius = 0.2

// FocalRadius returns how far around the focal point a place counts as at it, in
// pixels of the photo: the plan's radius, but at most MostRadius of the short side
// of a crop of w by h pixels.
func FocalRadius(f plan.Focus, photo image.Point, w, h float64) float64 {
	return min(f.Radius*float64(max(photo.X, photo.Y)), MostRadius*min(w, h))
}
