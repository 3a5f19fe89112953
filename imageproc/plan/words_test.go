package plan

import (
	"errors"
	"image"
	"slices"
	"strings"
	"testing"

	"atelier/halflid/palette"
	"atelier/halflid/palette/oracle"
)

func TestParseCrop(t *testing.T) {
	for typed, want := range map[string]Crop{
		"0,0,1":            {0, 0, 1, 0},
		" 0.1, 0.2 ,0.5":   {0.1, 0.2, 0.5, 0},
		"0.1,0.2,0.5,0.25": {0.1, 0.2, 0.5, 0.25},
		"0.7,0,0.3":        {0.7, 0, 0.3, 0},
		".5,.5,.5,.5":      {0.5, 0.5, 0.5, 0.5},
	} {
		if got, err := ParseCrop(typed); err != nil || got != want {
			t.Errorf("%q: %+v, %v", typed, got, err)
		}
	}
	for typed, part := range map[string]string{
		"":                                "three or four numbers",
		"0,0":                             "three or four numbers",
		"0,0,1,1,1":                       "three or four numbers",
		"a,0,1":                           `left edge "a" is not a number`,
		"0,NaN,1":                         `upper edge "NaN" is not a number`,
		"0,0,1e-3":                        `width "1e-3" is not a number`,
		"0,0,0":                           "width is 0: there would be nothing",
		"0,0,1,0":                         "height is 0: there would be nothing",
		"-0.1,0,1":                        "left edge -0.1 lies outside",
		"0,1.5,1":                         "upper edge 1.5 lies outside",
		"0.6,0,0.5":                       "past the photo's edge",
		"0,0.6,0.5,0.5":                   "past the photo's edge",
		"0,0,--1":                         "is not a number",
		"0,0," + strings.Repeat("9", 400): "is not a number",
	} {
		if _, err := ParseCrop(typed); !errors.Is(err, ErrWords) || !strings.Contains(err.Error(), part) {
			t.Errorf("%.20q: %v, want %q", typed, err, part)
		}
	}
}

func TestParseCuts(t *testing.T) {
	for _, c := range []struct {
		typed string
		m     CutMethod
		cuts  []palette.Value
	}{
		{"nested", CutNested, nil},
		{"least", CutLeastError, nil},
		{"Least error", CutLeastError, nil},
		{"equal", CutEqualSteps, nil},
		{" equal steps ", CutEqualSteps, nil},
		{"5", CutByHand, []palette.Value{5}},
		{"3.5, 6.2", CutByHand, []palette.Value{3.5, 6.2}},
		{"0.1,0.2,9.8,9.9", CutByHand, []palette.Value{0.1, 0.2, 9.8, 9.9}},
	} {
		m, cuts, err := ParseCuts(c.typed)
		if err != nil || m != c.m || !slices.Equal(cuts, c.cuts) {
			t.Errorf("%q: %v %v %v", c.typed, m, cuts, err)
		}
	}
	for typed, part := range map[string]string{
		"":          "write nested, least, equal",
		"best":      "write nested, least, equal",
		"3,x":       "write nested, least, equal",
		"0,5":       "0.1 to 9.9",
		"5,10":      "0.1 to 9.9",
		"6,3":       "out of order",
		"5,5.05":    "at least 0.1 apart",
		"1,2,3,4,5": "at most 4 cuts",
	} {
		if _, _, err := ParseCuts(typed); !errors.Is(err, ErrWords) || !strings.Contains(err.Error(), part) {
			t.Errorf("%q: %v, want %q", typed, err, part)
		}
	}
}

func TestParseTones(t *testing.T) {
	for _, c := range []struct {
		typed string
		m     ToneMethod
		tones []palette.Value
	}{
		{"mean", ToneMean, nil},
		{"FIXED", ToneFixed, nil},
		{"0,10", ToneByHand, []palette.Value{0, 10}},
		{"2,5,8", ToneByHand, []palette.Value{2, 5, 8}},
	} {
		m, tones, err := ParseTones(c.typed)
		if err != nil || m != c.m || !slices.Equal(tones, c.tones) {
			t.Errorf("%q: %v %v %v", c.typed, m, tones, err)
		}
	}
	for typed, part := range map[string]string{
		"median":      "write mean, fixed",
		"5":           "2 to 5 values",
		"1,2,3,4,5,6": "2 to 5 values",
		"2,11":        "0 to 10",
		"5,2":         "out of order",
	} {
		if _, _, err := ParseTones(typed); !errors.Is(err, ErrWords) || !strings.Contains(err.Error(), part) {
			t.Errorf("%q: %v, want %q", typed, err, part)
		}
	}
}

// What is typed goes through the edits into the plan unchanged.
func TestTypedDecisionsReachThePlan(t *testing.T) {
	crop, err := ParseCrop("0.1,0.2,0.5")
	if err != nil {
		t.Fatal(err)
	}
	_, cuts, err := ParseCuts("3.5,6.2")
	if err != nil {
		t.Fatal(err)
	}
	_, tones, err := ParseTones("2,5,8.25")
	if err != nil {
		t.Fatal(err)
	}
	p := Default(harbour.Photo)
	for _, e := range []Edit{SetCrop(crop), SetCuts(cuts), SetTones(tones)} {
		p = e(p, harbour)
	}
	if p.Crop != crop || !slices.Equal(p.Values.HandCuts(), cuts) || !slices.Equal(p.Values.HandTones(), tones) {
		t.Errorf("%+v", p)
	}
}

func TestParseFocus(t *testing.T) {
	for in, want := range map[string]Focus{
		"0.4,0.5": {0.4, 0.5, UsualRadius, ""}, " 0 , 1 , 0.3 ": {0, 1, 0.3, ""}, "none": {}, "None ": {},
		"0.4,0.5,Strong": {0.4, 0.5, UsualRadius, FallStrong}, "0.4,0.5,0.1, gentle": {0.4, 0.5, 0.1, FallGentle},
	} {
		if got, err := ParseFocus(in); err != nil || got != want {
			t.Errorf("%q: %v, %v", in, got, err)
		}
	}
	for in, part := range map[string]string{
		"": "not two or three numbers", "0.4": "not two or three numbers", "0.1,0.2,0.3,0.4": "not two or three numbers",
		"0.1,0.2,0.3,hard": "not two or three numbers", "0.1,strong": `place down "strong" is not a number: write`,
		"0.4,1.2": "place down 1.2 lies outside the photo", "-1,0.2": "place across -1 lies outside the photo",
		"a,b": `place across "a" is not a number: write`, "NaN,0.5": `place across "NaN" is not a number`,
		"0.1,0.2,0": "radius 0 is out of range", "0.1,0.2,9": "radius 9 is out of range: it is a part of the photo's long side, from 0.02 to 1",
		"0.1,0.2,steep": `radius "steep" is not a number`,
	} {
		if _, err := ParseFocus(in); !errors.Is(err, ErrWords) || !strings.Contains(err.Error(), part) {
			t.Errorf("%q: %v, want %q", in, err, part)
		}
	}
}

// A 3 mm brush on 6x8 in: 9 mm2 of 152.4 by 203.2 mm. On a panel of four times
// the area the same brush covers a quarter of that share.
func TestBrushShare(t *testing.T) {
	p := Default(image.Pt(4000, 3000))
	want := 9 / (152.4 * 203.2)
	oracle.Close(t, "6x8 in", p.BrushShare(), want, 1e-12)
	f := Frame{image.Pt(4000, 3000)}
	oracle.Close(t, "12x16 in", SetPanel(Panel{Short: 12, Long: 16, Unit: Inch})(p, f).BrushShare(), want/4, 1e-12)
	oracle.Close(t, "free", SetPanel(Panel{})(p, f).BrushShare(), want, 1e-12)
	oracle.Close(t, "no brush", SetBrush(0)(p, f).BrushShare(), 0, 0)
}
