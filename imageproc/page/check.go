package page

import (
	"fmt"
	"image"
)

// check panics on a page that no writer can write.
func (p Page) check() {
	if !finite(p.W, p.H) || p.W <= 0 || p.H <= 0 {
		panic(fmt.Sprintf("page: paper of %g by %g mm", p.W, p.H))
	}
	if !named(p.Name) {
		panic(fmt.Sprintf("page: name %q", p.Name))
	}
	seen := map[string]bool{}
	for _, l := range p.Layers {
		if !named(l.ID) || seen[l.ID] {
			panic(fmt.Sprintf("page: layer id %q", l.ID))
		}
		seen[l.ID] = true
		checkItems(l.Items)
	}
}

func checkItems(items []Item) {
	for _, it := range items {
		switch it := it.(type) {
		case Path:
			for _, l := range it.Lines {
				for _, s := range l.Segments {
					place(s.From, s.C1, s.C2, s.To)
				}
			}
			if it.Stroke.On && !(it.Width > 0 && finite(it.Width)) {
				panic(fmt.Sprintf("page: a line %g mm wide", it.Width))
			}
			for _, d := range it.Dash {
				if !(d >= 0 && finite(d)) {
					panic(fmt.Sprintf("page: a dash of %g mm", d))
				}
			}
		case Text:
			place(it.At)
			if !(it.Size > 0 && finite(it.Size)) {
				panic(fmt.Sprintf("page: lettering of %g mm", it.Size))
			}
		case Picture:
			switch it.Image.(type) {
			case *image.Gray, *image.NRGBA:
			default:
				panic(fmt.Sprintf("page: picture of type %T", it.Image))
			}
			if it.Image.Bounds().Empty() || !finite(it.At.X, it.At.Y, it.At.W, it.At.H) || it.At.W <= 0 || it.At.H <= 0 {
				panic("page: picture of no size")
			}
		case Group:
			place(it.Shift, Point{it.Clip.X, it.Clip.Y}, Point{it.Clip.W, it.Clip.H})
			checkItems(it.Items)
		default:
			panic(fmt.Sprintf("page: item of type %T", it))
		}
	}
}

func place(ps ...Point) {
	for _, p := range ps {
		if !finite(p.X, p.Y) {
			panic(fmt.Sprintf("page: place %g, %g", p.X, p.Y))
		}
	}
}

// named reports whether s can be an id and part of a file's name.
func named(s string) bool {
	for i, r := range s {
		letter := r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z'
		if !letter && (i == 0 || r != '-' && (r < '0' || r > '9')) {
			return false
		}
	}
	return s != ""
}

// one returns a page of the document, checked.
func (d Document) one(i int) Page {
	if i < 0 || i >= len(d.Pages) {
		panic(fmt.Sprintf("page: page %d of %d", i, len(d.Pages)))
	}
	d.Pages[i].check()
	return d.Pages[i]
}

// plus returns a point moved by a shift.
func (p Point) plus(q Point) Point { return Point{p.X + q.X, p.Y + q.Y} }

// within returns what two clips have in common; nothing in common has no size.
func (r Rect) within(q Rect) Rect {
	x0, y0 := max(r.X, q.X), max(r.Y, q.Y)
	return Rect{x0, y0, max(0, min(r.X+r.W, q.X+q.W)-x0), max(0, min(r.Y+r.H, q.Y+q.H)-y0)}
}
