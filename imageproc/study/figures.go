package study

import (
	"image"

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
}

// Neighbour is a shape that another touches.
type Neighbour struct {
	Shape  int           // index in Figures.List
	Length int           // of the border, pixel sides
	Step   palette.Value // difference of the two tones
}
