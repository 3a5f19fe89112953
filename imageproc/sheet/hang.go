package sheet

import (
	"fmt"
	"math"

	"atelier/halflid/imageproc/page"
)

// mostHung is how many thumbnails hang on one page, so that each stays large
// enough to be judged.
const mostHung = 20

// wallPages hang all thumbnails in rows, as many on each page as on the others.
func wallPages(m Material, o Options) []*leaf {
	n := len(m.Thumbnails)
	pages := (n + mostHung - 1) / mostHung
	per := (n + pages - 1) / pages
	widest := 0.0
	for _, t := range m.Thumbnails {
		widest = max(widest, t.ratio())
	}
	squarest := math.Inf(1)
	for _, t := range m.Thumbnails {
		squarest = min(squarest, t.ratio())
	}
	aspect := max(squarest, min(widest, 1)) // of a place that suits most of them
	fit := func(r page.Rect) cells { return arranged(r, per, aspect, captionHeight, 0.5*max(r.W, r.H)) }
	turned := turnedFor(o.Paper, func(r page.Rect) float64 { return fit(r).w })
	var out []*leaf
	for from := 0; from < n; from += per {
		name := "wall"
		if pages > 1 {
			name = fmt.Sprintf("wall-%d", from/per+1)
		}
		l := newLeaf(name, o.Paper, turned, fmt.Sprintf("%d thumbnails", n))
		if n == 1 {
			l.kind = "One thumbnail"
		}
		c := fit(l.room)
		for i := from; i < min(from+per, n); i++ {
			l.layer(fmt.Sprintf("thumbnail-%d", i+1), fmt.Sprintf("thumbnail %d", i+1), hungThumb(m.Thumbnails[i], i+1, c.at(i-from))...)
		}
		out = append(out, l)
	}
	return out
}

// hungThumb draws a thumbnail into a place, resting on its lower edge, its words
// below.
func hungThumb(t Thumb, number int, place page.Rect) []page.Item {
	w := min(place.W, place.H*t.ratio())
	r := page.Rect{X: place.X, W: w, H: w / t.ratio()}
	r.Y = place.Y + place.H - r.H
	tones := ""
	for i, one := range t.Tones {
		if i > 0 {
			tones += "  "
		}
		tones += munsell(one)
	}
	items := []page.Item{page.Picture{At: r, Image: t.Picture, Blocky: true}, frame(r)}
	return append(items, captioned(place, fmt.Sprintf("%d \u00b7 %s", number, t.Words), tones)...)
}
