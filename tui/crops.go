package tui

import (
	"errors"
	"fmt"
	"strconv"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"atelier/halflid/imageproc/crops"
	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/study"
	"atelier/halflid/tui/keys"
)

// How crops are proposed: how many, and in how many values they are read and shown.
const (
	cropsProposed = 6
	cropValues    = 3
)

// proposed are the crops worth trying for a plan.
type proposed struct {
	of     plan.Plan // the plan that they were found for
	list   []crops.Proposal
	plans  []plan.Thumbnail // each as its three-value plan
	inWork bool
	share  float64 // of the search
	said   string  // why there are none
	column scrolled
}

// scrolled is how far what is said of a crop was read on.
type scrolled struct {
	crop int
	down int // rows of the column; where it has no room, things said so far
}

// cropsMsg brings the crops that were found for a plan, searchMsg how much of the
// search is done.
type (
	cropsMsg struct {
		of   plan.Plan
		list []crops.Proposal
		err  error
	}
	searchMsg float64
)

// onCrops reports whether crops worth trying are looked at.
func (m *model) onCrops() bool { return m.scope == keys.Wall && m.wall.hangs == cropped }

// searchKey is the part of a plan that proposals depend on: what the picture is
// about, how it is squinted at, which kind of panels is at hand, the smallest mark
// there, and what was left out of the photo or laid in.
func searchKey(p plan.Plan) plan.Plan {
	return plan.Plan{
		Focus: p.Focus, Squint: p.Squint, Panel: plan.Panel{Unit: p.Panel.Unit},
		Shapes: plan.Shapes{Brush: p.Shapes.Brush}, Choices: study.Retouches(p),
	}
}

// findCrops begins to look for crops if those that hang there are for another plan.
func (m *model) findCrops() tea.Cmd {
	c := &m.wall.crops
	if !m.onCrops() || c.inWork || m.opened == nil || c.of == searchKey(m.plan()) {
		return nil
	}
	p, photo, ctx, send := m.plan(), m.opened.Photo, m.ctx, m.send
	*c = proposed{of: searchKey(p), inWork: true}
	m.wall.at, m.wall.first = 0, -1
	return guard(func() tea.Msg {
		master, err := study.Retouched(ctx, photo.Master, p)
		if err != nil {
			return cropsMsg{searchKey(p), nil, err}
		}
		list, err := crops.Propose(ctx, master, photo.Size, crops.Options{
			Panels: panelsAtHand(p.Panel), Focus: p.Focus, N: cropsProposed,
			Squint: p.Squint, Values: cropValues, Brush: p.Shapes.Brush,
		}, func(done float64) { send(searchMsg(done)) })
		return cropsMsg{searchKey(p), list, err}
	})
}

// panelsAtHand are the panels of the same kind of unit, each both ways.
func panelsAtHand(own plan.Panel) []plan.Panel {
	var out []plan.Panel
	for _, p := range plan.Panels() {
		if !p.Free() && (p.Unit == plan.Inch) == (own.Unit == plan.Inch || own.Free()) {
			p.Way = ""
			out = append(out, p)
		}
	}
	return out
}

func (m *model) cropsFound(msg cropsMsg) {
	c := &m.wall.crops
	c.inWork = false
	if msg.err != nil {
		if m.ctx.Err() == nil {
			c.said = msg.err.Error()
			if errors.Is(msg.err, crops.ErrFocus) {
				c.said = "the focal point does not lie on the photo: f moves it"
			}
		}
		return
	}
	c.list, c.plans = msg.list, nil
	for i, p := range msg.list {
		shown := plan.SetK(cropValues)(p.Edit()(m.plan(), m.frame), m.frame)
		c.plans = append(c.plans, plan.Thumbnail{Name: strconv.Itoa(i + 1), Plan: shown})
	}
	m.wall.at = min(m.wall.at, max(0, len(c.plans)-1))
}

// cropName is the line of text of a crop: the first thing that speaks for it.
func cropName(p crops.Proposal) string {
	for _, r := range p.Reasons {
		if r.Yes() {
			return strings.TrimSuffix(r.Words, ".")
		}
	}
	return p.Panel.String()
}

// takeCrop goes on with a proposed crop: its panel and its place, and its focal
// point if there was none. The painter's values stay.
func (m *model) takeCrop(i int) {
	m.do("", m.wall.crops.list[i].Edit())
	m.wall.crops.of = searchKey(m.plan()) // found for this focal point
	m.leaveWall()
	m.show(study.Photo)
}

// wallCols is how wide the wall is: the column has its own room.
func (m *model) wallCols() int {
	if m.onCrops() && m.hasColumn() {
		return m.cols - columnCols
	}
	return m.cols
}

// cropColumn says why the chosen crop is worth trying, and what speaks against it,
// from the row to which it was read on.
func (m *model) cropColumn() string {
	if len(m.wall.crops.list) == 0 {
		return "\n" + strings.Join(wrapped(m.cropLine(), columnCols-2), "\n")
	}
	rows := m.cropRows()
	room := m.bandRows()
	if len(rows) <= room {
		return strings.Join(rows, "\n")
	}
	top := min(m.readOn(), len(rows)-room+1)
	if rest := len(rows) - top - (room - 1); rest > 0 {
		rows = append(rows[top:top+room-1:top+room-1], "… PgDn goes on")
	} else {
		rows = append(rows[top:], "that is all; PgUp")
	}
	return strings.Join(rows, "\n")
}

// cropRows is all that is said of the chosen crop, as rows of the column.
func (m *model) cropRows() []string {
	p := m.chosenCrop()
	rows := []string{"", fmt.Sprintf("crop %d: %s", m.wall.at+1, p.Panel), fmt.Sprintf("practice is satisfied to %.0f %%", 100*p.Score)}
	head := ""
	for _, r := range p.Reasons { // what speaks for it comes first
		part := "what practice would ask"
		if r.Yes() {
			part = "what speaks for it"
		}
		if part != head {
			rows, head = append(rows, "", part), part
		}
		for _, s := range wrapped(r.Words, columnCols-4) {
			rows = append(rows, "  "+s)
		}
	}
	rows = append(rows, "")
	return append(rows, wrapped(p.Sharpness(), columnCols-2)...)
}

func (m *model) chosenCrop() crops.Proposal {
	c := &m.wall.crops
	return c.list[min(m.wall.at, len(c.list)-1)]
}

// readOn returns how far the chosen crop was read on.
func (m *model) readOn() int {
	if c := &m.wall.crops.column; c.crop == m.wall.at {
		return c.down
	}
	return 0
}

// readCrop reads on in what is said of the chosen crop, or back: by a windowful of
// the column, or thing by thing where that has no room.
func (m *model) readCrop(a keys.Action) {
	if m.wall.hangs != cropped || len(m.wall.crops.list) == 0 {
		m.note = "only of crops worth trying there is more to be read"
		return
	}
	by := 1
	if a == keys.FarUp {
		by = -1
	}
	at := scrolled{m.wall.at, m.readOn()}
	if m.hasColumn() {
		room := m.bandRows() - 1
		at.down = max(0, min(at.down+by*(room-1), len(m.cropRows())-room))
	} else {
		at.down, m.note = m.cropSaid(at.down + by)
	}
	m.wall.crops.column = at
}

// cropSaid returns the nth thing that is said of the chosen crop, and which that is.
func (m *model) cropSaid(n int) (which int, words string) {
	p := m.chosenCrop()
	var all []string
	for _, r := range p.Reasons { // what speaks for it comes first
		words := r.Words
		if !r.Yes() {
			words = "Practice would ask: " + words
		}
		all = append(all, words)
	}
	all = append(all, p.Sharpness())
	n = max(1, min(n, len(all)))
	return n, fmt.Sprintf("%d of %d: %s", n, len(all), all[n-1])
}

// cropLine says which crop is chosen and what speaks for it.
func (m *model) cropLine() string {
	c := &m.wall.crops
	switch {
	case c.inWork:
		return fmt.Sprintf("looking for crops worth trying … %.0f %%", 100*c.share)
	case c.said != "":
		return c.said
	case len(c.list) == 0:
		return "no crop worth trying was found"
	}
	i := min(m.wall.at, len(c.list)-1)
	p := c.list[i]
	soft, why := "", ""
	if !m.hasColumn() {
		why = "PgDn says why"
	}
	if p.Enlarges() {
		soft = p.Sharpness()
	}
	return line(m.cols-2, piece{fmt.Sprintf("crop %d of %d", i+1, len(c.list)), 1}, piece{p.Panel.String(), 2}, piece{cropName(p), 4}, piece{soft, 5}, piece{why, 3})
}
