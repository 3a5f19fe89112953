package plan

import "atelier/halflid/palette"

// What is a kind of choice, in the words of file and screen.
type What string

// The kinds of choice. The first four are retouches: they change the photo
// before anything is measured, in the order of the list. The others are about
// shapes; where two of a kind meet, the later one counts.
const (
	LeaveOut  What = "leave out" // filled from its surroundings
	Move      What = "move"      // left out here, laid down elsewhere
	Copy      What = "copy"      // laid down elsewhere too
	Add       What = "add"       // painted into the photo in one grey
	GiveValue What = "value"     // given a value of the plan
	Together  What = "together"  // the shapes here become one
	Apart     What = "apart"     // two shapes that never become one
	Detail    What = "detail"    // how many shapes here at most
	Outline   What = "outline"   // outlines here smoothed, or left as in the photo
	PlaneIs   What = "plane"     // which plane of the picture this is
	DepthIs   What = "depth"     // how far away this is
)

// Whats returns the kinds of choice, retouches first.
func Whats() []What {
	return []What{LeaveOut, Move, Copy, Add, GiveValue, Together, Apart, Detail, Outline, PlaneIs, DepthIs}
}

// Plane names a plane of the picture: how its surface lies to the light of the
// sky. Source: Carlson 1929, the theory of angles.
type Plane string

// The planes, in the order in which they are usually light to dark.
const (
	Sky      Plane = "sky"
	Ground   Plane = "ground"
	Slant    Plane = "slant"
	Standing Plane = "upright"
)

// Planes returns the planes in the order in which they are offered.
func Planes() []Plane { return []Plane{Sky, Ground, Slant, Standing} }

// Depth names how far away a part of the picture is.
type Depth string

// The depths.
const (
	Far    Depth = "far"
	Middle Depth = "middle"
	Near   Depth = "near"
)

// Depths returns the depths in the order in which they are offered.
func Depths() []Depth { return []Depth{Far, Middle, Near} }

// Limits of a choice.
const (
	MaxSmooth = 5.0 // percent of the crop's long side
	MinScale  = 0.1
	MaxScale  = 10.0
)

// Choice is what the painter decided about one place of the photo. Which fields
// count depends on What; Fit empties the others. It is comparable with ==. A
// choice that came out of Choices also carries the fields of the plan file that
// this version does not know: change a copy of it rather than make a new one.
type Choice struct {
	What  What
	Off   bool // switched off: listed, does nothing
	Area  Area // where
	Other Area // Apart: the second shape

	Value, Of int           // GiveValue, Add: value Value (0: darkest) of Of values, 0 <= Value < Of, MinK <= Of <= MaxK
	Tone      palette.Value // Add: the Munsell value that is painted into the photo, 0 to 10, two decimals
	Shapes    int           // Detail: at most so many shapes here, 1 to MaxWanted
	Smooth    float64       // Outline: width of the smoothing in percent of the crop's long side, 0 to MaxSmooth, one decimal; 0: as in the photo
	DX, DY    float64       // Move, Copy: how far to the right and down, in fractions of the photo's width and height, -1 to 1, four decimals
	Scale     float64       // Move, Copy: how many times as large, about the middle of the area's bounds, MinScale to MaxScale, two decimals; 0 counts as 1
	Mirror    bool          // Move, Copy: left and right exchanged
	Plane     Plane         // PlaneIs
	Depth     Depth         // DepthIs

	unknown unknown
}

// Retouches reports whether the choice changes the photo before anything is
// measured.
func (c Choice) Retouches() bool {
	return c.What == LeaveOut || c.What == Move || c.What == Copy || c.What == Add
}

// carries reports whether the choice lays the area down elsewhere.
func (c Choice) carries() bool { return c.What == Move || c.What == Copy }

// valued reports whether the choice names a value.
func (c Choice) valued() bool { return c.What == GiveValue || c.What == Add }

// ValueIn returns the value of the choice in a plan of k values, 0 (darkest) to
// k-1: the same end of the scale, in between by proportion, a half going to the
// darker. With k == Of it is Value. 0 for a choice without a value and for k
// below 2.
func (c Choice) ValueIn(k int) int {
	den := c.Of - 1
	if den < 1 || k < 2 {
		return 0
	}
	num := min(max(c.Value, 0), den) * (k - 1)
	return (2*num + den - 1) / (2 * den)
}
