package tui

import "testing"

func TestLineDropsTheLeastImportantFirst(t *testing.T) {
	pieces := func() []piece {
		return []piece{{"boat.jpg", 1}, {"6x8 in across", 2}, {"", 0}, {"squint 1.0 %", 3}}
	}
	for _, c := range []struct {
		width int
		want  string
	}{
		{80, "boat.jpg  6x8 in across  squint 1.0 %"},
		{36, "boat.jpg  6x8 in across"},
		{12, "boat.jpg"},
		{5, "boat…"},
	} {
		if got := line(c.width, pieces()...); got != c.want {
			t.Errorf("in %d columns: %q, want %q", c.width, got, c.want)
		}
	}
	if got := line(10); got != "" {
		t.Errorf("no pieces: %q", got)
	}
}

func TestWords(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{munsell(51.004), "N5.0"},
		{percent(0), "0 %"},
		{percent(0.004), "<1 %"},
		{percent(0.314), "31 %"},
		{counted(1, "shape", "shapes"), "1 shape"},
		{counted(12, "shape", "shapes"), "12 shapes"},
		{valuesWord(3), "three values"},
		{pad("ab", 4), "ab  "},
		{pad("abcde", 4), "abcde"},
	} {
		if c.got != c.want {
			t.Errorf("got %q, want %q", c.got, c.want)
		}
	}
}
