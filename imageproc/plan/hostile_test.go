package plan

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"unicode"
)

// soundWith returns the sound file with one text put for another.
func soundWith(t *testing.T, old, text string) []byte {
	t.Helper()
	whole := string(boatyard(t).Text())
	if !strings.Contains(whole, old) {
		t.Fatalf("%q is not in the sound file", old)
	}
	return []byte(strings.Replace(whole, old, text, 1))
}

// hostile is a plan file that somebody made to cost or to mislead.
type hostile struct {
	name string
	data []byte
	line int    // of the error
	path string // of the field
	part string // of the words
	kind error
}

func hostileFiles(t *testing.T) []hostile {
	many := func(s string, n int) string { return strings.Repeat(s, n) }
	in := func(name, old, text string, line int, path, part string) hostile {
		return hostile{name, soundWith(t, old, text), line, path, part, ErrFormat}
	}
	out := []hostile{
		in("a number without bound", `"width": 4000`, `"width": 1e999`, 7, "", "the number 1e999 is too large"),
		in("one below all bounds", `"squint": 1.4`, `"squint": -1e999`, 0, "", "the number -1e999 is too large"),
		in("no number", `"squint": 1.4`, `"squint": NaN`, 0, "", "want a number, text in quotes, { or ["),
		in("infinity", `"squint": 1.4`, `"squint": Infinity`, 0, "", "want a number, text in quotes, { or ["),
		in("a huge whole number", `"width": 4000`, `"width": 9223372036854775808`, 7, "photo.width", "want a number from 1 to 100000, found 9223372036854775808"),
		in("a number of many digits", `"width": 4000`, `"width": `+many("9", 1<<20), 7, "", "a number of more than 40 digits"),
		in("a fraction of many digits", `"squint": 1.4`, `"squint": 1.`+many("0", 1<<20), 0, "", "a number of more than 40 digits"),
		in("an exponent of many digits", `"squint": 1.4`, `"squint": 1e`+many("0", 1<<20), 0, "", "a number of more than 40 digits"),
		in("hexadecimal", `"width": 4000`, `"width": 0xfa0`, 7, "", "want , or }"),
		in("a leading nought", `"width": 4000`, `"width": 04000`, 7, "", "want , or }"),
		in("a plus", `"width": 4000`, `"width": +4000`, 7, "", "want a number"),
		in("brackets without end", `"version": 1`, `"version": `+many("[", 100_000), 3, "", "brackets inside brackets more than 32 deep"),
		in("brackets in a field that is not known", `"version": 1`, `"version": 1, "more": `+many("[", 20)+many("]", 20), 3, "more", "more than 15 deep, in a field that is not known"),
		in("objects without end", `"version": 1`, `"version": `+many(`{"a":`, 100_000), 3, "", "more than 32 deep"),
		in("a list of a million", `"version": 1`, `"version": 1, "more": [`+many("0,", 999_999)+`0]`, 3, "", "more than 300000 entries"),
		in("an object of a million", `"version": 1`, `"version": 1, "more": {`+manyFields(500_000)+`}`, 3, "", "more than 300000 entries"),
		in("many thumbnails", `"thumbnails": [`, `"thumbnails": [`+many("0,", 250_000), 0, "thumbnails", "thumbnails: at most 200 are kept"),
		in("many values", "3.5,\n", many("3.5,", 200_000)+"\n", 0, "plan.values.cuts.at", "want a list of 2 Munsell values"),
		in("a field twice", `"version": 1`, `"version": 1, "version": 1`, 3, "", `the field "version" stands here twice`),
		in("a field twice, once in escapes", `"version": 1`, `"version": 1, "versio\u006e": 1`, 3, "", `the field "version" stands here twice`),
		in("a field twice that is not known", `"version": 1`, `"version": 1, "x": 1, "x": 2`, 3, "", `the field "x" stands here twice`),
		in("a long field twice", `"version": 1`, `"version": 1, "`+many("x", 1<<20)+`": 1, "`+many("x", 1<<20)+`": 2`, 3, "", `xxx..." stands here twice`),
		in("a field that clears the screen, twice", `"version": 1`, `"version": 1, "\u001b[2J": 1, "\u001b[2J": 2`, 3, "", `the field "\x1b[2J" stands here twice`),
		in("a deep field that clears the screen", `"version": 1`, `"version": 1, "\u001b[2J": `+many("[", 20)+many("]", 20), 3, `"\x1b[2J"`, "not known"),
		in("a long deep field", `"version": 1`, `"version": 1, "`+many("y", 1<<20)+`": `+many("[", 20)+many("]", 20), 3, `"`+many("y", 40)+`..."`, "not known"),
		{"a value that clears the screen", soundWith(t, `"halflid": "plan"`, "\"halflid\": \"\u009b2J\u202e\""), 2, "halflid", `found "\u009b2J\u202e"`, ErrNotPlan},
		in("a long text", `"name": "boatyard.jpg"`, `"name": "`+many("é", 2<<20)+`"`, 5, "photo.name", `found "`+many("é", 39)+`...`),
		in("a long name of a thumbnail", `"name": "square, higher horizon"`, `"name": "`+many("n", 7<<20)+`"`, 0, "thumbnails[0].name", "want a name of 1 to 80 characters"),
		in("a letter that is none", `"name": "boatyard.jpg"`, "\"name\": \"boat\xffyard.jpg\"", 5, "", "bytes that are none"),
		in("an overlong letter", `"name": "boatyard.jpg"`, "\"name\": \"boat\xc0\xafyard.jpg\"", 5, "", "bytes that are none"),
		in("half a letter", `"name": "boatyard.jpg"`, `"name": "boat\ud83dyard.jpg"`, 5, "", "half a character"),
		in("an escape code as it is", `"name": "boatyard.jpg"`, "\"name\": \"\x1b]0;hm\x07\"", 5, "", "want the closing quote"),
		in("text after text", `"version": 1`, `"version": 1 2`, 3, "", "want , or }"),
		in("a folder in the photo's name", `"name": "boatyard.jpg"`, `"name": "../../etc/passwd"`, 5, "photo.name", "without a folder"),
		in("a device as the photo", `"name": "boatyard.jpg"`, `"name": "/dev/zero"`, 5, "photo.name", "without a folder"),
		in("a nought in the photo's name", `"name": "boatyard.jpg"`, `"name": "boat\u0000.jpg"`, 5, "photo.name", "without a folder"),
		in("the folder itself as the photo", `"name": "boatyard.jpg"`, `"name": "."`, 5, "photo.name", "without a folder"),
		{"a byte-order mark", append([]byte("\xef\xbb\xbf"), boatyard(t).Text()...), 1, "", "byte-order mark", ErrFormat},
		{"another encoding", []byte("{\x00\"\x00h\x00a\x00"), 1, "", "", ErrFormat},
		{"more after the end", append(boatyard(t).Text(), "x"...), 0, "", "want the end of the file, found more after it", ErrFormat},
		{"a second file after the end", append(boatyard(t).Text(), boatyard(t).Text()...), 0, "", "want the end of the file", ErrFormat},
		{"noughts after the end", append(boatyard(t).Text(), make([]byte, 1<<20)...), 0, "", "want the end of the file", ErrFormat},
		{"noughts", make([]byte, 1<<20), 1, "", "want a number, text in quotes", ErrFormat},
		{"nothing", nil, 1, "", "ends too early", ErrFormat},
		{"spaces", []byte(many(" \n", MaxBytes/2)), MaxBytes/2 + 1, "", "ends too early", ErrFormat},
		{"too many bytes", []byte(many(" ", MaxBytes+1)), 1, "", "at most 8388608 are read", ErrTooLarge},
		{"another list of plans", []byte("[1,2,3]"), 1, "", "want an object in { }, as plan files are", ErrNotPlan},
		{"text without an end", []byte(`{"halflid": "` + many("a", MaxBytes-20)), 1, "", "ends too early", ErrFormat},
		{"escapes without an end", []byte(`{"halflid": "` + many(`\u0041`, MaxBytes/6-3)), 1, "", "ends too early", ErrFormat},
	}
	return out
}

func manyFields(n int) string {
	var b strings.Builder
	for i := range n {
		fmt.Fprintf(&b, `"f%d":0,`, i)
	}
	return strings.TrimSuffix(b.String(), ",")
}

// Each is refused with its line, its field and a reason that a painter reads on
// one line: no longer than three hundred characters, none of them invisible; and
// however large it is, with less than 300 MB of memory in all.
func TestReadOfEachHostileFile(t *testing.T) {
	for _, h := range hostileFiles(t) {
		t.Run(h.name, func(t *testing.T) {
			var before, after runtime.MemStats
			runtime.ReadMemStats(&before)
			_, err := Read(h.data)
			runtime.ReadMemStats(&after)
			var e *ReadError
			if !errors.As(err, &e) {
				t.Fatalf("%v", err)
			}
			if h.line > 0 && e.Line != h.line || e.Line < 1 || e.Column < 1 || e.Path != h.path || !strings.Contains(e.Problem, h.part) || !errors.Is(err, h.kind) {
				t.Errorf("%d, %.100q: %.200q (%v)\nwant %d, %q: ... %q (%v)", e.Line, e.Path, e.Problem, e.Kind, h.line, h.path, h.part, h.kind)
			}
			oneLine(t, err)
			if used, most := (after.TotalAlloc-before.TotalAlloc)>>20, uint64(300); used > most {
				t.Errorf("%d MB were used for a file of %d bytes", used, len(h.data))
			}
		})
	}
}

// oneLine fails unless an error is one short line of what can be seen.
func oneLine(t *testing.T, err error) {
	t.Helper()
	s := err.Error()
	if n := len([]rune(s)); n > 300 {
		t.Errorf("an error of %d characters: %.100q...", n, s)
	}
	for _, r := range s {
		if !unicode.IsPrint(r) {
			t.Errorf("an error with %U in it: %.200q", r, s)
			break
		}
	}
}

// Minus nought is nought: it is read and written so.
func TestMinusNoughtIsNought(t *testing.T) {
	f, err := Read(soundWith(t, `"squint": 1.4`, `"squint": -0`))
	if err != nil {
		t.Fatal(err)
	}
	if text := string(f.Text()); !strings.Contains(text, `"squint": 0,`) {
		t.Errorf("minus nought is written otherwise:\n%s", text)
	}
}

// What the fields that are not known hold is kept as it was written and shown
// nowhere: their escapes stay escapes.
func TestFieldsNotKnownStayEscaped(t *testing.T) {
	const odd = `"\u001b]0;hm\u0007": ["\u001b[2J", "\u009b31m", {"\u0000": "\u202e"}]`
	f, err := Read(soundWith(t, `"version": 1`, `"version": 1, `+odd))
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range string(f.Text()) {
		if unicode.IsControl(r) && r != '\n' {
			t.Fatalf("%U is written", r)
		}
	}
	if !strings.Contains(string(f.Text()), `"\u001b]0;hm\u0007"`) {
		t.Error("the field's name is written otherwise")
	}
}

// The costliest files that are sound: as many plans as fit in, each with as many
// large choices as a plan may have. Lists that are equal share their memory, so
// reading costs less than 512 MB in all.
func TestReadOfTheCostliestSoundFile(t *testing.T) {
	data := costly(t)
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	f, err := Read(data)
	runtime.ReadMemStats(&after)
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("%d bytes, %d MB used", len(data), (after.TotalAlloc-before.TotalAlloc)>>20)
	if used := after.TotalAlloc - before.TotalAlloc; used > 512<<20 {
		t.Errorf("%d MB were used for a file of %d bytes", used>>20, len(data))
	}
	again, err := Read(f.Text())
	if err != nil || !again.Equal(f) {
		t.Errorf("changed by writing: %v", err)
	}
}

// costly makes that file: twenty choices of 4000 points, and in every step of
// the history as many thumbnails as the reader's entries allow, each with all of
// them.
func costly(t *testing.T) []byte {
	t.Helper()
	text, err := os.ReadFile(filepath.Join("testdata", "boatyard.plan.json"))
	if err != nil {
		t.Fatal(err)
	}
	_, rest, _ := strings.Cut(string(text), `"plan": {`)
	body, _, _ := strings.Cut(rest, `"thumbnails": [`)
	body = strings.TrimSuffix(strings.TrimSpace(body), ",")
	body = strings.TrimSuffix(body, "}")
	var choices, refs strings.Builder
	for i := range 20 {
		if i > 0 {
			choices.WriteString(",")
			refs.WriteString(",")
		}
		fmt.Fprintf(&refs, "%d", i)
		choices.WriteString(`{"what":"leave out","area":["`)
		for j := range 3990 {
			fmt.Fprintf(&choices, "%.4f,%.4f ", 0.1+float64(j)/10000, 0.1+float64(j%2+i)/100)
		}
		choices.WriteString(`0.5,0.9 0.1,0.9"]}`)
	}
	plain := strings.Join(strings.Fields("{"+body+`, "choices":[`+refs.String()+`]}`), " ")
	plain = strings.NewReplacer(`": `, `":`, `, "`, `,"`, "{ ", "{", " }", "}", "[ ", "[", " ]", "]").Replace(plain)
	thumbs := func(n int) string {
		var b strings.Builder
		for i := range n {
			if i > 0 {
				b.WriteString(",")
			}
			fmt.Fprintf(&b, `{"name":"t%d","plan":%s}`, i, plain)
		}
		return b.String()
	}
	head, _, _ := strings.Cut(string(text), `"plan": {`)
	var steps strings.Builder
	for i := range 20 {
		if i > 0 {
			steps.WriteString(",")
		}
		fmt.Fprintf(&steps, `{"action":"a","plan":%s,"thumbnails":[%s]}`, plain, thumbs(200))
	}
	return []byte(head + `"plan":` + plain + `,"thumbnails":[` + thumbs(200) + `],"choices":[` + choices.String() +
		`],"history":{"done":20,"first":{"plan":` + plain + `},"steps":[` + steps.String() + `]}}`)
}
