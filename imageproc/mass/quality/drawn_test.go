package quality

import (
	"fmt"
	"math"
	"math/rand/v2"

	"atelier/halflid/imageproc"
	"atelier/halflid/palette"
)

// drawn is a picture made in the test, whose shapes are known.
type drawn struct {
	sample
	// region is the thing that each pixel shows; what touches across an edge of
	// any height is another thing.
	region imageproc.Labels
	// poles are the thin things in it.
	poles []pole
}

// pole is an upright thin thing: its middle and half its width in fractions of
// the picture's width, its ends in fractions of the height.
type pole struct{ x, half, top, bottom float64 }

// patch is one thing of a drawn picture; later ones lie over earlier ones. x
// and y are 0..1 along the width and the height.
type patch struct {
	in    func(x, y float64) bool
	light func(x, y float64) float64 // L*
	warm  float64                    // redder above 0, bluer below
	thin  bool                       // no region of its own: too narrow to paint
}

// canvas collects patches.
type canvas struct {
	rng     *rand.Rand
	patches []patch
	poles   []pole
}

func (c *canvas) between(lo, hi float64) float64 { return lo + (hi-lo)*c.rng.Float64() }

func (c *canvas) add(warm float64, in func(x, y float64) bool, light func(x, y float64) float64) {
	c.patches = append(c.patches, patch{in: in, light: light, warm: warm})
}

// block adds a polygon of lightness l with grain of its own: x0, y0, x1, y1, ...
func (c *canvas) block(l, grain, warm float64, at ...float64) {
	coarse, fine := c.noise(24), c.noise(90)
	c.add(warm, polygon(at), func(x, y float64) float64 { return l + 1.5*grain*coarse(x, y) + 2*grain*fine(x, y) })
}

// stick adds a thin upright pole.
func (c *canvas) stick(l float64, p pole) {
	c.patches = append(c.patches, patch{
		thin: true, light: flat(l),
		in: func(x, y float64) bool { return math.Abs(x-p.x) < p.half && y > p.top && y < p.bottom },
	})
	c.poles = append(c.poles, p)
}

// clutter strews n small things over the lower part: stones, floats, birds.
func (c *canvas) clutter(n int) {
	for range n {
		x, y, r, l := c.rng.Float64(), c.between(.4, 1), c.between(.003, .009), c.between(15, 90)
		c.patches = append(c.patches, patch{
			thin: true, light: flat(l),
			in: func(px, py float64) bool { return math.Hypot(px-x, (py-y)/1.5) < r },
		})
	}
}

func flat(l float64) func(x, y float64) float64 { return func(_, _ float64) float64 { return l } }

// polygon says what lies inside the corners, by crossings.
func polygon(at []float64) func(x, y float64) bool {
	return func(x, y float64) bool {
		in := false
		for i, j := 0, len(at)-2; i < len(at); j, i = i, i+2 {
			if (at[i+1] > y) != (at[j+1] > y) && x < at[i]+(y-at[i+1])/(at[j+1]-at[i+1])*(at[j]-at[i]) {
				in = !in
			}
		}
		return in
	}
}

// noise returns a smooth field of about -1..1 with f bumps along the picture.
func (c *canvas) noise(f float64) func(x, y float64) float64 {
	const side = 128
	var v [side * side]float64
	for i := range v {
		v[i] = 2*c.rng.Float64() - 1
	}
	return func(x, y float64) float64 {
		x, y = x*f, y*f
		fx, fy := math.Floor(x), math.Floor(y)
		u, w := x-fx, y-fy
		u, w = u*u*(3-2*u), w*w*(3-2*w)
		at := func(dx, dy float64) float64 {
			return v[(int(fy+dy)&(side-1))*side+int(fx+dx)&(side-1)]
		}
		return (1-w)*((1-u)*at(0, 0)+u*at(1, 0)) + w*((1-u)*at(0, 1)+u*at(1, 1))
	}
}

// leafy adds a round mass with a ragged outline and light and dark leaves.
func (c *canvas) leafy(cx, cy, rx, ry, l float64) {
	edge, coarse, fine := c.noise(14), c.noise(18), c.noise(60)
	c.add(-.02, func(x, y float64) bool {
		return math.Hypot((x-cx)/rx, (y-cy)/ry)+.16*edge(x, y)+.05*fine(x, y) < 1
	}, func(x, y float64) float64 { return l + 5*coarse(x, y) + 7*fine(x, y) })
}

// sky adds a gradient from top to horizon with soft clouds.
func (c *canvas) sky(top, horizon, clouds float64) {
	n := c.noise(5)
	c.add(-.06, func(_, _ float64) bool { return true },
		func(x, y float64) float64 { return top + (horizon-top)*y/.5 + clouds*n(x, 2*y) })
}

// ripples is water or wet mud.
func (c *canvas) ripples(l, high float64) func(x, y float64) float64 {
	n, a := c.noise(9), c.noise(50)
	return func(x, y float64) float64 { return l + 8*(y-.5) + high*a(x*.5, y*3) + 2*n(x, y) }
}

func below(at float64) func(x, y float64) bool { return func(_, y float64) bool { return y > at } }

// The five motifs, each with things of known shape: hulls and sheds; a white
// tower on a middle sky; a street half in the sun; a figure against the light;
// trees over water.
var motifs = []struct {
	name string
	draw func(c *canvas)
}{{"harbour", drawHarbour}, {"tower", drawTower}, {"street", drawStreet}, {"boatyard", drawBoatyard}, {"trees", drawTrees}}

func drawHarbour(c *canvas) {
	c.sky(76, 88, 3)
	shore := c.between(.4, .45)
	c.block(58, 2, -.02, 0, shore, .3, shore-.03, .7, shore-.01, 1, shore-.04, 1, .5, 0, .5)
	c.add(.01, below(.49), c.ripples(46, 4))
	x := c.between(.62, .72)
	c.block(80, 2, .05, x, .3, x+.24, .3, x+.24, .53, x, .53)           // lit wall
	c.block(56, 2, .03, x-.07, .31, x, .3, x, .53, x-.07, .51)          // wall in shade
	c.block(32, 2, .05, x-.08, .31, x-.02, .2, x+.22, .2, x+.26, .3)    // roof
	c.block(22, 1, .02, x+.08, .38, x+.16, .38, x+.16, .53, x+.08, .53) // door
	h := c.between(.1, .16)
	c.stick(24, pole{h + .14, .005, .18, .62})
	c.stick(24, pole{h + .45, .005, .36, .64})
	c.block(20, 1.5, -.02, h-.04, .6, h+.1, .63, h+.3, .58, h+.24, .74, h+.03, .74) // hull
	c.block(68, 2, .03, h+.12, .54, h+.2, .54, h+.2, .61, h+.12, .62)               // cabin
	c.block(30, 1.5, .06, h+.36, .63, h+.56, .62, h+.52, .7, h+.39, .7)             // second hull
	c.block(70, 3, -.01, 0, .82, .4, .79, .75, .84, .3, .9, 0, .88)                 // pool
}

func drawTower(c *canvas) {
	c.sky(54, 62, 3)
	c.add(-.04, below(.62), c.ripples(44, 4))
	c.block(28, 4, .02, 0, .5, .2, .52, .5, .6, .66, .68, .4, .76, 0, .8) // headland
	x := c.between(.3, .42)
	c.block(92, 1, .01, x-.03, .56, x-.018, .16, x+.018, .16, x+.03, .57) // tower
	c.block(24, 1, .06, x-.022, .16, x-.012, .09, x+.012, .09, x+.022, .16)
	c.block(88, 1.5, .03, x+.05, .47, x+.17, .47, x+.17, .58, x+.05, .57) // keeper's house
	c.block(42, 2, .08, x+.04, .47, x+.08, .4, x+.15, .4, x+.18, .47)
	c.leafy(.1, .56, .13, .1, 22)
	c.block(76, 3, .04, .5, 1, .72, .8, 1, .76, 1, 1) // sand
	c.stick(20, pole{.85, .005, .45, .8})
}

func drawStreet(c *canvas) {
	c.sky(86, 90, 2)
	end := c.between(.44, .56)
	c.block(34, 3, 0, 0, 0, end-.1, .26, end-.1, .6, 0, .86)  // house in shade
	c.block(20, 2, .02, .08, .3, .18, .34, .18, .56, .08, .6) // its windows
	c.block(20, 2, .02, .24, .36, .3, .38, .3, .54, .24, .57)
	c.block(84, 3, .06, 1, .04, end+.1, .28, end+.1, .6, 1, .84) // house in the sun
	c.block(40, 2, .03, .72, .36, .79, .34, .79, .56, .72, .55)  // its windows
	c.block(40, 2, .03, .87, .31, .95, .28, .95, .58, .87, .57)
	c.block(60, 2, .01, end-.1, .3, end+.1, .3, end+.1, .6, end-.1, .6)                                    // far house
	c.add(0, polygon([]float64{0, .86, end - .1, .6, end + .1, .6, 1, .84, 1, 1, 0, 1}), c.ripples(72, 5)) // paving
	c.block(44, 3, -.02, 0, .86, end-.1, .6, end-.03, .6, .46, 1, 0, 1)                                    // cast shadow
	f := c.between(.5, .58)
	c.block(18, 1, .02, f-.014, .66, f-.006, .6, f+.006, .6, f+.016, .66, f+.02, .86, f-.02, .86)
	c.stick(26, pole{.66, .005, .3, .72})
}

func drawBoatyard(c *canvas) {
	c.block(26, 3, .03, 0, 0, 1, 0, 1, 1, 0, 1) // inside of a shed
	d := c.between(.36, .44)
	c.block(86, 2, -.03, d, .14, d+.34, .12, d+.34, .66, d, .66) // doorway, full of sky
	c.block(64, 3, -.02, d, .46, d+.34, .44, d+.34, .66, d, .66) // far shore in it
	c.add(.03, below(.78), c.ripples(46, 4))                     // floor
	c.block(66, 3, 0, d, .66, d+.34, .66, d+.46, 1, d-.16, 1)    // light on the floor
	f := c.between(.12, .2)
	c.block(18, 1, .01, d+f-.02, .44, d+f-.014, .36, d+f+.014, .36, d+f+.022, .44, d+f+.026, .76, d+f-.026, .76)
	c.block(60, 2, .06, .02, .52, .24, .56, .22, .7, .08, .74) // hull on props
	c.stick(58, pole{.14, .005, .7, .86})
	c.stick(20, pole{d + .27, .005, .2, .62})
}

func drawTrees(c *canvas) {
	c.sky(80, 90, 4)
	c.block(62, 2, -.05, 0, .42, .35, .36, .6, .4, 1, .35, 1, .56, 0, .56) // hills
	c.add(-.03, below(.55), c.ripples(70, 4))
	c.leafy(c.between(.15, .25), .38, .17, .24, 30)
	c.leafy(c.between(.62, .75), .42, .14, .16, 36)
	c.block(24, 3, .01, .05, .57, .35, .56, .8, .57, .9, .6, .5, .62, .1, .61) // bank
	c.block(44, 4, -.01, .08, .62, .34, .62, .3, .84, .12, .82)                // reflection
	c.block(90, 2, .02, .45, .64, .55, .635, .52, .67, .47, .67)               // white boat
	c.stick(30, pole{.5, .005, .4, .64})
	c.block(34, 5, .03, 0, .9, .3, .87, .7, .92, 1, .86, 1, 1, 0, 1) // near grass
}

// drawMotif returns motif number m at w by h, four looks at each pixel, with film
// grain. Nothing but its arguments decides it.
func drawMotif(m, w, h int, seed uint64) drawn {
	c := &canvas{rng: rand.New(rand.NewPCG(seed, uint64(m)+100))}
	motifs[m].draw(c)
	c.clutter(50)
	d := drawn{
		sample: sample{fmt.Sprintf("%s-%d", motifs[m].name, seed), imageproc.NewPicture(w, h)},
		region: imageproc.NewLabels(w, h), poles: c.poles,
	}
	top := func(x, y float64, thin bool) int {
		for i := len(c.patches) - 1; i >= 0; i-- {
			if p := &c.patches[i]; (thin || !p.thin) && p.in(x, y) {
				return i
			}
		}
		panic("quality: a picture with a hole")
	}
	for py := range h {
		for px := range w {
			var rgb [3]float64
			for s := range 4 {
				x := (float64(px) + .25 + .5*float64(s&1)) / float64(w)
				y := (float64(py) + .25 + .5*float64(s>>1)) / float64(h)
				p := &c.patches[top(x, y, true)]
				light := float64(palette.L(min(100, max(0, p.light(x, y)))).Y()) / 4
				rgb[0] += light * (1 + 2*p.warm)
				rgb[1] += light
				rgb[2] += light * (1 - 4*p.warm)
			}
			grain := math.Exp(.07 * c.rng.NormFloat64())
			for i, plane := range d.pic.Planes() {
				v := palette.Encode8(palette.Light(min(1, rgb[i]*grain)))
				plane.Set(px, py, float32(palette.Decode8(v)))
			}
			d.region.Pix[py*w+px] = int32(top((float64(px)+.5)/float64(w), (float64(py)+.5)/float64(h), false))
		}
	}
	return d
}
