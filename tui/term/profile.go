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

// Profile returns how many colours to use. flag decides if it is not empty or
// "auto": full, 256, 16 or none. Then NO_COLOR, if not empty; then whether the
// output is a terminal at all; then what COLORTERM and TERM say of it. A
// terminal of which nothing is known is taken to show 256 colours, which all
// but the oldest do: over SSH COLORTERM is lost. env looks up a variable of the
// environment, as os.Getenv does.
func Profile(env func(string) string, tty bool, flag string) (cells.Depth, error) {
	if flag != "" && flag != "auto" {
		d, ok := flags[flag]
		if !ok {
			return cells.NoColour, fmt.Errorf("colours %q: %w; use full, 256, 16, none or auto", flag, ErrColours)
		}
		return d, nil
	}
	if env("NO_COLOR") != "" || !tty {
		return cells.NoColour, nil
	}
	return known(env), nil
}

// known goes by the names that terminals give themselves.
func known(env func(string) string) cells.Depth {
	name := strings.ToLower(env("TERM"))
	colour := strings.ToLower(env("COLORTERM"))
	if name == "dumb" || hasAny(name, "vt1", "vt2", "vt52") {
		return cells.NoColour
	}
	if env("WT_SESSION") != "" {
		return cells.TrueColour
	}
	if name == "" {
		return cells.NoColour
	}
	if colour == "truecolor" || colour == "24bit" {
		// screen hands on the variable of the terminal it was started in,
		// but not the colours; tmux, which calls itself screen too, does.
		if hasAny(name, "screen") && env("TERM_PROGRAM") != "tmux" {
			return cells.Colour256
		}
		return cells.TrueColour
	}
	switch {
	case strings.HasSuffix(name, "-direct"), strings.HasSuffix(name, "-truecolor"),
		hasAny(name, "xterm-kitty", "xterm-ghostty", "alacritty", "foot", "wezterm", "contour", "rio"):
		return cells.TrueColour
	case name == "linux", name == "ansi", name == "cygwin", name == "xterm-color", name == "rxvt",
		strings.HasSuffix(name, "-16color"):
		return cells.Colour16
	}
	return cells.Colour256
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
