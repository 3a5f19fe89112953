package plan

import (
	"math"
	"strconv"
	"strings"
	"unicode/utf16"
	"unicode/utf8"
)

// Limits of a plan file. They are far above what a painter makes, and keep a
// hostile file from costing more than a moment.
const (
	MaxBytes        = 8 << 20
	maxDepth        = 32
	maxUnknownDepth = 15 // of a field that is not known, counted from itself: it may travel into the history
	maxEntries      = 300_000
	maxDigits       = 40
)

// parser reads JSON (RFC 8259) strictly: UTF-8, no name twice in one object, no
// halves of surrogate pairs, within the limits above.
type parser struct {
	data    []byte
	at      int
	entries int
}

// syntaxError is a place in the file and what is wrong there.
type syntaxError struct {
	at      int
	problem string
}

func (p *parser) fail(at int, problem string) { panic(syntaxError{at, problem}) }

// parse returns the one value that data holds.
func parse(data []byte) (n node, bad *syntaxError) {
	p := &parser{data: data}
	defer func() {
		if e := recover(); e != nil {
			s, ok := e.(syntaxError)
			if !ok {
				panic(e)
			}
			bad = &s
		}
	}()
	if len(data) >= 3 && string(data[:3]) == "\xef\xbb\xbf" {
		p.fail(0, "want plain UTF-8 text, found a byte-order mark before it")
	}
	if !utf8.Valid(data) {
		p.fail(badUTF8(data), "want UTF-8 text, found bytes that are none")
	}
	p.space()
	n = p.value(1)
	p.space()
	if p.at < len(data) {
		p.fail(p.at, "want the end of the file, found more after it")
	}
	return n, nil
}

func badUTF8(data []byte) int {
	for i := 0; i < len(data); {
		r, size := utf8.DecodeRune(data[i:])
		if r == utf8.RuneError && size == 1 {
			return i
		}
		i += size
	}
	return len(data)
}

func (p *parser) space() {
	for p.at < len(p.data) && strings.IndexByte(" \t\r\n", p.data[p.at]) >= 0 {
		p.at++
	}
}

func (p *parser) peek() byte {
	if p.at == len(p.data) {
		p.fail(p.at, "the file ends too early: it may have been cut short")
	}
	return p.data[p.at]
}

func (p *parser) value(depth int) node {
	p.entries++
	if p.entries > maxEntries {
		p.fail(p.at, "the file has more than "+strconv.Itoa(maxEntries)+" entries")
	}
	if depth > maxDepth {
		p.fail(p.at, "brackets inside brackets more than "+strconv.Itoa(maxDepth)+" deep")
	}
	n := node{at: p.at}
	switch c := p.peek(); {
	case c == '{':
		n.kind, n.members = isObject, p.object(depth)
	case c == '[':
		n.kind, n.list = isList, p.array(depth)
	case c == '"':
		n.kind, n.text = isText, p.str()
	case c == '-' || c >= '0' && c <= '9':
		n.kind, n.num = isNumber, p.number()
	case p.word("true") || p.word("false"):
		n.kind = isBool
	case p.word("null"):
		n.kind = isNull
	default:
		p.fail(p.at, "want a number, text in quotes, { or [")
	}
	n.end = p.at
	return n
}

func (p *parser) word(w string) bool {
	if !strings.HasPrefix(string(p.data[p.at:min(len(p.data), p.at+len(w))]), w) {
		return false
	}
	p.at += len(w)
	return true
}

func (p *parser) object(depth int) []member {
	var out []member
	seen := map[string]bool{}
	p.at++
	for p.space(); p.peek() != '}'; p.space() {
		if len(out) > 0 {
			p.comma("}")
		}
		m := member{at: p.at}
		if p.peek() != '"' {
			p.fail(p.at, "want a field name in quotes")
		}
		m.name = p.str()
		m.rawName = string(p.data[m.at:p.at])
		if seen[m.name] {
			p.fail(m.at, "the field "+strconv.Quote(shortened(m.name))+" stands here twice")
		}
		seen[m.name] = true
		p.space()
		if p.peek() != ':' {
			p.fail(p.at, "want : after the field name "+strconv.Quote(shortened(m.name)))
		}
		p.at++
		p.space()
		m.value = p.value(depth + 1)
		out = append(out, m)
	}
	p.at++
	return out
}

func (p *parser) array(depth int) []node {
	var out []node
	p.at++
	for p.space(); p.peek() != ']'; p.space() {
		if len(out) > 0 {
			p.comma("]")
		}
		out = append(out, p.value(depth+1))
	}
	p.at++
	return out
}

func (p *parser) comma(end string) {
	if p.peek() != ',' {
		p.fail(p.at, "want , or "+end)
	}
	p.at++
	p.space()
}

// str reads text in quotes.
func (p *parser) str() string {
	var b strings.Builder
	for p.at++; ; {
		start := p.at
		for c := p.peek(); c != '"' && c != '\\'; c = p.peek() {
			if c < 0x20 {
				p.fail(p.at, "want the closing quote on the same line")
			}
			p.at++
		}
		b.Write(p.data[start:p.at])
		if p.data[p.at] == '"' {
			p.at++
			return b.String()
		}
		b.WriteRune(p.escape())
	}
}

func (p *parser) escape() rune {
	at := p.at
	p.at++
	c := p.peek()
	p.at++
	if i := strings.IndexByte(`"\/bfnrt`, c); i >= 0 {
		return rune("\"\\/\b\f\n\r\t"[i])
	}
	if c != 'u' {
		p.fail(at, `want one of \" \\ \/ \b \f \n \r \t \u after the backslash`)
	}
	r := p.hex(at)
	if !utf16.IsSurrogate(r) {
		return r
	}
	if p.word(`\u`) {
		if r = utf16.DecodeRune(r, p.hex(at)); r != utf8.RuneError {
			return r
		}
	}
	p.fail(at, `this \u is half a character`)
	return 0
}

func (p *parser) hex(at int) rune {
	if p.at+4 > len(p.data) {
		p.fail(at, `want four hexadecimal digits after \u`)
	}
	var r rune
	for _, c := range p.data[p.at : p.at+4] {
		switch {
		case c >= '0' && c <= '9':
			r = r<<4 | rune(c-'0')
		case c|0x20 >= 'a' && c|0x20 <= 'f':
			r = r<<4 | rune(c|0x20-'a'+10)
		default:
			p.fail(at, `want four hexadecimal digits after \u`)
		}
	}
	p.at += 4
	return r
}

// number reads -?int frac? exp? of RFC 8259.
func (p *parser) number() float64 {
	start := p.at
	p.skip("-")
	switch {
	case p.skip("0"):
	case !p.digits():
		p.fail(start, "want digits after -")
	}
	if p.skip(".") && !p.digits() {
		p.fail(start, "want digits after the decimal point")
	}
	if p.skip("eE") {
		p.skip("+-")
		if !p.digits() {
			p.fail(start, "want digits after e")
		}
	}
	raw := string(p.data[start:p.at])
	if len(raw) > maxDigits {
		p.fail(start, "a number of more than "+strconv.Itoa(maxDigits)+" digits")
	}
	v, err := strconv.ParseFloat(raw, 64)
	if err != nil || math.IsInf(v, 0) {
		p.fail(start, "the number "+raw+" is too large")
	}
	return v
}

// skip steps over one byte if it is any of set.
func (p *parser) skip(set string) bool {
	if p.at < len(p.data) && strings.IndexByte(set, p.data[p.at]) >= 0 {
		p.at++
		return true
	}
	return false
}

func (p *parser) digits() bool {
	start := p.at
	for p.skip("0123456789") {
	}
	return p.at > start
}
