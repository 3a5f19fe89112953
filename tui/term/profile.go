package term

import (
	"errors"
	"fmt"
	"strings"

	"atelier/halflid/tui/cells"
)

// ErrColours is wrapped by the error for a colour setting that does not exist.
var ErrColours = errors.New("no such setting of colours")

// flags are the settings that can be asked for by name.
var flags = map[string]cells.Depth{
	"full": cells.TrueColour,
	"256":  cells.Colour256,
	"16":   cells.Colour16,
	"none": cells.NoColour,
}

// choice is a number of colours with how it was come by.
type choice struct {
	depth cells.Depth
	by    string
	guess bool // nothing is known: an answer of the terminal would decide
}

// colours returns how many colours to use. flag decides if it is not empty or
// "auto": full, 256, 16 or none. Then NO_COLOR, if not empty; then whether the
// output is a terminal at all; then what COLORTERM and TERM say of it. A
// terminal of which nothing is known is taken to show 256 colours, which all
// but the oldest do: over SSH COLORTERM is lost. env looks up a variable of the
// environment, as os.Getenv does.
func colours(env func(string) string, tty bool, flag string) (choice, error) {
	if flag != "" && flag != "auto" {
		d, ok := flags[flag]
		if !ok {
			return choice{depth: cells.NoColour}, fmt.Errorf("colours %q: %w; use full, 256, 16, none or auto", flag, ErrColours)
		}
		return choice{depth: d, by: "asked for"}, nil
	}
	switch {
	case env("NO_COLOR") != "":
		return choice{depth: cells.NoColour, by: "NO_COLOR is set"}, nil
	case !tty:
		return choice{depth: cells.NoColour, by: "this is no terminal"}, nil
	}
	return known(env), nil
}

// known goes by the names that terminals give themselves.
func known(env func(string) string) choice {
	name := strings.ToLower(env("TERM"))
	colour := strings.ToLower(env("COLORTERM"))
	term := "TERM=" + env("TERM")
	if name == "dumb" || hasAny(name, "vt1", "vt2", "vt52") {
		return choice{depth: cells.NoColour, by: term}
	}
	if env("WT_SESSION") != "" {
		return choice{depth: cells.TrueColour, by: "WT_SESSION is set"}
	}
	if name == "" {
		return choice{depth: cells.NoColour, by: "TERM is not set"}
	}
	if colour == "truecolor" || colour == "24bit" {
		// screen hands on the variable of the terminal it was started in,
		// but not the colours; tmux, which calls itself screen too, does.
		if hasAny(name, "screen") && env("TERM_PROGRAM") != "tmux" {
			return choice{depth: cells.Colour256, by: term, guess: true}
		}
		return choice{depth: cells.TrueColour, by: "COLORTERM=" + env("COLORTERM")}
	}
	switch {
	case strings.HasSuffix(name, "-direct"), strings.HasSuffix(name, "-truecolor"),
		hasAny(name, "xterm-kitty", "xterm-ghostty", "alacritty", "foot", "wezterm", "contour", "rio"):
		return choice{depth: cells.TrueColour, by: term}
	case poor(name):
		return choice{depth: cells.Colour16, by: term}
	}
	return choice{depth: cells.Colour256, by: "nothing else is known, and most terminals have them", guess: true}
}

// poor reports whether a terminal of that name has 16 colours at most.
func poor(name string) bool {
	return name == "linux" || name == "ansi" || name == "cygwin" || name == "xterm-color" || name == "rxvt" ||
		strings.HasSuffix(name, "-16color")
}

// answers reports whether a terminal may be asked: old ones print questions that
// they do not know.
func answers(env func(string) string) bool {
	name := strings.ToLower(env("TERM"))
	return name != "" && name != "dumb" && !hasAny(name, "vt1", "vt2", "vt52") && !poor(name)
}

func hasAny(name string, starts ...string) bool {
	for _, s := range starts {
		if strings.HasPrefix(name, s) {
			return true
		}
	}
	return false
}

// HalfBlockWidth returns how many columns the half block takes: 1, or 2 where
// RUNEWIDTH_EASTASIAN=1 says that the terminal draws such letters wide. Then
// pictures of half blocks do not fit, and the screen must say so.
func HalfBlockWidth(env func(string) string) int {
	if env("RUNEWIDTH_EASTASIAN") == "1" {
		return 2
	}
	return 1
}
