package sheet

import (
	"atelier/halflid/imageproc/page"
)

// cells are places for pictures of one size in rows, with room for a caption
// below each.
type cells struct {
	room          page.Rect
	columns, rows int
	w, h          float64 // of a picture
	caption       float64
	gapX, gapY    float64
}

// arranged returns the places for n pictures of that aspect that make them
// largest, none wider than widest; of equally large ones the fewer rows.
func arranged(room page.Rect, n int, aspect, caption, widest float64) cells {
	best := cells{}
	for columns := 1; columns <= n; columns++ {
		c := cells{room: room, columns: columns, rows: (n + columns - 1) / columns, caption: caption, gapX: 6, gapY: 4}
		w := (room.W - float64(columns-1)*c.gapX) / float64(columns)
		h := (room.H-float64(c.rows-1)*c.gapY)/float64(c.rows) - caption
		c.w = min(w, h*aspect, widest)
		c.h = c.w / aspect
		if c.w > 0 && c.w >= best.w {
			best = c
		}
	}
	return best
}

// at returns where picture i lies. The rows stand in the middle of the room, their
// first at its top.
func (c cells) at(i int) page.Rect {
	width := float64(c.columns)*(c.w+c.gapX) - c.gapX
	return page.Rect{
		X: c.room.X + (c.room.W-width)/2 + float64(i%c.columns)*(c.w+c.gapX),
		Y: c.room.Y + float64(i/c.columns)*(c.h+c.caption+c.gapY), W: c.w, H: c.h,
	}
}

// turnedFor reports whether paper across makes pictures more than a tenth larger
// than upright paper; size returns how large they come out in a room.
func turnedFor(p page.Paper, size func(page.Rect) float64) bool {
	return size(roomOn(p, true)) > 1.1*size(roomOn(p, false))
}

// captioned returns a bold line and a quiet one below a picture.
func captioned(r page.Rect, bold, quiet string) []page.Item {
	y := r.Y + r.H + 1.2 + page.Cap(sizeBody)
	out := []page.Item{page.Text{At: page.Point{X: r.X, Y: y}, Words: cutTo(bold, sizeBody, true, r.W), Size: sizeBody, Bold: true, Ink: inkWords}}
	if quiet != "" {
		out = append(out, page.Text{At: page.Point{X: r.X, Y: y + lead(sizeSmall) + 0.3}, Words: cutTo(quiet, sizeSmall, false, r.W), Size: sizeSmall, Ink: inkQuiet})
	}
	return out
}

// captionHeight is the room that captioned needs below a picture.
const captionHeight = 1.2 + 0.72*sizeBody + 1.35*sizeSmall + 0.3 + 0.22*sizeSmall

// aspect returns the width of the crop over its height.
func (m Material) aspect() float64 {
	if a := m.Plan.Panel.Aspect(); a > 0 {
		return a
	}
	size := m.Figures.Crop.Size()
	return float64(size.X) / float64(size.Y)
}
