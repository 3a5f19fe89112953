package keys

// table holds every key of the studio. Rows that several places share are made by
// functions, so that a key means the same wherever it is taken over.
var table = concat(
	studioTable, scaleTable, focalTable, handTable, markOutTable, carryTable, decidedTable,
	wallTable, pairTable, noteTable, helpTable)

func concat(tables ...[]Binding) []Binding {
	var out []Binding
	for _, t := range tables {
		out = append(out, t...)
	}
	return out
}

var studioTable = []Binding{
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
	{Studio, []string{"enter", "g"}, TakeUp, "a shape in the hand: its value, together, apart, left out", "shape"},
	{Studio, []string{"z"}, MarkArea, "mark out an area: leave out, move, copy or add", "area"},
	{Studio, []string{"d"}, ShowChoices, "what was decided: switch off, take away", ""},
	{Studio, []string{"y"}, KeepIt, "keep this plan as a thumbnail", "keep"},
	{Studio, []string{"T", "tab"}, ShowWall, "the thumbnails that were kept", "thumbnails"},
	{Studio, []string{"V"}, Vary, "variations of this plan to choose from", ""},
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
	{Studio, []string{"G"}, Finer, "finer glyphs, if the font has them: half blocks, quadrants, sextants", ""},
	{Studio, []string{"ctrl+l"}, Redraw, "paint the screen again", ""},
	{Studio, []string{"ctrl+z"}, Suspend, "back to the shell for a while (fg returns)", ""},
	{Studio, []string{"esc"}, Back, "leave side by side", ""},
	{Studio, []string{"?", "f1"}, ShowHelp, "all keys of where you are", "keys"},
	{Studio, []string{"q", "ctrl+c"}, Quit, "save the plan and quit", "quit"},
}

var scaleTable = []Binding{
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
}

var focalTable = []Binding{
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
	{Focal, []string{"tab"}, FallOff, "how fast detail falls off: gently, as usual, strongly", "fall"},
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
}

var helpTable = []Binding{
	{Help, []string{"down", "j"}, Down, "further down", "scroll"},
	{Help, []string{"up", "k"}, Up, "back up", ""},
	{Help, []string{"esc", "?", "f1", "enter", "space"}, Back, "back to where you were", "back"},
	{Help, []string{"ctrl+l"}, Redraw, "paint the screen again", ""},
	{Help, []string{"ctrl+z"}, Suspend, "back to the shell for a while", ""},
	{Help, []string{"ctrl+c", "q"}, Quit, "save the plan and quit", "quit"},
}
