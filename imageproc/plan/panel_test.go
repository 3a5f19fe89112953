package plan

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"atelier/halflid/palette/oracle"
)

// Published: t10_formats.csv (ISO 216:2007 trimmed sizes; trade sizes in inches).
func TestPanelsAgainstPublishedFormats(t *testing.T) {
	tab := oracle.Load(t, "t10_formats.csv", 30)
	checked := map[string]bool{}
	for _, row := range tab.Rows {
		name, unit := row.Text(t, "name"), row.Text(t, "unit")
		iso := len(name) == 2 && name[0] == 'A'
		if !iso && !strings.Contains(name, "x") {
			continue // paper and root rectangles: no panels
		}
		typed := name
		if !iso {
			typed += unit
		}
		p, err := ParsePanel(typed)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		checked[p.Name()] = true
		oracle.Close(t, name+" short", p.Short, row.Num(t, "short"), 0)
		oracle.Close(t, name+" long", p.Long, row.Num(t, "long"), 0)
		oracle.Close(t, name+" ratio", 1/p.Aspect(), row.Num(t, "ratio"), 5e-9)
		p.Way = Across
		oracle.Close(t, name+" ratio across", p.Aspect(), row.Num(t, "ratio"), 5e-9)
		if string(p.Unit) != unit {
			t.Errorf("%s: unit %s, want %s", name, p.Unit, unit)
		}
	}
	for _, p := range Panels() {
		if p.Unit != Centimetre && !p.Free() && !checked[p.Name()] {
			t.Errorf("%s is on offer but in no published row", p.Name())
		}
	}
	if len(checked) != 21 {
		t.Errorf("%d rows checked, want 21", len(checked))
	}
}

func TestParsePanel(t *testing.T) {
	for _, c := range []struct {
		typed string
		want  Panel
	}{
		{"6x8", Panel{6, 8, Inch, Unsaid}},
		{" 6 x 8 IN ", Panel{6, 8, Inch, Unsaid}},
		{"6×8″", Panel{6, 8, Inch, Unsaid}},
		{"6 by 8 inches upright", Panel{6, 8, Inch, Upright}},
		{"8x6", Panel{6, 8, Inch, Across}},
		{"8x6 upright", Panel{6, 8, Inch, Upright}},
		{"9x12, across", Panel{9, 12, Inch, Across}},
		{"landscape 9x12", Panel{9, 12, Inch, Across}},
		{"13x18", Panel{13, 18, Centimetre, Unsaid}},
		{"18x24", Panel{18, 24, Centimetre, Unsaid}},
		{"18x24in", Panel{18, 24, Inch, Unsaid}},
		{"7x9", Panel{7, 9, Inch, Unsaid}},
		{"2.5x3.5", Panel{2.5, 3.5, Inch, Unsaid}},
		{"13,5x18 cm", Panel{13.5, 18, Centimetre, Unsaid}},
		{"square,8in", Panel{8, 8, Inch, Unsaid}},
		{"a5 across", Panel{148, 210, Millimetre, Across}},
		{"A4", Panel{210, 297, Millimetre, Unsaid}},
		{"square", Panel{6, 6, Inch, Unsaid}},
		{"square 8 in", Panel{8, 8, Inch, Unsaid}},
		{"square 20cm", Panel{20, 20, Centimetre, Unsaid}},
		{"free", Panel{}},
		{"free across", Panel{Way: Across}},
	} {
		got, err := ParsePanel(c.typed)
		if err != nil || got != c.want {
			t.Errorf("%q: %+v, %v; want %+v", c.typed, got, err, c.want)
		}
	}
}

func TestParsePanelSuggests(t *testing.T) {
	for _, c := range []struct{ typed, part string }{
		{"", "no panel is named"},
		{"A7", "did you mean A5?"},
		{"sqare", "did you mean square?"},
		{"fre", "did you mean free?"},
		{"6x", "did you mean 6x"},
		{"11-14", "did you mean 11x14 in?"},
		{"13/18 cm", "did you mean 13x18 cm?"},
		{"NaNxInf", "there is no panel"},
		{"1e3x2e3", "there is no panel"},
		{"-6x8", "there is no panel"},
		{"6x8x10", "there is no panel"},
		{"square square", "there is no panel"},
		{"0x0", "between 2 cm and 3 m"},
		{"1x40", "between 2 cm and 3 m"},
		{"0.1x0.2", "between 2 cm and 3 m"},
		{"9999x9999", "between 2 cm and 3 m"},
		{strings.Repeat("x", 100000), "there is no panel"},
	} {
		p, err := ParsePanel(c.typed)
		if !errors.Is(err, ErrWords) || !strings.Contains(err.Error(), c.part) {
			t.Errorf("%.20q: %+v, %.200v; want %q", c.typed, p, err, c.part)
		}
	}
}

// Sides from 2 cm to 3 m, the long one ten times the short one at most.
func TestPanelLimits(t *testing.T) {
	for typed, ok := range map[string]bool{
		"2x3 cm": true, "1.99x3 cm": false, "20x30 mm": true, "19.99x30 mm": false, "0.79x1 in": true, "0.78x1 in": false,
		"100x300 cm": true, "100x300.01 cm": false, "60x118.11 in": true, "60x118.12 in": false,
		"2x20 in": true, "2x20.01 in": false,
	} {
		if p, err := ParsePanel(typed); (err == nil) != ok {
			t.Errorf("%s: %v, %v", typed, p, err)
		}
		// An edit makes a panel of the usual size of what is none.
		var p Panel
		if n, err := fmt.Sscanf(typed, "%fx%f %s", &p.Short, &p.Long, &p.Unit); n != 3 {
			t.Fatal(err)
		}
		if q := p.fit(); q.same(p) != ok || !ok && q.Name() != "6x8 in" {
			t.Errorf("%s is made %s", typed, q.Name())
		}
	}
	for _, p := range []Panel{{Long: 8, Unit: Inch}, {Short: 6, Unit: Inch}, {Short: 6, Long: 8}} { // nor are these free
		if q := p.fit(); q != (Panel{6, 8, Inch, Upright}) {
			t.Errorf("%+v is made %s", p, q.Name())
		}
	}
}

func TestPanelNamesReadBack(t *testing.T) {
	for _, p := range Panels() {
		for _, way := range []Way{Unsaid, Upright, Across} {
			p.Way = way
			got, err := ParsePanel(p.Name() + " " + string(way))
			if err != nil || got != p {
				t.Errorf("%v: %+v, %v", p, got, err)
			}
		}
	}
}

func TestPanelWords(t *testing.T) {
	for _, c := range []struct {
		p             Panel
		str, inch, cm string
	}{
		{Panel{6, 8, Inch, Upright}, "6x8 in upright", "6 x 8 in", "15.2 x 20.3 cm"},
		{Panel{6, 8, Inch, Across}, "6x8 in across", "8 x 6 in", "20.3 x 15.2 cm"},
		{Panel{148, 210, Millimetre, Across}, "A5 across", "8.27 x 5.83 in", "21 x 14.8 cm"},
		{Panel{13, 18, Centimetre, Unsaid}, "13x18 cm", "5.12 x 7.09 in", "13 x 18 cm"},
		{Panel{8, 8, Inch, Upright}, "8x8 in square", "8 x 8 in", "20.3 x 20.3 cm"},
		{Panel{Way: Across}, "free", "free", "free"},
	} {
		if c.p.String() != c.str || c.p.In(Inch) != c.inch || c.p.In(Centimetre) != c.cm {
			t.Errorf("%q %q %q, want %q %q %q", c.p.String(), c.p.In(Inch), c.p.In(Centimetre), c.str, c.inch, c.cm)
		}
	}
	if w, h := (Panel{}).Size(Inch); w != 0 || h != 0 {
		t.Errorf("a free panel measures %v by %v", w, h)
	}
	defer func() {
		if recover() == nil {
			t.Error("a size in ells")
		}
	}()
	Panel{6, 8, Inch, Upright}.Size("ell")
}
