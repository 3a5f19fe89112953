package reading

import "atelier/halflid/imageproc/plan"

type placementJSON struct {
	From       *fromJSON `json:"from"`
	Middle     bool      `json:"middle"`
	LeftWeight float64   `json:"left_weight"`
	TopWeight  float64   `json:"top_weight"`
	Balance    at        `json:"balance"`
	Off        float64   `json:"off"`
}

type fromJSON struct {
	Left   float64 `json:"left"`
	Right  float64 `json:"right"`
	Top    float64 `json:"top"`
	Bottom float64 `json:"bottom"`
}

func (p Placement) json(focal bool) placementJSON {
	return placementJSON{
		nullable(focal, fromJSON{fine(p.Left), fine(p.Right), fine(p.Top), fine(p.Bottom)}),
		p.Middle, fine(p.LeftWeight), fine(p.TopWeight), place(p.Balance), fine(p.Off),
	}
}

type directionsJSON struct {
	Count    int            `json:"count"`
	Length   float64        `json:"length"`
	Pointing *float64       `json:"pointing"`
	Anywhere *float64       `json:"anywhere"`
	Longest  []straightJSON `json:"longest"`
}

type straightJSON struct {
	From   at      `json:"from"`
	To     at      `json:"to"`
	Length float64 `json:"length"`
	Points bool    `json:"points"`
}

func (d Directions) json(focal bool) directionsJSON {
	known := focal && d.Count > 0
	return directionsJSON{
		d.Count, fine(d.Length), nullable(known, fine(d.Pointing)), nullable(known, fine(d.Anywhere)),
		list(d.Longest, func(s Straight) straightJSON {
			return straightJSON{place(s.From), place(s.To), fine(s.Length), s.Points}
		}),
	}
}

type planesJSON struct {
	List     []planeJSON   `json:"list"`
	Against  []againstJSON `json:"against_usual"`
	Uprights int           `json:"upright_values"`
}

type planeJSON struct {
	Plane plan.Plane `json:"plane"`
	Tone  float64    `json:"tone"`
	Share float64    `json:"share"`
	Sure  float64    `json:"sure"`
	At    at         `json:"at"`
}

type againstJSON struct {
	Lighter plan.Plane `json:"usually_lighter"`
	Darker  plan.Plane `json:"usually_darker"`
	By      float64    `json:"by"`
	Sure    float64    `json:"sure"`
}

func (p Planes) json() planesJSON {
	return planesJSON{
		list(p.List, func(o PlaneTone) planeJSON {
			return planeJSON{o.Plane, decimals(float64(o.Tone), 2), fine(o.Share), decimals(o.Sure, 2), place(o.At)}
		}),
		list(p.Against, func(a Against) againstJSON {
			return againstJSON{a.Lighter, a.Darker, decimals(a.By, 2), decimals(a.Sure, 2)}
		}),
		p.Uprights,
	}
}

type recessionJSON struct {
	List []depthJSON `json:"list"`
	Far  *farJSON    `json:"far_less_near"`
}

type depthJSON struct {
	Depth  plan.Depth `json:"depth"`
	Tone   float64    `json:"tone"`
	Chroma *float64   `json:"chroma"`
	Warm   *float64   `json:"warm"`
	Share  float64    `json:"share"`
	Sure   float64    `json:"sure"`
	At     at         `json:"at"`
}

type farJSON struct {
	Lighter float64  `json:"lighter"`
	Chroma  *float64 `json:"chroma"`
	Warmer  *float64 `json:"warmer"`
}

func (r Recession) json() recessionJSON {
	return recessionJSON{
		list(r.List, func(o DepthTone) depthJSON {
			return depthJSON{
				o.Depth, decimals(float64(o.Tone), 2), nullable(r.Coloured, decimals(o.Chroma, 2)), nullable(r.Coloured, decimals(o.Warm, 3)),
				fine(o.Share), decimals(o.Sure, 2), place(o.At),
			}
		}),
		nullable(r.Known, farJSON{
			decimals(r.Lighter, 2), nullable(r.Coloured, decimals(r.Chroma, 2)), nullable(r.Coloured, decimals(r.Warmer, 3)),
		}),
	}
}

type bordersJSON struct {
	Hard      float64      `json:"hard"`
	Soft      float64      `json:"soft"`
	Lost      float64      `json:"lost"`
	Hardest   *spotJSON    `json:"hardest"`
	Distance  *float64     `json:"distance"`
	Focal     *spotJSON    `json:"focal"`
	FocalHard *float64     `json:"focal_hard"`
	List      []borderJSON `json:"list"`
}

type borderJSON struct {
	A      int     `json:"a"`
	B      int     `json:"b"`
	Length float64 `json:"length"`
	Hard   float64 `json:"hard"`
	Soft   float64 `json:"soft"`
	Lost   float64 `json:"lost"`
}

// json returns null where borders are not known.
func (b Borders) json() *bordersJSON {
	return nullable(b.Known, bordersJSON{
		fine(b.Hard), fine(b.Soft), fine(b.Lost), b.Hardest.json(),
		nullable(b.Distance >= 0, fine(b.Distance)), b.Focal.json(), nullable(b.FocalHard >= 0, fine(b.FocalHard)),
		list(b.List, func(o Border) borderJSON {
			return borderJSON{o.A, o.B, fine(o.Length), fine(o.Hard), fine(o.Soft), fine(o.Lost)}
		}),
	})
}
