package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"unicode"
	"unicode/utf16"
)

// printJSON writes v as indented JSON. Names and words from files may hold what a
// terminal acts upon or does not show: such characters are written as escapes,
// which say the same to whoever reads the JSON.
func printJSON(w io.Writer, v any) error {
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	if err := enc.Encode(v); err != nil {
		return err
	}
	var out bytes.Buffer
	for _, r := range b.String() {
		if r == '\n' || !unicode.In(r, unicode.Cc, unicode.Cf, unicode.Zl, unicode.Zp) {
			out.WriteRune(r)
			continue
		}
		for _, u := range utf16.Encode([]rune{r}) {
			fmt.Fprintf(&out, `\u%04x`, u)
		}
	}
	_, err := w.Write(out.Bytes())
	return err
}
