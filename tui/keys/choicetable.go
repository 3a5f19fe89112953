package keys

// arrows are the keys that move something about.
func arrows(s Scope, what string) []Binding {
	return []Binding{
		{s, []string{"left", "h"}, Left, "move " + what + " left; may be held down", "move"},
		{s, []string{"right", "l"}, Right, "move it right", ""},
		{s, []string{"up", "k"}, Up, "move it up", ""},
		{s, []string{"down", "j"}, Down, "move it down", ""},
	}
}

// far are the arrows with Shift.
func far(s Scope) []Binding {
	return []Binding{
		{s, []string{"shift+left", "H"}, FarLeft, "move it far left", ""},
		{s, []string{"shift+right", "L"}, FarRight, "move it far right", ""},
		{s, []string{"shift+up", "K"}, FarUp, "move it far up", ""},
		{s, []string{"shift+down", "J"}, FarDown, "move it far down", ""},
	}
}

// looks are the views of the crop that an activity on it can be seen in.
func looks(s Scope) []Binding {
	return []Binding{
		{s, []string{"c"}, ShowPhoto, "the crop as photographed", ""},
		{s, []string{"s"}, ShowSquint, "the crop squinted at", ""},
		{s, []string{"m"}, ShowPlan, "the value plan in flat masses", ""},
		{s, []string{"space"}, Flip, "flip between photo and plan", "flip"},
		{s, []string{"b"}, Beside, "photo and plan side by side, and back", ""},
	}
}

// always are the keys that work in every activity.
func always(s Scope) []Binding {
	return []Binding{
		{s, []string{"u", "ctrl+_"}, Undo, "undo", "undo"},
		{s, []string{"r", "ctrl+r"}, Redo, "redo", ""},
		{s, []string{"S", "ctrl+s"}, Save, "save the plan and write its picture beside it", ""},
		{s, []string{"G"}, Finer, "finer glyphs, if the font has them", ""},
		{s, []string{"ctrl+l"}, Redraw, "paint the screen again", ""},
		{s, []string{"ctrl+z"}, Suspend, "back to the shell for a while", ""},
		{s, []string{"?", "f1"}, ShowHelp, "all keys of where you are", "keys"},
		{s, []string{"ctrl+c", "q"}, Quit, "save the plan and quit", ""},
	}
}

var handTable = concat(
	arrows(Hand, "the hand"),
	[]Binding{
		{Hand, []string{"shift+left", "H"}, FarLeft, "to the next shape on the left", ""},
		{Hand, []string{"shift+right", "L"}, FarRight, "to the next shape on the right", ""},
		{Hand, []string{"shift+up", "K"}, FarUp, "to the next shape above", ""},
		{Hand, []string{"shift+down", "J"}, FarDown, "to the next shape below", ""},
		{Hand, []string{"tab"}, NextShape, "to the next smaller shape", ""},
		{Hand, []string{"shift+tab", "N"}, PrevShape, "to the next larger shape", ""},
		{Hand, []string{"f"}, ToFocal, "to the focal point", ""},
		{Hand, []string{"enter"}, MarkIt, "mark this shape, or not: marked ones are treated as one", "mark"},
		{Hand, []string{"1"}, Value1, "give it the darkest value", "value"},
		{Hand, []string{"2"}, Value2, "give it the second value from the dark", ""},
		{Hand, []string{"3"}, Value3, "give it the third value", ""},
		{Hand, []string{"4"}, Value4, "give it the fourth value", ""},
		{Hand, []string{"5"}, Value5, "give it the fifth value", ""},
		{Hand, []string{"o"}, Lighter, "one value lighter", "lighter"},
		{Hand, []string{"i"}, Darker, "one value darker", "darker"},
		{Hand, []string{"t"}, PullTogether, "pull together: what is marked, or with the shape on the side of the next arrow", "together"},
		{Hand, []string{"a"}, KeepApart, "keep apart: the two marked, or from the shape on the side of the next arrow", "apart"},
		{Hand, []string{"+", "="}, More, "break up into more shapes here alone", ""},
		{Hand, []string{"-", "_"}, Less, "pull to fewer shapes here alone", ""},
		{Hand, []string{"w"}, Smoother, "a smoother outline; again: smoother yet", ""},
		{Hand, []string{"W"}, AsPhotographed, "the outline as the photo has it", ""},
		{Hand, []string{"p"}, NextPlane, "its plane: sky, ground, slant, upright", ""},
		{Hand, []string{"n"}, NextDepth, "its depth: far, middle, near", ""},
		{Hand, []string{"x", "backspace"}, LeaveOut, "leave it out: its surroundings go on", "leave out"},
		{Hand, []string{"v"}, MoveIt, "move it", ""},
		{Hand, []string{"y"}, CopyIt, "copy it", ""},
		{Hand, []string{"z"}, MarkArea, "mark out an area instead", ""},
		{Hand, []string{"d"}, ShowChoices, "what was decided", "decided"},
	},
	looks(Hand),
	[]Binding{{Hand, []string{"esc", "g"}, Back, "let go: of the marked ones, then of all", "done"}},
	always(Hand),
)

var markOutTable = concat(
	arrows(MarkOut, "the corner"), far(MarkOut),
	[]Binding{
		{MarkOut, []string{"enter"}, Corner, "a corner here", "corner"},
		{MarkOut, []string{"backspace", "D"}, BackCorner, "take the last corner back", ""},
		{MarkOut, []string{"tab"}, Form, "box, ellipse, or corner by corner", "form"},
		{MarkOut, []string{"x"}, LeaveOut, "leave it out: its surroundings go on", "leave out"},
		{MarkOut, []string{"v"}, MoveIt, "move what is there", "move"},
		{MarkOut, []string{"y"}, CopyIt, "copy what is there", "copy"},
		{MarkOut, []string{"1"}, Value1, "add a shape of the darkest value there", "add"},
		{MarkOut, []string{"2"}, Value2, "add one of the second value from the dark", ""},
		{MarkOut, []string{"3"}, Value3, "add one of the third value", ""},
		{MarkOut, []string{"4"}, Value4, "add one of the fourth value", ""},
		{MarkOut, []string{"5"}, Value5, "add one of the fifth value", ""},
	},
	looks(MarkOut),
	[]Binding{{MarkOut, []string{"esc", "z"}, Back, "back without it", "back"}},
	always(MarkOut),
)

var carryTable = concat(
	arrows(Carry, "it"), far(Carry),
	[]Binding{
		{Carry, []string{"+", "="}, More, "larger", "size"},
		{Carry, []string{"-", "_"}, Less, "smaller", ""},
		{Carry, []string{"tab"}, MirrorIt, "exchange left and right", "mirror"},
		{Carry, []string{"x", "backspace"}, TakeAway, "not after all", "not"},
	},
	looks(Carry),
	[]Binding{{Carry, []string{"esc", "enter"}, Back, "done: it stays here", "done"}},
	always(Carry),
)

var decidedTable = concat(
	[]Binding{
		{Decided, []string{"down", "j"}, Down, "the next in the list", "choose"},
		{Decided, []string{"up", "k"}, Up, "the one before", ""},
		{Decided, []string{"enter"}, Switch, "switch it off, and on again", "off/on"},
		{Decided, []string{"x", "backspace"}, TakeAway, "take it away", "take away"},
		{Decided, []string{"shift+down", "J"}, FarDown, "later in the list: later ones win", ""},
		{Decided, []string{"shift+up", "K"}, FarUp, "earlier in the list", ""},
		{Decided, []string{"v"}, Adjust, "go on moving what was moved or copied", ""},
	},
	looks(Decided),
	[]Binding{{Decided, []string{"esc", "d"}, Back, "back to where you were", "back"}},
	always(Decided),
)
