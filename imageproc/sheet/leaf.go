package sheet

import (
	"fmt"

	"atelier/halflid/imageproc/page"
)

// margin is left white on all sides of the paper: about half an inch, which office
// printers reach. Source: common practice, no source.
const margin = 12

// gap is between what stands at the head and foot of a page and what it is about.
const gap = 3

// leaf is a page being laid out: head and foot are there, the room between is for
// what the page is about.
type leaf struct {
	page.Page
	kind string // what the page is, under the title
	room page.Rect
	own  float64 // width that the page's own mark takes at the right of the head
}

// newLeaf returns an empty page; turned is whether the paper lies across.
func newLeaf(name string, p page.Paper, turned bool, kind string) *leaf {
	w, h := min(p.W, p.H), max(p.W, p.H)
	if turned {
		w, h = h, w
	}
	l := &leaf{Page: page.Page{Name: name, W: w, H: h}, kind: kind}
	foot := footHeight(w)
	l.room = page.Rect{X: margin, Y: margin + headHeight + gap, W: w - 2*margin}
	l.room.H = h - margin - foot - gap - l.room.Y
	return l
}

// roomOn returns the room of a leaf of that paper.
func roomOn(p page.Paper, turned bool) page.Rect {
	return newLeaf("room", p, turned, "").room
}

// layer adds a layer; without items nothing.
func (l *leaf) layer(id, title string, items ...page.Item) {
	if len(items) > 0 {
		l.Layers = append(l.Layers, page.Layer{ID: id, Title: title, Items: items})
	}
}

// headHeight is that of the title with the line below it.
const headHeight = sizeTitle + 4.4

// finish draws head and foot; number counts from 1 to of.
func (l *leaf) finish(title, hash string, number, of int) page.Page {
	width := l.W - 2*margin - l.own
	items := []page.Item{
		page.Text{At: page.Point{X: margin, Y: margin + page.Cap(sizeTitle)}, Words: cutTo(title, sizeTitle, true, width), Size: sizeTitle, Bold: true, Ink: inkWords},
		page.Text{At: page.Point{X: margin, Y: margin + headHeight - page.Descent(sizeBody) - 0.2}, Words: cutTo(l.kind, sizeBody, false, width), Size: sizeBody, Ink: inkQuiet},
	}
	l.layer("head", "title", items...)
	foot := l.H - margin - footHeight(l.W)
	ruler := rulerOf(l.W)
	l.layer("ruler", "ruler", ruler.items(page.Point{X: margin, Y: l.H - margin - rulerHeight})...)
	words := []string{"print at 100 %", fmt.Sprintf("page %d of %d", number, of), "plan " + hash[:min(8, len(hash))]}
	l.layer("foot", "about this page", footWords(l.Page, words, foot)...)
	return l.Page
}

// footWords stand right of the ruler, or above it on paper too narrow for both.
func footWords(p page.Page, words []string, top float64) []page.Item {
	var out []page.Item
	right := p.W - margin
	if beside(p.W) {
		for i, w := range words {
			out = append(out, page.Text{
				At:    page.Point{X: right, Y: p.H - margin - rulerHeight + page.Cap(sizeSmall) + float64(i)*3.5},
				Words: w, Size: sizeSmall, Anchor: page.End, Ink: inkQuiet,
			})
		}
		return out
	}
	all := words[0] + " \u00b7 " + words[1] + " \u00b7 " + words[2]
	return append(out, page.Text{At: page.Point{X: margin, Y: top + page.Cap(sizeSmall)}, Words: cutTo(all, sizeSmall, false, p.W-2*margin), Size: sizeSmall, Ink: inkQuiet})
}

// besideWidth is what the words beside the ruler take.
func besideWidth() float64 {
	return max(page.Width("print at 100 %", sizeSmall, false), page.Width("page 88 of 88", sizeSmall, false), page.Width("plan 88888888", sizeSmall, false))
}

func beside(w float64) bool { return w-2*margin >= rulerOf(w).length()+1.5+besideWidth() }

func footHeight(w float64) float64 {
	if beside(w) {
		return rulerHeight
	}
	return rulerHeight + sizeSmall + 0.8
}
