package plan

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Kinds of failure of Read, wrapped by ReadError.
var (
	ErrFormat   = errors.New("not a sound plan file") // any that is none of the others
	ErrNotPlan  = errors.New("not a plan file")       // something else altogether
	ErrNewer    = errors.New("plan file of a newer version")
	ErrTooLarge = errors.New("plan file too large")
)

// ReadError says where a plan file cannot be read, and what is wanted there.
type ReadError struct {
	Line, Column int    // from 1; the column counts characters
	Path         string // of the field, such as plan.values.cuts.at[1]; empty for the file itself
	Problem      string // what is wanted, and what was found
	Kind         error  // one of the Err variables
}

// Error returns the place and the problem in one line.
func (e *ReadError) Error() string {
	s := fmt.Sprintf("plan file, line %d, column %d: ", e.Line, e.Column)
	if e.Path != "" {
		s += e.Path + ": "
	}
	return s + e.Problem
}

// Unwrap returns the kind of failure.
func (e *ReadError) Unwrap() error { return e.Kind }

// Read reads a plan file strictly: fields missing, of the wrong type, out of
// range or named twice are refused, as are a method it does not know, a newer
// version, and files beyond the limits of size and depth. Fields with names it
// does not know are kept, and written again. Every error is a *ReadError. The
// plans returned are fitted. It keeps no part of data; time and memory grow
// with its length, which is at most MaxBytes.
func Read(data []byte) (File, error) {
	r := &reader{data: data}
	if len(data) > MaxBytes {
		r.kind = ErrTooLarge
		r.fail(0, "", fmt.Sprintf("the file has %d bytes: at most %d are read", len(data), MaxBytes))
		return File{}, r.err
	}
	root, bad := parse(data)
	if bad != nil {
		r.fail(bad.at, "", bad.problem)
		return File{}, r.err
	}
	f := r.file(root)
	if r.err != nil {
		return File{}, r.err
	}
	return f, nil
}

// reader turns JSON into a File. It keeps the first failure; after one its
// methods return zero values.
type reader struct {
	data    []byte
	err     error
	kind    error
	unknown strings.Builder // lines of an unknown, of the part being read
	choices []Choice        // the file's table
}

func (r *reader) fail(at int, path, problem string) {
	if r.err != nil {
		return
	}
	if r.kind == nil {
		r.kind = ErrFormat
	}
	before := string(r.data[:min(at, len(r.data))])
	line := strings.LastIndexByte(before, '\n') + 1
	r.err = &ReadError{
		Line: strings.Count(before, "\n") + 1, Column: utf8.RuneCountInString(before[line:]) + 1,
		Path: path, Problem: problem, Kind: r.kind,
	}
}

// want fails with what is wanted at n and what is found there.
func (r *reader) want(n node, path, want string) {
	found := string(n.kind)
	if n.kind == isText || n.kind == isNumber || n.kind == isBool {
		found = shown(string(r.data[n.at:n.end]))
	}
	r.fail(n.at, path, "want "+want+", found "+found)
}

// shown returns what stands in a file fit for an error's one line: at most 40
// characters, those that cannot be seen as \u and their number.
func shown(raw string) string {
	var b strings.Builder
	n := 0
	for _, r := range raw {
		if n++; n > 40 {
			return b.String() + "..."
		}
		if unicode.IsPrint(r) {
			b.WriteRune(r)
		} else {
			fmt.Fprintf(&b, "\\u%04x", r)
		}
	}
	return b.String()
}

// fields is an object's known fields by name.
type fields struct {
	r     *reader
	owner node
	path  string
	known map[string]node
}

// object reads an object. Its unknown fields go to r.unknown under rel.
func (r *reader) object(n node, path, rel string, known ...string) fields {
	f := fields{r: r, owner: n, path: path, known: map[string]node{}}
	if n.kind != isObject {
		r.want(n, path, string(isObject))
		return f
	}
	last := ""
	for _, m := range n.members {
		if slices.Contains(known, m.name) {
			f.known[m.name] = m.value
			last = m.name
			continue
		}
		if m.value.depth() > maxUnknownDepth {
			r.fail(m.value.at, f.join(m.name), "brackets inside brackets more than "+strconv.Itoa(maxUnknownDepth)+" deep, in a field that is not known")
		}
		r.unknown.WriteString(unknownLine(rel, last, m.rawName, r.data[m.value.at:m.value.end]))
	}
	return f
}

// join returns the path of a field. A name that is not known may hold anything:
// it is quoted if any of it is not plain, and cut if it is long.
func (f fields) join(name string) string {
	if strings.Trim(name, "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789_-") != "" || len(name) > 40 {
		name = strconv.Quote(shortened(name))
	}
	if f.path == "" {
		return name
	}
	return f.path + "." + name
}

// need returns a field that must be there, and its path.
func (f fields) need(name string) (node, string) {
	n, ok := f.known[name]
	if !ok {
		f.r.fail(f.owner.at, f.join(name), "this field is missing")
	}
	return n, f.join(name)
}

// not fails if a field is there that has no place in this plan.
func (f fields) not(name, why string) {
	if n, ok := f.known[name]; ok {
		f.r.fail(n.at, f.join(name), why)
	}
}

func (f fields) number(name string, lo, hi float64) float64 {
	n, path := f.need(name)
	return f.r.number(n, path, lo, hi)
}

func (f fields) whole(name string, lo, hi int) int {
	n, path := f.need(name)
	return f.r.whole(n, path, lo, hi)
}

// is returns a field that is true or false; false if it is missing.
func (f fields) is(name string) bool {
	n, ok := f.known[name]
	if ok && n.kind != isBool {
		f.r.want(n, f.join(name), string(isBool))
	}
	return ok && f.r.data[n.at] == 't'
}

// text returns a text field that is sound; want says what it must be.
func (f fields) text(name, want string, sound func(string) bool) string {
	n, path := f.need(name)
	if f.r.err == nil && (n.kind != isText || !sound(n.text)) {
		f.r.want(n, path, want)
	}
	return n.text
}

// among returns a text field that is one of words.
func among[T ~string](f fields, name string, words ...T) T {
	want := make([]string, len(words))
	for i, w := range words {
		want[i] = strconv.Quote(string(w))
	}
	return T(f.text(name, strings.Join(want, " or "), func(s string) bool { return slices.Contains(words, T(s)) }))
}

func (r *reader) number(n node, path string, lo, hi float64) float64 {
	if r.err == nil && (n.kind != isNumber || !(n.num >= lo && n.num <= hi)) {
		want := "a number from " + number(lo) + " to " + number(hi)
		if lo == hi {
			want = number(lo)
		}
		r.want(n, path, want)
	}
	if r.err != nil {
		return 0
	}
	return n.num
}

func (r *reader) whole(n node, path string, lo, hi int) int {
	v := r.number(n, path, float64(lo), float64(hi))
	if v != math.Trunc(v) {
		r.want(n, path, fmt.Sprintf("a whole number from %d to %d", lo, hi))
		return 0
	}
	return int(v)
}

// take returns the unknown fields gathered since the last take.
func (r *reader) take() unknown {
	u := unknown(r.unknown.String())
	r.unknown.Reset()
	return u
}
