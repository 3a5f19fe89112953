package plan

import (
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"
	"testing"
	"time"
)

// wrongChoices are wrong files made from moorings. An old text is looked for
// from the start of the file, so that those of one choice name its kind.
var wrongChoices = []change{
	// The table.
	{"\n  \"choices\": [", "\n  \"choices\": {}, \"more\": [", "choices", "want a list in [ ], found an object", true, true},
	{"\n  \"choices\": [", "\n  \"choices\": [ 7,", "choices[0]", "want an object in { }, found 7", true, true},
	{`"what": "leave out",`, ``, "choices[0].what", "missing", true, true},
	{`"what": "leave out"`, `"what": "bend"`, "choices[0].what", `want "leave out" or "move"`, true, true},
	{`"what": "leave out"`, `"what": 3`, "choices[0].what", "found 3", true, true},
	{`"what": "leave out"`, `"off": "yes", "what": "leave out"`, "choices[0].off", "want true or false", true, true},
	{`"area": [`, `"areas": [`, "choices[0].area", "missing", true, true},
	{`"what": "leave out",`, `"what": "leave out", "value": 1,`, "choices[0].value", `a choice "leave out" has no such field`, true, true},
	{`"what": "leave out",`, `"what": "leave out", "dx": 1,`, "choices[0].dx", "no such field", true, true},
	{`"what": "leave out",`, `"what": "leave out", "mirror": true,`, "choices[0].mirror", "no such field", true, true},
	{`"what": "leave out",`, `"what": "leave out", "other": ["0,0 1,0 1,1"],`, "choices[0].other", "no such field", true, true},
	{`"what": "leave out",`, `"what": "leave out", "depth": "far",`, "choices[0].depth", "no such field", true, true},
	{`"what": "leave out",`, `"what": "value",`, "choices[0].of", "missing", true, true},
	{`"what": "leave out",`, `"what": "move",`, "choices[0].dx", "missing", true, true},
	{`"what": "leave out",`, `"what": "add",`, "choices[0].of", "missing", true, true},
	{`"what": "leave out",`, `"what": "apart",`, "choices[0].other", "missing", true, true},
	{`"what": "leave out",`, `"what": "apart", "other": 3,`, "choices[0].other", "want a list of rings", true, true},
	{`"what": "leave out",`, `"what": "detail",`, "choices[0].shapes", "missing", true, true},
	{`"what": "leave out",`, `"what": "outline",`, "choices[0].smooth", "missing", true, true},
	{`"what": "leave out",`, `"what": "plane",`, "choices[0].plane", "missing", true, true},
	{`"what": "leave out",`, `"what": "depth",`, "choices[0].depth", "missing", true, true},
	{`"dx": 0.25`, `"dx": 1.25`, "choices[1].dx", "from -1 to 1", true, true},
	{`"dy": -0.1`, `"dy": "up"`, "choices[1].dy", `found "up"`, true, true},
	{`"scale": 1.25`, `"scale": 0`, "choices[1].scale", "from 0.1 to 10", true, true},
	{`"scale": 1.25`, `"size": 1`, "choices[1].scale", "missing", true, true},
	{`"mirror": true`, `"mirror": 1`, "choices[2].mirror", "want true or false, found 1", true, true},
	{`"of": 3`, `"of": 6`, "choices[3].of", "from 2 to 5", true, true},
	{`"value": 1`, `"value": 3`, "choices[4].value", "from 0 to 2", true, true},
	{`"value": 1`, `"value": 0.5`, "choices[4].value", "a whole number", true, true},
	{`"tone": 2.5`, `"tone": 11`, "choices[3].tone", "from 0 to 10", true, true},
	{`"shapes": 4`, `"shapes": 0`, "choices[7].shapes", "from 1 to 500", true, true},
	{`"smooth": 1.5`, `"smooth": 5.5`, "choices[8].smooth", "from 0 to 5", true, true},
	{`"plane": "sky"`, `"plane": "water"`, "choices[9].plane", `want "sky" or "ground" or "slant" or "upright"`, true, true},
	{`"depth": "far"`, `"depth": "deep"`, "choices[10].depth", `want "far" or "middle" or "near"`, true, true},
	// Areas.
	{`"area": [`, `"area": "all", "was": [`, "choices[0].area", "want a list of rings", true, true},
	{`"area": [`, `"area": [], "was": [`, "choices[0].area", "want a list of rings, at least one", true, true},
	{`"area": [`, `"area": [ [0.1, 0.2],`, "choices[0].area[0]", "want a ring as text", true, true},
	{`"0.12,0 0.13,0 0.13,0.2 `, `"0.12,0 0.13 0.13,0.2 `, "choices[0].area[0]", `want points x,y from 0 to 1 parted by spaces, found "0.13"`, true, true},
	{`"0.12,0 0.13,0 0.13,0.2 `, `"0.12,0 0.13,0 1.13,0.2 `, "choices[0].area[0]", `found "1.13,0.2"`, true, true},
	{`"0.12,0 0.13,0 0.13,0.2 `, `"0.12,0 0.13,0 -0.13,0.2 `, "choices[0].area[0]", `found "-0.13,0.2"`, true, true},
	{`"0.12,0 0.13,0 0.13,0.2 `, `"0.12,0 0.13,0 0.13,0.2,3 `, "choices[0].area[0]", `found "0.13,0.2,3"`, true, true},
	{`"0.12,0 0.13,0 0.13,0.2 `, `"0.12,0 0.13,0\t0.13,0.2 `, "choices[0].area[0]", "parted by spaces", true, true},
	{`"0.12,0 0.13,0 0.13,0.2 `, `"0.12,0 0.13,0 1e-1,0.2 `, "choices[0].area[0]", "from 0 to 1", true, true},
	{`"0.12,0 0.13,0 0.13,0.2 `, `"0.12,0 0.13,0 .13,0.2 `, "choices[0].area[0]", "from 0 to 1", true, true},
	{`"0.12,0 0.13,0 0.13,0.2 0.12,0.2"`, `"0.12,0 0.13,0"`, "choices[0].area[0]", "at least 3 points", true, true},
	{`"0.12,0 0.13,0 0.13,0.2 0.12,0.2"`, `""`, "choices[0].area[0]", "at least 3 points", true, true},
	{`"0.12,0 0.13,0 0.13,0.2 0.12,0.2"`, `"0.12,0 0.13,0 0.14,0"`, "choices[0].area[0]", "encloses something", false, true},
	{`"0.12,0 0.13,0 0.13,0.2 0.12,0.2"`, `"0,0 1,0 1,1", "1,0 1,1 0,0"`, "choices[0].area", "cancel each other", false, true},
	{`"0.12,0 0.13,0 0.13,0.2 0.12,0.2"`, `"` + strings.Repeat("0.1,0.2 0.3,0.4 0.5,0.1 ", MaxPoints/3+1) + `0,0"`, "choices[0].area", "an area has at most 4000", false, true},
	// What plans refer to.
	{`"choices": [`, `"choices": {}, "more": [`, "plan.choices", "want a list in [ ]", true, true},
	{`"choices": [`, `"choices": [ 12,`, "plan.choices[0]", "want a number from 0 to 11, found 12", false, true},
	{`"choices": [`, `"choices": [ -1,`, "plan.choices[0]", "from 0 to 11", true, true},
	{`"choices": [`, `"choices": [ 0.5,`, "plan.choices[0]", "a whole number from 0 to 11, found 0.5", true, true},
	{`"choices": [`, `"choices": [ "0",`, "plan.choices[0]", `found "0"`, true, true},
	{`"choices": [`, `"choices": [ 4,`, "plan.choices[5]", "choice 4 stands here twice", true, true},
	{`"choices": [`, `"choices": [` + strings.Repeat("1, ", MaxChoices), "plan.choices", "a plan has at most 400", true, true},
	{"\n  \"choices\": [", "\n  \"choices\": [], \"were\": [", "plan.choices[0]", "the file's own list of choices is empty or missing", false, true},
	{"\n  \"choices\": [", "\n  \"were\": [", "plan.choices[0]", "empty or missing", false, true},
	// Steps.
	{`"history": {`, `"history": 3, "was": {`, "history", "want an object", true, true},
	{`"done": 14,`, ``, "history.done", "missing", true, true},
	{`"done": 14`, `"done": 17`, "history.done", "from 0 to 15", false, true},
	{`"done": 14`, `"done": 101`, "history.done", "from 0 to 15", true, true},
	{`"done": 14`, `"done": 1.5`, "history.done", "a whole number", true, true},
	{`"first": {`, `"first": [], "was": {`, "history.first", "want an object", true, true},
	{`"first": {`, `"frist": {`, "history.first", "missing", true, true},
	{`"steps": [`, `"steps": {}, "was": [`, "history.steps", "want a list in [ ]", true, true},
	{`"steps": [`, `"steps": [ [],`, "history.steps[0]", "want an object", true, true},
	{`"steps": [`, `"steps": [` + strings.Repeat("{},", MaxKept), "history.steps", "115 steps: at most 100 are kept", true, true},
	{`"first": {`, `"first": [], "was": {`, "history.first", "want an object", true, true},
	{`"first": {`, `"first": {}, "was": {`, "history.first.plan", "missing", true, true},
	{`"first": {`, `"first": {"plan": 3}, "was": {`, "history.first.plan", "want an object in { }, found 3", true, true},
	{`"first": {`, `"first": {"thumbnails": 3, `, "history.first.thumbnails", "want a list in [ ]", true, true},
	{"\"action\": \"leave out\",\n        \"plan\": {", `"action": "leave out", "plan": 3, "was": {`, "history.steps[0].plan", "want an object in { }, found 3", true, true},
	{`"action": "leave out"`, `"action": 3`, "history.steps[0].action", "found 3", true, true},
	{`"action": "leave out",`, ``, "history.steps[0].action", "missing", true, true},
	{`"action": "leave out"`, `"action": " leave out"`, "history.steps[0].action", "without spaces around it", true, true},
	{`"action": "leave out"`, `"action": "leave\u0007out"`, "history.steps[0].action", "at most 80 characters", true, true},
	{`"action": "leave out"`, `"action": "` + strings.Repeat("a", 81) + `"`, "history.steps[0].action", "at most 80 characters", true, true},
	{`"action": "leave out",`, `"action": "leave out", "thumbnails": 3,`, "history.steps[0].thumbnails", "want a list in [ ]", true, true},
	{`"action": "leave out",`, `"action": "leave out", "thumbnails": [0.5],`, "history.steps[0].thumbnails[0]", "want 0, found 0.5", true, true},
	{`"action": "leave out",`, `"action": "leave out", "thumbnails": [1],`, "history.steps[0].thumbnails[0]", "want 0, found 1", false, true},
	{`"action": "leave out",`, `"action": "leave out", "thumbnails": [{"name": "a"}],`, "history.steps[0].thumbnails[0].plan", "missing", true, true},
	{`"action": "leave out",`, `"action": "leave out", "deep": ` + strings.Repeat("[", 16) + strings.Repeat("]", 16) + `,`, "history.steps[0].deep", "more than 15 deep", false, true},
}

// A choice of each kind has just the fields of its kind: one fewer and one more
// are refused, by Read and by the schema. Only mirror may be left out.
func TestFieldsOfEachKindOfChoice(t *testing.T) {
	valid := validator(t)
	plain := string(boatyard(t).Text())
	sample := map[string]string{
		"other": `["0,0 1,0 1,1"]`, "value": "1", "of": "3", "dx": "0.1", "dy": "0.1", "scale": "2", "mirror": "true",
		"tone": "5", "shapes": "3", "smooth": "1", "plane": `"sky"`, "depth": `"far"`,
	}
	if len(sample) != len(whose) {
		t.Fatalf("%d fields of some kinds only, %d here", len(whose), len(sample))
	}
	for _, what := range Whats() {
		has := map[string]bool{}
		for _, w := range whose {
			has[w.name] = slices.Contains(w.kinds, what)
		}
		file := func(fields map[string]bool) string {
			entry := fmt.Sprintf(`{"what": %q, "area": ["0,0 1,0 1,1"]`, what)
			for _, w := range whose {
				if fields[w.name] {
					entry += fmt.Sprintf(`, %q: %s`, w.name, sample[w.name])
				}
			}
			return strings.Replace(plain, `"thumbnails": [`, `"choices": [`+entry+`}], "thumbnails": [`, 1)
		}
		both(t, valid, string(what), file(has), true)
		for _, w := range whose {
			other := maps.Clone(has)
			other[w.name] = !has[w.name]
			both(t, valid, fmt.Sprintf("%s, %s %v", what, w.name, other[w.name]), file(other), has[w.name] && w.name == "mirror")
		}
	}
}

// Choices written by hand: in any order of fields, switched on in so many words,
// with more decimals and a closing point.
func TestReadOfChoicesIsKindToHands(t *testing.T) {
	text := strings.Replace(string(boatyard(t).Text()), `"shapes": {`, `"choices": [1.0], "shapes": {`, 1)
	text = strings.Replace(text, `"thumbnails": [`, `"choices": [
		{"area": ["0,0 1,0 1,1"], "what": "detail", "shapes": 3},
		{"mirror": false, "scale": 2.0, "off": false, "area": ["0.10,0.2  0.3000000004,0.2 1.0,0.4 0.1,0.2 "], "dy": 0, "dx": -0.0, "what": "move"}
	], "thumbnails": [`, 1)
	f, err := Read([]byte(text))
	if err != nil {
		t.Fatal(err)
	}
	want := Choice{What: Move, Area: AreaOf([][]Point{{{0.1, 0.2}, {0.3, 0.2}, {1, 0.4}}}), Scale: 2}
	if got := f.Plan.Choices; got != ListOf(want) {
		t.Errorf("%+v", got.List())
	}
}

// An entry of the table that nothing refers to must be sound all the same.
func TestReadRefusesWrongEntriesThatNothingUses(t *testing.T) {
	text := strings.Replace(string(boatyard(t).Text()), `"thumbnails": [`, `"choices": [{"what": "depth", "area": ["0,0 1,0 1,1"]}], "thumbnails": [`, 1)
	var e *ReadError
	if _, err := Read([]byte(text)); !errors.As(err, &e) || e.Path != "choices[0].depth" {
		t.Errorf("%v", err)
	}
}

// Fields of a later version stay where they stood in choices and steps.
func TestUnknownFieldsOfChoicesAndSteps(t *testing.T) {
	text := string(moorings(t).Text())
	for i, at := range []string{`"what": "leave out",`, `"off": true,`, `"of": 3,`, `"done": 14,`, `"first": {`, `"action": "keep",`, "\n    \"steps\": ["} {
		if !strings.Contains(text, at) {
			t.Fatalf("%q is not in the file", at)
		}
		field := fmt.Sprintf(` "later%d": [ 1, {"x": null} ],`, i)
		more := at + field
		if strings.HasSuffix(at, "[") {
			more = field + at
		}
		text = strings.Replace(text, at, more, 1)
	}
	f, err := Read([]byte(text))
	if err != nil {
		t.Fatal(err)
	}
	once := f.Text()
	flat := func(s string) string { return strings.Join(strings.Fields(s), "") }
	if flat(string(once)) != flat(text) {
		t.Errorf("got\n%s\nwant\n%s", once, text)
	}
	if g := mustRead(t, once); !g.Equal(f) || string(g.Text()) != string(once) {
		t.Error("not stable")
	}
}

// As TestReadOfHostileFiles, for choices and steps.
func TestReadOfHostileChoices(t *testing.T) {
	sound := string(moorings(t).Text())
	ring := `"` + strings.Repeat("0.1,0.2 0.3,0.4 0.5,0.1 ", MaxPoints/3) + `"`
	entry := `{"what": "leave out", "area": ["0,0 1,0 1,1"]},`
	for name, c := range map[string]change{
		"long rings":    {old: "\n  \"choices\": [", new: "\n  \"choices\": [" + strings.Repeat(`{"what": "leave out", "area": [`+ring+`]},`, 150) + "7,"},
		"many entries":  {old: "\n  \"choices\": [", new: "\n  \"choices\": [" + strings.Repeat(entry, maxTable+1)},
		"long words":    {old: `"0.12,0 `, new: `"0.12,` + strings.Repeat("0", 4<<20)},
		"many rings":    {old: `"0.12,0 `, new: strings.Repeat(`"0,0 1,0 1,1",`, 200_000) + `"0.12,0 `},
		"deep unknown":  {old: `"what": "leave out",`, new: `"what": "leave out", "later": ` + strings.Repeat("[", 20) + strings.Repeat("]", 20) + `,`},
		"many steps":    {old: `"steps": [`, new: `"steps": [` + strings.Repeat("{},", 200_000)},
		"twice the key": {old: `"done": 14,`, new: `"done": 14, "done": 14,`},
	} {
		if !strings.Contains(sound, c.old) {
			t.Fatalf("%s: %q is not in the sound file", name, c.old)
		}
		start := time.Now()
		if _, err := Read([]byte(strings.Replace(sound, c.old, c.new, 1))); err == nil {
			t.Errorf("%s: read", name)
		}
		t.Logf("%s: %v", name, time.Since(start))
	}
}

func TestParseBox(t *testing.T) {
	for in, want := range map[string]Area{
		"0.1,0.2,0.3,0.5":   BoxArea(0.1, 0.2, 0.3, 0.5),
		" 0 , 0 , 1 , 1 ":   BoxArea(0, 0, 1, 1),
		"0.3,0.5,0.1,0.2":   BoxArea(0.1, 0.2, 0.3, 0.5),
		"0.5,0,0.50011,1.0": BoxArea(0.5, 0, 0.5001, 1),
	} {
		got, err := ParseBox(in)
		gx0, gy0, gx1, gy1 := got.Bounds()
		x0, y0, x1, y1 := want.Bounds()
		if err != nil || got.Empty() || [4]float64{gx0, gy0, gx1, gy1} != [4]float64{x0, y0, x1, y1} {
			t.Errorf("%q: %q, %v", in, got.text, err)
		}
	}
	for in, part := range map[string]string{
		"":                    "is not four numbers",
		"0.1,0.2,0.3":         "is not four numbers",
		"0.1,0.2,0.3,0.4,0.5": "is not four numbers",
		"0.1,x,0.3,0.4":       `upper edge "x" is not a number`,
		"0.1,0.2,1.3,0.4":     "right edge 1.3 lies outside the photo",
		"-0.1,0.2,0.3,0.4":    "left edge -0.1 lies outside the photo",
		"0.1,0.2,0.3,1e-1":    "lower edge",
		"0.1,0.2,0.1,0.4":     "no width or no height",
		"0.1,0.2,0.10001,0.4": "no width or no height",
	} {
		if _, err := ParseBox(in); !errors.Is(err, ErrWords) || !strings.Contains(err.Error(), part) {
			t.Errorf("%q: %v, want %q", in, err, part)
		}
	}
}
