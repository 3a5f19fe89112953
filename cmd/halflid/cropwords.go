package main

import (
	"fmt"
	"strconv"
	"strings"

	"atelier/halflid/imageproc/crops"
	"atelier/halflid/imageproc/photo"
	"atelier/halflid/imageproc/plan"
)

// cropReport is what halflid crop says; crops.Schema describes it.
type cropReport struct {
	Halflid string    `json:"halflid"`
	Version int       `json:"version"`
	File    string    `json:"file"`
	Photo   string    `json:"photo"`
	Pixels  [2]int    `json:"pixels"`
	Values  int       `json:"values"`
	Squint  float64   `json:"squint_percent"`
	Crops   []cropOne `json:"crops"`
	Wall    string    `json:"wall,omitempty"` // files that were written
	Kept    string    `json:"kept,omitempty"`
}

type cropOne struct {
	Number        int          `json:"number"`
	Panel         string       `json:"panel"`
	Way           string       `json:"way"`
	Crop          [4]float64   `json:"crop"`
	Focal         cropFocal    `json:"focal"`
	Score         float64      `json:"score"`
	Yes           int          `json:"yes"`
	Asked         int          `json:"asked"`
	Reasons       []cropReason `json:"reasons"`
	PixelsPerInch float64      `json:"pixels_per_inch"`
	Soft          bool         `json:"soft"`
	Sharpness     string       `json:"sharpness"`
	Take          string       `json:"take"`

	said string // the crop as --crop takes it
}

type cropFocal struct {
	X      float64 `json:"x"`
	Y      float64 `json:"y"`
	Radius float64 `json:"radius"`
}

type cropReason struct {
	Topic  string  `json:"topic"`
	Words  string  `json:"words"`
	Yes    bool    `json:"yes"`
	Met    float64 `json:"met"`
	Weight float64 `json:"weight"`
}

// cropOf reports a proposal for a file.
func cropOf(n int, p crops.Proposal, w *work, o crops.Options, file string) cropOne {
	x0, y0, x1, y1 := plan.Plan{Panel: p.Panel, Crop: p.Crop}.Rect(w.photo.Size)
	out := cropOne{
		Number: n, Panel: p.Panel.Name(), Way: string(p.Panel.Way),
		Crop:  [4]float64{decimals(x0, 6), decimals(y0, 6), decimals(x1-x0, 6), decimals(y1-y0, 6)},
		Focal: cropFocal{decimals(p.Focus.X, 4), decimals(p.Focus.Y, 4), decimals(p.Focus.Radius, 4)},
		Score: decimals(p.Score, 4), Yes: yeses(p), Asked: len(p.Reasons),
		PixelsPerInch: decimals(p.PixelsPerInch, 1), Soft: p.Enlarges(), Sharpness: p.Sharpness(),
		said: fmt.Sprintf("%s,%s,%s", plainly(p.Crop.X), plainly(p.Crop.Y), plainly(p.Crop.W)),
	}
	if p.Panel.Square() {
		out.Way = "square"
	}
	for _, r := range p.Reasons {
		out.Reasons = append(out.Reasons, cropReason{string(r.Topic), r.Words, r.Yes(), decimals(r.Met, 4), r.Weight})
	}
	out.Take = takeLine(out, p, w, o, file)
	return out
}

// takeLine returns the command that takes a proposal.
func takeLine(one cropOne, p crops.Proposal, w *work, o crops.Options, file string) string {
	line := "halflid plan " + inShell(file) + " --panel " + strings.ReplaceAll(p.Panel.Name(), " ", "")
	if !p.Panel.Square() {
		line += " --" + string(p.Panel.Way)
	}
	line += " --crop " + one.said
	if p.Focus != w.plan.Focus {
		line += fmt.Sprintf(" --focal %s,%s,%s", plainly(one.Focal.X), plainly(one.Focal.Y), plainly(one.Focal.Radius))
		if p.Focus.Fall != plan.FallUsual {
			line += "," + string(p.Focus.Fall)
		}
	}
	if o.Values != w.plan.Values.K {
		line += " --values " + strconv.Itoa(o.Values)
	}
	if o.Squint != w.plan.Squint {
		line += " --squint " + plainly(o.Squint)
	}
	return line
}

// yeses counts the questions that are answered with yes.
func yeses(p crops.Proposal) int {
	n := 0
	for _, r := range p.Reasons {
		if r.Yes() {
			n++
		}
	}
	return n
}

// plainly writes a number without exponent or needless zeros.
func plainly(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

// inShell writes a word so that a shell takes it as one.
func inShell(s string) string {
	odd := func(r rune) bool {
		return !(r == '.' || r == '_' || r == '/' || r == '-' || r == '+' || r >= '0' && r <= '9' || r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z')
	}
	if s != "" && !strings.ContainsFunc(s, odd) {
		return s
	}
	return "'" + strings.ReplaceAll(s, "'", `'\''`) + "'"
}

// order says why the crops stand in their order, if there are several.
func (r cropReport) order() string {
	switch n := len(r.Crops); {
	case n < 2:
		return ""
	case n <= crops.Course:
		return "in order of how far practice is satisfied, each question by its weight\n"
	}
	return fmt.Sprintf("in order of how far practice is satisfied, each question by its weight; a first look\npromised more of the first %[1]d than of the next %[1]d, and so on\n", crops.Course)
}

// words writes the report for a reader.
func (r cropReport) words() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s: %s worth trying\n", photo.SafeName(r.File), counted(len(r.Crops), "crop", "crops"))
	b.WriteString(r.order())
	for _, c := range r.Crops {
		way := ""
		if c.Way != "square" {
			way = " " + c.Way
		}
		fmt.Fprintf(&b, "\n%d  %s%s, crop %s: %.0f %%, %d of %d answered with yes\n", c.Number, c.Panel, way, c.said, 100*c.Score, c.Yes, c.Asked)
		for _, reason := range c.Reasons {
			sign := "?"
			if reason.Yes {
				sign = "+"
			}
			fmt.Fprintf(&b, "   %s %s\n", sign, reason.Words)
		}
		fmt.Fprintf(&b, "   %s\n   %s\n", c.Sharpness, photo.SafeName(c.Take))
	}
	if r.Wall != "" {
		fmt.Fprintf(&b, "\nwrote %s\n", photo.SafeName(r.Wall))
	}
	if r.Kept != "" {
		fmt.Fprintf(&b, "\nkept as thumbnails in %s\n", photo.SafeName(r.Kept))
	}
	return b.String()
}
