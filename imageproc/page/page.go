// Package page draws pages in millimetres and writes them as PDF, SVG and PNG.
// It knows nothing of plans: what stands on a page is paths, words and pictures.
package page

import (
	"image"
	"math"

	"atelier/halflid/palette"
)

// Point is a place on a page, millimetres from its upper left corner, Y
// downwards.
type Point struct{ X, Y float64 }

// Rect is a rectangle on a page in millimetres.
type Rect struct{ X, Y, W, H float64 }

// Document is pages that go into one file, or one file a page.
type Document struct {
	Title string // what the file says it is
	Mark  string // what the pages can be traced by: the plan's hash; may be empty
	Pages []Page
}

// Page is one side of paper.
type Page struct {
	Name   string  // short, of letters, digits and hyphens: it becomes part of a file's name
	W, H   float64 // of the paper, millimetres
	Layers []Layer // the later lie over the earlier
}

// Layer is items that belong together; in SVG a group with an id.
type Layer struct {
	ID    string // of letters, digits and hyphens, beginning with a letter; once a page
	Title string // for a reader
	Items []Item
}

// Item is something drawn: a Path, Text, Picture or Group.
type Item interface{ item() }

// Path is closed or open lines and curves, filled, stroked or both. It is filled
// by the non-zero rule: a hole runs the other way round than what it is in.
type Path struct {
	Lines  []Line
	Fill   Ink       // the zero Ink: not filled
	Stroke Ink       // the zero Ink: not drawn
	Width  float64   // of the stroke, millimetres
	Dash   []float64 // lengths on and off, millimetres; nil: unbroken
}

// Line is segments joined end to end.
type Line struct {
	Segments []Segment
	Closed   bool
}

// Segment is a cubic Bézier curve, or a straight line if Straight.
type Segment struct {
	From, C1, C2, To Point
	Straight         bool
}

// Ink is a colour that may be none.
type Ink struct {
	Colour palette.SRGB
	On     bool
}

// Grey returns the ink of a lightness.
func Grey(l palette.L) Ink { return Ink{palette.Grey(l.Y()), true} }

// Anchor is which part of its words a Text's place is.
type Anchor int

// The anchors.
const (
	Start Anchor = iota
	Middle
	End
)

// Text is one line of words. At is on its baseline.
type Text struct {
	At     Point
	Words  string
	Size   float64 // of the lettering, millimetres from one line to the next set solid
	Anchor Anchor
	Bold   bool
	Ink    Ink
}

// Picture is an image stretched over a rectangle.
type Picture struct {
	At     Rect
	Image  image.Image // *image.Gray or *image.NRGBA; only read
	Blocky bool        // pixels stay flat and sharp when enlarged
}

// Group draws items moved by Shift and cut off at Clip (in the page's own
// millimetres, after the shift); a Clip without width cuts nothing off.
type Group struct {
	Clip  Rect
	Shift Point
	Items []Item
}

func (Path) item()    {}
func (Text) item()    {}
func (Picture) item() {}
func (Group) item()   {}

// Straight returns the segment of a straight line.
func Straight(a, b Point) Segment {
	third := func(t float64) Point { return Point{a.X + t*(b.X-a.X), a.Y + t*(b.Y-a.Y)} }
	return Segment{From: a, C1: third(1. / 3), C2: third(2. / 3), To: b, Straight: true}
}

// Box returns the closed outline of a rectangle.
func Box(r Rect) Line {
	c := [4]Point{{r.X, r.Y}, {r.X + r.W, r.Y}, {r.X + r.W, r.Y + r.H}, {r.X, r.Y + r.H}}
	return Line{Closed: true, Segments: []Segment{Straight(c[0], c[1]), Straight(c[1], c[2]), Straight(c[2], c[3]), Straight(c[3], c[0])}}
}

// Inch is an inch in millimetres. Source: international yard and pound
// agreement 1959.
const Inch = 25.4

// finite reports whether all of v are numbers that a page can hold.
func finite(v ...float64) bool {
	for _, x := range v {
		if math.IsNaN(x) || math.Abs(x) > 1e5 {
			return false
		}
	}
	return true
}
