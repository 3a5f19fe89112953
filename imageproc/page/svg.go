package page

import (
	"bytes"
	"encoding/base64"
	"encoding/xml"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"atelier/halflid/palette"
)

// WriteSVG writes one page as SVG: its size in millimetres, its unit a millimetre,
// a group for each layer with its id and title. Words are text in the lettering's
// name with their length given, so that another font takes the same room. It
// panics as WritePDF does and on a page that there is not. Errors are w's.
func WriteSVG(w io.Writer, d Document, page int) error {
	p := d.one(page)
	s := &svg{}
	fmt.Fprintf(&s.b, `<?xml version="1.0" encoding="UTF-8"?>`+"\n"+
		`<svg xmlns="http://www.w3.org/2000/svg" width="%smm" height="%smm" viewBox="0 0 %s %s">`+"\n",
		number(p.W), number(p.H), number(p.W), number(p.H))
	fmt.Fprintf(&s.b, "<title>%s</title>\n", escaped(d.Title))
	if d.Mark != "" {
		fmt.Fprintf(&s.b, "<desc>plan %s</desc>\n", escaped(d.Mark))
	}
	s.b.WriteString(`<rect width="100%" height="100%" fill="#fff"/>` + "\n")
	for _, l := range p.Layers {
		fmt.Fprintf(&s.b, `<g id="%s"><title>%s</title>`+"\n", l.ID, escaped(l.Title))
		s.items(l.Items, Point{})
		s.b.WriteString("</g>\n")
	}
	s.b.WriteString("</svg>\n")
	_, err := w.Write(s.b.Bytes())
	return err
}

// svg writes items.
type svg struct {
	b     bytes.Buffer
	clips int
}

func (s *svg) items(items []Item, shift Point) {
	for _, it := range items {
		switch it := it.(type) {
		case Path:
			s.path(it, shift)
		case Text:
			s.text(it, shift)
		case Picture:
			s.picture(it, shift)
		case Group:
			cut := it.Clip.W > 0
			if cut {
				s.clips++ // its id has an underscore, which no layer's has
				fmt.Fprintf(&s.b, `<clipPath id="clip_%d"><rect x="%s" y="%s" width="%s" height="%s"/></clipPath><g clip-path="url(#clip_%d)">`+"\n", s.clips,
					number(it.Clip.X+shift.X), number(it.Clip.Y+shift.Y), number(it.Clip.W), number(it.Clip.H), s.clips)
			}
			s.items(it.Items, shift.plus(it.Shift))
			if cut {
				s.b.WriteString("</g>\n")
			}
		}
	}
}

func (s *svg) path(it Path, shift Point) {
	var d strings.Builder
	for _, l := range it.Lines {
		// Relative steps between rounded places: short, and nothing adds up.
		at := Point{}
		for i, g := range l.Segments {
			if i == 0 {
				at = rounded(g.From.plus(shift))
				d.WriteString("M" + number(at.X) + pair(at.Y))
			}
			to := rounded(g.To.plus(shift))
			if g.Straight {
				d.WriteString("l" + number(to.X-at.X) + pair(to.Y-at.Y))
			} else {
				a, b := rounded(g.C1.plus(shift)), rounded(g.C2.plus(shift))
				d.WriteString("c" + number(a.X-at.X) + pair(a.Y-at.Y) + pair(b.X-at.X) + pair(b.Y-at.Y) + pair(to.X-at.X) + pair(to.Y-at.Y))
			}
			at = to
		}
		if l.Closed && len(l.Segments) > 0 {
			d.WriteString("z")
		}
	}
	if d.Len() == 0 || !it.Fill.On && !it.Stroke.On {
		return
	}
	fill := "none"
	if it.Fill.On {
		fill = hex(it.Fill.Colour)
	}
	fmt.Fprintf(&s.b, `<path d="%s" fill="%s"`, d.String(), fill)
	if it.Stroke.On {
		fmt.Fprintf(&s.b, ` stroke="%s" stroke-width="%s" stroke-linejoin="round" stroke-linecap="round"`, hex(it.Stroke.Colour), number(it.Width))
		if len(it.Dash) > 0 {
			var dash []string
			for _, v := range it.Dash {
				dash = append(dash, number(v))
			}
			fmt.Fprintf(&s.b, ` stroke-dasharray="%s"`, strings.Join(dash, " "))
		}
	}
	s.b.WriteString("/>\n")
}

func (s *svg) text(it Text, shift Point) {
	words := lettered(it.Words, it.Bold)
	if words == "" {
		return
	}
	weight := ""
	if it.Bold {
		weight = ` font-weight="bold"`
	}
	fmt.Fprintf(&s.b, `<text x="%s" y="%s" font-family="Go, Helvetica, Arial, sans-serif" font-size="%s"%s fill="%s" textLength="%s" lengthAdjust="spacingAndGlyphs">%s</text>`+"\n",
		number(it.left()+shift.X), number(it.At.Y+shift.Y), number(it.Size), weight, hex(it.Ink.Colour), number(Width(it.Words, it.Size, it.Bold)), escaped(words))
}

func (s *svg) picture(it Picture, shift Point) {
	kind, data := encoded(it)
	if kind == "jpg" {
		kind = "jpeg"
	}
	style := ""
	if it.Blocky {
		style = ` image-rendering="pixelated"`
	}
	fmt.Fprintf(&s.b, `<image x="%s" y="%s" width="%s" height="%s" preserveAspectRatio="none"%s href="data:image/%s;base64,%s"/>`+"\n",
		number(it.At.X+shift.X), number(it.At.Y+shift.Y), number(it.At.W), number(it.At.H), style, kind, base64.StdEncoding.EncodeToString(data))
}

// hundredths is how finely places are written: a hundredth of a millimetre.
const hundredths = 100

func rounded(p Point) Point {
	return Point{math.Round(p.X*hundredths) / hundredths, math.Round(p.Y*hundredths) / hundredths}
}

// number writes a length with at most two decimals and no needless zeros.
func number(v float64) string {
	v = math.Round(v*hundredths) / hundredths
	switch {
	case v == 0:
		return "0"
	case v < 0:
		return "-" + number(-v)
	}
	return strings.TrimPrefix(strconv.FormatFloat(v, 'f', -1, 64), "0")
}

// pair writes a further number of a path: a minus needs no space before it.
func pair(v float64) string {
	n := number(v)
	if n[0] == '-' {
		return n
	}
	return " " + n
}

func hex(c palette.SRGB) string { return fmt.Sprintf("#%02x%02x%02x", c.R, c.G, c.B) }

// escaped returns words for XML; what XML cannot hold is left away.
func escaped(words string) string {
	words = strings.Map(func(r rune) rune {
		if r < ' ' || r == 0xfffe || r == 0xffff {
			return -1
		}
		return r
	}, words)
	var b strings.Builder
	_ = xml.EscapeText(&b, []byte(words)) // a Builder takes everything
	return b.String()
}
