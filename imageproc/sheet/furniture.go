package sheet

import (
	"fmt"

	"atelier/halflid/imageproc/page"
	"atelier/halflid/palette"
)

// Measures of a page in millimetres. Source: printers leave 4 to 6 mm blank, some
// 12.7 mm at the foot: common practice, no source.
const (
	margin    = 10.0
	headRoom  = 17.0 // title, what it is, the values' patches
	footRoom  = 19.0 // rulers and the line below them
	smallText = 2.9
	plainText = 3.4
	titleText = 4.8
)

var (
	black   = page.Grey(0)
	dark    = page.Grey(palette.L(30))
	midGrey = page.Grey(palette.L(60))
	faint   = page.Grey(palette.L(86))
)

// sheetPage is a page while it is laid out.
type sheetPage struct {
	page page.Page
	room page.Rect // what the sheet itself has
}

// begin returns a page with its title, upright or across.
func (c *composer) begin(name, what string, across bool) *sheetPage {
	w, h := c.o.Paper.W, c.o.Paper.H
	if across {
		w, h = h, w
	}
	p := &sheetPage{page: page.Page{Name: name, W: w, H: h}}
	p.room = roomOn(w, h)
	wide := w - 2*margin
	title := cutWords(c.o.Title, titleText, true, wide)
	p.layer("title", "Title", []page.Item{
		page.Text{At: page.Point{X: margin, Y: margin + page.Ascent(titleText)}, Words: title, Size: titleText, Bold: true, Ink: black},
		page.Text{At: page.Point{X: margin, Y: margin + 6 + page.Ascent(smallText)}, Words: cutWords(what, smallText, false, wide), Size: smallText, Ink: dark},
	})
	return p
}

// roomOn returns what a sheet has of a paper.
func roomOn(w, h float64) page.Rect {
	return page.Rect{X: margin, Y: margin + headRoom, W: w - 2*margin, H: h - 2*margin - headRoom - footRoom}
}

func (p *sheetPage) layer(id, title string, items []page.Item) {
	p.page.Layers = append(p.page.Layers, page.Layer{ID: id, Title: title, Items: items})
}

func (c *composer) end(p *sheetPage) { c.pages = append(c.pages, p.page) }

// finish adds the foot to all pages: rulers, number of the page and plan.
func (c *composer) finish() {
	for i := range c.pages {
		p := &c.pages[i]
		y := p.H - margin
		words := fmt.Sprintf("print at 100 %%  ·  page %d of %d  ·  plan %.8s", i+1, len(c.pages), c.m.hash)
		items := []page.Item{page.Text{At: page.Point{X: margin, Y: y - page.Descent(smallText)}, Words: words, Size: smallText, Ink: dark}}
		items = append(items, ruler(page.Point{X: margin, Y: y - 6}, 10, 10, "100 mm")...)
		items = append(items, ruler(page.Point{X: margin, Y: y - 12}, page.Inch/4, 16, "4 in")...)
		p.Layers = append(p.Layers, page.Layer{ID: "foot", Title: "Rulers", Items: items})
	}
}

// ruler returns a ruler of n ticks, whose baseline begins at at.
func ruler(at page.Point, step float64, n int, words string) []page.Item {
	long := step * float64(n)
	lines := []page.Line{{Segments: []page.Segment{page.Straight(at, page.Point{X: at.X + long, Y: at.Y})}}}
	for i := range n + 1 {
		high := 1.3
		if i == 0 || i == n || n == 16 && i%4 == 0 {
			high = 2.6
		}
		x := at.X + step*float64(i)
		lines = append(lines, page.Line{Segments: []page.Segment{page.Straight(page.Point{X: x, Y: at.Y}, page.Point{X: x, Y: at.Y - high})}})
	}
	return []page.Item{
		page.Path{Lines: lines, Stroke: black, Width: 0.15},
		page.Text{At: page.Point{X: at.X + long + 1.5, Y: at.Y}, Words: words, Size: smallText, Ink: dark},
	}
}

// cutWords shortens words to a width.
func cutWords(words string, size float64, bold bool, wide float64) string {
	if page.Width(words, size, bold) <= wide {
		return words
	}
	letters := []rune(words)
	for len(letters) > 1 && page.Width(string(letters)+"…", size, bold) > wide {
		letters = letters[:len(letters)-1]
	}
	return string(letters) + "…"
}

// frame returns the outline of a rectangle.
func frame(r page.Rect, ink page.Ink, width float64) page.Item {
	return page.Path{Lines: []page.Line{page.Box(r)}, Stroke: ink, Width: width}
}

// fit returns the largest rectangle of a ratio in a room, in its middle at the top.
func fit(room page.Rect, ratio float64) page.Rect {
	w, h := room.W, room.W/ratio
	if h > room.H {
		w, h = room.H*ratio, room.H
	}
	return page.Rect{X: room.X + (room.W-w)/2, Y: room.Y, W: w, H: h}
}

// caption returns words below a rectangle, broken to its width.
func caption(r page.Rect, words string, lines int) []page.Item {
	var out []page.Item
	for i, l := range page.Wrap(words, smallText, false, r.W) {
		if i == lines {
			break
		}
		y := r.Y + r.H + 1 + page.Ascent(smallText) + float64(i)*smallText*1.25
		out = append(out, page.Text{At: page.Point{X: r.X, Y: y}, Words: cutWords(l, smallText, false, r.W), Size: smallText, Ink: dark})
	}
	return out
}

// key returns the patches of the plan's values in a row: number, Munsell value and
// share.
func (c *composer) key(at page.Point, wide float64) []page.Item {
	var out []page.Item
	f := c.m.figures
	each := min(34, wide/float64(len(f.Tones)))
	for i, t := range f.Tones {
		x := at.X + float64(i)*each
		patch := page.Rect{X: x, Y: at.Y, W: 6, H: 4.2}
		out = append(out,
			page.Path{Lines: []page.Line{page.Box(patch)}, Fill: page.Grey(t), Stroke: midGrey, Width: 0.1},
			page.Text{At: page.Point{X: x + 3, Y: at.Y + 3.2}, Words: fmt.Sprint(i + 1), Size: smallText, Bold: true, Anchor: page.Middle, Ink: inkOn(t)},
			page.Text{At: page.Point{X: x + 7, Y: at.Y + 3.2}, Words: cutWords(fmt.Sprintf("N%.1f  %.0f %%", float64(t.Value()), 100*f.Shares[i]), smallText, false, each-7.5), Size: smallText, Ink: dark})
	}
	return out
}

// inkOn returns the ink of words on a tone.
func inkOn(t palette.L) page.Ink {
	if t < 55 {
		return page.Grey(palette.L(100))
	}
	return black
}
