package reading

import (
	"encoding/json"
	"math"

	"atelier/halflid/imageproc/plan"
)

// MarshalJSON returns all figures as an object of the definition "reading" in
// Schema. Shares and lengths have five decimals, Munsell values, chroma and
// strengths two or three; what is not known or does not apply is null.
func (r Reading) MarshalJSON() ([]byte, error) {
	w, h := r.Panel.Size(plan.Millimetre)
	out := readingJSON{
		Panel:      nullable(w > 0, panelJSON{decimals(w, 2), decimals(h, 2)}),
		Values:     valuesJSON{munsell(r.Values.Tones...), shares(r.Values.Shares), r.Values.Ruling, nil, rounded(r.Values.Steps, 2), fine(r.Values.Kept)},
		Simplicity: r.Simplicity.json(),
		Darks:      darksJSON{r.Darks.Darkest.json(), r.Darks.Shadow.json()},
		Lights:     lightsJSON{r.Lights.Lightest.json(), r.Lights.Light.json()},
		Contrast:   r.Contrast.json(r.Focal.Inside),
		Edges:      r.Edges.json(),
		Placement:  r.Placement.json(r.Focal.Inside),
		Directions: r.Directions.json(r.Focal.Inside),
		Planes:     r.Planes.json(),
		Recession:  r.Recession.json(),
		Borders:    r.Borders.json(),
	}
	if f := r.Focal; f.Set {
		out.Focal = &focalJSON{f.Inside, place(f.At), at{fine(f.X), fine(f.Y)}, fine(f.Radius)}
	}
	out.Values.Equal = list(r.Values.Equal, func(e Equal) equalJSON { return equalJSON{e.Dark, e.Light, fine(e.Apart)} })
	return json.Marshal(out)
}

// MarshalJSON returns the line as an object of the definition "line" in Schema;
// of its area it gives the box around it.
func (l Line) MarshalJSON() ([]byte, error) {
	out := lineJSON{Topic: string(l.Topic), Kind: l.Kind, Words: l.Words, Asks: l.Asks, Weight: decimals(l.Weight, 3), At: list(l.At, place), Leads: string(l.Leads)}
	if !l.Area.Empty() {
		x0, y0, x1, y1 := l.Area.Bounds()
		out.Area = &[4]float64{fine(x0), fine(y0), fine(x1), fine(y1)}
	}
	return json.Marshal(out)
}

type readingJSON struct {
	Panel      *panelJSON     `json:"panel"`
	Focal      *focalJSON     `json:"focal"`
	Values     valuesJSON     `json:"values"`
	Simplicity simplicityJSON `json:"simplicity"`
	Darks      darksJSON      `json:"darks"`
	Lights     lightsJSON     `json:"lights"`
	Contrast   contrastJSON   `json:"contrast"`
	Edges      edgesJSON      `json:"edges"`
	Placement  placementJSON  `json:"placement"`
	Directions directionsJSON `json:"directions"`
	Planes     planesJSON     `json:"planes"`
	Recession  recessionJSON  `json:"recession"`
	Borders    *bordersJSON   `json:"borders"`
}

type lineJSON struct {
	Topic  string      `json:"topic"`
	Kind   string      `json:"kind"`
	Words  string      `json:"words"`
	Asks   bool        `json:"asks"`
	Weight float64     `json:"weight"`
	At     []at        `json:"at"`
	Area   *[4]float64 `json:"area"`
	Leads  string      `json:"leads"`
}

type panelJSON struct {
	Width  float64 `json:"width_mm"`
	Height float64 `json:"height_mm"`
}

type focalJSON struct {
	Inside bool    `json:"inside"`
	At     at      `json:"at"`
	InCrop at      `json:"in_crop"`
	Radius float64 `json:"radius"`
}

type valuesJSON struct {
	Tones  []float64   `json:"tones"`
	Shares []float64   `json:"shares"`
	Ruling int         `json:"ruling"`
	Equal  []equalJSON `json:"nearly_equal"`
	Steps  []float64   `json:"steps"`
	Kept   float64     `json:"kept"`
}

type equalJSON struct {
	Dark  int     `json:"dark"`
	Light int     `json:"light"`
	Apart float64 `json:"apart"`
}

type simplicityJSON struct {
	Shapes   int          `json:"shapes"`
	Masses   int          `json:"masses"`
	Main     int          `json:"main_shapes"`
	Border   float64      `json:"border"`
	Smallest smallestJSON `json:"smallest"`
	Changed  float64      `json:"changed_from_afar"`
	Gone     []goneJSON   `json:"gone_from_afar"`
}

type smallestJSON struct {
	goneJSON
	Side *float64 `json:"side_mm"`
}

type goneJSON struct {
	Shape int     `json:"shape"`
	Share float64 `json:"share"`
	At    at      `json:"at"`
}

func (v Simplicity) json() simplicityJSON {
	return simplicityJSON{
		v.Shapes, v.Masses, v.Main, decimals(v.Border, 3),
		smallestJSON{goneJSON{v.SmallestShape, fine(v.Smallest), place(v.SmallestAt)}, nullable(v.SmallestMM > 0, decimals(v.SmallestMM, 1))},
		fine(v.Changed),
		list(v.Gone, func(g Gone) goneJSON { return goneJSON{g.Shape, fine(g.Share), place(g.At)} }),
	}
}

// at is a place on the photo.
type at [2]float64

func place(p plan.Point) at { return at{fine(p.X), fine(p.Y)} }

// decimals rounds; no figure is written as -0.
func decimals(v float64, n int) float64 {
	unit := math.Pow(10, float64(n))
	return math.Round(v*unit)/unit + 0
}

// fine rounds a share, a length or a coordinate.
func fine(v float64) float64 { return decimals(v, 5) }

func rounded(all []float64, n int) []float64 {
	return list(all, func(v float64) float64 { return decimals(v, n) })
}

func shares(all []float64) []float64 { return rounded(all, 5) }

// munsell rounds values.
func munsell[T ~float64](all ...T) []float64 {
	return list(all, func(v T) float64 { return decimals(float64(v), 2) })
}

// list makes a list that is never null.
func list[A, B any](all []A, one func(A) B) []B {
	out := make([]B, 0, len(all))
	for _, v := range all {
		out = append(out, one(v))
	}
	return out
}

// nullable returns v, null unless it is known.
func nullable[T any](known bool, v T) *T {
	if !known {
		return nil
	}
	return &v
}
