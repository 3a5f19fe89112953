package tui

import (
	"image"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/photo"
)

// The least width of a tile of a folder's wall, in cells: of a photo alone, and of
// one with its plan beside it.
const (
	leastShot = leastTile
	leastTwo  = 38
)

// usualTall is the height of a photograph over its width that tiles are made for;
// taller ones are shown as high as the others.
const usualTall = 0.75

// hungShot is a photo as it is painted.
type hungShot struct {
	name, words string
	notice      string // in place of a picture; may be empty
	chosen      bool
	made        int
	pictures    []Small // the photo and its plan, as far as they are there
}

// hungFolder is a wall of a folder as it is painted.
type hungFolder struct {
	hanging
	two   bool // plans stand beside photos
	shots []hungShot
}

// sized names a picture at a size.
type sized struct {
	name    string
	made, n int
	size    image.Point
}

// hanging divides the window into tiles as large as lets all be seen, but not too
// small to be judged: then the wall is scrolled. It depends on how many there may
// be in all, so that it stays while names are typed.
func (b *browser) hanging() hanging {
	n := max(len(b.list.all)+b.list.left, 1)
	least, most, parts := leastShot, mostTile, 1.0
	if b.planned {
		least, most, parts = leastTwo, 2*mostTile, 2
	}
	rows := max(1, b.bandRows())
	for across := 1; ; across++ {
		wide := max(5, min(b.cols/across, most))
		tall := 3 + int(float64(wide-4)/parts*usualTall*b.opt.Aspect/2)
		h := hanging{across, 1, image.Pt(wide, min(rows, tall))}
		h.down = max(1, rows/h.tile.Y)
		if more := h.down + 1; 4*(rows/more) >= 3*tall { // a row more rather than a bare stripe
			h.down, h.tile.Y = more, rows/more
		}
		if b.cols/(across+1) < least || across*h.down >= n && wide < most || across*h.down >= max(2, n) {
			return h
		}
	}
}

// seen returns which of what hangs the window shows. It scrolls no further than
// the chosen one needs.
func (b *browser) seen() (from, to int) {
	h := b.hanging()
	row := b.list.at / h.across
	last := max(0, (len(b.list.shown)+h.across-1)/h.across-h.down)
	b.top = max(0, min(max(min(b.top, row), row-h.down+1), last))
	from = b.top * h.across
	return min(from, len(b.list.shown)), min(len(b.list.shown), from+h.across*h.down)
}

// hang gathers what the wall shows.
func (b *browser) hang() *hungFolder {
	from, to := b.seen()
	h := &hungFolder{hanging: b.hanging(), two: b.planned}
	for i, s := range b.list.shown[from:to] {
		one := hungShot{name: s.Name, chosen: from+i == b.list.at}
		t := b.tiles[s.Name]
		words := photo.SafeName(s.Name)
		switch {
		case t == nil || !t.looked:
			words += " …"
		case t.err != nil:
			one.notice = "no picture"
		default:
			one.made = t.made
			one.pictures = append(one.pictures, t.photo)
			if t.plan != nil {
				one.pictures = append(one.pictures, t.plan)
			} else if t.planErr != nil {
				words += " (no plan)"
			}
		}
		if one.chosen {
			words = "> " + words
		}
		one.words = ansi.Truncate(words, h.tile.X-3, "…")
		h.shots = append(h.shots, one)
	}
	return h
}

// paintedMsg says that the wall was painted.
type paintedMsg struct{ err error }

// repaint begins to paint the wall if it is not on the screen as it is.
func (b *browser) repaint() tea.Cmd {
	if b.studio != nil {
		return nil
	}
	shown := b.onWall()
	band := image.Rectangle{}
	if shown {
		band = image.Rect(0, 0, b.cols, b.bandRows())
	}
	b.opt.Screen.SetBand(band)
	if !shown {
		b.painted = wallState{}
		return nil
	}
	now := wallState{b.changed, b.list.at, b.top, b.cols, b.rows, len(b.list.shown), b.list.find, b.list.newest, true}
	if b.painting || b.painted == now || b.move != nil && b.move.src != nil {
		return nil
	}
	b.painting, b.painted = true, now
	w := want{cols: b.cols, rows: b.bandRows(), glyphs: b.opt.Glyphs.At(b.opt.Depth)}
	h, j := b.hang(), b.jobs
	return guard(func() tea.Msg { return paintedMsg{j.paintFolder(w, h)} })
}

// wallState is all that decides how the wall looks.
type wallState struct {
	changed, at, top, cols, rows, n int
	find                            string
	newest, there                   bool
}

// paintFolder paints a folder's wall into the band of w.
func (j *jobs) paintFolder(w want, h *hungFolder) error {
	j.mu.Lock()
	defer j.mu.Unlock()
	j.clear(w)
	j.inks = nil // many plans have more tones than few colours can hold apart
	per := w.glyphs.Per()
	room := image.Pt((h.tile.X-4)*per.X, (h.tile.Y-3)*per.Y) // a line of words stands below
	half := image.Pt((h.tile.X-5)/2*per.X, room.Y)
	plans := false
	old := j.scaled
	j.scaled = map[sized]imageproc.Raster{}
	var places []image.Rectangle
	for i, s := range h.shots {
		corner := h.at(i)
		at := image.Pt((corner.X+1)*per.X, (corner.Y+1)*per.Y)
		edge := j.edge
		if s.chosen {
			edge = j.chosen
		}
		if len(s.pictures) == 0 { // an empty frame, so that the choice is seen
			place := image.Rectangle{Min: at, Max: at.Add(room)}
			j.band.FillRect(place.Inset(-1), edge)
			j.band.FillRect(place, j.ground)
			places = append(places, place)
			continue
		}
		plans = plans || len(s.pictures) > 1
		rooms := []image.Rectangle{{Min: at, Max: at.Add(room)}}
		if h.two {
			right := image.Pt(at.X+room.X-half.X, at.Y)
			rooms = []image.Rectangle{{Min: at, Max: at.Add(half)}, {Min: right, Max: right.Add(half)}}
		}
		for n, p := range s.pictures {
			size := imageproc.Fit(p.Ratio(), j.aspect(w.glyphs), rooms[n].Size())
			key := sized{s.name, s.made, n, size}
			r, ok := old[key]
			if !ok {
				r = p.Raster(size)
			}
			j.scaled[key] = r
			gap := rooms[n].Size().Sub(size)
			gap.X /= 2
			place := image.Rectangle{Min: wholeCells(rooms[n].Min.Add(gap), per)}
			place.Max = place.Min.Add(size)
			j.band.FillRect(place.Inset(-1), edge)
			j.band.Lay(r, place.Min)
			places = append(places, place)
		}
	}
	j.encode(w, places)
	for i, s := range h.shots {
		at := h.at(i)
		wide := h.tile.X - 3
		j.grid.Text(image.Pt(at.X+1, at.Y+h.tile.Y-1), s.words, wide, s.chosen, j.opt.Depth)
		if s.notice != "" {
			middle := at.Add(image.Pt(1+max(0, (wide-len(s.notice))/2), (h.tile.Y-2)/2))
			j.grid.Text(middle, s.notice, min(wide, len(s.notice)), s.chosen, j.opt.Depth)
		}
	}
	if plans {
		return j.opt.Screen.Paint(&j.grid, image.Point{})
	}
	return j.opt.Screen.PaintLossy(&j.grid, image.Point{})
}
