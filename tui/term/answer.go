// Package term stands between the terminal and the program: what this terminal
// can show (colours, the shape of a cell, whether the program may be put to
// sleep), and the filter that takes the terminal's answers out of the keys.
package term

// Kind says which question an Answer answers.
type Kind int

// The kinds of answers that terminals give.
const (
	Attributes Kind = iota // what the terminal is (CSI c, also with > or =)
	Mode                   // whether a mode is set or known (DECRQM)
	Cursor                 // the cursor's place (CSI 6 n)
	Window                 // sizes of window or cell (CSI 14 t, 16 t, 18 t), in-band resizes
	Status                 // device status, colour scheme (CSI n)
	Keyboard               // keyboard protocol flags (CSI ? u)
	Text                   // OSC, DCS and APC: colours, settings, capabilities, version
)

// Answer is one answer of the terminal, taken out of the input.
type Answer struct {
	Kind   Kind
	Params []int  // the numbers of a CSI answer in order; none for Text
	Raw    string // the bytes as they came, from ESC to the end
}

// Primary reports whether a says what the terminal is in the plainest form: the
// answer to CSI c.
func (a Answer) Primary() bool { return a.Kind == Attributes && len(a.Raw) > 2 && a.Raw[2] == '?' }

// found is what a look at the start of the input tells.
type found int

const (
	plain   found = iota // not an answer: n bytes to pass on
	partial              // could become a key or an answer: wait a little
	likely               // the start of an answer, as no key begins: wait longer
	answer               // an answer of n bytes
	paste                // the mark before pasted text, n bytes to pass on
)

const (
	pasteStart = "\x1b[200~"
	pasteEnd   = "\x1b[201~"
	// longest is how long a Text answer may be; colours and capabilities take
	// tens of bytes. Without a bound a stray mark would swallow what is typed.
	longest = 1024
)

// look judges the start of b, which is not empty. expected says whether a
// report of the cursor is due: it has the form of the key F3 with a modifier.
func look(b []byte, expected bool) (found, int, Answer) {
	if b[0] != 0x1b {
		return lookPlain(b)
	}
	if len(b) == 1 {
		return partial, 0, Answer{}
	}
	switch b[1] {
	case '[':
		return lookControl(b, expected)
	case 'O':
		// A key of the keypad: one more byte.
		if len(b) == 2 {
			return partial, 0, Answer{}
		}
		if b[2] < 0x20 || b[2] >= 0x7f {
			return plain, 2, Answer{}
		}
		return plain, 3, Answer{}
	case ']', 'P', '_':
		return lookText(b)
	case 0x1b:
		return plain, 1, Answer{}
	}
	if n := letterLen(b[1:]); n > 0 {
		return plain, 1 + n, Answer{}
	}
	return partial, 0, Answer{}
}

// lookPlain passes on everything up to the next ESC, but no half letter.
func lookPlain(b []byte) (found, int, Answer) {
	n := 0
	for n < len(b) && b[n] != 0x1b {
		k := letterLen(b[n:])
		if k == 0 {
			break
		}
		n += k
	}
	if n == 0 {
		return partial, 0, Answer{}
	}
	return plain, n, Answer{}
}

// letterLen returns the length of the letter that b starts with, 1 for a byte
// that is no letter, 0 if the letter goes on past b.
func letterLen(b []byte) int {
	n := 1
	switch c := b[0]; {
	case c >= 0xf0 && c < 0xf8:
		n = 4
	case c >= 0xe0 && c < 0xf0:
		n = 3
	case c >= 0xc2 && c < 0xe0:
		n = 2
	}
	for i := 1; i < n; i++ {
		if i == len(b) {
			return 0
		}
		if b[i]&0xc0 != 0x80 {
			return 1
		}
	}
	return n
}

// lookControl judges a CSI sequence.
func lookControl(b []byte, expected bool) (found, int, Answer) {
	// The old mouse report and two keys of old consoles are not in the form
	// of the others.
	if len(b) > 2 && b[2] == 'M' {
		if len(b) < 6 {
			return partial, 0, Answer{}
		}
		return plain, 6, Answer{}
	}
	if len(b) > 2 && b[2] == '[' {
		// A function key of the Linux console: one letter more, and no answer.
		switch {
		case len(b) == 3:
			return partial, 0, Answer{}
		case b[3] < 0x20 || b[3] >= 0x7f:
			return plain, 3, Answer{}
		}
		return plain, 4, Answer{}
	}
	i := 2
	private := byte(0)
	var inner byte
	a := Answer{}
	number, some := 0, false
	for ; i < len(b); i++ {
		c := b[i]
		switch {
		case c >= '0' && c <= '9' && inner == 0:
			number, some = min(number*10+int(c-'0'), 1<<24), true
		case (c == ';' || c == ':') && inner == 0:
			a.Params = append(a.Params, number)
			number, some = 0, true
		case c >= 0x3c && c <= 0x3f && i == 2:
			private = c
		case c >= 0x20 && c < 0x30 && inner == 0 && c != '$':
			inner = c
		case c == '$':
			// Ends a key of one old terminal, or stands before the y of Mode.
			if i+1 < len(b) && b[i+1] != 'y' {
				return plain, i + 1, Answer{}
			}
			inner = c
		case c >= 0x40 && c < 0x7f:
			if some {
				a.Params = append(a.Params, number)
			}
			a.Raw = string(b[:i+1])
			return judge(a, private, inner, c, expected)
		default:
			return plain, i, Answer{} // broken off by something else
		}
		if i > 64 {
			return plain, i + 1, Answer{}
		}
	}
	if private == '?' || private == '>' || private == '=' {
		return likely, 0, Answer{}
	}
	return partial, 0, Answer{}
}

// judge tells answers from keys among complete CSI sequences.
func judge(a Answer, private, inner, final byte, expected bool) (found, int, Answer) {
	n := len(a.Raw)
	kind := Kind(-1)
	switch {
	case final == 'c' && private != 0:
		kind = Attributes
	case final == 'y' && inner == '$' && len(a.Params) == 2:
		kind = Mode
	case final == 'R' && inner == 0 && len(a.Params) >= 2 && (private == '?' || private == 0 && expected):
		kind = Cursor
	case final == 't' && private == 0 && inner == 0 && len(a.Params) >= 2:
		kind = Window
	case final == 'n' && inner == 0 && len(a.Params) >= 1 && (private == '?' || private == 0):
		kind = Status
	case final == 'u' && private == '?':
		kind = Keyboard
	case a.Raw == pasteStart:
		return paste, n, Answer{}
	default:
		return plain, n, Answer{}
	}
	a.Kind = kind
	return answer, n, a
}

// starts are the beginnings of answers in text form, after ESC. OSC answers
// start with ] and a number, checked apart.
var starts = []string{"P0+r", "P1+r", "P0$r", "P1$r", "P>|", "P!|", "_G"}

// lookText judges what may be an OSC, DCS or APC answer. ESC and one of these
// letters is a key held with alt as well, so only the beginnings that answers
// have are taken, and only up to their end.
func lookText(b []byte) (found, int, Answer) {
	body := textStart(b[1:])
	if body < 0 {
		return plain, 2, Answer{}
	}
	if body == 0 {
		if len(b) == 2 {
			return partial, 0, Answer{}
		}
		return likely, 0, Answer{}
	}
	for i := 1 + body; i < len(b) && i < longest; i++ {
		switch c := b[i]; {
		case c == 0x07:
			return answer, i + 1, Answer{Kind: Text, Raw: string(b[:i+1])}
		case c == 0x1b && i+1 == len(b):
			return likely, 0, Answer{}
		case c == 0x1b && b[i+1] == '\\':
			return answer, i + 2, Answer{Kind: Text, Raw: string(b[:i+2])}
		case c < 0x20 || c == 0x7f:
			return plain, 2, Answer{} // no answer holds a key like this
		}
	}
	if len(b) >= longest {
		return plain, 2, Answer{}
	}
	return likely, 0, Answer{}
}

// textStart returns the length of the beginning of an answer that b starts
// with, 0 if b may become one, -1 if not.
func textStart(b []byte) int {
	if b[0] == ']' {
		i := 1
		for i < len(b) && b[i] >= '0' && b[i] <= '9' {
			i++
		}
		switch {
		case i == len(b) && i <= 5:
			return 0
		case i > 1 && i <= 5 && b[i] == ';':
			return i + 1
		}
		return -1
	}
	for _, s := range starts {
		n := min(len(s), len(b))
		if string(b[:n]) == s[:n] {
			if n < len(s) {
				return 0
			}
			return n
		}
	}
	return -1
}
