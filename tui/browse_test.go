package tui

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"image"
	"math/rand"
	"slices"
	"strings"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/photo"
	"atelier/halflid/imageproc/plan"
	"atelier/halflid/palette"
	"atelier/halflid/tui/cells"
)

// flat is a small picture of one grey.
type flat struct {
	ratio float64
	grey  uint8
}

func (f flat) Ratio() float64 { return f.ratio }

func (f flat) Raster(size image.Point) imageproc.Raster {
	r := imageproc.NewRaster(size.X, size.Y)
	r.Fill(palette.SRGB{R: f.grey, G: f.grey, B: f.grey})
	return r
}

// pier is a folder that is gone through without a terminal, driven by hand as a
// bench is.
type pier struct {
	t    *testing.T
	b    *browser
	out  bytes.Buffer
	todo []tea.Cmd
	over bool // the program was told to end

	shots   []Shot
	planned map[string]bool
	broken  map[string]error // photos that cannot be opened, once read
	gone    map[string]error // photos that cannot be read
	looked  []string         // what small pictures were made of, in order
	log     []string         // what was opened and closed
	kept    map[string]*ledger
	open    string
	failing error // what Close returns
	listErr error
}

func newPier(t *testing.T, n int) *pier {
	p := &pier{t: t, planned: map[string]bool{}, broken: map[string]error{}, gone: map[string]error{}, kept: map[string]*ledger{}}
	for i := range n {
		p.shots = append(p.shots, Shot{Name: fmt.Sprintf("boat %d.jpg", i+1), Time: time.Date(2020, 1, 1+i, 0, 0, 0, 0, time.UTC)})
	}
	return p
}

func (p *pier) folder() Folder {
	return Folder{
		Name: "harbour",
		List: func(_ context.Context, newest bool, tell func(Found)) error {
			if p.listErr != nil {
				return p.listErr
			}
			all := slices.Clone(p.shots)
			SortShots(all, newest)
			half := len(all) / 2
			tell(Found{Shots: all[:half], Left: len(all) - half})
			tell(Found{Shots: all[half:]})
			return nil
		},
		Photo: func(_ context.Context, s Shot) (Small, error) {
			p.looked = append(p.looked, s.Name)
			if err := p.gone[s.Name]; err != nil {
				return nil, err
			}
			return flat{1.5, 90}, nil
		},
		Plan: func(_ context.Context, s Shot) (Small, error) {
			if p.planned[s.Name] {
				return flat{1.3, 200}, nil
			}
			return nil, nil
		},
		Open: func(_ context.Context, s Shot) (Source, error) {
			if err := p.gone[s.Name]; err != nil {
				return Source{}, err
			}
			if p.open != "" {
				p.t.Errorf("%s is opened while %s is still held", s.Name, p.open)
			}
			return p.source(s.Name), nil
		},
		Close: func() error {
			if p.failing != nil && p.open != "" {
				return p.failing
			}
			if p.open != "" {
				p.log = append(p.log, "close "+p.open)
			}
			p.open = ""
			return nil
		},
	}
}

func (p *pier) source(name string) Source {
	master := imageproc.NewPicture(48, 36)
	for y := range 36 {
		for x := range 48 {
			master.R.Set(x, y, float32(x)/48)
			master.G.Set(x, y, float32(x)/48)
			master.B.Set(x, y, float32(x)/48)
		}
	}
	return Source{Name: name, Preview: master, Open: func(ctx context.Context, _ func(float64), _ func(string)) (Opened, error) {
		if err := p.broken[name]; err != nil {
			return Opened{}, err
		}
		if ctx.Err() != nil {
			return Opened{}, ctx.Err()
		}
		p.open = name
		p.log = append(p.log, "open "+name)
		p.kept[name] = &ledger{}
		ph := &photo.Photo{Name: name, Size: image.Pt(48, 36), Master: master}
		return Opened{Photo: ph, History: plan.NewHistory(plan.State{Plan: plan.Default(ph.Size)}), Keep: p.kept[name]}, nil
	}}
}

// begin shows the folder in a window; with a name it begins in that photo's studio.
func (p *pier) begin(cols, rows int, name string) *pier {
	p.b = newBrowser(p.t.Context(), p.folder(), Options{Screen: cells.NewScreen(&p.out)})
	p.b.send, p.b.still = p.tell, 0
	if name != "" {
		p.b.begin(p.source(name))
		p.b.studio.still = 0
	}
	p.later(p.b.Init())
	p.tell(tea.WindowSizeMsg{Width: cols, Height: rows})
	p.do()
	return p
}

func (p *pier) tell(msg tea.Msg) {
	_, cmd := p.b.Update(msg)
	p.later(cmd)
}

func (p *pier) later(cmd tea.Cmd) {
	if cmd != nil {
		p.todo = append(p.todo, cmd)
	}
}

func (p *pier) do() {
	for len(p.todo) > 0 {
		cmd := p.todo[0]
		p.todo = p.todo[1:]
		switch msg := cmd().(type) {
		case nil:
		case tea.QuitMsg:
			p.over = true
		case tea.BatchMsg:
			for _, c := range msg {
				p.later(c)
			}
		case settledMsg, turned:
			if t, ok := msg.(turned); ok {
				if _, ok := t.msg.(settledMsg); ok {
					continue
				}
			}
			p.tell(msg)
		default:
			p.tell(msg)
		}
	}
}

// keys presses keys by their names, waiting for all that follows from each.
func (p *pier) keys(names ...string) *pier {
	p.t.Helper()
	for _, n := range names {
		p.press(n)
		p.do()
	}
	return p
}

func (p *pier) press(name string) {
	types := map[string]tea.KeyType{
		"enter": tea.KeyEnter, "tab": tea.KeyTab, "esc": tea.KeyEsc, "left": tea.KeyLeft, "right": tea.KeyRight,
		"up": tea.KeyUp, "down": tea.KeyDown, "backspace": tea.KeyBackspace, "ctrl+c": tea.KeyCtrlC,
		"shift+right": tea.KeyShiftRight, "shift+left": tea.KeyShiftLeft, "pgdown": tea.KeyPgDown,
	}
	if k, ok := types[name]; ok {
		p.tell(tea.KeyMsg{Type: k})
		return
	}
	if name == " " {
		p.tell(tea.KeyMsg{Type: tea.KeySpace, Runes: []rune{' '}})
		return
	}
	p.tell(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(name)})
}

func (p *pier) screen() string { return ansi.Strip(p.b.View()) }

func (p *pier) says(words string) {
	p.t.Helper()
	if s := p.screen(); !strings.Contains(s, words) {
		p.t.Errorf("%q is not said:\n%s", words, s)
	}
}

func (p *pier) chosen() string {
	s, _ := p.b.list.chosen()
	return s.Name
}

func TestOrder(t *testing.T) {
	at := func(d int) time.Time { return time.Date(2020, 1, d, 0, 0, 0, 0, time.UTC) }
	all := []Shot{
		{Name: "b10.jpg", Time: at(1)},
		{Name: "B9.jpg", Time: at(3)},
		{Name: "a.jpg", Time: at(2)},
		{Name: "b09.jpg", Time: at(3)},
		{Name: "b9a.jpg", Time: at(4)},
		{Name: "b", Time: at(5)},
	}
	names := func(newest bool) string {
		SortShots(all, newest)
		var out []string
		for _, s := range all {
			out = append(out, s.Name)
		}
		return strings.Join(out, " ")
	}
	if got, want := names(false), "a.jpg b B9.jpg b09.jpg b9a.jpg b10.jpg"; got != want {
		t.Errorf("by name %s, want %s", got, want)
	}
	if got, want := names(true), "b b9a.jpg B9.jpg b09.jpg a.jpg b10.jpg"; got != want {
		t.Errorf("the newest first %s, want %s", got, want)
	}
	// One order, whatever the order before: byName is a sound order of names.
	rnd := rand.New(rand.NewSource(1))
	letters := []rune("aB019.-")
	word := func() string {
		var out []rune
		for range rnd.Intn(6) {
			out = append(out, letters[rnd.Intn(len(letters))])
		}
		return string(out)
	}
	for range 20_000 {
		a, b, c := word(), word(), word()
		if byName(a, b) != -byName(b, a) {
			t.Fatalf("%q and %q: %d and %d", a, b, byName(a, b), byName(b, a))
		}
		if byName(a, b) <= 0 && byName(b, c) <= 0 && byName(a, c) > 0 {
			t.Fatalf("%q <= %q <= %q, but not the first and the last", a, b, c)
		}
	}
}

func TestTheNewestIsFirst(t *testing.T) {
	p := newPier(t, 12).begin(100, 30, "")
	if p.chosen() != "boat 12.jpg" {
		t.Errorf("chosen %s", p.chosen())
	}
	p.says("12 photographs")
	p.says("the newest first")
	p.keys("tab")
	p.says("by name")
	if p.chosen() != "boat 12.jpg" || p.b.list.at != 11 {
		t.Errorf("after another order: %s at %d", p.chosen(), p.b.list.at)
	}
	p.keys("shift+left")
	if p.chosen() != "boat 1.jpg" {
		t.Errorf("the first by name: %s", p.chosen())
	}
}

// The arrows go through all that hangs there and stop at the ends.
func TestArrows(t *testing.T) {
	p := newPier(t, 40).begin(90, 24, "")
	across := p.b.hanging().across
	if across < 2 {
		t.Fatalf("%d tiles in 90 columns", across)
	}
	p.keys("left")
	for range 39 {
		p.keys("right")
	}
	if p.b.list.at != 39 {
		t.Errorf("39 steps lead to %d", p.b.list.at)
	}
	p.keys("right", "down")
	if p.b.list.at != 39 {
		t.Errorf("past the end: %d", p.b.list.at)
	}
	p.keys("up")
	if p.b.list.at != 39-across {
		t.Errorf("a row up: %d", p.b.list.at)
	}
	rnd := rand.New(rand.NewSource(2))
	for range 300 {
		p.press([]string{"left", "right", "up", "down", "pgdown", "tab", "shift+left"}[rnd.Intn(7)])
		from, to := p.b.seen()
		if at := p.b.list.at; at < from || at >= to {
			t.Fatalf("the chosen one, %d, is not among those seen, %d to %d", at, from, to)
		}
	}
	p.do()
}

func TestFind(t *testing.T) {
	p := newPier(t, 30)
	p.shots = append(p.shots, Shot{Name: "Quay at Low Tide.png"}, Shot{Name: "quay\x1b[2J.png"})
	p.begin(100, 30, "")
	p.keys("Q", "u", "a", "y")
	p.says("find: Quay")
	p.says("1 of 2")
	p.keys(" ", "a")
	if p.chosen() != "Quay at Low Tide.png" {
		t.Errorf("chosen %s", p.chosen())
	}
	p.says("1 of 1")
	p.keys("x")
	p.says("no name has")
	p.keys("enter") // nothing is chosen: nothing happens
	if p.b.move != nil || p.b.studio != nil {
		t.Error("something is opened")
	}
	p.keys("backspace", "backspace", "backspace")
	p.says("2 of 2") // the other begins with a sign before the space
	p.keys("esc")
	p.says("of 32")
	if p.chosen() != "Quay at Low Tide.png" {
		t.Errorf("after Esc %s is chosen", p.chosen())
	}
	p.keys("esc")
	p.says("Ctrl+C quits")
	p.keys("1", "2")
	if p.chosen() != "boat 12.jpg" {
		t.Errorf("digits find %s", p.chosen())
	}
	p.keys("q")
	if p.over {
		t.Error("a letter ended the program")
	}
	if strings.Contains(p.b.View(), "\x1b[2J") {
		t.Error("a name sends an order to the terminal")
	}
}

// Whatever the window: the tiles fit into it and are at least so large, and the
// chosen one is seen.
func TestTilesFitTheWindow(t *testing.T) {
	rnd := rand.New(rand.NewSource(3))
	for range 2000 {
		b := newBrowser(t.Context(), Folder{}, Options{Screen: cells.NewScreen(&bytes.Buffer{})})
		b.opt.Aspect = 0.6 + rnd.Float64()
		b.cols, b.rows = minCols+rnd.Intn(200), minRows+rnd.Intn(80)
		b.planned = rnd.Intn(2) == 0
		n := rnd.Intn(1200)
		for i := range n {
			b.list.all = append(b.list.all, Shot{Name: fmt.Sprint(i)})
		}
		b.list.hang()
		h := b.hanging()
		if h.across < 1 || h.down < 1 || h.across*h.tile.X > b.cols || h.down*h.tile.Y > b.bandRows() {
			t.Fatalf("%dx%d, %d photos: %+v", b.cols, b.rows, n, h)
		}
		if h.tile.X < leastShot || h.tile.Y < 5 {
			t.Fatalf("%dx%d, %d photos: tiles of %v", b.cols, b.rows, n, h.tile)
		}
		if n == 0 {
			continue
		}
		b.list.at = rnd.Intn(n)
		from, to := b.seen()
		if b.list.at < from || b.list.at >= to {
			t.Fatalf("%d of %d is not seen: %d to %d", b.list.at, n, from, to)
		}
	}
}

// The pictures that are seen are made first; those far away are not made, and what
// was begun and is no longer near is given up.
func TestSeenFirst(t *testing.T) {
	p := newPier(t, 1000).begin(90, 24, "")
	from, to := p.b.seen()
	window := to - from
	for i, name := range p.looked[:window] {
		if off := slices.IndexFunc(p.b.list.shown, func(s Shot) bool { return s.Name == name }) - i; off < -maxLooking || off > maxLooking {
			t.Errorf("picture %d is that of %s", i, name)
		}
	}
	if n := len(p.looked); n > (1+ahead)*window {
		t.Errorf("%d pictures for a window of %d", n, window)
	}
	// One in hand when the choice leaps: it is called off, those there come first.
	p.press("pgdown")
	p.press("pgdown")
	p.press("pgdown")
	if len(p.b.looking) == 0 {
		t.Fatal("nothing is being made")
	}
	if len(p.b.looking) > maxLooking {
		t.Errorf("%d at once", len(p.b.looking))
	}
	p.looked = nil
	p.press("shift+right")
	p.do()
	from, to = p.b.seen()
	seen := map[string]bool{}
	for _, s := range p.b.list.shown[from:to] {
		seen[s.Name] = true
	}
	for i, name := range p.looked[maxLooking:min(len(p.looked), window-maxLooking)] {
		if !seen[name] {
			t.Errorf("picture %d is that of %s, which is not seen", i, name)
		}
	}
	p.keys("shift+left")
	for range 60 {
		p.keys("pgdown")
	}
	if len(p.b.tiles) > maxTiles {
		t.Errorf("%d small pictures are held", len(p.b.tiles))
	}
}

func TestEmptyAndUnreadable(t *testing.T) {
	p := newPier(t, 0).begin(80, 24, "")
	p.says("there are no photographs in harbour")
	p.keys("enter", "right", "tab", "x", "esc", "ctrl+c")
	if !p.over {
		t.Error("Ctrl+C does not end it")
	}
	p = newPier(t, 0)
	p.listErr = errors.New("harbour may not be looked into")
	p.begin(80, 24, "")
	p.says("may not be looked into")
	for _, size := range []image.Point{{1, 1}, {2, 2}, {39, 12}, {0, 0}, {40, 12}, {300, 3}} {
		p = newPier(t, 5).begin(size.X, size.Y, "")
		p.keys("right", "down", "a", "esc", "tab", "?", "down", "esc")
		_ = p.screen()
		if p.b.err != nil || p.over {
			t.Errorf("%v: over %v, %v", size, p.over, p.b.err)
		}
	}
}

func TestHelpOfTheWall(t *testing.T) {
	p := newPier(t, 3).begin(80, 24, "")
	p.keys("?")
	p.says("The photographs of a folder")
	p.keys("down", "esc")
	p.says("3 photographs")
}
