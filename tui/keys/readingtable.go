package keys

var readingTable = concat(
	[]Binding{
		{Reading, []string{"down", "j"}, Down, "the next line: its place is outlined", "choose"},
		{Reading, []string{"up", "k"}, Up, "the line before", ""},
		{Reading, []string{"shift+down", "J"}, FarDown, "five lines on", ""},
		{Reading, []string{"shift+up", "K"}, FarUp, "five lines back", ""},
		{Reading, []string{"enter"}, Follow, "go where this can be changed", "change it"},
		{Reading, []string{"R", "tab"}, ShowReading, "back to the studio, the reading stays open", "stay open"},
		{Reading, []string{"2"}, Two, "two values", ""},
		{Reading, []string{"3"}, Three, "three values", ""},
		{Reading, []string{"4"}, Four, "four values", ""},
		{Reading, []string{"5"}, Five, "five values", ""},
		{Reading, []string{".", "]"}, SquintMore, "squint more", ""},
		{Reading, []string{",", "["}, SquintLess, "squint less", ""},
		{Reading, []string{"+", "="}, More, "more shapes", ""},
		{Reading, []string{"-", "_"}, Less, "fewer shapes", ""},
		{Reading, []string{"n"}, ShowNotan, "notan: the plan in one dark and one light", ""},
	},
	looks(Reading),
	[]Binding{{Reading, []string{"esc"}, Back, "close it", "close"}},
	always(Reading),
)
