package plan

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"
)

// change is a wrong file made from the sound one by putting new for old.
type change struct {
	old, new string
	path     string // of the error
	part     string // of the error's words
	schema   bool   // whether the schema can refuse it too
	moorings bool   // a change of the file with choices and steps
}

var wrongFiles = slices.Concat(wrongPlans, wrongChoices)

var wrongPlans = []change{
	{`"halflid": "plan"`, `"halflid": "boat"`, "halflid", `want "plan", found "boat"`, true, false},
	{`"halflid": "plan",`, ``, "", "this is not a plan file", true, false},
	{`"version": 1`, `"version": 2`, "version", "newer halflid (2; this one reads up to 1)", true, false},
	{`"version": 1`, `"version": 0`, "version", "want 1, found 0", true, false},
	{`"version": 1`, `"version": "1"`, "version", `found "1"`, true, false},
	{`"version": 1,`, ``, "version", "missing", true, false},
	{`"name": "boatyard.jpg"`, `"name": "/home/boatyard.jpg"`, "photo.name", "without a folder", true, false},
	{`"name": "boatyard.jpg"`, `"name": ".."`, "photo.name", "without a folder", true, false},
	{`"name": "boatyard.jpg"`, `"name": ""`, "photo.name", "without a folder", true, false},
	{`"name": "boatyard.jpg"`, `"name": null`, "photo.name", "found null", true, false},
	{`"sha256": "0011`, `"sha256": "00FF`, "photo.sha256", "64 digits", true, false},
	{`"sha256": "0011`, `"sha256": "00`, "photo.sha256", "64 digits", true, false},
	{`"width": 4000`, `"width": 0`, "photo.width", "from 1 to 100000", true, false},
	{`"width": 4000`, `"width": 4000.5`, "photo.width", "a whole number", true, false},
	{`"width": 4000`, `"width": 1e300`, "photo.width", "from 1 to 100000", true, false},
	{`"height": 3000`, `"height": true`, "photo.height", "found true", true, false},
	{`"crop": {`, `"crop": 5, "corp": {`, "plan.crop", "want an object in { }, found 5", true, false},
	{`"x": 0.`, `"x": -0.`, "plan.crop.x", "from 0 to 1", true, false},
	{`"x": 0.`, `"x": 7.`, "plan.crop.x", "from 0 to 1", true, false},
	{`"w": 0.`, `"w": 0e-`, "plan.crop.w", "from 0.000001 to 1", true, false},
	{`"w": 0.`, `"h": 0.5, "w": 0.`, "plan.crop.h", "only a free panel", true, false},
	{`"x": 0.`, `"x": 0.9`, "plan.crop", "right edge", false, false},
	{`"y": 0.`, `"y": 0.9`, "plan.crop", "lower edge", false, false},
	{`"size": "6x8 in"`, `"size": "free"`, "plan.crop.h", "missing", true, false},
	{`"size": "6x8 in"`, `"size": "8x6 in"`, "plan.panel.size", "short side first", false, false},
	{`"size": "6x8 in"`, `"size": "06x8 in"`, "plan.panel.size", "short side first", true, false},
	{`"size": "6x8 in"`, `"size": "6x8.0 in"`, "plan.panel.size", "short side first", true, false},
	{`"size": "6x8 in"`, `"size": "1x1 mm"`, "plan.panel.size", "want a panel", false, false},
	{`"size": "6x8 in"`, `"size": "6x8"`, "plan.panel.size", "short side first", true, false},
	{`"size": "6x8 in"`, `"size": "large"`, "plan.panel.size", "want a panel", true, false},
	{`"size": "6x8 in"`, `"size": 68`, "plan.panel.size", "found 68", true, false},
	{`"way": "upright"`, `"way": "sideways"`, "plan.panel.way", `want "upright" or "across", found "sideways"`, true, false},
	{`"way": "upright"`, `"wy": "upright"`, "plan.panel.way", "missing", true, false},
	{`"squint": 1.4`, `"squint": 25.01`, "plan.squint", "want a number from 0 to 25, found 25.01", true, false},
	{`"squint": 1.4`, `"squint": -1`, "plan.squint", "from 0 to 25", true, false},
	{`"squint": 1.4`, `"squint": "1.4"`, "plan.squint", `found "1.4"`, true, false},
	{`"squint": 1.4`, `"squint": [1.4]`, "plan.squint", "found a list in [ ]", true, false},
	{`"count": 3`, `"count": 6`, "plan.values.count", "from 2 to 5", true, false},
	{`"count": 3`, `"count": 2`, "plan.values.cuts.at", "want a list of 1 Munsell values", true, false},
	{`"count": 3`, `"count": 2.5`, "plan.values.count", "a whole number from 2 to 5, found 2.5", true, false},
	{`"method": "by hand"`, `"method": "blended"`, "plan.values.cuts.method", `want "nested" or "least error" or "equal steps" or "by hand", found "blended"`, true, false},
	{`"method": "by hand"`, `"method": "least error"`, "plan.values.cuts.at", `only the method "by hand"`, true, false},
	{"\"tones\": {\n        \"method\": \"by hand\"", `"tones": { "method": "mean"`, "plan.values.tones.at", `only the method "by hand"`, true, false},
	{"\"tones\": {\n        \"method\": \"by hand\"", `"tones": { "method": "nested"`, "plan.values.tones.method", `want "mean" or "fixed" or "by hand", found "nested"`, true, false},
	{"3.5,\n", "9.95,\n", "plan.values.cuts.at[0]", "from 0.1 to 9.9", true, false},
	{"3.5,\n", "7.5,\n", "plan.values.cuts.at[1]", "at least 0.1 above", false, false},
	{"3.5,\n", "6.2,\n", "plan.values.cuts.at[1]", "at least 0.1 above", false, false},
	{"3.5,\n", "", "plan.values.cuts.at", "want a list of 2", true, false},
	{"3.5,\n", "null,\n", "plan.values.cuts.at[0]", "found null", true, false},
	{"8.5\n", "10.5\n", "plan.values.tones.at[2]", "from 0 to 10", true, false},
	{`"wanted": 9`, `"wanted": -9`, "plan.shapes.wanted", "from 0 to 500", true, false},
	{`"brush_mm": 3`, `"brush_mm": 60`, "plan.shapes.brush_mm", "from 0 to 50", true, false},
	{`"shapes": {`, `"focus": 3, "shapes": {`, "plan.focus", `want an object in { }, found 3`, true, false},
	{`"shapes": {`, `"focus": {"y": 0.5, "radius": 0.2}, "shapes": {`, "plan.focus.x", `missing`, true, false},
	{`"shapes": {`, `"focus": {"x": 0.5, "radius": 0.2}, "shapes": {`, "plan.focus.y", `missing`, true, false},
	{`"shapes": {`, `"focus": {"x": 0.5, "y": 0.5}, "shapes": {`, "plan.focus.radius", `missing`, true, false},
	{`"shapes": {`, `"focus": {"x": 1.1, "y": 0.5, "radius": 0.2}, "shapes": {`, "plan.focus.x", `from 0 to 1`, true, false},
	{`"shapes": {`, `"focus": {"x": 0.5, "y": -0.1, "radius": 0.2}, "shapes": {`, "plan.focus.y", `from 0 to 1`, true, false},
	{`"shapes": {`, `"focus": {"x": 0.5, "y": 0.5, "radius": 0}, "shapes": {`, "plan.focus.radius", `from 0.02 to 1`, true, false},
	{`"shapes": {`, `"focus": {"x": 0.5, "y": 0.5, "radius": 0.2, "fall": "usual"}, "shapes": {`, "plan.focus.fall", `want "gentle" or "strong", found "usual"`, true, false},
	{`"shapes": {`, `"focus": {"x": 0.5, "y": 0.5, "radius": 0.2, "fall": ""}, "shapes": {`, "plan.focus.fall", `want "gentle" or "strong"`, true, false},
	{`"name": "square, higher horizon"`, `"name": 3`, "thumbnails[0].name", "found 3", true, false},
	{`"name": "square, higher horizon"`, `"name": ""`, "thumbnails[0].name", "1 to 80 characters", true, false},
	{`"name": "square, higher horizon"`, `"name": " "`, "thumbnails[0].name", "1 to 80 characters", true, false},
	{`"name": "square, higher horizon"`, `"name": "higher horizon\u2003"`, "thumbnails[0].name", "1 to 80 characters", true, false},
	{`"name": "square, higher horizon"`, `"name": "` + strings.Repeat("a", 81) + `"`, "thumbnails[0].name", "1 to 80 characters", true, false},
	{`"name": "square, higher horizon"`, `"name": "\u001b[0m"`, "thumbnails[0].name", "1 to 80 characters", true, false},
	{`"thumbnails": [`, `"thumbnails": {}, "more": [`, "thumbnails", "want a list in [ ]", true, false},
	{`"thumbnails": [`, `"thumbnails": [ 3,`, "thumbnails[0]", "want an object", true, false},
	{`"thumbnails": [`, `"thumbnails": [ {"name": "a"},`, "thumbnails[0].plan", "missing", true, false},
}

// made returns the wrong file.
func (c change) made(t *testing.T) string {
	t.Helper()
	text := string(boatyard(t).Text())
	if c.moorings {
		text = string(moorings(t).Text())
	}
	if !strings.Contains(text, c.old) {
		t.Fatalf("%q is not in the sound file:\n%s", c.old, text)
	}
	return strings.Replace(text, c.old, c.new, 1)
}

func TestReadRefuses(t *testing.T) {
	for _, c := range wrongFiles {
		what := fmt.Sprintf("%.40q for %.40q", c.new, c.old)
		f, err := Read([]byte(c.made(t)))
		var e *ReadError
		if !errors.As(err, &e) {
			t.Errorf("%s: %v", what, err)
			continue
		}
		if e.Path != c.path || !strings.Contains(e.Problem, c.part) || e.Line < 1 || e.Column < 1 {
			t.Errorf("%s: %v\nwant %s: ... %s", what, e, c.path, c.part)
		}
		if f.Photo != (Photo{}) || f.Thumbnails != nil {
			t.Errorf("%s: an error, and a file", what)
		}
	}
}

func TestReadErrorsSayWhere(t *testing.T) {
	text := change{old: `"squint": 1.4`, new: `"é": "ü", "squint": 40`}.made(t)
	_, err := Read([]byte(text))
	line := strings.Count(text[:strings.Index(text, `"squint"`)], "\n") + 1
	want := fmt.Sprintf("plan file, line %d, column 25: plan.squint: want a number from 0 to 25, found 40", line)
	if err == nil || err.Error() != want {
		t.Errorf("got  %v\nwant %s", err, want)
	}
	_, err = Read([]byte(`{"a": 1,`))
	if want = "plan file, line 1, column 9: the file ends too early: it may have been cut short"; err == nil || err.Error() != want {
		t.Errorf("got  %v\nwant %s", err, want)
	}
}

func TestReadErrorKinds(t *testing.T) {
	sound := string(boatyard(t).Text())
	for _, c := range []struct {
		text string
		kind error
	}{
		{"", ErrFormat},
		{"3", ErrNotPlan},
		{"{}", ErrNotPlan},
		{`{"halflid": "drill"}`, ErrNotPlan},
		{strings.Replace(sound, `"version": 1`, `"version": 7`, 1), ErrNewer},
		{strings.Replace(sound, `"version": 1`, `"version": -7`, 1), ErrFormat},
		{sound + strings.Repeat(" ", MaxBytes), ErrTooLarge},
	} {
		if _, err := Read([]byte(c.text)); !errors.Is(err, c.kind) {
			t.Errorf("%.60q: %v, want %v", c.text, err, c.kind)
		}
	}
}

// A newer file is named as such even if it is otherwise unlike anything known.
func TestNewerVersionComesFirst(t *testing.T) {
	_, err := Read([]byte(`{"halflid": "plan", "version": 2.5, "pictures": []}`))
	if !errors.Is(err, ErrNewer) || !strings.Contains(err.Error(), "it is left as it is") {
		t.Errorf("%v", err)
	}
}

func TestReadLeavesOutThumbnails(t *testing.T) {
	text := boatyard(t)
	text.Thumbnails = nil
	s := string(text.Text())
	f, err := Read([]byte(strings.Replace(s, ",\n  \"thumbnails\": []", "", 1)))
	if err != nil || len(f.Thumbnails) != 0 || string(f.Text()) != s {
		t.Errorf("%v\n%s", err, f.Text())
	}
}

// Files written by hand, with more decimals or another name for a size.
func TestReadIsKindToHands(t *testing.T) {
	text := strings.NewReplacer(`"squint": 1.4`, `"squint":140e-2`, `"size": "6x8 in"`, `"size": "152.4x203.2 mm"`, `"count": 3`, `"count": 3.0`, "\n", "\r\n").Replace(string(boatyard(t).Text()))
	f, err := Read([]byte(text))
	if err != nil {
		t.Fatal(err)
	}
	if f.Plan.Squint != 1.4 || f.Plan.Panel != (Panel{152.4, 203.2, Millimetre, Upright}) {
		t.Errorf("%+v", f.Plan)
	}
	f, err = Read([]byte(strings.Replace(string(boatyard(t).Text()), `"6x8 in"`, `"148x210 mm"`, 1)))
	if err != nil || f.Plan.Panel.Name() != "A5" {
		t.Errorf("%v %v", f.Plan.Panel, err)
	}
}

// Hostile files cost no more than a moment: these take milliseconds each, and
// minutes with a quadratic step.
func TestReadOfHostileFiles(t *testing.T) {
	const most = MaxBytes - 1000
	fill := func(s string, n int) string { return strings.Repeat(s, n/len(s)) }
	var many strings.Builder
	for i := range 60_000 {
		fmt.Fprintf(&many, `"u%d":0,`, i)
	}
	sound := string(boatyard(t).Text())
	for name, text := range map[string]string{
		"deep lists":     fill("[", most),
		"deep objects":   fill(`{"a":`, most),
		"many entries":   "[" + fill("[],", most) + "[]]",
		"many numbers":   "[" + fill("0,", most) + "0]",
		"long number":    fill("9", most),
		"long text":      `"` + fill("a", most),
		"many escapes":   `"` + fill(`\u00e9`, most) + `"`,
		"many lines":     fill("\n", most) + "x",
		"unknown fields": strings.Replace(sound, `"plan": {`, `"plan": {`+many.String(), 1) + "x",
	} {
		start := time.Now()
		if _, err := Read([]byte(text)); err == nil {
			t.Errorf("%s: read", name)
		}
		t.Logf("%s: %v", name, time.Since(start))
	}
	f, err := Read([]byte(strings.Replace(sound, `"plan": {`, `"plan": {`+many.String(), 1)))
	if err != nil || strings.Count(string(f.Text()), "\"u") < 60_000 {
		t.Errorf("many unknown fields: %v", err)
	}
}
