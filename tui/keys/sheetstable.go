package keys

var sheetsTable = concat(
	[]Binding{
		{Sheets, []string{"right", "l", "down", "j"}, Right, "the next page", "pages"},
		{Sheets, []string{"left", "h", "up", "k"}, Left, "the page before", ""},
		{Sheets, []string{"tab"}, NextMark, "which pages: for the easel, the outline alone, a hand-out, all, the wall", "which"},
		{Sheets, []string{"f"}, Fashion, "the outline as lines, filled with its tones, or very light for the support itself", "lines"},
		{Sheets, []string{"m"}, MirrorIt, "exchange left and right of the outline, for tracing from behind", "mirror"},
		{Sheets, []string{"p"}, NextPaper, "the next paper", "paper"},
		{Sheets, []string{"o"}, NextOrder, "blocking in: the darkest, the lightest or the largest first", ""},
		{Sheets, []string{"#", "X"}, NextGrid, "the grid over the outline", "grid"},
		{Sheets, []string{"enter"}, Write, "write them as a PDF beside the plan", "write"},
		{Sheets, []string{"esc", "E"}, Back, "back to the studio", "back"},
	},
	always(Sheets),
)
