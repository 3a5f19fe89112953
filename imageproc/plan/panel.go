package plan

import (
	"strconv"
)

// Unit is a unit of length for panels.
type Unit string

// The units of panels.
const (
	Inch       Unit = "in"
	Centimetre Unit = "cm"
	Millimetre Unit = "mm"
)

// millimetres returns the unit's length in mm; 0 for a unit that is none.
func (u Unit) millimetres() float64 {
	switch u {
	case Inch:
		return 25.4
	case Centimetre:
		return 10
	case Millimetre:
		return 1
	}
	return 0
}

// Way says how a panel is turned.
type Way string

// The ways to turn a panel. Unsaid leaves the way as it is: a plan never holds
// it, but ParsePanel returns it for a size given without one.
const (
	Unsaid  Way = ""
	Upright Way = "upright"
	Across  Way = "across"
)

// Panel is the support that is painted on. A free panel has no size (Short and
// Long are 0) and takes whatever crop is drawn. Square and free panels keep
// their way, for the next panel to take over. Panels compare with ==.
type Panel struct {
	Short, Long float64 // sides in Unit, Short <= Long, two decimals
	Unit        Unit
	Way         Way
}

// Limits of a panel's sides.
const (
	minSideMM = 20
	maxSideMM = 3000
	maxRatio  = 10
)

// isoA are the trimmed sizes of the A series in mm. Source: ISO 216:2007.
var isoA = [...][2]float64{{841, 1189}, {594, 841}, {420, 594}, {297, 420}, {210, 297}, {148, 210}, {105, 148}}

// Panels returns the panels on offer, in the order of NextPanel: inch sizes,
// ISO A sizes, centimetre sizes, squares, free. Their way is Unsaid.
func Panels() []Panel {
	in := func(s, l float64) Panel { return Panel{Short: s, Long: l, Unit: Inch} }
	cm := func(s, l float64) Panel { return Panel{Short: s, Long: l, Unit: Centimetre} }
	return []Panel{
		in(5, 7), in(6, 8), in(8, 10), in(9, 12), in(11, 14), in(12, 16),
		{Short: 148, Long: 210, Unit: Millimetre},
		{Short: 210, Long: 297, Unit: Millimetre},
		cm(13, 18), cm(18, 24), cm(24, 30),
		in(6, 6), in(8, 8),
		{},
	}
}

// Free reports whether the panel takes any proportions.
func (p Panel) Free() bool { return p.Short == 0 && p.Long == 0 }

// Square reports whether the panel's sides are equal.
func (p Panel) Square() bool { return !p.Free() && p.Short == p.Long }

// Name returns the panel's size as the plan file and ParsePanel have it: "6x8
// in", "A5", "free"; without its way.
func (p Panel) Name() string {
	if p.Free() {
		return "free"
	}
	if p.Unit == Millimetre {
		for n, s := range isoA {
			if p.Short == s[0] && p.Long == s[1] {
				return "A" + strconv.Itoa(n)
			}
		}
	}
	return number(p.Short) + "x" + number(p.Long) + " " + string(p.Unit)
}

// String returns the panel in words: "6x8 in upright", "6x6 in square", "free".
func (p Panel) String() string {
	switch {
	case p.Free():
		return p.Name()
	case p.Square():
		return p.Name() + " square"
	case p.Way == Unsaid:
		return p.Name()
	}
	return p.Name() + " " + string(p.Way)
}

// Aspect returns the width over the height as the panel is turned (upright if
// that is unsaid); 0 for a free panel.
func (p Panel) Aspect() float64 {
	switch {
	case p.Free():
		return 0
	case p.Way == Across:
		return p.Long / p.Short
	}
	return p.Short / p.Long
}

// Size returns the width and height as the panel is turned (upright if that is
// unsaid), in u; 0, 0 for a free panel. It panics if u is no unit.
func (p Panel) Size(u Unit) (w, h float64) {
	if u.millimetres() == 0 {
		panic("plan: unit " + strconv.Quote(string(u)))
	}
	if p.Free() {
		return 0, 0
	}
	w, h = p.Short, p.Long
	if u != p.Unit {
		k := p.Unit.millimetres() / u.millimetres()
		w, h = w*k, h*k
	}
	if p.Way == Across {
		w, h = h, w
	}
	return w, h
}

// Ruler returns the unit in which lengths on the panel are told: its own, but
// centimetres for millimetres. A free panel has its own, if any.
func (p Panel) Ruler() Unit {
	if p.Unit == Millimetre {
		return Centimetre
	}
	return p.Unit
}

// In returns the panel's width and height in u for the reader, "15.2 x 20.3
// cm": whole millimetres, otherwise one decimal (two for inches that are not
// tenths); "free" for a free panel. It panics if u is no unit.
func (p Panel) In(u Unit) string {
	if p.Free() {
		return p.Name()
	}
	units := map[Unit]float64{Inch: 100, Centimetre: 10, Millimetre: 1}[u]
	w, h := p.Size(u)
	return number(round(w, units)) + " x " + number(round(h, units)) + " " + string(u)
}

// same reports whether p and q are the same size, whatever way they are turned.
func (p Panel) same(q Panel) bool {
	return p.Short == q.Short && p.Long == q.Long && p.Unit == q.Unit
}

// sound reports whether a sized panel's sides can be painted on.
func (p Panel) sound() bool {
	k := p.Unit.millimetres()
	return p.Short <= p.Long && p.Short*k >= minSideMM && p.Long*k <= maxSideMM && p.Long <= maxRatio*p.Short
}

// fit returns the panel with two decimals and its way said; 6x8 in if its sides
// make no panel.
func (p Panel) fit() Panel {
	if p.Way != Across {
		p.Way = Upright
	}
	if p.Free() {
		return Panel{Way: p.Way}
	}
	p.Short, p.Long = round(p.Short, sideUnits), round(p.Long, sideUnits)
	if !p.sound() {
		p.Short, p.Long, p.Unit = 6, 8, Inch
	}
	return p
}

// number writes v as the plan file does: no exponent, no needless zeros.
func number(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
