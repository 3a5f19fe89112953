package page

import (
	"strings"
	"sync"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// The lettering is Go Regular and Go Bold (BSD licence), which are part of the
// program: pages look the same on every machine.
var faces = [2]func() *sfnt.Font{
	sync.OnceValue(func() *sfnt.Font { return parsed(goregular.TTF) }),
	sync.OnceValue(func() *sfnt.Font { return parsed(gobold.TTF) }),
}

func parsed(ttf []byte) *sfnt.Font {
	f, err := sfnt.Parse(ttf)
	if err != nil {
		panic("page: the lettering: " + err.Error())
	}
	return f
}

func faceOf(bold bool) *sfnt.Font {
	if bold {
		return faces[1]()
	}
	return faces[0]()
}

// lettered returns words with "?" for what cannot be lettered; control characters
// are left away.
func lettered(words string, bold bool) string {
	var buf sfnt.Buffer
	f := faceOf(bold)
	return strings.Map(func(r rune) rune {
		if r < ' ' || r >= 0x7f && r < 0xa0 {
			return -1
		}
		if i, err := f.GlyphIndex(&buf, r); err != nil || i == 0 || r > 0xffff {
			return '?'
		}
		return r
	}, words)
}

// Width returns the width of words in millimetres, without kerning, which the
// pages do without too.
func Width(words string, size float64, bold bool) float64 {
	var buf sfnt.Buffer
	f := faceOf(bold)
	em := fixed.Int26_6(f.UnitsPerEm()) << 6
	sum := 0
	for _, r := range lettered(words, bold) {
		i, err := f.GlyphIndex(&buf, r)
		if err != nil {
			continue
		}
		if a, err := f.GlyphAdvance(&buf, i, em, font.HintingNone); err == nil {
			sum += int(a)
		}
	}
	return float64(sum) / float64(em) * size
}

// Wrap breaks words into lines of at most width millimetres between words; a word
// that is longer alone stands on a line of its own.
func Wrap(words string, size float64, bold bool, width float64) []string {
	var out []string
	line := ""
	fields := strings.Fields(words)
	for i := 0; i < len(fields); i++ {
		w := fields[i]
		for i+1 < len(fields) && strings.HasPrefix(fields[i+1], "%") { // a number stays with its percent
			i++
			w += " " + fields[i]
		}
		next := w
		if line != "" {
			next = line + " " + w
		}
		if line != "" && Width(next, size, bold) > width {
			out, next = append(out, line), w
		}
		line = next
	}
	return append(out, line)
}

// Descent and Cap return how far the lettering falls below its baseline, and how
// high capitals and figures are, in millimetres.
func Descent(size float64) float64 { return 0.22 * size }
func Cap(size float64) float64     { return 0.72 * size }
