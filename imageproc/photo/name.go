package photo

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// SafeName returns s fit to be shown on a terminal: escape sequences, control
// characters and invisible format characters (among them those that turn the
// direction of writing) are dropped; tabs and line ends become one space; bytes
// that are not UTF-8 become U+FFFD. Names of files come from outside and must
// pass through here before they are printed. The result may be empty, and
// SafeName(SafeName(s)) == SafeName(s).
func SafeName(s string) string {
	var b strings.Builder
	b.Grow(len(s))
	for len(s) > 0 {
		r, n := utf8.DecodeRuneInString(s)
		switch {
		case r == 0x1b && len(s) > 1:
			n = escapeLen(s[1:]) + 1
		case r >= 0x80 && r < 0xa0 && n == 2: // the same introducers as one C1 character
			n += sequenceLen(byte(r)-0x40, s[n:])
		case r == '\t' || r == '\n' || r == '\r':
			b.WriteByte(' ')
		case unicode.In(r, unicode.Cc, unicode.Cf, unicode.Zl, unicode.Zp, unicode.Variation_Selector):
		default:
			b.WriteRune(r)
		}
		s = s[n:]
	}
	return b.String()
}

// escapeLen returns the length of the escape sequence whose text after ESC is
// s (not empty): at least its introducer, at most all of s.
func escapeLen(s string) int {
	if s[0] >= 0x80 || s[0] < 0x20 {
		return 0 // a lone ESC; what follows is judged by itself
	}
	n := 0
	for n < len(s)-1 && s[n] >= 0x20 && s[n] < 0x30 { // intermediates, as in ESC ( B
		n++
	}
	return n + 1 + sequenceLen(s[n], s[n+1:])
}

// sequenceLen returns how many bytes of s belong to the control sequence or
// string opened by the final byte c of an escape. Source: ECMA-48, 5th ed., 5.4
// and 5.6; a string may also end in BEL, as terminals allow.
func sequenceLen(c byte, s string) int {
	switch c {
	case '[':
		for i := 0; i < len(s); i++ {
			if s[i] >= 0x40 && s[i] < 0x7f {
				return i + 1
			}
			if s[i] < 0x20 || s[i] >= 0x7f {
				return i
			}
		}
		return len(s)
	case ']', 'P', 'X', '^', '_':
		for i := 0; i < len(s); i++ {
			switch {
			case s[i] == 0x07:
				return i + 1
			case s[i] == 0x1b && i+1 < len(s) && s[i+1] == '\\':
				return i + 2
			case s[i] == 0xc2 && i+1 < len(s) && s[i+1] == 0x9c:
				return i + 2
			}
		}
		return len(s)
	}
	return 0
}
