package plan

import (
	"bytes"
	"encoding/json"
	"reflect"
	"strings"
	"testing"
)

// plain turns a node into what encoding/json makes of the same text.
func plain(n node) any {
	switch n.kind {
	case isObject:
		m := map[string]any{}
		for _, f := range n.members {
			m[f.name] = plain(f.value)
		}
		return m
	case isList:
		l := []any{}
		for _, v := range n.list {
			l = append(l, plain(v))
		}
		return l
	case isText:
		return n.text
	case isNumber:
		return n.num
	case isBool:
		return nil // its value is in the file's bytes only
	}
	return nil
}

func TestParseReadsAsTheStandardLibrary(t *testing.T) {
	for _, text := range []string{
		`0`, `-0`, `-12.5e+3`, `1E-2`, `""`, `"a\"\\\/\b\f\n\r\tz"`, `"\u00e9\uD83D\uDEA2é⛵"`, `[]`, `{}`, ` [ 1 , [ 2 ] , { "a" : { "b" : "c" } } ] `,
		"{\"a\":\r\n\t1}", `"\u0000"`, "\"\u007f\u2028\"", `null`,
	} {
		var want any
		if err := json.Unmarshal([]byte(text), &want); err != nil {
			t.Fatal(err)
		}
		n, bad := parse([]byte(text))
		if bad != nil || !reflect.DeepEqual(plain(n), want) {
			t.Errorf("%s: %#v, %v; want %#v", text, plain(n), bad, want)
		}
	}
}

func TestParseRefuses(t *testing.T) {
	for text, want := range map[string]struct {
		at      int
		problem string
	}{
		``:                      {0, "ends too early"},
		` `:                     {1, "ends too early"},
		`{`:                     {1, "ends too early"},
		`[1`:                    {2, "ends too early"},
		`"a`:                    {2, "ends too early"},
		`"a\`:                   {3, "ends too early"},
		`1 2`:                   {2, "want the end of the file"},
		`[1,]`:                  {3, "want a number, text"},
		`[,1]`:                  {1, "want a number, text"},
		`[1 2]`:                 {3, "want , or ]"},
		`{"a":1,}`:              {7, "want a field name"},
		`{"a":1 "b":2}`:         {7, "want , or }"},
		`{a:1}`:                 {1, "want a field name"},
		`{"a" 1}`:               {5, "want : after"},
		`{"a":1,"\u0061":2}`:    {7, `"a" stands here twice`},
		`NaN`:                   {0, "want a number, text"},
		`Infinity`:              {0, "want a number, text"},
		`+1`:                    {0, "want a number, text"},
		`.5`:                    {0, "want a number, text"},
		`-`:                     {0, "digits after -"},
		`-x`:                    {0, "digits after -"},
		`1.`:                    {0, "digits after the decimal point"},
		`1.e5`:                  {0, "digits after the decimal point"},
		`1e`:                    {0, "digits after e"},
		`01`:                    {1, "want the end"},
		`1e999`:                 {0, "too large"},
		`-1e999`:                {0, "too large"},
		`0x10`:                  {1, "want the end"},
		"\"a\nb\"":              {2, "closing quote"},
		`"\x41"`:                {1, "after the backslash"},
		`"\u12g4"`:              {1, "four hexadecimal digits"},
		`"\u12`:                 {1, "four hexadecimal digits"},
		`"\ud83d"`:              {1, "half a character"},
		`"\ud83d\u0041"`:        {1, "half a character"},
		`"\ude00\ud83d"`:        {1, "half a character"},
		"\xef\xbb\xbf1":         {0, "byte-order mark"},
		"[\"\xff\"]":            {2, "UTF-8"},
		"\"\xed\xa0\x80\"":      {1, "UTF-8"},
		`tru`:                   {0, "want a number, text"},
		`nulll`:                 {4, "want the end"},
		`'a'`:                   {0, "want a number, text"},
		`1 // a note`:           {2, "want the end"},
		strings.Repeat("9", 41): {0, "more than 40 digits"},
		strings.Repeat("[", 33): {32, "more than 32 deep"},
	} {
		_, bad := parse([]byte(text))
		if bad == nil || bad.at != want.at || !strings.Contains(bad.problem, want.problem) {
			t.Errorf("%q: %+v, want %+v", text, bad, want)
		}
	}
	if _, bad := parse([]byte(strings.Repeat("[", 32) + strings.Repeat("]", 32))); bad != nil {
		t.Errorf("32 deep: %v", bad)
	}
}

// The measure of a text that is not laid out yet, against laying it out.
func TestIndentedSize(t *testing.T) {
	r := seeded(t, 71)
	for range 300 {
		f := randomFile(r)
		text := planText(f.Plan, fullChoices)
		for depth := range 4 {
			var b bytes.Buffer
			if err := json.Indent(&b, []byte(text), strings.Repeat("  ", depth), "  "); err != nil {
				t.Fatal(err)
			}
			want := 2*depth + b.Len() + len(",\n")
			got := indentedSize(text, depth)
			if empty := strings.Contains(text, "[]") || strings.Contains(text, "{}"); got < want || got > want && !empty {
				t.Fatalf("%d bytes at depth %d, measured %d:\n%s", want, depth, got, text)
			}
		}
	}
}
