package plan

import (
	"fmt"
	"os"
	"regexp"
	"strings"
	"testing"
)

// both checks that Read and the schema are of one mind about a file.
func both(t *testing.T, valid func([]byte) error, what, text string, sound bool) {
	t.Helper()
	if _, err := Read([]byte(text)); (err == nil) != sound {
		t.Errorf("%s: Read says %v, sound %v", what, err, sound)
	}
	if err := valid([]byte(text)); (err == nil) != sound {
		t.Errorf("%s: the schema says %v, sound %v", what, err, sound)
	}
}

// with returns text with v in place of the first number or text after the
// field's name.
func with(t *testing.T, text, field, v string) string {
	t.Helper()
	at := regexp.MustCompile(`"` + field + `": [-0-9"][^,\n]*`).FindStringIndex(text)
	if at == nil {
		t.Fatalf("no field %q", field)
	}
	return text[:at[0]] + `"` + field + `": ` + v + text[at[1]:]
}

// Each number is read, and valid, at both ends of its range, and at the next
// decimal beyond it is not.
func TestRangesOfNumbers(t *testing.T) {
	valid := validator(t)
	text := strings.Replace(string(moorings(t).Text()), `"choices": [`, `"focus": {"x": 0.5, "y": 0.5, "radius": 0.2, "fall": "strong"}, "choices": [`, 1)
	both(t, valid, "the file itself", text, true)
	focus := strings.Index(text, `"focus"`)
	for _, c := range []struct {
		field        string
		lo, hi, step float64
		from         int
	}{
		{"x", 0, 0, 0.000001, 0},
		{"y", 0, 0, 0.000001, 0},
		{"w", 0.000001, 1, 0.000001, 0},
		{"squint", 0, MaxSquint, 0.01, 0},
		{"wanted", 0, MaxWanted, 1, 0},
		{"brush_mm", 0, MaxBrush, 0.1, 0},
		{"x", 0, 1, 0.0001, focus},
		{"y", 0, 1, 0.0001, focus},
		{"radius", minRadius, MaxRadius, 0.0001, focus},
		{"dx", -1, 1, 0.0001, focus},
		{"dy", -1, 1, 0.0001, focus},
		{"scale", MinScale, MaxScale, 0.01, focus},
		{"tone", 0, 10, 0.01, focus},
		{"shapes", 1, MaxWanted, 1, focus},
		{"smooth", 0, MaxSmooth, 0.1, focus},
	} {
		put := func(v float64, sound bool) {
			t.Helper()
			v = round(v, 1e6)
			both(t, valid, fmt.Sprintf("%s of %v", c.field, v), text[:c.from]+with(t, text[c.from:], c.field, number(v)), sound)
		}
		for _, v := range []string{`"1"`, "true", "null"} {
			both(t, valid, c.field+" of "+v, text[:c.from]+with(t, text[c.from:], c.field, v), false)
		}
		if c.step == 1 {
			put(1.5, false)
		}
		put(c.lo, true)
		put(c.hi, true)
		put(c.lo-c.step, false)
		if c.hi > c.lo { // a crop of the whole photo cannot move
			put(c.hi+c.step, false)
		}
	}
	for _, field := range []string{"x", "y"} { // of a crop
		both(t, valid, field+" beyond the edge", with(t, text, field, "1.000001"), false)
	}
	free := string(boatyard(t).Text()) // a thumbnail of it has a free panel
	for v, sound := range map[string]bool{"0.000001": true, "0": false, "1.000001": false} {
		both(t, valid, "a free crop of height "+v, with(t, free, "h", v), sound)
	}
	wide := with(t, with(t, text, "width", number(MaxSide)), "height", number(MaxSide))
	both(t, valid, "the largest photo", wide, true)
	both(t, valid, "the smallest photo", with(t, with(t, text, "width", "1"), "height", "1"), true)
	for _, field := range []string{"width", "height"} {
		for _, side := range []string{"0", number(MaxSide + 1)} {
			both(t, valid, "a photo of "+field+" "+side, with(t, wide, field, side), false)
		}
	}
	for _, field := range []string{"width", "height", "count", "done", "of", "value"} {
		for _, v := range []string{`"3"`, "2.5", "null"} {
			both(t, valid, field+" of "+v, with(t, wide, field, v), false)
		}
	}
	for of := MinK - 1; of <= MaxK+1; of++ {
		for v := -1; v <= of; v++ {
			s := with(t, with(t, text, "of", fmt.Sprint(of)), "value", fmt.Sprint(v))
			both(t, valid, fmt.Sprintf("value %d of %d", v, of), s, of >= MinK && of <= MaxK && v >= 0 && v < of)
		}
	}
}

// There is one cut fewer than there are values, and a tone for each; cuts lie
// inside the scale, tones on it.
func TestCountsOfCutsAndTones(t *testing.T) {
	valid := validator(t)
	text := string(boatyard(t).Text())
	list := func(n int) string {
		at := make([]string, n)
		for i := range at {
			at[i] = fmt.Sprint(i + 1)
		}
		return `"at": [` + strings.Join(at, ", ") + `]`
	}
	lists := regexp.MustCompile(`"at": \[[^\]]*\]`)
	for k := MinK - 1; k <= MaxK+1; k++ {
		for cuts := range MaxK + 2 {
			for tones := range MaxK + 3 {
				s := with(t, text, "count", fmt.Sprint(k))
				at := lists.FindAllStringIndex(s, 2)
				s = s[:at[0][0]] + list(cuts) + s[at[0][1]:at[1][0]] + list(tones) + s[at[1][1]:]
				both(t, valid, fmt.Sprintf("%d values, %d cuts, %d tones", k, cuts, tones), s, k >= MinK && k <= MaxK && cuts == k-1 && tones == k)
			}
		}
	}
	for was, beyond := range map[string][2]string{"3.5,\n": {"0.1", "0.09"}, "6.25\n": {"9.9", "9.91"}, "2,\n": {"0", "-0.01"}, "8.5\n": {"10", "10.01"}} {
		for i, v := range beyond {
			both(t, valid, v+" for "+was, strings.Replace(text, was, v+strings.Trim(was, "0123456789."), 1), i == 0)
		}
	}
}

// Lists and names are read, and valid, as long as they may be, and no longer.
func TestLimitsOfLists(t *testing.T) {
	valid := validator(t)
	f := boatyard(t)
	none := func(Choices) string { return "" }
	for n := len(f.Thumbnails); n < MaxThumbnails; n++ {
		f, _ = f.Keep("", f.Plan)
	}
	h := NewHistory(f.state())
	for n := range MaxKept {
		h = h.Do(strings.Repeat("\u00e9", maxName-3)+fmt.Sprintf("%03d", n), SetSquint(float64(n+2)/10)(h.Plan(), f.Photo.Frame()))
	}
	full := string(f.WithHistory(h).Text())
	both(t, valid, "full lists", full, true)

	few := string(moorings(t).Text())
	thumbnail := thumbText(f.Thumbnails[0], none)
	step := `{"action": "more", "plan": ` + planText(f.Plan, none) + `}`
	past := func(text, places string) string {
		return strings.Replace(text, `"steps": [`, `"steps": [{"action": "", "plan": `+planText(f.Plan, none)+`, "thumbnails": [`+places+`]},`, 1)
	}
	short := func(s string) string { // one step fewer: room for another
		return strings.Replace(s, s[strings.LastIndex(s, ",\n      {\n        \"action\""):], "]}}", 1)
	}
	for _, c := range []struct {
		what, text string
		sound      bool
	}{
		{"a thumbnail more", strings.Replace(full, `"thumbnails": [`, `"thumbnails": [`+thumbnail+",", 1), false},
		{"a step more", strings.Replace(full, `"steps": [`, `"steps": [`+step+",", 1), false},
		{"one step more done", with(t, full, "done", fmt.Sprint(MaxKept+1)), false},
		{"less than none done", with(t, few, "done", "-1"), false},
		{"none done", with(t, few, "done", "0"), true},
		{"thumbnails after a step", with(t, short(past(full, strings.Repeat("199,", MaxThumbnails-1)+"0")), "done", "0"), true},
		{"too many after a step", with(t, short(past(full, strings.Repeat("0,", MaxThumbnails)+"0")), "done", "0"), false},
		{"one there is not", with(t, short(past(full, "200")), "done", "0"), false},
		{"one before the first", past(few, "-1"), false},
		{"a name of one character", with(t, few, "name", `"a"`), true},
		{"the longest name of a photo", with(t, few, "name", `"`+strings.Repeat("a", maxPhotoName)+`"`), true},
		{"a longer one", with(t, few, "name", `"`+strings.Repeat("a", maxPhotoName+1)+`"`), false},
	} {
		both(t, valid, c.what, c.text, c.sound)
	}

	plain := string(boatyard(t).Text())
	entry := `{"what": "leave out", "area": ["0,0 1,0 1,1"]},`
	table := func(n, first, chosen int) string { // places of the plan from first on
		places := make([]string, chosen)
		for i := range places {
			places[i] = fmt.Sprint(first + i)
		}
		s := strings.Replace(plain, `"thumbnails": [`, `"choices": [`+strings.TrimSuffix(strings.Repeat(entry, n), ",")+`], "thumbnails": [`, 1)
		return strings.Replace(s, `"shapes": {`, `"choices": [`+strings.Join(places, ",")+`], "shapes": {`, 1)
	}
	both(t, valid, "a full list of choices", table(MaxChoices+1, 1, MaxChoices), true)
	both(t, valid, "a choice more in a plan", table(MaxChoices+1, 0, MaxChoices+1), false)
	if os.Getenv("HALFLID_HEAVY") == "1" {
		both(t, valid, "the longest list of the file", table(maxTable, maxTable-1, 1), true)
		both(t, valid, "a choice more in the file", table(maxTable+1, 0, 1), false)
		both(t, valid, "a place after the last", table(maxTable, maxTable, 1), false)
	}
}
