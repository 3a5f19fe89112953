package reading

type darksJSON struct {
	Darkest linkedJSON `json:"darkest"`
	Shadow  linkedJSON `json:"shadow"`
}

type lightsJSON struct {
	Lightest linkedJSON `json:"lightest"`
	Light    linkedJSON `json:"light"`
}

type linkedJSON struct {
	Values  int       `json:"values"`
	Share   float64   `json:"share"`
	Masses  int       `json:"masses"`
	Small   int       `json:"small"`
	Largest float64   `json:"largest"`
	At      *at       `json:"at"`
	Gaps    []gapJSON `json:"gaps"`
	Reach   *float64  `json:"reach"`
	Reaches bool      `json:"reaches"`
}

type gapJSON struct {
	Width float64 `json:"width"`
	At    at      `json:"at"`
	A     at      `json:"at_a"`
	B     at      `json:"at_b"`
}

func (f Linked) json() linkedJSON {
	return linkedJSON{
		f.Values, fine(f.Share), f.Masses, f.Small, fine(f.Largest), nullable(f.Share > 0, place(f.At)),
		list(f.Gaps, func(g Gap) gapJSON { return gapJSON{fine(g.Width), place(g.At), place(g.A), place(g.B)} }),
		nullable(f.Reach >= 0, fine(f.Reach)), f.Reaches,
	}
}

type spotJSON struct {
	At       at      `json:"at"`
	Strength float64 `json:"strength"`
}

// json returns the spot, null where there is none.
func (s Spot) json() *spotJSON {
	return nullable(s.Strength > 0, spotJSON{place(s.At), decimals(s.Strength, 3)})
}

type contrastJSON struct {
	Total     float64     `json:"total"`
	Strongest []*spotJSON `json:"strongest"`
	Distance  *float64    `json:"distance"`
	Focal     *spotJSON   `json:"focal"`
	Elsewhere *spotJSON   `json:"elsewhere"`
	Stands    []standJSON `json:"stands_out"`
}

type standJSON struct {
	Shape  int     `json:"shape"`
	At     at      `json:"at"`
	Steps  float64 `json:"steps"`
	Length float64 `json:"length"`
}

func (c Contrast) json(focal bool) contrastJSON {
	out := contrastJSON{
		Total: decimals(c.Total, 3), Strongest: list(c.Strongest, Spot.json), Distance: nullable(c.Distance >= 0, fine(c.Distance)),
		Stands: list(c.Stands, func(s Stand) standJSON {
			return standJSON{s.Shape, place(s.At), decimals(s.Steps, 2), fine(s.Length)}
		}),
	}
	if focal {
		out.Focal, out.Elsewhere = c.Focal.json(), c.Elsewhere.json()
	}
	return out
}

type edgesJSON struct {
	Sides    sidesJSON     `json:"sides"`
	Corners  cornersJSON   `json:"corners"`
	Tangents []tangentJSON `json:"tangents"`
	Near     []touchJSON   `json:"near"`
	Cuts     []cutJSON     `json:"cuts"`
}

type sidesJSON struct {
	Left   edgeJSON `json:"left"`
	Right  edgeJSON `json:"right"`
	Top    edgeJSON `json:"top"`
	Bottom edgeJSON `json:"bottom"`
}

type cornersJSON struct {
	UpperLeft  edgeJSON `json:"upper_left"`
	UpperRight edgeJSON `json:"upper_right"`
	LowerLeft  edgeJSON `json:"lower_left"`
	LowerRight edgeJSON `json:"lower_right"`
}

type edgeJSON struct {
	Share     float64   `json:"share"`
	Area      float64   `json:"area"`
	Strongest *spotJSON `json:"strongest"`
}

func (e Edge) json() edgeJSON { return edgeJSON{fine(e.Share), fine(e.Area), e.Strongest.json()} }

type tangentJSON struct {
	Shape int     `json:"shape"`
	Side  string  `json:"side"`
	Gap   float64 `json:"gap"`
	At    at      `json:"at"`
}

type touchJSON struct {
	A   int     `json:"a"`
	B   int     `json:"b"`
	Gap float64 `json:"gap"`
	At  at      `json:"at"`
	AtA at      `json:"at_a"`
	AtB at      `json:"at_b"`
}

type cutJSON struct {
	Shape int     `json:"shape"`
	Side  string  `json:"side"`
	Share float64 `json:"share"`
	Depth float64 `json:"depth"`
	At    at      `json:"at"`
}

func (e Edges) json() edgesJSON {
	s, c := e.Sides, e.Corners
	return edgesJSON{
		sidesJSON{s[Left].json(), s[Right].json(), s[Top].json(), s[Bottom].json()},
		cornersJSON{c[0].json(), c[1].json(), c[2].json(), c[3].json()},
		list(e.Tangents, func(t Tangent) tangentJSON {
			return tangentJSON{t.Shape, sideNames[t.Side], fine(t.Gap), place(t.At)}
		}),
		list(e.Near, func(t Touch) touchJSON {
			return touchJSON{t.A, t.B, fine(t.Gap), place(t.At), place(t.AtA), place(t.AtB)}
		}),
		list(e.Cuts, func(c Cut) cutJSON {
			return cutJSON{c.Shape, sideNames[c.Side], fine(c.Share), fine(c.Depth), place(c.At)}
		}),
	}
}
