package tui

import (
	"context"
	"fmt"
	"image"
	"io"
	"slices"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/page"
	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/sheet"
	"atelier/halflid/imageproc/study"
	"atelier/halflid/palette"
	"atelier/halflid/tui/keys"
)

// sheets is what pages are looked at. It is comparable: part of what the band shows.
type sheets struct {
	on     bool
	which  int // a place in sheetSets
	fills  int // 0 lines, 1 filled, 2 very light
	mirror bool
	paper  int // a place in page.Papers; 0: the usual one of the panel
	order  study.Order
	grid   plan.Grid
	page   int
	kept   int // which thumbnails there are: another number, others
}

// sheetSets are the pages that go together.
var sheetSets = []struct {
	words string
	kinds []sheet.Kind
}{
	{"for the easel", []sheet.Kind{sheet.Outline, sheet.Grid, sheet.Values, sheet.Steps}},
	{"the outline alone", []sheet.Kind{sheet.Outline}},
	{"a hand-out", []sheet.Kind{sheet.HandOut}},
	{"all pages", []sheet.Kind{sheet.Outline, sheet.Grid, sheet.Values, sheet.Steps, sheet.HandOut}},
	{"the wall of thumbnails", []sheet.Kind{sheet.Hung}},
}

var fashions = []string{"lines", "filled", "very light lines"}

var sheetOrders = []study.Order{study.DarkFirst, study.LightFirst, study.LargeFirst}

var orderWords = map[study.Order]string{study.DarkFirst: "the darkest first", study.LightFirst: "the lightest first", study.LargeFirst: "the largest first"}

func (m *model) enterSheets() {
	m.scope = keys.Sheets
	m.sheets.page = 0
	if m.sheets.order == "" {
		m.sheets.order = study.DarkFirst
	}
}

// sheetsKey does what a key means while pages are looked at; false leaves it to the
// studio.
func (m *model) sheetsKey(a keys.Action) bool {
	s := &m.sheets
	switch a {
	case keys.Back:
		m.scope = keys.Studio
	case keys.Right:
		s.page = min(s.page+1, max(0, m.shown.pages-1))
	case keys.Left:
		s.page = max(0, s.page-1)
	case keys.NextMark:
		s.which, s.page = (s.which+1)%len(sheetSets), 0
		if s.which == len(sheetSets)-1 && len(m.hist.Thumbnails()) == 0 {
			s.which = 0 // no wall without thumbnails
		}
	case keys.Fashion:
		s.fills = (s.fills + 1) % len(fashions)
	case keys.MirrorIt:
		s.mirror = !s.mirror
	case keys.NextPaper:
		was := s.options(m.plan()).Paper.Name
		for s.page = 0; s.options(m.plan()).Paper.Name == was; { // the usual paper is among them
			s.paper = (s.paper + 1) % (len(page.Papers()) + 1)
		}
	case keys.NextOrder:
		for i, o := range sheetOrders {
			if o == s.order {
				s.order = sheetOrders[(i+1)%len(sheetOrders)]
				break
			}
		}
	case keys.NextGrid:
		m.nextGrid()
	case keys.Undo, keys.Redo:
		return false
	}
	return true
}

// wantedSheets is what the band shows of the pages.
func (m *model) wantedSheets() sheets {
	if m.scope != keys.Sheets {
		return sheets{}
	}
	s := m.sheets
	s.on, s.grid, s.kept = true, m.gridOf(m.plan()), m.keptNow()
	return s
}

// keptNow counts the thumbnails that there were since the pages were first looked
// at: names and order matter to the wall too, not only how many there are.
func (m *model) keptNow() int {
	if now := m.hist.Thumbnails(); !slices.Equal(now, m.keptLast) {
		m.keptLast = slices.Clone(now)
		m.keptCount++
	}
	return m.keptCount
}

// options are those of the pages.
func (s sheets) options(p plan.Plan) sheet.Options {
	o := sheet.Options{
		Kinds: sheetSets[s.which].kinds, Grid: s.grid, Fill: s.fills == 1, Light: s.fills == 2,
		Mirror: s.mirror, Order: s.order, Paper: sheet.UsualPaper(p.Panel),
	}
	if s.paper > 0 {
		o.Paper = page.Papers()[s.paper-1]
	}
	return o
}

// bound are pages that were laid out, with what they were made for.
type bound struct {
	of   plan.Plan
	by   sheets // but for the page that is looked at
	doc  page.Document
	done bool
}

// bind lays the pages out, unless they are those of last time.
func (j *jobs) bind(ctx context.Context, desk *study.Desk, p plan.Plan, s sheets, name string, kept []plan.Thumbnail, f plan.Frame) (page.Document, error) {
	s.page = 0
	if b := &j.bound; b.done && b.of == p && b.by == s {
		return b.doc, nil
	}
	o := s.options(p)
	made, err := sheet.Gather(ctx, desk, p, name, kept, f, o)
	if err != nil {
		return page.Document{}, err
	}
	doc, err := sheet.Compose(made, o)
	if err != nil {
		return page.Document{}, err
	}
	j.bound = bound{p, s, doc, true}
	return doc, nil
}

// paperGround is what lies around a page: dark enough that the paper's white ends.
const paperGround palette.Value = 3

// paintSheet paints one page into the band.
func (j *jobs) paintSheet(ctx context.Context, desk *study.Desk, w want, name string, kept []plan.Thumbnail, f plan.Frame) done {
	j.mu.Lock()
	defer j.mu.Unlock()
	doc, err := j.bind(ctx, desk, w.plan, w.sheets, name, kept, f)
	if err != nil {
		return done{want: w, err: err}
	}
	j.clear(w)
	j.inks = nil
	wide := w.cols
	if w.column != "" {
		wide -= columnCols
	}
	per := w.glyphs.Per()
	room := image.Pt(wide*per.X, w.rows*per.Y)
	p := doc.Pages[min(w.sheets.page, len(doc.Pages)-1)]
	size := imageproc.Fit(p.W/p.H, j.aspect(w.glyphs), room.Sub(image.Pt(2, 2)))
	pic := sheet.Preview(p, size)
	at := wholeCells(room.Sub(size).Div(2), per)
	j.band.FillRect(image.Rectangle{Min: at, Max: at.Add(size)}.Inset(-1), palette.Grey(paperGround.Y()))
	j.band.Lay(pic, at)
	if err := j.send(w, nil); err != nil {
		return done{want: w, err: err}
	}
	s, err := desk.Make(ctx, w.plan, study.Plan)
	if err != nil {
		return done{want: w, err: err}
	}
	return done{want: w, figures: s.Figures, pages: len(doc.Pages)}
}

// sheetName is the photo's name as it stands on pages.
func (m *model) sheetName() string { return m.opened.Photo.Name }

// writeSheets writes the pages beside the plan.
func (m *model) writeSheets() tea.Cmd {
	if m.opened == nil || m.saving {
		return nil
	}
	m.saving, m.note = true, "writing …"
	p, s, j, desk, ctx := m.plan(), m.wantedSheets(), m.jobs, m.jobs.desk, m.ctx
	name, kept, frame, keeper := m.sheetName(), m.hist.Thumbnails(), m.frame, m.opened.Keep
	return guard(func() tea.Msg {
		words, err := keeper.Write("sheet.pdf", func(w io.Writer) error {
			j.mu.Lock()
			defer j.mu.Unlock()
			doc, err := j.bind(ctx, desk, p, s, name, kept, frame)
			if err != nil {
				return err
			}
			return page.WritePDF(w, doc)
		})
		return savedMsg{words, err}
	})
}

// sheetsLine says which pages are looked at.
func (m *model) sheetsLine() string {
	s := m.sheets
	where := ""
	if n := m.shown.pages; n > 0 && m.shown.want.sheets.on {
		where = fmt.Sprintf("page %d of %d", min(s.page, n-1)+1, n)
	}
	paper := s.options(m.plan()).Paper.Name
	mirror := ""
	if s.mirror {
		mirror = "left and right exchanged"
	}
	grid := ""
	if g := m.gridOf(m.plan()); !g.None() {
		grid = "grid " + g.String()
	}
	return line(m.cols-2, piece{sheetSets[s.which].words, 1}, piece{where, 2}, piece{paper, 3}, piece{fashions[s.fills], 4}, piece{mirror, 5}, piece{grid, 6}, piece{orderWords[s.order], 7})
}

// sheetsColumn says beside the page what it is for.
func (m *model) sheetsColumn() string {
	rows := []string{"", "pages to carry to the panel", ""}
	for i, set := range sheetSets {
		mark := "  "
		if i == m.sheets.which {
			mark = "> "
		}
		rows = append(rows, mark+set.words)
	}
	rows = append(rows, "")
	for _, w := range []string{
		"Enter writes them as a PDF beside the plan. Print at 100 % and check the ruler on the page.",
		"The numbers are those of the values, 1 the darkest.",
	} {
		rows = append(rows, wrapped(w, columnCols-2)...)
		rows = append(rows, "")
	}
	return strings.Join(rows, "\n")
}
