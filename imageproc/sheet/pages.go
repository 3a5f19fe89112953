package sheet

import (
	"fmt"
	"image"
	"math"
	"strings"

	"atelier/halflid/imageproc/page"
	"atelier/halflid/imageproc/plan"
	"atelier/halflid/palette"
)

// ratio is the drawing's width over its height.
func (c *composer) ratio() float64 {
	w, h, _ := c.panelSize()
	return w / h
}

// gap is the space between two pictures on a page, in millimetres.
const gap = 6.0

// grid lays out the photo and the outline with the same grid: side by side if the
// picture is upright, else one above the other.
func (c *composer) grid() {
	g := c.o.Grid
	if g.None() {
		all := plan.Grids(c.m.plan.Panel)
		g = all[len(all)-1]
	}
	w, h, _ := c.panelSize()
	upright := w <= h
	p := c.begin("grid", fmt.Sprintf("the same grid on the photo and on the outline: %s; not at true size", g), upright)
	each := page.Rect{X: p.room.X, Y: p.room.Y, W: p.room.W, H: (p.room.H - gap) / 2}
	step := page.Point{Y: each.H + gap}
	if upright {
		each.W, each.H = (p.room.W-gap)/2, p.room.H
		step = page.Point{X: each.W + gap}
	}
	first := fit(each, w/h)
	each.X, each.Y = each.X+step.X, each.Y+step.Y
	second := fit(each, w/h)
	p.layer("photo", "Photo", []page.Item{page.Picture{At: first, Image: c.m.crop}})
	p.layer("photo-grid", "Grid on the photo", []page.Item{
		gridOver(first, g, w, h, page.Grey(palette.L(100)), 0.45), gridOver(first, g, w, h, black, 0.15), frame(first, dark, 0.2),
	})
	d := drawing{c: c, at: second}
	p.layer("outline", "Outline", []page.Item{d.lines(dark, 0.25), frame(second, dark, 0.25)})
	p.layer("outline-grid", "Grid on the outline", []page.Item{gridOver(second, g, w, h, midGrey, 0.15)})
	c.end(p)
}

// printNotes are what patches from a printer can and cannot say. Source: common
// practice, no source.
const printNotes = "Ink and paper change these greys: the paper's white is no more than about N9.5, a printer's black seldom below N2, and what lies between bends. " +
	"Judge a patch against a bought grey scale or a grey card in the light you paint in, mark what each step has become, and mix to the corrected step. " +
	"Values are measured on the photograph, whose exposure and camera change them too."

// values lays out the plan's tones and the whole scale.
func (c *composer) values() {
	p := c.begin("values", "the plan's values to mix to, and the whole scale", false)
	f := c.m.figures
	x, y := p.room.X, p.room.Y
	k := len(f.Tones)
	each := (p.room.W - gap*float64(k-1)) / float64(k)
	high := min(60, p.room.H*0.3)
	var items []page.Item
	for i, t := range f.Tones {
		r := page.Rect{X: x + float64(i)*(each+gap), Y: y, W: each, H: high}
		items = append(items,
			page.Path{Lines: []page.Line{page.Box(r)}, Fill: page.Grey(t), Stroke: midGrey, Width: 0.1},
			page.Text{At: page.Point{X: r.X + 3, Y: r.Y + 3 + page.Ascent(titleText)}, Words: fmt.Sprint(i + 1), Size: titleText, Bold: true, Ink: inkOn(t)})
		items = append(items, caption(r, fmt.Sprintf("N%.1f · L* %.0f · %.0f %% of the picture", float64(t.Value()), float64(t), 100*f.Shares[i]), 2)...)
	}
	p.layer("tones", "The plan's values", items)
	y += high + 16
	scale := p.room.W / 11
	items = []page.Item{page.Text{At: page.Point{X: x, Y: y + page.Ascent(plainText)}, Words: "the whole scale, in steps of Munsell value", Size: plainText, Bold: true, Ink: black}}
	y += plainText + 6
	side := min(scale, 24)
	for n := range 11 {
		t := palette.Value(n).L()
		r := page.Rect{X: x + float64(n)*scale, Y: y, W: scale, H: side}
		items = append(items, page.Path{Lines: []page.Line{page.Box(r)}, Fill: page.Grey(t), Stroke: midGrey, Width: 0.1},
			page.Text{At: page.Point{X: r.X + scale/2, Y: r.Y + side + 1 + page.Ascent(smallText)}, Words: fmt.Sprintf("N%d", n), Size: smallText, Anchor: page.Middle, Ink: dark},
			page.Text{At: page.Point{X: r.X + scale/2, Y: r.Y + side + 5 + page.Ascent(smallText)}, Words: fmt.Sprintf("L* %.0f", float64(t)), Size: smallText * 0.85, Anchor: page.Middle, Ink: midGrey})
	}
	for i, t := range f.Tones { // where the plan's values lie on it
		at := x + scale*(float64(t.Value())+0.5)
		items = append(items, page.Path{Lines: []page.Line{{Segments: []page.Segment{page.Straight(page.Point{X: at, Y: y - 2.2}, page.Point{X: at, Y: y - 0.2})}}}, Stroke: black, Width: 0.4},
			page.Text{At: page.Point{X: at + 0.8, Y: y - 0.5}, Words: fmt.Sprint(i + 1), Size: smallText, Ink: black})
	}
	p.layer("scale", "The whole scale", items)
	y += side + 16
	p.layer("notes", "Notes", paragraph(page.Rect{X: x, Y: y, W: p.room.W, H: p.room.Y + p.room.H - y}, printNotes, plainText))
	c.end(p)
}

// paragraph sets words in a rectangle; what has no room is left away.
func paragraph(r page.Rect, words string, size float64) []page.Item {
	var out []page.Item
	y := r.Y + page.Ascent(size)
	for _, part := range strings.Split(words, "\n") {
		for _, l := range page.Wrap(part, size, false, r.W) {
			if y+page.Descent(size) > r.Y+r.H {
				return out
			}
			out = append(out, page.Text{At: page.Point{X: r.X, Y: y}, Words: cutWords(l, size, false, r.W), Size: size, Ink: dark})
			y += size * 1.35
		}
	}
	return out
}

// orderWords say in which order masses are blocked in.
var orderWords = map[string]string{"dark": "the darkest first", "light": "the lightest first", "large": "the largest first"}

// steps lays out the block-in, each picture with one value more than the last.
func (c *composer) steps() {
	order := c.m.figures.BlockIn(c.o.Order)
	n := len(order)
	ratio := c.ratio()
	across, down := n, 1
	turned := true
	if ratio > 1.1 && n > 1 {
		across, down, turned = 2, (n+1)/2, n <= 2
	}
	if n == 4 && ratio <= 1.1 && c.o.Paper.W < 200 {
		across, down, turned = 2, 2, false
	}
	p := c.begin("steps", "blocking in, value by value, "+orderWords[string(c.o.Order)]+": what is not laid in yet is bare panel", turned)
	const words = 9.0
	cell := page.Rect{W: (p.room.W - gap*float64(across-1)) / float64(across), H: (p.room.H-gap*float64(down-1))/float64(down) - words}
	cell.H = min(cell.H, cell.W/ratio)
	for i, v := range order {
		room := cell
		room.X = p.room.X + float64(i%across)*(cell.W+gap)
		room.Y = p.room.Y + float64(i/across)*(cell.H+words+gap)
		r := fit(room, ratio)
		d := drawing{c: c, at: r}
		f := c.m.figures
		items := d.filled(order[:i+1]...)
		items = append(items, frame(r, midGrey, 0.15))
		items = append(items, caption(r, fmt.Sprintf("%d.  value %d, N%.1f: %.0f %% of the picture", i+1, v+1, float64(f.Tones[v].Value()), 100*f.Shares[v]), 2)...)
		p.layer(fmt.Sprintf("step-%d", i+1), fmt.Sprintf("Step %d", i+1), items)
	}
	c.end(p)
}

// handOut lays out how the photo became a plan, on one page.
func (c *composer) handOut() {
	p := c.begin("handout", "how a photograph becomes a plan: "+c.m.plan.Panel.String(), false)
	y := p.room.Y
	if c.o.Note != "" {
		note := paragraph(page.Rect{X: p.room.X, Y: y - 5, W: p.room.W, H: p.room.H * 0.2}, c.o.Note, plainText)
		p.layer("note", "Note", note)
		y += float64(len(note))*plainText*1.35 - 3
	}
	below := page.Rect{X: p.room.X, Y: y, W: p.room.W, H: p.room.Y + p.room.H - y}
	thumbs := 0.0
	if len(c.m.thumbnails) > 0 {
		thumbs = min(32, below.H*0.18)
	}
	const words = 6.0
	high := min((below.H-thumbs)*0.32, below.W/2*0.9)
	cell := page.Rect{W: (below.W - gap) / 2, H: high - words}
	d := drawing{c: c}
	size := c.m.whole.Rect
	for i, one := range []struct {
		id, words string
		ratio     float64
		items     func(page.Rect) []page.Item
	}{
		{"photo", "the photo, and what is taken of it", float64(size.Dx()) / float64(size.Dy()), func(r page.Rect) []page.Item { return []page.Item{page.Picture{At: r, Image: c.m.whole}} }},
		{"crop", "the crop", c.ratio(), func(r page.Rect) []page.Item { return []page.Item{page.Picture{At: r, Image: c.m.crop}} }},
		{"notan", "notan: one dark, one light", c.ratio(), func(r page.Rect) []page.Item { return []page.Item{page.Picture{At: r, Image: c.m.notan}} }},
		{"plan", "the plan: " + c.tonesWords(), c.ratio(), func(r page.Rect) []page.Item { d.at = r; return d.filled(c.allValues()...) }},
	} {
		room := cell
		room.X, room.Y = below.X+float64(i%2)*(cell.W+gap), below.Y+float64(i/2)*high
		r := fit(room, one.ratio)
		r.X = room.X // captions stand in line
		items := append(one.items(r), frame(r, midGrey, 0.15))
		r.W = max(r.W, cell.W)
		p.layer(one.id, one.words, append(items, caption(r, one.words, 1)...))
	}
	y = below.Y + 2*high + 2
	c.readingColumns(p, page.Rect{X: below.X, Y: y, W: below.W, H: p.room.Y + p.room.H - thumbs - y})
	if thumbs > 0 {
		c.row(p, page.Rect{X: below.X, Y: p.room.Y + p.room.H - thumbs + 2, W: below.W, H: thumbs - 2})
	}
	c.end(p)
}

func (c *composer) tonesWords() string {
	var out []string
	for i, t := range c.m.figures.Tones {
		out = append(out, fmt.Sprintf("%d N%.1f", i+1, float64(t.Value())))
	}
	return strings.Join(out, ", ")
}

// readingColumns sets the reading in two columns, what practice would ask left.
func (c *composer) readingColumns(p *sheetPage, r page.Rect) {
	var words [2][]string
	for _, l := range c.m.lines {
		side := 1
		if l.Asks {
			side = 0
		}
		words[side] = append(words[side], l.Words)
	}
	wide := (r.W - gap) / 2
	for i, head := range []string{"what practice would ask", "what the plan says"} {
		col := page.Rect{X: r.X + float64(i)*(wide+gap), Y: r.Y, W: wide, H: r.H}
		items := []page.Item{page.Text{At: page.Point{X: col.X, Y: col.Y + page.Ascent(plainText)}, Words: head, Size: plainText, Bold: true, Ink: black}}
		y := col.Y + plainText*1.6
		for _, w := range words[i] {
			set := paragraph(page.Rect{X: col.X, Y: y, W: wide, H: r.Y + r.H - y}, w, smallText)
			if len(set) < len(page.Wrap(w, smallText, false, wide)) {
				break
			}
			items = append(items, set...)
			y += float64(len(set))*smallText*1.35 + 0.6
		}
		p.layer([]string{"questions", "figures"}[i], head, items)
	}
}

// row sets as many thumbnails as fit side by side.
func (c *composer) row(p *sheetPage, r page.Rect) {
	const words = 5.0
	var items []page.Item
	x := r.X
	for _, t := range c.m.thumbnails {
		b := t.picture.Rect
		h := r.H - words
		w := h * float64(b.Dx()) / float64(b.Dy())
		if x+w > r.X+r.W {
			break
		}
		at := page.Rect{X: x, Y: r.Y, W: w, H: h}
		items = append(items, page.Picture{At: at, Image: t.picture}, frame(at, midGrey, 0.1))
		items = append(items, caption(at, t.words, 1)...)
		x += w + gap/2
	}
	p.layer("thumbnails", "Thumbnails", items)
}

// wall lays out all thumbnails in rows, on as many pages as they need.
func (c *composer) wall() {
	all := c.m.thumbnails
	across := min(4, max(2, int(math.Ceil(math.Sqrt(float64(len(all)))))))
	tall := 0.0
	for _, t := range all {
		tall = max(tall, heightFor(t.picture))
	}
	const words = 9.0
	for from := 0; from < len(all); {
		p := c.begin(pageName("wall", from), fmt.Sprintf("%d thumbnails", len(all)), false)
		wide := (p.room.W - gap*float64(across-1)) / float64(across)
		high := min(wide*tall, p.room.H-words)
		rows := max(1, int((p.room.H+gap)/(high+words+gap)))
		var items []page.Item
		n := min(len(all)-from, rows*across)
		for i, t := range all[from : from+n] {
			room := page.Rect{X: p.room.X + float64(i%across)*(wide+gap), Y: p.room.Y + float64(i/across)*(high+words+gap), W: wide, H: high}
			r := fit(room, 1/heightFor(t.picture))
			r.Y = room.Y + room.H - r.H
			items = append(items, page.Picture{At: r, Image: t.picture}, frame(r, midGrey, 0.1))
			items = append(items, caption(page.Rect{X: room.X, Y: r.Y, W: wide, H: r.H}, t.words, 2)...)
		}
		p.layer("thumbnails", "Thumbnails", items)
		c.end(p)
		from += n
	}
}

func heightFor(p *image.Gray) float64 { return float64(p.Rect.Dy()) / float64(p.Rect.Dx()) }

// pageName numbers pages of one kind after the first.
func pageName(kind string, from int) string {
	if from == 0 {
		return kind
	}
	return fmt.Sprintf("%s-from-%d", kind, from+1)
}
