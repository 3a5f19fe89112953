package main

import (
	"strconv"
	"strings"
	"testing"
)

// rowFollower reads what is written to a terminal and knows the row of the
// cursor: enough to tell the picture from the words below it. Sequences may be
// cut anywhere between two writes.
type rowFollower struct {
	row, saved int
	state      byte // 0 text, 'e' after an escape, 'c' in a CSI sequence, 'o' in an OSC string
	args       []byte
}

// follow reads data and reports whether it wrote into the picture's rows and
// into the rows of text.
func (r *rowFollower) follow(data []byte) (picture, words bool) {
	wrote := func() {
		if r.row < figureRows-figureText {
			picture = true
		} else {
			words = true
		}
	}
	for _, b := range data {
		switch {
		case r.state == 'e':
			r.escape(b)
		case r.state == 'c' && b < 0x40:
			r.args = append(r.args, b)
		case r.state == 'c':
			r.state = 0
			if r.control(b) {
				wrote()
			}
		case r.state == 'o':
			if b == 7 || b == '\\' {
				r.state = 0
			}
		case b == 0x1b:
			r.state = 'e'
		case b == '\n':
			r.row = min(r.row+1, figureRows-1)
		case b >= ' ':
			wrote()
		}
	}
	return picture, words
}

func (r *rowFollower) escape(b byte) {
	r.state = 0
	switch b {
	case '[':
		r.state, r.args = 'c', r.args[:0]
	case ']', 'P', '_', '^':
		r.state = 'o'
	case '7':
		r.saved = r.row
	case '8':
		r.row = r.saved
	}
}

// control does a CSI sequence and reports whether it changed what is shown.
func (r *rowFollower) control(final byte) bool {
	first, _, _ := strings.Cut(string(r.args), ";")
	n, err := strconv.Atoi(first)
	if err != nil {
		n = 1
	}
	switch final {
	case 'A':
		r.row = max(r.row-n, 0)
	case 'B':
		r.row = min(r.row+n, figureRows-1)
	case 'H', 'd', 'f':
		r.row = min(max(n, 1), figureRows) - 1
	case 'r':
		r.row = 0
	case 'P', '@', 'L', 'M', 'X', 'K', 'b':
		return true
	}
	return false
}

func TestRowFollower(t *testing.T) {
	var r rowFollower
	for _, c := range []struct {
		write          string
		picture, words bool
	}{
		{"\x1b[?1049h\x1b[H", false, false},
		{"\x1b[3;5H\x1b[38;2;1;2;3m▀", true, false},
		{"\x1b7\x1b[58;1H", false, false},
		{"squint", false, true},
		{"\x1b8x", true, false},
		{"\x1b[60", false, false}, // cut in two
		{";1Hq\x1b[A\x1b[A\x1b[A", false, true},
		{"\x1b[2K", true, false},
		{"\n\x1b]0;title\x07", false, false},
		{"w", false, true},
		{"\x1b[1;57r\x1b[2M\x1b[r", true, false},
	} {
		if p, w := r.follow([]byte(c.write)); p != c.picture || w != c.words {
			t.Errorf("%q: picture %v, words %v", c.write, p, w)
		}
	}
}
