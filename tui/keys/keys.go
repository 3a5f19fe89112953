// Package keys holds the key table of the studio as data. The hint line, the
// help, the README's table and the resolver all read this one table, so none of
// them can say something the others do not do.
package keys

// Scope is where the painter is: the studio itself or one of its activities.
type Scope int

// The scopes.
const (
	Studio Scope = iota // looking at the photo and its plan
	Scale               // cuts and tones by hand
	Focal               // placing the focal point
	Help                // reading the list of keys
)

// Action is what a key asks for. What it does is the business of package tui.
type Action int

// The actions.
const (
	None Action = iota
	ShowWhole
	ShowPhoto
	ShowSquint
	ShowValues
	ShowPlan
	Going
	ShowNotan
	Flip
	Beside
	Left
	Right
	Up
	Down
	FarLeft
	FarRight
	FarUp
	FarDown
	More
	Less
	Closer
	Wider
	Broader
	Narrower
	SquintMore
	SquintLess
	Two
	Three
	Four
	Five
	NextPanel
	PrevPanel
	Turn
	ByHand
	NextMark
	PrevMark
	CutsWay
	TonesWay
	Place
	TakeAway
	Undo
	Redo
	Save
	Redraw
	Suspend
	ShowHelp
	Back
	Quit
)

// Binding ties keys to an action in one scope.
type Binding struct {
	Scope  Scope
	Keys   []string // names as Bubble Tea gives them; the first is the one shown in hints
	Action Action
	Words  string // what it does, for the help and the README
	Hint   string // a word or two for the hint line; empty: not hinted
}

var table = []Binding{
	{Studio, []string{"w"}, ShowWhole, "the whole photo with the crop on it", "whole"},
	{Studio, []string{"c"}, ShowPhoto, "the crop as photographed", "crop"},
	{Studio, []string{"s"}, ShowSquint, "the crop squinted at", "squinted"},
	{Studio, []string{"v"}, ShowValues, "the squinted crop in its values", "values"},
	{Studio, []string{"m"}, ShowPlan, "the value plan: few flat masses with real edges", "masses"},
	{Studio, []string{"n"}, ShowNotan, "notan: the plan in one dark and one light", "notan"},
	{Studio, []string{"space"}, Flip, "flip between photo and plan", "flip"},
	{Studio, []string{"b"}, Beside, "photo and plan side by side, and back (from 60 columns on)", ""},
	{Studio, []string{".", "]"}, SquintMore, "squint more; may be held down", "squint"},
	{Studio, []string{",", "["}, SquintLess, "squint less; may be held down", ""},
	{Studio, []string{"2"}, Two, "two values", ""},
	{Studio, []string{"3"}, Three, "three values", ""},
	{Studio, []string{"4"}, Four, "four values", ""},
	{Studio, []string{"5"}, Five, "five values", ""},
	{Studio, []string{"e"}, ByHand, "cuts and tones by hand", "by hand"},
	{Studio, []string{"f"}, Place, "the focal point: what the picture is about", "focal point"},
	{Studio, []string{"left", "h"}, Left, "move the crop left", ""},
	{Studio, []string{"right", "l"}, Right, "move the crop right", ""},
	{Studio, []string{"up", "k"}, Up, "move the crop up", ""},
	{Studio, []string{"down", "j"}, Down, "move the crop down", ""},
	{Studio, []string{"shift+left", "H"}, FarLeft, "move the crop far left", ""},
	{Studio, []string{"shift+right", "L"}, FarRight, "move the crop far right", ""},
	{Studio, []string{"shift+up", "K"}, FarUp, "move the crop far up", ""},
	{Studio, []string{"shift+down", "J"}, FarDown, "move the crop far down", ""},
	{Studio, []string{"i"}, Closer, "a smaller crop, closer in", ""},
	{Studio, []string{"o"}, Wider, "a larger crop, farther out", ""},
	{Studio, []string{"+", "="}, More, "more of what is shown: crop, squint, values or shapes", ""},
	{Studio, []string{"-", "_"}, Less, "less of what is shown", ""},
	{Studio, []string{"x"}, Going, "mark what - would pull together next, and back", ""},
	{Studio, []string{"p"}, NextPanel, "the next panel", "panel"},
	{Studio, []string{"P"}, PrevPanel, "the panel before", ""},
	{Studio, []string{"t"}, Turn, "turn the panel: upright or across", "turn"},
	{Studio, []string{"a"}, Broader, "free panel: broader", ""},
	{Studio, []string{"A"}, Narrower, "free panel: narrower", ""},
	{Studio, []string{"u", "ctrl+_"}, Undo, "undo", "undo"},
	{Studio, []string{"r", "ctrl+r"}, Redo, "redo", ""},
	{Studio, []string{"S", "ctrl+s"}, Save, "save the plan and write its picture beside it", "save"},
	{Studio, []string{"ctrl+l"}, Redraw, "paint the screen again", ""},
	{Studio, []string{"ctrl+z"}, Suspend, "back to the shell for a while (fg returns)", ""},
	{Studio, []string{"esc"}, Back, "leave side by side", ""},
	{Studio, []string{"?", "f1"}, ShowHelp, "all keys of where you are", "keys"},
	{Studio, []string{"q", "ctrl+c"}, Quit, "save the plan and quit", "quit"},

	{Scale, []string{"right", "l", "tab"}, NextMark, "the next tone or cut, towards the light", "choose"},
	{Scale, []string{"left", "h", "shift+tab"}, PrevMark, "the tone or cut before, towards the dark", ""},
	{Scale, []string{"up", "k", "+", "="}, Up, "a tenth of a value lighter; may be held down", "lighter"},
	{Scale, []string{"down", "j", "-", "_"}, Down, "a tenth of a value darker; may be held down", "darker"},
	{Scale, []string{"shift+up", "K"}, FarUp, "half a value lighter", ""},
	{Scale, []string{"shift+down", "J"}, FarDown, "half a value darker", ""},
	{Scale, []string{"c"}, CutsWay, "cuts: nested, least error, equal steps", "cuts"},
	{Scale, []string{"t"}, TonesWay, "tones: own mean, fixed steps", "tones"},
	{Scale, []string{"2"}, Two, "two values", ""},
	{Scale, []string{"3"}, Three, "three values", ""},
	{Scale, []string{"4"}, Four, "four values", ""},
	{Scale, []string{"5"}, Five, "five values", ""},
	{Scale, []string{".", "]"}, SquintMore, "squint more", ""},
	{Scale, []string{",", "["}, SquintLess, "squint less", ""},
	{Scale, []string{"v"}, ShowValues, "the squinted crop in its values", ""},
	{Scale, []string{"m"}, ShowPlan, "the value plan in flat masses", ""},
	{Scale, []string{"space"}, Flip, "flip between photo and plan", "flip"},
	{Scale, []string{"b"}, Beside, "photo and plan side by side, and back", ""},
	{Scale, []string{"u", "ctrl+_"}, Undo, "undo", "undo"},
	{Scale, []string{"r", "ctrl+r"}, Redo, "redo", ""},
	{Scale, []string{"S", "ctrl+s"}, Save, "save the plan and write its picture beside it", ""},
	{Scale, []string{"ctrl+l"}, Redraw, "paint the screen again", ""},
	{Scale, []string{"ctrl+z"}, Suspend, "back to the shell for a while", ""},
	{Scale, []string{"esc", "e", "enter"}, Back, "done: back to the studio", "done"},
	{Scale, []string{"?", "f1"}, ShowHelp, "all keys of where you are", "keys"},
	{Scale, []string{"ctrl+c", "q"}, Quit, "save the plan and quit", ""},

	{Focal, []string{"left", "h"}, Left, "move the focal point left; may be held down", "move"},
	{Focal, []string{"right", "l"}, Right, "move it right", ""},
	{Focal, []string{"up", "k"}, Up, "move it up", ""},
	{Focal, []string{"down", "j"}, Down, "move it down", ""},
	{Focal, []string{"shift+left", "H"}, FarLeft, "move it far left", ""},
	{Focal, []string{"shift+right", "L"}, FarRight, "move it far right", ""},
	{Focal, []string{"shift+up", "K"}, FarUp, "move it far up", ""},
	{Focal, []string{"shift+down", "J"}, FarDown, "move it far down", ""},
	{Focal, []string{"+", "="}, More, "a wider radius: detail falls off more slowly", "radius"},
	{Focal, []string{"-", "_"}, Less, "a narrower radius", ""},
	{Focal, []string{"x", "backspace"}, TakeAway, "no focal point", "none"},
	{Focal, []string{"w"}, ShowWhole, "the whole photo with the crop on it", ""},
	{Focal, []string{"c"}, ShowPhoto, "the crop as photographed", ""},
	{Focal, []string{"m"}, ShowPlan, "the value plan in flat masses", "masses"},
	{Focal, []string{"space"}, Flip, "flip between photo and plan", "flip"},
	{Focal, []string{"b"}, Beside, "photo and plan side by side, and back", ""},
	{Focal, []string{"u", "ctrl+_"}, Undo, "undo", "undo"},
	{Focal, []string{"r", "ctrl+r"}, Redo, "redo", ""},
	{Focal, []string{"S", "ctrl+s"}, Save, "save the plan and write its picture beside it", ""},
	{Focal, []string{"ctrl+l"}, Redraw, "paint the screen again", ""},
	{Focal, []string{"ctrl+z"}, Suspend, "back to the shell for a while", ""},
	{Focal, []string{"esc", "f", "enter"}, Back, "done: back to the studio", "done"},
	{Focal, []string{"?", "f1"}, ShowHelp, "all keys of where you are", "keys"},
	{Focal, []string{"ctrl+c", "q"}, Quit, "save the plan and quit", ""},

	{Help, []string{"down", "j"}, Down, "further down", "scroll"},
	{Help, []string{"up", "k"}, Up, "back up", ""},
	{Help, []string{"esc", "?", "f1", "enter", "space"}, Back, "back to where you were", "back"},
	{Help, []string{"ctrl+l"}, Redraw, "paint the screen again", ""},
	{Help, []string{"ctrl+z"}, Suspend, "back to the shell for a while", ""},
	{Help, []string{"ctrl+c", "q"}, Quit, "save the plan and quit", "quit"},
}

// Table returns the bindings of a scope in the order of the help.
func Table(s Scope) []Binding {
	var out []Binding
	for _, b := range table {
		if b.Scope == s {
			out = append(out, b)
		}
	}
	return out
}

// Resolve returns the action of a key in a scope, None if the key means nothing
// there. The key is named as Bubble Tea names it; its " " is "space" here.
func Resolve(s Scope, key string) Action {
	if key == " " {
		key = "space"
	}
	for _, b := range table {
		if b.Scope != s {
			continue
		}
		for _, k := range b.Keys {
			if k == key {
				return b.Action
			}
		}
	}
	return None
}

// Label returns the keys of a binding as the painter reads them.
func (b Binding) Label() string {
	out := ""
	for i, k := range b.Keys {
		if i > 0 {
			out += "  "
		}
		out += label(k)
	}
	return out
}

// Short returns the first key of a binding as the painter reads it.
func (b Binding) Short() string { return label(b.Keys[0]) }

func label(key string) string {
	switch key {
	case "left":
		return "←"
	case "right":
		return "→"
	case "up":
		return "↑"
	case "down":
		return "↓"
	case "esc":
		return "Esc"
	case "space":
		return "Space"
	case "tab":
		return "Tab"
	case "enter":
		return "Enter"
	case "f1":
		return "F1"
	case "backspace":
		return "Backspace"
	}
	for _, p := range []struct{ from, to string }{{"shift+", "Shift+"}, {"ctrl+", "Ctrl+"}} {
		if len(key) > len(p.from) && key[:len(p.from)] == p.from {
			return p.to + label(key[len(p.from):])
		}
	}
	return key
}

// Title returns the painter's name of a scope.
func (s Scope) Title() string {
	switch s {
	case Studio:
		return "In the studio"
	case Scale:
		return "Cuts and tones by hand"
	case Focal:
		return "Placing the focal point"
	default:
		return "In this list"
	}
}

// Markdown returns the whole table for the README.
func Markdown() string {
	out := ""
	for _, s := range []Scope{Studio, Scale, Focal, Help} {
		out += "**" + s.Title() + "**\n\n| key | what it does |\n|---|---|\n"
		for _, b := range Table(s) {
			out += "| "
			for i, k := range b.Keys {
				if i > 0 {
					out += " "
				}
				out += "`" + label(k) + "`"
			}
			out += " | " + b.Words + " |\n"
		}
		out += "\n"
	}
	return out
}
