package term

import (
	"errors"
	"fmt"
	"strconv"
	"strings"
	"time"

	"atelier/halflid/tui/cells"
)

// ErrCell is wrapped by the error for a cell that cannot be.
var ErrCell = errors.New("no shape of a cell")

// Settings are what the painter says of the terminal; it goes before all that
// is found. The zero Settings leave all to be found.
type Settings struct {
	Colour string // full, 256, 16, none, or auto, which is the same as ""
	Cell   string // W:H, in any unit, such as 8:17; "" is to be found
}

// Found is what is known of a terminal. Each finding has beside it how it was
// come by, in words.
type Found struct {
	Depth   cells.Depth
	DepthBy string

	// A cell in pixels, which may be fractions; where only the shape is known,
	// in units of its own.
	CellW, CellH float64
	CellBy       string

	Sync       bool // takes a frame as one (mode 2026)
	SyncBy     string
	Repeat     bool // repeats a blank (CSI b)
	RepeatBy   string
	HalfBlock  int // columns that the half block takes
	HalfBy     string
	UTF8       bool
	UTF8By     string
	Cols, Rows int // 0 by 0 if not known

	Name  string        // what the terminal calls itself; may be empty
	Asked bool          // whether it was asked
	Whole bool          // whether it answered all that it answers within the limit
	Took  time.Duration // from the question to the last answer, or to giving up

	Ahead Ahead // what was typed meanwhile: see Reader.Resume

	openColours, openCell bool // an answer would decide
}

// Ahead is what came in while the terminal was asked: keys, and the start of
// what may become one. The zero Ahead is nothing.
type Ahead struct {
	keys []byte
	f    filter
}

// Empty reports whether nothing was typed.
func (a Ahead) Empty() bool { return len(a.keys) == 0 && len(a.f.held) == 0 }

// Aspect returns the width of a cell over half its height: 1 for a cell of 1:2.
func (f Found) Aspect() float64 { return 2 * f.CellW / f.CellH }

// Known returns what can be known of a terminal without asking it: by what the
// painter says, the environment and the system. fd is the terminal's; tty says
// whether it is one. An error is a mistake in the settings and wraps ErrColours
// or ErrCell.
func Known(fd uintptr, tty bool, env func(string) string, s Settings) (Found, error) {
	f := Found{CellW: 1, CellH: 2, HalfBlock: HalfBlockWidth(env)}
	c, err := colours(env, tty, s.Colour)
	if err != nil {
		return f, err
	}
	f.Depth, f.DepthBy, f.openColours = c.depth, c.by, c.guess
	f.CellBy, f.openCell = "not told: the common shape", true
	if tty {
		f.Cols, f.Rows = size(fd)
		if w, h, told := CellSize(fd); told {
			f.CellW, f.CellH, f.CellBy = w, h, "told with the size of the window"
			f.openCell = false
		}
	}
	if s.Cell != "" {
		if f.CellW, f.CellH, err = parseCell(s.Cell); err != nil {
			return f, err
		}
		f.CellBy, f.openCell = "asked for", false
	}
	f.SyncBy = "not known, so not used"
	f.Repeat, f.RepeatBy = repeats(env)
	f.HalfBy = "as nearly everywhere"
	if f.HalfBlock == 2 {
		f.HalfBy = "RUNEWIDTH_EASTASIAN=1"
	}
	f.UTF8, f.UTF8By = letters(env)
	return f, nil
}

// parseCell reads W:H.
func parseCell(s string) (w, h float64, err error) {
	a, b, ok := strings.Cut(s, ":")
	if ok {
		w, err = strconv.ParseFloat(strings.TrimSpace(a), 64)
		if err == nil {
			h, err = strconv.ParseFloat(strings.TrimSpace(b), 64)
		}
	}
	if !ok || err != nil || !believable(w, h) {
		return 1, 2, fmt.Errorf("cell %q: %w; give its width and height as W:H, such as 8:17, no wider than high and at most four times as high", s, ErrCell)
	}
	return w, h, nil
}

// letters goes by the variables that say how programs write letters, the
// strongest first. Where none is set UTF-8 is taken for granted: over SSH they
// are often lost, and terminals that know nothing else are rare.
func letters(env func(string) string) (utf8 bool, by string) {
	for _, name := range []string{"LC_ALL", "LC_CTYPE", "LANG"} {
		if v := env(name); v != "" {
			l := strings.ToLower(v)
			return strings.Contains(l, "utf-8") || strings.Contains(l, "utf8"), name + "=" + v
		}
	}
	return true, "taken for granted: no LC_ALL, LC_CTYPE or LANG"
}

// repeaters are the names, in small letters, by which terminals call themselves
// that repeat a blank rightly. Only xterm and tmux were tried with this program;
// the others say so in their manuals.
var repeaters = []string{"xterm(", "tmux", "foot", "kitty", "wezterm", "ghostty", "contour", "mintty", "iterm2"}

// repeats goes by TERM. Its xterm is not believed: everybody calls himself so.
func repeats(env func(string) string) (on bool, by string) {
	if hasAny(strings.ToLower(env("TERM")), "foot", "xterm-kitty", "xterm-ghostty", "contour", "wezterm", "tmux") {
		return true, "TERM=" + env("TERM")
	}
	return false, "not known, so not used"
}
