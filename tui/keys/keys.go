// Package keys holds the key table of the studio as data. The hint line, the
// help, the README's table and the resolver all read this one table, so none of
// them can say something the others do not do.
package keys

// Scope is where the painter is: the studio itself or one of its activities.
type Scope int

// The scopes.
const (
	Studio  Scope = iota // looking at the photo and its plan
	Scale                // cuts and tones by hand
	Focal                // placing the focal point
	Hand                 // a shape in the hand
	MarkOut              // marking out an area
	Carry                // moving what was marked out
	Decided              // the list of choices
	Wall                 // the thumbnails
	Pair                 // two thumbnails
	Note                 // a line of text for a thumbnail
	Reading              // walking down what the plan says
	Sheets               // the pages to carry to the panel
	Folder               // the photographs of a folder
	Help                 // reading the list of keys
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
	ShowOutline
	ShowSteps
	NextGrid
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
	FallOff
	TakeUp
	NextShape
	PrevShape
	ToFocal
	MarkIt
	Value1
	Value2
	Value3
	Value4
	Value5
	Lighter
	Darker
	PullTogether
	KeepApart
	Smoother
	AsPhotographed
	NextPlane
	NextDepth
	LeaveOut
	MoveIt
	CopyIt
	MarkArea
	Corner
	Form
	BackCorner
	MirrorIt
	ShowChoices
	ShowReading
	Follow
	Switch
	Adjust
	KeepIt
	ShowWall
	Vary
	TryCrops
	ShowSheets
	Fashion
	NextPaper
	NextOrder
	Open
	Write
	Undo
	Redo
	Save
	Finer
	NextPhoto
	PrevPhoto
	AllPhotos
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
		out += Label(k)
	}
	return out
}

// Short returns the first key of a binding as the painter reads it.
func (b Binding) Short() string { return Label(b.Keys[0]) }

// Label returns a key, named as Bubble Tea names it, as the painter reads it.
func Label(key string) string {
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
	case "space", " ":
		return "Space"
	case "tab":
		return "Tab"
	case "enter":
		return "Enter"
	case "delete":
		return "Delete"
	case "insert":
		return "Insert"
	case "backspace":
		return "Backspace"
	case "pgup":
		return "PgUp"
	case "pgdown":
		return "PgDn"
	case "home":
		return "Home"
	case "end":
		return "End"
	}
	for _, p := range []struct{ from, to string }{{"shift+", "Shift+"}, {"ctrl+", "Ctrl+"}, {"alt+", "Alt+"}} {
		if len(key) > len(p.from) && key[:len(p.from)] == p.from {
			return p.to + Label(key[len(p.from):])
		}
	}
	if len(key) > 1 && key[0] == 'f' && key[1] >= '1' && key[1] <= '9' {
		return "F" + key[1:]
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
	case Hand:
		return "A shape in the hand"
	case MarkOut:
		return "Marking out an area"
	case Carry:
		return "Moving what was marked out"
	case Decided:
		return "What was decided"
	case Wall:
		return "Thumbnails"
	case Pair:
		return "Two thumbnails"
	case Note:
		return "A line of text"
	case Reading:
		return "What the plan says"
	case Sheets:
		return "Pages to carry to the panel"
	case Folder:
		return "The photographs of a folder"
	default:
		return "In this list"
	}
}

// Scopes returns all scopes in the order of the README.
func Scopes() []Scope {
	var out []Scope
	for s := Studio; s <= Help; s++ {
		out = append(out, s)
	}
	return out
}

// Markdown returns the whole table for the README.
func Markdown() string {
	out := ""
	for _, s := range Scopes() {
		out += "**" + s.Title() + "**\n\n| key | what it does |\n|---|---|\n"
		for _, b := range Table(s) {
			out += "| "
			for i, k := range b.Keys {
				if i > 0 {
					out += " "
				}
				out += "`" + Label(k) + "`"
			}
			out += " | " + b.Words + " |\n"
		}
		out += "\n"
	}
	return out
}
