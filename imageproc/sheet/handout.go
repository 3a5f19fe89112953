package sheet

import (
	"strconv"

	"atelier/halflid/imageproc/page"
)

// handed is a picture on the hand-out.
type handed struct {
	id, bold, quiet string
	aspect          float64
	draw            func(page.Rect) []page.Item
}

// handOut shows on one upright page how a photograph became a plan: the
// photograph with the crop on it, the crop, the notan, the plan, what the plan
// says, and the thumbnails. What finds no room is left away from the end.
func handOut(m Material, o Options) *leaf {
	if m.Photo == nil || m.Crop == nil || m.Notan == nil {
		panic("sheet: the hand-out needs the photo, its crop and the notan")
	}
	l := newLeaf("handout", o.Paper, false, m.Plan.Panel.String()+" \u00b7 "+m.valuesWords()+" \u00b7 from the photograph to the plan")
	y := l.room.Y
	if m.aspect() < 1 {
		y = l.uprightPictures(m, o, y)
	} else {
		y = l.noteLines(o.Note, page.Rect{X: l.room.X, Y: y, W: l.room.W}, 5)
		y = l.acrossPictures(m, y)
		l.layer("values", "the values", valueKey(m.Figures.Tones, page.Point{X: l.room.X, Y: y + 2}, l.room.W)...)
		y += 2 + keyHeight
	}
	l.said(m, y+5)
	return l
}

func (m Material) valuesWords() string {
	n := len(m.Figures.Tones)
	if n == 1 {
		return "one value"
	}
	return strconv.Itoa(n) + " values"
}

// noteLines writes the painter's note at the top of a place, at most most lines of
// it; it returns where it ends.
func (l *leaf) noteLines(note string, r page.Rect, most int) float64 {
	if note == "" || most < 1 {
		return r.Y
	}
	var items []page.Item
	y := r.Y
	for _, s := range wrapped(note, sizeBody, false, r.W, most) {
		items = append(items, page.Text{At: page.Point{X: r.X, Y: y + page.Cap(sizeBody)}, Words: s, Size: sizeBody, Ink: inkWords})
		y += lead(sizeBody)
	}
	l.layer("note", "note", items...)
	return y + 2
}

// pictures are what every hand-out shows, in order.
func (m Material) pictures() [4]handed {
	b := m.Photo.Bounds()
	photo := func(r page.Rect) []page.Item {
		c := m.InCrop
		crop := page.Rect{X: r.X + c[0]*r.W, Y: r.Y + c[1]*r.H, W: (c[2] - c[0]) * r.W, H: (c[3] - c[1]) * r.H}
		lines := []page.Line{page.Box(crop)}
		return []page.Item{
			page.Picture{At: r, Image: m.Photo},
			frame(r),
			page.Path{Lines: lines, Stroke: inkPaper, Width: 0.9},
			page.Path{Lines: lines, Stroke: inkWords, Width: 0.3},
		}
	}
	all := make([]int, len(m.Figures.Tones))
	for i := range all {
		all[i] = i
	}
	a := m.aspect()
	return [4]handed{
		{"photograph", "The photograph", "with the crop on it", float64(b.Dx()) / float64(b.Dy()), photo},
		{"crop", "The crop", m.Plan.Panel.String(), a, func(r page.Rect) []page.Item {
			return []page.Item{page.Picture{At: r, Image: m.Crop}, frame(r)}
		}},
		{"notan", "The notan", "one dark and one light", a, func(r page.Rect) []page.Item {
			return []page.Item{page.Picture{At: r, Image: m.Notan, Blocky: true}, frame(r)}
		}},
		{"plan", "The plan", m.valuesWords() + ", " + strconv.Itoa(len(m.Map.Regions)) + " masses", a, func(r page.Rect) []page.Item {
			return drawing{m: m.Map, at: r}.painted(all, m.Figures.Tones)
		}},
	}
}

// pictureGap is between two pictures side by side.
const pictureGap = 6

// rowOf lays pictures side by side, all as high as makes them fill width, or high
// if that is less. It returns the row's lower end.
func (l *leaf) rowOf(row []handed, y, width, high float64) float64 {
	sum := 0.0
	for _, p := range row {
		sum += p.aspect
	}
	gaps := pictureGap * float64(len(row)-1)
	h := min(high, (width-gaps)/sum)
	x := l.room.X
	for _, p := range row {
		r := page.Rect{X: x, Y: y, W: h * p.aspect, H: h}
		l.drawn(p, r)
		x += r.W + pictureGap
	}
	return y + h + captionHeight
}

// acrossPictures lays the four pictures in two rows, or in one where they are so
// wide or the paper so low that this shows them larger.
func (l *leaf) acrossPictures(m Material, y float64) float64 {
	p := m.pictures()
	most := 0.7*l.room.H - (y - l.room.Y)
	best, rows := 0.0, [][]handed(nil)
	for _, try := range [][][]handed{{p[:2], p[2:]}, {p[:]}, {p[:1], p[1:]}} {
		shown, used := 0.0, 0.0
		for _, row := range try {
			sum := 0.0
			for _, one := range row {
				sum += one.aspect
			}
			h := min((l.room.W-pictureGap*float64(len(row)-1))/sum, most/float64(len(try))-captionHeight-3)
			shown, used = shown+h*h*sum, used+h
		}
		if shown > best && used > 0 {
			best, rows = shown, try
		}
	}
	for i, row := range rows {
		if i > 0 {
			y += 3
		}
		y = l.rowOf(row, y, l.room.W, most/float64(len(rows))-captionHeight-3)
	}
	return y
}

// uprightPictures lays the photograph with note and values beside it, and the
// three pictures of the crop in a row below; an upright photograph stands beside its
// crop, the other two below them, and note and values at the right of all four.
func (l *leaf) uprightPictures(m Material, o Options, y float64) float64 {
	p := m.pictures()
	left := page.Rect{X: l.room.X, Y: y}
	if p[0].aspect < 1 {
		left.H = 0.335*l.room.H - captionHeight
		left.W = max(p[0].aspect+p[1].aspect, p[2].aspect+p[3].aspect)*left.H + pictureGap
		for i, one := range p {
			r := page.Rect{X: left.X, Y: y + float64(i/2)*(left.H+captionHeight+3), W: left.H * one.aspect, H: left.H}
			if i%2 == 1 {
				r.X = left.X + left.W - r.W
			}
			l.drawn(one, r)
		}
		left.H += left.H + captionHeight + 3
	} else {
		left.H = min(0.5*(l.room.W-pictureGap)/p[0].aspect, 0.3*l.room.H)
		left.W = left.H * p[0].aspect
		l.drawn(p[0], left)
	}
	side := page.Rect{X: left.X + left.W + pictureGap, Y: y, W: l.room.W - left.W - pictureGap}
	list := sizeHead + 4 + float64(len(m.Figures.Tones))*(keyHeight+1.2)
	below := l.noteLines(o.Note, side, int((left.H-list-4)/lead(sizeBody)))
	if o.Note != "" {
		below += 2
	}
	l.valueList(m, page.Point{X: side.X, Y: below}, side.W)
	end := y + left.H + captionHeight
	if p[0].aspect < 1 {
		return end
	}
	return l.rowOf(p[1:], end+3, l.room.W, 0.34*l.room.H-captionHeight)
}

// drawn draws a picture of the hand-out with its caption.
func (l *leaf) drawn(p handed, r page.Rect) {
	l.layer(p.id, p.bold, append(p.draw(r), captioned(r, p.bold, p.quiet)...)...)
}

// valueList writes the values below each other with their shares.
func (l *leaf) valueList(m Material, at page.Point, width float64) {
	y := l.headLine("values-head", "The values", at.X, at.Y, width)
	for i, t := range m.Figures.Tones {
		items := valueKey(m.Figures.Tones[i:i+1], page.Point{X: at.X, Y: y}, 34)
		for j, it := range items { // its own number, not the first's
			if words, ok := it.(page.Text); ok && words.Anchor == page.Middle {
				words.Words = strconv.Itoa(i + 1)
				items[j] = words
			}
		}
		share := percent(m.Figures.Shares[i])
		x := at.X + 24
		if x+page.Width(share, sizeBody, false) < at.X+width {
			items = append(items, page.Text{At: page.Point{X: x, Y: y + keyHeight/2 + digitMiddle(sizeBody)}, Words: share, Size: sizeBody, Ink: inkQuiet})
		}
		l.layer(valueID(i, t), "value "+strconv.Itoa(i+1), items...)
		y += keyHeight + 1.2
	}
}

// columnsFrom is the width of a page from which thumbnails stand beside the words,
// leastForBoth the height from which there is room for both below each other.
const (
	columnsFrom  = 150
	leastForBoth = 100
)

// said writes what the plan says, and hangs the thumbnails beside or below it.
func (l *leaf) said(m Material, y float64) {
	room := page.Rect{X: l.room.X, Y: y, W: l.room.W, H: l.room.Y + l.room.H - y}
	switch {
	case len(m.Thumbnails) == 0 || room.W < columnsFrom && room.H < leastForBoth:
		l.saidWords(m, room)
	case room.W >= columnsFrom:
		words := room
		words.W = 0.58 * room.W
		thumbs := page.Rect{X: room.X + words.W + 8, Y: y, W: room.W - words.W - 8, H: room.H}
		l.saidWords(m, words)
		l.thumbs(m, thumbs)
	default:
		words := room
		words.H = 0.6 * room.H
		l.saidWords(m, words)
		l.thumbs(m, page.Rect{X: room.X, Y: y + words.H + 2, W: room.W, H: room.H - words.H - 2})
	}
}

// saidWords writes the reading's lines, those that ask first and marked so, as
// many as there is room for.
func (l *leaf) saidWords(m Material, r page.Rect) {
	if r.H < sizeHead+3+lead(sizeBody) {
		return
	}
	y := l.headLine("said-head", "What the plan says", r.X, r.Y, r.W)
	const indent = 4
	var items []page.Item
	for _, line := range m.Lines {
		words := page.Wrap(m.onPaper(line), sizeBody, false, r.W-indent)
		if y+float64(len(words))*lead(sizeBody) > r.Y+r.H {
			break
		}
		mark, bold, ink := "\u2013", false, inkQuiet
		if line.Asks {
			mark, bold, ink = "?", true, inkWords
		}
		items = append(items, page.Text{At: page.Point{X: r.X, Y: y + page.Cap(sizeBody)}, Words: mark, Size: sizeBody, Bold: bold, Ink: ink})
		for _, s := range words {
			items = append(items, page.Text{At: page.Point{X: r.X + indent, Y: y + page.Cap(sizeBody)}, Words: cutTo(s, sizeBody, false, r.W-indent), Size: sizeBody, Ink: inkWords})
			y += lead(sizeBody)
		}
		y += 0.9
	}
	l.layer("said", "what the plan says", items...)
}

// thumbs hangs as many thumbnails as have room to be judged.
func (l *leaf) thumbs(m Material, r page.Rect) {
	const least = 24 // mm of width below which a thumbnail says nothing
	if r.H < sizeHead+3+least {
		return
	}
	y := l.headLine("thumbnails-head", "Thumbnails", r.X, r.Y, r.W)
	room := page.Rect{X: r.X, Y: y, W: r.W, H: r.Y + r.H - y}
	aspect, n := 0.0, len(m.Thumbnails)
	for _, t := range m.Thumbnails {
		aspect += t.ratio() / float64(n)
	}
	c := arranged(room, n, aspect, captionHeight, 45)
	for n > 1 && c.w < least {
		n--
		c = arranged(room, n, aspect, captionHeight, 45)
	}
	if c.w < least {
		return
	}
	shift := c.at(0).X - r.X // the words and pictures of a column begin on one line
	for i := range n {
		at := c.at(i)
		at.X -= shift
		l.layer("thumbnail-"+strconv.Itoa(i+1), "thumbnail", hungThumb(m.Thumbnails[i], i+1, at)...)
	}
}
