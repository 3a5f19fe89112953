package tui

import (
	"context"
	"image"
	"io"
	"sync"

	tea "github.com/charmbracelet/bubbletea"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/study"
	"atelier/halflid/palette"
	"atelier/halflid/tui/cells"
	"atelier/halflid/tui/keys"
)

// want is all that decides what the band shows. Two equal wants show the same.
type want struct {
	photo  int // 0: none, 1: the preview, 2: the photo
	plan   plan.Plan
	view   study.View
	beside bool
	going  int  // mark what goes when the plan is pulled together to so many shapes; 0: do not
	focal  bool // mark the focal point
	cols   int
	rows   int
}

// done is a picture that was painted, with what was measured on the way.
type done struct {
	want    want
	figures study.Figures
	err     error
}

// jobs computes and paints pictures, one at a time. A job that has begun
// finishes; then the newest want is next, and what was asked for in between is
// left out. Cancelling instead would leave the screen still while a key is held.
type jobs struct {
	opt Options

	// Read and written by Update only.
	running bool
	last    want // what the newest job was begun for
	id      int  // which photo the desk is for: see want
	desk    *study.Desk

	mu     sync.Mutex // held by the job that runs, or by a save
	band   imageproc.Raster
	grid   cells.Grid
	inks   []palette.SRGB // the few tones of the picture in hand
	ground palette.SRGB
	edge   palette.SRGB
}

// surround is the neutral dark grey around the picture, the same as under the
// text (see inks): values are not judged against white paper, and all but the
// deepest darks still stand out from it.
const surround palette.Value = 1.5

// edge is the value of the thin line around the picture, without which the edge
// of a plan whose darks are as dark as the surround would be lost.
const edge palette.Value = 3

func newJobs(opt Options) *jobs {
	return &jobs{opt: opt, ground: palette.Grey(surround.Y()), edge: palette.Grey(edge.Y())}
}

// photo sets the photo that jobs work on from now on.
func (j *jobs) photo(id int, master imageproc.Picture) { j.id, j.desk = id, study.NewDesk(master) }

// wait returns when no job runs.
func (j *jobs) wait() {
	j.mu.Lock()
	defer j.mu.Unlock()
}

// refresh starts a job if the band should show something else than it does.
func (m *model) refresh() tea.Cmd {
	w, ok := m.wanted()
	m.opt.Screen.SetBand(m.bandRect(ok))
	j := m.jobs
	if !ok {
		j.last = want{} // what was painted is gone: paint it again afterwards
	}
	if !ok || j.running || w == j.last {
		return nil
	}
	j.running, j.last = true, w
	desk := j.desk
	return guard(func() tea.Msg {
		if m.opt.Fault != nil {
			m.opt.Fault("job")
		}
		figures, err := j.paint(m.ctx, desk, w)
		return done{w, figures, err}
	})
}

// wanted returns what the band should show, and whether there is a band.
func (m *model) wanted() (want, bool) {
	if m.tooSmall() || m.scope == keys.Help {
		return want{}, false
	}
	w := want{photo: m.jobs.id, view: m.view, going: m.goingTo(), focal: m.scope == keys.Focal, beside: m.beside && m.canBeside(), cols: m.cols, rows: m.bandRows()}
	switch {
	case m.opened != nil:
		w.plan = m.plan()
	case m.jobs.id == 1:
		w.plan = plan.Default(m.frame.Photo)
	default:
		return w, false
	}
	return w, true
}

func (m *model) finished(d done) {
	m.jobs.running = false
	if d.err != nil {
		if m.ctx.Err() == nil {
			m.note = d.err.Error()
		}
		return
	}
	m.shown = d
}

// paint computes w and paints it. Nobody else uses the desk until it is done.
func (j *jobs) paint(ctx context.Context, desk *study.Desk, w want) (study.Figures, error) {
	j.mu.Lock()
	defer j.mu.Unlock()
	views, rooms := []study.View{w.view}, []image.Rectangle{image.Rect(0, 0, w.cols, 2*w.rows)}
	if w.beside {
		left, right := pair(w.view)
		half := (w.cols - 2) / 2
		views = []study.View{left, right}
		rooms = []image.Rectangle{image.Rect(0, 0, half, 2*w.rows), image.Rect(w.cols-half, 0, w.cols, 2*w.rows)}
	}
	s, err := desk.Make(ctx, w.plan, views...)
	if err != nil {
		return study.Figures{}, err
	}
	j.band = j.band.Reshape(w.cols, 2*w.rows)
	j.band.Fill(j.ground)
	j.inks = cells.Inks(s.Figures.Tones) // none if the views have none
	var places []image.Rectangle
	for i := range views {
		places = append(places, j.lay(s, views[i], w, rooms[i]))
	}
	j.grid.Surround = j.ground
	j.grid.SetTones(j.inks)
	cells.Encode(&j.grid, j.band, j.opt.Depth)
	if j.opt.Depth == cells.NoColour {
		j.grid.Bare(places...)
	}
	if err := j.opt.Screen.Paint(&j.grid, image.Point{}); err != nil || len(s.Figures.Tones) > 0 {
		return s.Figures, err
	}
	// What is measured is measured after the picture is on its way: of a notan
	// the plan that it reads, otherwise the values.
	measured := study.Values
	if w.view == study.Notan {
		measured = study.Plan
	}
	s, err = desk.Make(ctx, w.plan, measured)
	if err != nil {
		return study.Figures{}, err
	}
	return s.Figures, nil
}

// lay puts one view into the middle of a part of the band and returns where.
func (j *jobs) lay(s *study.Study, v study.View, w want, room image.Rectangle) image.Rectangle {
	size := imageproc.Fit(s.Ratio(v), j.opt.Aspect, room.Size())
	pic := s.Raster(v, size)
	if v == study.Notan {
		j.inks = append(j.inks, cells.InksIn(pic, 2)...)
	}
	if v == study.Plan && w.going > 0 {
		s.MarkGoing(pic, w.going)
	}
	if w.focal {
		s.MarkFocus(pic, v)
	}
	at := room.Min.Add(room.Size().Sub(size).Div(2))
	if size.Y < room.Dy()-1 {
		at.Y &^= 1 // whole cells above it: its top edge stays crisp
	}
	place := image.Rectangle{Min: at, Max: at.Add(size)}
	j.band.FillRect(place.Inset(-1), j.edge)
	j.band.Lay(pic, at)
	return place
}

// pair returns what stands left and right when two views are shown: the photo
// as it is looked at, and a plan.
func pair(v study.View) (left, right study.View) {
	switch v {
	case study.Values, study.Plan, study.Notan:
		return study.Photo, v
	default:
		return v, study.Plan
	}
}

// save saves the plan and its picture off the screen's goroutine.
func (m *model) save() tea.Cmd {
	if m.opened == nil || m.saving {
		return nil
	}
	m.saving, m.note = true, "saving …"
	p, keep, j, desk, ctx := m.plan(), m.opened.Keep, m.jobs, m.jobs.desk, m.ctx
	return guard(func() tea.Msg {
		words, err := keep.Save(p, func(w io.Writer) error {
			j.mu.Lock()
			defer j.mu.Unlock()
			s, err := desk.Make(ctx, p, study.Plan)
			if err != nil {
				return err
			}
			return s.WritePlan(w, 0)
		})
		return savedMsg{words, err}
	})
}
