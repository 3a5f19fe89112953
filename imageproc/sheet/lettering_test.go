package sheet

import (
	"image"
	"math/rand/v2"
	"strings"
	"testing"

	"atelier/halflid/palette"
)

// What is lettered can be read: each place on the line is compared with every
// letter that there is.
func TestWallWordsRead(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	for _, c := range []struct {
		width int
		words string
		want  []string
	}{
		{240, "three values", []string{"1  three values"}},
		{240, "Früh, Ebbe – čolnarna", []string{"1  Früh, Ebbe - čolnarna"}},
		{240, "干潮 at low tide", []string{"1  ?? at low tide"}},
		{240, "a\x1b[2J\tb", []string{"1  a?[2J?b"}},
		{240, "", []string{"1"}},
		{240, "quiet\n5x7 in upright · N2 N5 N8", []string{"1  quiet", "5x7 in upright · N2 N5 N8"}},
		{80, "more squint", []string{"1  more s…"}},
		{80, "morning", []string{"1  morning"}},
		{88, "more squint", []string{"1  more sq…"}},
		{3, "more squint", []string{"…"}},
		{416, "three values, evening light, farther", []string{"1  three values, evening …"}},
	} {
		tiles := []Tile{{flat(r, c.width, 30), c.words}}
		got := wallOf(t, tiles, WallOptions{})
		if lines := read(t, got, hang(tiles, WallOptions{})); strings.Join(lines, "\n") != strings.Join(c.want, "\n") {
			t.Errorf("%q on %d pixels reads %q, want %q", c.words, c.width, lines, c.want)
		}
	}
}

// read reads the words under the only picture of a wall.
func read(t *testing.T, img *image.Gray, h hanging) []string {
	t.Helper()
	alphabet := []rune{' ', '·', '…', 'ü', 'č', '?'}
	for r := '!'; r <= '~'; r++ {
		alphabet = append(alphabet, r)
	}
	blank := wordless(img.Rect.Size())
	var out []string
	for j := range h.lines {
		top := h.margin + h.sizes[0].Y + letterHeight*h.scale/2 + j*letterHeight*h.scale
		// The line stands in the middle of its place: it has as many letters as
		// bring its ends to where the first and last of them were found.
		for n := max(1, h.width/(letterWidth*h.scale)); n >= 0; n-- {
			left := h.margin + (h.width-n*letterWidth*h.scale)/2
			if text, ok := readLine(img, blank, h, image.Pt(left, top), n, alphabet); ok {
				out = append(out, text)
				break
			}
		}
	}
	return out
}

func wordless(size image.Point) *image.Gray {
	out := image.NewGray(image.Rectangle{Max: size})
	for i := range out.Pix {
		out.Pix[i] = grey(Ground).Y
	}
	return out
}

// readLine reads n letters, of which the first and the last are no spaces.
func readLine(img, blank *image.Gray, h hanging, at image.Point, n int, alphabet []rune) (string, bool) {
	var text []rune
	for i := range n {
		found := false
		for _, r := range alphabet {
			try := image.NewGray(blank.Rect)
			copy(try.Pix, blank.Pix)
			h.write(try, at, append(append([]rune{}, text...), r))
			if r == ' ' && (i == 0 || i == n-1) {
				continue
			}
			same := true
			cell := image.Rect(i*letterWidth, 0, (i+1)*letterWidth, letterHeight)
			for y := cell.Min.Y * h.scale; y < cell.Max.Y*h.scale && same; y++ {
				for x := cell.Min.X * h.scale; x < cell.Max.X*h.scale && same; x++ {
					same = try.GrayAt(at.X+x, at.Y+y) == img.GrayAt(at.X+x, at.Y+y)
				}
			}
			if same {
				text, found = append(text, r), true
				break
			}
		}
		if !found {
			return "", false
		}
	}
	return string(text), true
}

// The ink reads on the ground at 4.5:1 or better, which black does and white
// would not.
// Source: WCAG 2.2, relative luminance and contrast ratio, success criterion 1.4.3.
func TestWallInk(t *testing.T) {
	contrast := func(a, b palette.Y) float64 {
		return (max(float64(a), float64(b)) + 0.05) / (min(float64(a), float64(b)) + 0.05)
	}
	ground := palette.Grey(Ground.Y()).Linear().Y()
	if c := contrast(ground, inkValue.Y()); c < 4.5 {
		t.Errorf("ink on the ground has a contrast of %.2f", c)
	}
	if c := contrast(ground, palette.Value(10).Y()); c > 4.5 {
		t.Errorf("white would do too: %.2f", c)
	}
}

// Dashes and quotes of print are lettered as plain ones, what has no plain one as "?".
func TestLettersOf(t *testing.T) {
	for s, want := range map[string]string{
		"quay – low tide — “late”": `quay - low tide - "late"`,
		"the boat’s hull":          "the boat's hull",
		"Größe, høst, œuvre":       "Größe, høst, œuvre",
		"日本 Ω":                     "?? ?",
		"":                         "",
	} {
		if got := string(lettersOf(s)); got != want {
			t.Errorf("%q is lettered %q, not %q", s, got, want)
		}
	}
}
