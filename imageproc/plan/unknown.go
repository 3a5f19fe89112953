package plan

import (
	"bytes"
	"encoding/json"
	"strings"
)

// unknown holds fields of a file that this version does not know: a line for
// each, of the path of the object that has it, the known field it follows (none:
// it comes first), its name as written and its value without spaces, with tabs
// between. JSON text has neither tabs nor line ends once its spaces are gone. A
// string keeps a Plan comparable and safe to share.
type unknown string

// unknownLine returns one line of an unknown.
func unknownLine(path, after, rawName string, value []byte) string {
	var b bytes.Buffer
	if err := json.Compact(&b, value); err != nil {
		panic("plan: unknown field is no JSON: " + err.Error())
	}
	return path + "\t" + after + "\t" + rawName + "\t" + b.String() + "\n"
}

// after returns the fields of the object at path that follow the known field,
// each as "name":value.
func (u unknown) after(path, field string) []string {
	var out []string
	for line := range strings.Lines(string(u)) {
		if rest, ok := strings.CutPrefix(line, path+"\t"+field+"\t"); ok {
			name, value, _ := strings.Cut(strings.TrimSuffix(rest, "\n"), "\t")
			out = append(out, name+":"+value)
		}
	}
	return out
}

// field is one known field of an object to be written; an empty text leaves it
// out, but not the unknown fields that follow it.
type field struct{ name, text string }

// object returns a JSON object without spaces, its known fields in the order
// given and the unknown ones where they stood.
func object(u unknown, path string, fields ...field) string {
	parts := u.after(path, "")
	for _, f := range fields {
		if f.text != "" {
			parts = append(parts, `"`+f.name+`":`+f.text)
		}
		parts = append(parts, u.after(path, f.name)...)
	}
	return "{" + strings.Join(parts, ",") + "}"
}

// list returns a JSON list without spaces.
func list[T any](items []T, text func(T) string) string {
	parts := make([]string, len(items))
	for i, v := range items {
		parts[i] = text(v)
	}
	return "[" + strings.Join(parts, ",") + "]"
}

// quoted returns s as JSON text; invalid UTF-8 becomes U+FFFD.
func quoted(s string) string {
	var b strings.Builder
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	if err := e.Encode(s); err != nil {
		panic("plan: " + err.Error()) // a string always encodes
	}
	return strings.TrimSuffix(b.String(), "\n")
}

// indented returns compact JSON in the form of the plan file: two spaces a
// level, LF, one at the end.
func indented(compact string) []byte {
	var b bytes.Buffer
	if err := json.Indent(&b, []byte(compact), "", "  "); err != nil {
		panic("plan: " + err.Error()) // object and list make valid JSON
	}
	b.WriteByte('\n')
	return b.Bytes()
}

// indentedSize returns how many bytes compact JSON takes in the form of the plan
// file when the value stands on a line of its own, depth levels deep, with its
// indent, comma and line end.
func indentedSize(compact string, depth int) int {
	n := len(compact) + 2 + 2*depth
	inText := false
	for i := 0; i < len(compact); i++ {
		switch c := compact[i]; {
		case inText && c == '\\':
			i++
		case c == '"':
			inText = !inText
		case inText:
		case c == ':':
			n++
		case c == '{' || c == '[':
			depth++
			n += 1 + 2*depth
		case c == '}' || c == ']':
			depth--
			n += 1 + 2*depth
		case c == ',':
			n += 1 + 2*depth
		}
	}
	return n
}
