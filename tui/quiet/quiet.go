// Package quiet keeps the program from questioning the terminal before main.
//
// Bubble Tea asks for the terminal's background colour while packages are
// initialised, at the very start of every command, --help included. A terminal
// that does not answer costs five seconds there, and what was typed ahead is
// lost. The question is only asked while the answer is unknown, so this package
// gives one first. The screen draws on its own dark grey and needs no answer.
//
// It works because Go initialises packages in the order of their import paths
// as soon as their own imports are ready, and atelier sorts before github.com.
// Every package that imports Bubble Tea imports this one, for nothing else:
//
//	import _ "atelier/halflid/tui/quiet"
package quiet

import "github.com/charmbracelet/lipgloss"

// The one exception to having no effects at initialisation: that is its work.
func init() { lipgloss.SetHasDarkBackground(true) }
