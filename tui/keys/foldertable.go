package keys

// folderTable is the wall of a folder. Letters and digits are not in it: they are
// typed to find a name.
var folderTable = []Binding{
	{Folder, []string{"right"}, Right, "the next one", "choose"},
	{Folder, []string{"left"}, Left, "the one before", ""},
	{Folder, []string{"down"}, Down, "the one below", ""},
	{Folder, []string{"up"}, Up, "the one above", ""},
	{Folder, []string{"shift+down", "pgdown"}, FarDown, "a windowful further", ""},
	{Folder, []string{"shift+up", "pgup"}, FarUp, "a windowful back", ""},
	{Folder, []string{"shift+left", "home"}, FarLeft, "the first of all", ""},
	{Folder, []string{"shift+right", "end"}, FarRight, "the last of all", ""},
	{Folder, []string{"enter"}, Open, "open it", "open"},
	{Folder, []string{"tab"}, Flip, "by name, or the newest first", "order"},
	{Folder, []string{"backspace"}, TakeAway, "take back a letter that was typed to find a name", ""},
	{Folder, []string{"esc"}, Back, "all of them again", ""},
	{Folder, []string{"ctrl+l"}, Redraw, "paint the screen again", ""},
	{Folder, []string{"ctrl+z"}, Suspend, "back to the shell for a while", ""},
	{Folder, []string{"?", "f1"}, ShowHelp, "all keys of where you are", "keys"},
	{Folder, []string{"ctrl+c"}, Quit, "quit", "quit"},
}
