package photo

import (
	"strings"
	"testing"
	"unicode"

	"pgregory.net/rapid"
)

func TestSafeName(t *testing.T) {
	for in, want := range map[string]string{
		"Low tide 3.jpg":           "Low tide 3.jpg",
		"grüne Boje – 潮.png":       "grüne Boje – 潮.png",
		"a\x1b[31mred\x1b[0m.jpg":  "ared.jpg",
		"a\x1b]0;title\x07b":       "ab",
		"a\x1b]8;;x\x1b\\link":     "alink",
		"a\x1bPq#0\x1b\\b":         "ab",
		"a\x1b(Bb\x1bcc":           "abc",
		"a\u009b31mb\u009d0;x\ab":  "abb",
		"a\u202egpj.exe":           "agpj.exe",
		"a\u2066b\u2069c\u200fd":   "abcd",
		"zero\u200bwidth\ufeff":    "zerowidth",
		"two\nlines\tand\rmore":    "two lines and more",
		"nul\x00bel\x07del\x7f":    "nulbeldel",
		"latin\xe9":                "latin\ufffd",
		"lone\x1b":                 "lone",
		"cut\x1b[":                 "cut",
		"\x1b]never ended":         "",
		"a\x1b[3\x1b[4mb":          "ab",
		"line\u2028sep\u2029arate": "lineseparate",
		"":                         "",
	} {
		if got := SafeName(in); got != want {
			t.Errorf("SafeName(%q) = %q, want %q", in, got, want)
		}
	}
}

func TestSafeNameProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		parts := rapid.SliceOf(rapid.OneOf(rapid.String(),
			rapid.SampledFrom([]string{"\x1b", "[", "]", "\x07", "\u009b", "31m", "\\", "\u202e", "\xff", "P"}))).Draw(t, "parts")
		in := strings.Join(parts, "")
		out := SafeName(in)
		for _, r := range out {
			if unicode.In(r, unicode.Cc, unicode.Cf, unicode.Zl, unicode.Zp) {
				t.Fatalf("%q left %U in %q", in, r, out)
			}
		}
		if again := SafeName(out); again != out {
			t.Fatalf("%q gives %q, then %q", in, out, again)
		}
	})
}
