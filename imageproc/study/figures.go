package study

import (
	"image"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/plan"
	"atelier/halflid/palette"
)

// Figures is what is measured about a plan. Lists run from dark to light.
type Figures struct {
	Size   image.Point     // pixels of the working picture
	Crop   image.Rectangle // of the master
	Cuts   []palette.L     // limits between the values, one fewer than values
	Tones  []palette.L     // what is painted for each value; fewer than asked for if the photo has not as many
	Shares []float64       // of the picture, one a value, summing to 1
	Shapes int             // connected shapes of one value
	Most   int             // shapes that the finest plan has; 0 if it was not asked for
	Kept   float64         // share of the squinted photo's variance of L* that the values keep: eta squared, 0..1
	List   []Shape         // the shapes of the plan, in raster order of their first pixels

	// Map is the shape of each pixel of the working picture, by its place in List:
	// for finding what lies where. It is the caller's; empty unless Plan was made.
	Map imageproc.Labels

	Choices []Standing // what becomes of each choice of the plan, in its order; of the Plan view
}

// Shape is one flat shape of the plan. Places and lengths are in pixels of the
// working picture.
type Shape struct {
	Value      int       // 0 the darkest
	Tone       palette.L // what is painted
	Share      float64   // of the picture, 0..1
	Bounds     image.Rectangle
	X, Y       float64     // centre of gravity
	Neighbours []Neighbour // by Shape

	// The plane and the depth, and how sure that is: 1 if the painter said so,
	// less if it is a proposal.
	Plane                plan.Plane
	Depth                plan.Depth
	PlaneSure, DepthSure float64
}

// Neighbour is a shape that another touches.
type Neighbour struct {
	Shape  int           // index in Figures.List
	Length int           // of the border, pixel sides
	Step   palette.Value // difference of the two tones
}
