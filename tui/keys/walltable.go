package keys

var wallTable = concat(
	[]Binding{
		{Wall, []string{"right", "l"}, Right, "the next one", "choose"},
		{Wall, []string{"left", "h"}, Left, "the one before", ""},
		{Wall, []string{"down", "j"}, Down, "the one below", ""},
		{Wall, []string{"up", "k"}, Up, "the one above", ""},
		{Wall, []string{"enter"}, Open, "go on with this one", "open"},
		{Wall, []string{"space"}, MarkIt, "the first of two to compare", "first of two"},
		{Wall, []string{"b"}, Beside, "that one and this one side by side", "compare"},
		{Wall, []string{"y"}, KeepIt, "keep this one (of variations or crops), or the plan in hand", "keep"},
		{Wall, []string{"n"}, Write, "write a line of text under it", "note"},
		{Wall, []string{"shift+left", "H"}, FarLeft, "move it forward in the row", ""},
		{Wall, []string{"shift+right", "L"}, FarRight, "move it back in the row", ""},
		{Wall, []string{"pgdown", "J"}, FarDown, "of a crop: what more is to be said of it", ""},
		{Wall, []string{"pgup", "K"}, FarUp, "of a crop: what was said before that", ""},
		{Wall, []string{"x", "backspace"}, TakeAway, "take it away", "take away"},
		{Wall, []string{"V"}, Vary, "variations of the plan in hand, and back", "variations"},
		{Wall, []string{"C"}, TryCrops, "crops worth trying, and back", "crops"},
		{Wall, []string{"esc", "T", "tab"}, Back, "back to the studio", "back"},
	},
	always(Wall),
)

var pairTable = concat(
	[]Binding{
		{Pair, []string{"space"}, Flip, "blink: the one, then the other, in the same place", "blink"},
		{Pair, []string{"b"}, Beside, "side by side again", "side by side"},
		{Pair, []string{"R"}, ShowReading, "where their readings differ, line beside line, and back", "readings"},
		{Pair, []string{"down", "j", "pgdown"}, Down, "to further differences of the readings", ""},
		{Pair, []string{"up", "k", "pgup"}, Up, "to those before", ""},
		{Pair, []string{"enter"}, Open, "go on with the one that is looked at", "open"},
		{Pair, []string{"esc"}, Back, "back to the thumbnails", "back"},
	},
	always(Pair),
)

var noteTable = []Binding{
	{Note, []string{"enter"}, Open, "write it down", "done"},
	{Note, []string{"esc"}, Back, "leave it as it was", "leave"},
	{Note, []string{"ctrl+l"}, Redraw, "paint the screen again", ""},
	{Note, []string{"ctrl+c"}, Quit, "save the plan and quit", ""},
}
