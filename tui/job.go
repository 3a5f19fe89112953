package tui

import (
	"context"
	"errors"
	"io"
	"sync"

	tea "github.com/charmbracelet/bubbletea"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/reading"
	"atelier/halflid/imageproc/study"
	"atelier/halflid/palette"
	"atelier/halflid/tui/cells"
)

// done is a picture that was painted, with what was measured on the way.
type done struct {
	want    want
	figures study.Figures
	lines   []reading.Line // if they were wanted
	notan   [2]float64     // shares of dark and light, if the notan is looked at
	pages   int            // of the sheets, if they are looked at
	err     error
}

// jobs computes and paints pictures, one at a time. A job that has begun
// finishes; then the newest want is next, and what was asked for in between is
// left out. Cancelling instead would leave the screen still while a key is held.
type jobs struct {
	opt Options

	// Read and written by Update only.
	running bool
	stop    context.CancelFunc // ends a job that only measures: see resting.go
	last    want               // what the newest job was begun for
	id      int                // which photo the desk is for: see want
	desk    *study.Desk

	mu      sync.Mutex // held by the job that runs, or by a save
	band    imageproc.Raster
	plain   imageproc.Raster // a picture before marks were drawn on it
	grid    cells.Grid
	inks    []palette.SRGB // the few tones of the picture in hand
	ground  palette.SRGB
	edge    palette.SRGB
	chosen  palette.SRGB
	numbers []numeral // of the values on an outline
	foot    []beneath // words below two thumbnails

	scaled map[sized]imageproc.Raster // what a folder's wall showed last

	said   []reading.Line // of the plan that was read last
	saidOf plan.Plan
	saidBy int // which photo that was of

	bound bound // the pages that were looked at last
}

// surround is the neutral dark grey around the picture, the same as under the
// text (see inks): values are not judged against white paper, and all but the
// deepest darks still stand out from it.
const surround palette.Value = 1.5

// edge is the value of the thin line around the picture, without which the edge
// of a plan whose darks are as dark as the surround would be lost.
const edge palette.Value = 3

// chosenEdge is the value of the frame around the chosen thumbnail.
const chosenEdge palette.Value = 7

func newJobs(opt Options) *jobs {
	return &jobs{opt: opt, ground: palette.Grey(surround.Y()), edge: palette.Grey(edge.Y()), chosen: palette.Grey(chosenEdge.Y())}
}

// photo sets the photo that jobs work on from now on.
func (j *jobs) photo(id int, master imageproc.Picture) {
	j.id, j.desk = id, study.NewDesk(master)
}

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
		if j.stop != nil && w != j.last {
			j.stop()
		}
		return nil
	}
	j.running, j.last = true, w
	if w.paper != 0 {
		paint := m.paper(w)
		return guard(func() tea.Msg { return done{want: w, err: paint()} })
	}
	desk, ctx, frame := j.desk, m.ctx, m.frame
	if w.sheets.on {
		name, kept := m.sheetName(), m.hist.Thumbnails()
		return guard(func() tea.Msg { return j.paintSheet(ctx, desk, w, name, kept, frame) })
	}
	return guard(func() tea.Msg {
		if m.opt.Fault != nil {
			m.opt.Fault("job")
		}
		return j.paint(ctx, desk, w, frame)
	})
}

func (m *model) finished(d done) {
	m.jobs.running = false
	if m.jobs.stop != nil {
		m.jobs.stop()
		m.jobs.stop = nil
		if errors.Is(d.err, context.Canceled) {
			return
		}
	}
	if d.err != nil {
		m.resting.failed, m.waiting = d.want, nil // what they wait for does not come
		if m.ctx.Err() == nil {
			m.note = d.err.Error()
		}
		return
	}
	if d.want.paper != 0 {
		d.figures, d.lines = m.shown.figures, m.shown.lines // those of the plan in hand are still wanted
		d.want.plan = m.shown.want.plan
	}
	if len(m.shown.figures.Tones) > 0 && m.shown.want.photo == d.want.photo {
		m.resting.before = m.shown.figures
	}
	m.shown = d
	if m.resting.unknown++; len(d.figures.Tones) > 0 {
		m.resting.unknown = 0
	}
}

// save saves the plan and its picture off the screen's goroutine.
func (m *model) save() tea.Cmd {
	if m.opened == nil || m.saving {
		return nil
	}
	m.saving, m.note = true, "saving …"
	p, hist, keep, j, desk, ctx := m.plan(), m.hist, m.opened.Keep, m.jobs, m.jobs.desk, m.ctx
	return guard(func() tea.Msg {
		words, err := keep.Save(hist, func(w io.Writer) error {
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
