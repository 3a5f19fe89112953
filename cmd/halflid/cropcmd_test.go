package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"image/png"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"atelier/halflid/cmd/halflid/keep"
	"atelier/halflid/imageproc/plan"
)

// crop runs the command by itself and returns what it prints.
func crop(args ...string) (string, error) {
	var out bytes.Buffer
	cmd := cropCommand(&out)
	cmd.SetArgs(append([]string{}, args...)) // nil would be those of the test
	cmd.SilenceErrors, cmd.SilenceUsage = true, true
	err := cmd.ExecuteContext(context.Background())
	return out.String(), err
}

// Each proposal is printed with its reasons and with the command that takes it,
// and that command, typed, gives the plan exactly that crop on that panel.
func TestCropIsTaken(t *testing.T) {
	notRacing(t)
	dir, file := quay(t)
	args := []string{file, "--focal", "0.3,0.4,0.1", "--panels", "6x8,square", "-n", "3"}
	text, err := crop(args...)
	if err != nil {
		t.Fatal(err)
	}
	if left, _ := filepath.Glob(filepath.Join(dir, "*.plan.*")); len(left) > 0 {
		t.Errorf("left behind: %v", left)
	}
	data, err := crop(append(args, "--json")...)
	if err != nil {
		t.Fatal(err)
	}
	var r cropReport
	if err := json.Unmarshal([]byte(data), &r); err != nil {
		t.Fatal(err)
	}
	if len(r.Crops) == 0 || len(r.Crops) > 3 {
		t.Fatalf("%d crops", len(r.Crops))
	}
	for _, c := range r.Crops {
		for _, want := range []string{c.Take, c.Sharpness, c.Reasons[0].Words} {
			if !strings.Contains(text, want) {
				t.Errorf("no %q in:\n%s", want, text)
			}
		}
		var out, errw bytes.Buffer
		words := strings.Fields(c.Take)[1:]
		if code := run(append(words, "--fresh", "--json", "--out", t.TempDir()), nil, &out, &errw); code != exitDone {
			t.Fatalf("%s: exit %d: %s", c.Take, code, errw.String())
		}
		var plans []report
		if err := json.Unmarshal(out.Bytes(), &plans); err != nil {
			t.Fatal(err)
		}
		for i := range c.Crop {
			if math.Abs(plans[0].Crop[i]-c.Crop[i]) > 2e-6 {
				t.Errorf("%s gives the crop %v, not %v", c.Take, plans[0].Crop, c.Crop)
			}
		}
		if !strings.HasPrefix(plans[0].Panel, c.Panel) || !strings.HasSuffix(plans[0].Panel, c.Way) {
			t.Errorf("%s gives the panel %s, not %s %s", c.Take, plans[0].Panel, c.Panel, c.Way)
		}
	}
}

// The flags that a proposal prints, given to read, say the same: every line that
// speaks of the same is among the answers word for word, what read asks is answered
// with no, what it says with yes. All of the plan's other decisions hold in both.
func TestCropSaysWhatReadSays(t *testing.T) {
	notRacing(t)
	_, file := quay(t)
	must(t, "plan", file, "--squint", "2", "--shapes", "14", "--focal", "0.6,0.5,0.2")
	for _, args := range [][]string{{}, {"--focal", "0.3,0.4", "--values", "4"}} {
		data, err := crop(append([]string{file, "--json", "-n", "8"}, args...)...)
		if err != nil {
			t.Fatal(err)
		}
		var r cropReport
		if err := json.Unmarshal([]byte(data), &r); err != nil {
			t.Fatal(err)
		}
		for _, c := range r.Crops {
			var out, errw bytes.Buffer
			words := append([]string{"read", "--json"}, strings.Fields(c.Take)[2:]...)
			if code := run(words, nil, &out, &errw); code != exitDone {
				t.Fatalf("%v: exit %d: %s", words, code, errw.String())
			}
			var all []struct {
				Lines []struct {
					Kind, Words string
					Asks        bool
				}
			}
			if err := json.Unmarshal(out.Bytes(), &all); err != nil {
				t.Fatal(err)
			}
			same := map[string]bool{}
			for _, l := range all[0].Lines {
				for _, reason := range c.Reasons {
					if reason.Words != l.Words {
						continue
					}
					if same[l.Kind] = true; reason.Yes == l.Asks {
						t.Errorf("crop %d answers %v, read asks %v: %s", c.Number, reason.Yes, l.Asks, l.Words)
					}
				}
			}
			for _, kind := range []string{"contrast.strongest", "simplicity.shapes", "placement.focal", "placement.balance", "contrast.stands"} {
				if !same[kind] {
					t.Errorf("crop %d has no answer in the words of %s: %+v\n%+v", c.Number, kind, c.Reasons, all[0].Lines)
				}
			}
			if !same["darks.linked"] && !same["darks.family.linked"] {
				t.Errorf("crop %d does not say how the darks link as read does: %+v", c.Number, c.Reasons)
			}
		}
	}
}

// Several proposals stand in the order of the figure that is printed with them, and
// the list says so; fewer are the first of more.
func TestCropOrderIsSaid(t *testing.T) {
	notRacing(t)
	_, file := quay(t)
	heads := func(n string) (heads []string, text string) {
		text, err := crop(file, "-n", n)
		if err != nil {
			t.Fatal(err)
		}
		for _, l := range strings.Split(text, "\n") {
			if strings.Contains(l, "answered with yes") {
				heads = append(heads, l)
			}
		}
		return heads, text
	}
	six, text := heads("6")
	if !strings.Contains(text, "in order of how far practice is satisfied") {
		t.Error(text)
	}
	last := 100
	for _, l := range six {
		_, figure, _ := strings.Cut(l, ": ")
		var v int
		if n, err := fmt.Sscanf(figure, "%d %%,", &v); n != 1 || v > last {
			t.Errorf("%v: %s after %d %%", err, l, last)
		}
		last = v
	}
	for _, n := range []string{"1", "3"} {
		if few, text := heads(n); !slices.Equal(few, six[:len(few)]) || n == "1" && strings.Contains(text, "in order") {
			t.Errorf("-n %s: %v, of six %v", n, few, six)
		}
	}
	if many, text := heads("9"); len(many) > 6 && (!slices.Equal(many[:6], six) || !strings.Contains(text, "a first look")) {
		t.Error(text)
	}
}

func TestCropJSONFollowsItsSchema(t *testing.T) {
	notRacing(t)
	_, file := quay(t)
	published, err := crop("--schema")
	if err != nil {
		t.Fatal(err)
	}
	doc, err := jsonschema.UnmarshalJSON(strings.NewReader(published))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource("urn:halflid:crops:1", doc); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile("urn:halflid:crops:1")
	if err != nil {
		t.Fatal(err)
	}
	wall := filepath.Join(t.TempDir(), "crops.png")
	for _, args := range [][]string{
		{file, "--json", "-n", "2", "--wall", wall},
		{file, "--json", "--panels", "a5 upright,square", "--values", "2", "--squint", "3", "-n", "1", "--keep"},
	} {
		text, err := crop(args...)
		if err != nil {
			t.Fatal(err)
		}
		v, err := jsonschema.UnmarshalJSON(strings.NewReader(text))
		if err != nil {
			t.Fatal(err)
		}
		if err := s.Validate(v); err != nil {
			t.Errorf("%v:\n%s", err, text)
		}
		v.(map[string]any)["more"] = true
		if s.Validate(v) == nil {
			t.Error("the schema takes a field that it does not name")
		}
	}
	f, err := os.Open(wall)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if img, err := png.Decode(f); err != nil || img.Bounds().Dx() < 300 {
		t.Errorf("the wall: %v", err)
	}
}

// --keep puts the proposals behind the thumbnails that there are, and leaves the
// plan as it is.
func TestCropKeeps(t *testing.T) {
	notRacing(t)
	dir, file := quay(t)
	for range 2 {
		if _, err := crop(file, "-n", "2", "--keep"); err != nil {
			t.Fatal(err)
		}
	}
	f, err := keep.Load(filepath.Join(dir, "quay.plan.json"))
	if err != nil {
		all, _ := filepath.Glob(filepath.Join(dir, "*"))
		t.Fatal(err, all)
	}
	if n := len(f.Thumbnails); n < 2 || n > 4 {
		t.Errorf("%d thumbnails", n)
	}
	for _, th := range f.Thumbnails {
		if !strings.HasPrefix(th.Name, "crop for ") {
			t.Errorf("thumbnail %q", th.Name)
		}
	}
	if f.Plan != plan.Default(f.Photo.Size()) {
		t.Errorf("the plan is another: %+v", f.Plan)
	}
}

func TestCropRefuses(t *testing.T) {
	notRacing(t)
	_, file := quay(t)
	for _, c := range []struct {
		args []string
		says string
	}{
		{nil, "name one photo"},
		{[]string{file, file}, "2 given"},
		{[]string{file, "--panels", "free"}, "no form"},
		{[]string{file, "--panels", "6y8"}, "no panel"},
		{[]string{file, "--panels", ""}, "no panel"},
		{[]string{file, "--focal", "2,0"}, "lies outside the photo"},
		{[]string{file, "-n", "0"}, "out of range"},
		{[]string{file, "-n", "25"}, "out of range"},
		{[]string{file, "--values", "6"}, "out of range"},
		{[]string{file, "--squint", "NaN"}, "out of range"},
		{[]string{file, "--wall", "crops.jpg"}, "is a PNG"},
		{[]string{file, "--wall", file}, "write over the photo"},
	} {
		_, err := crop(c.args...)
		var usage usageError
		if !errors.As(err, &usage) || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%v: %v", c.args, err)
		}
	}
	if _, err := crop("nowhere.jpg"); err == nil || !strings.Contains(err.Error(), "nowhere.jpg") {
		t.Errorf("a missing file: %v", err)
	}
}

// On the scene of the demo, with a focal point, the first proposal outdoes 95 of
// 100 random crops of the same panels about it. Goal of the figures.
func TestCropOfTheDemo(t *testing.T) {
	notRacing(t)
	w, err := openWork(context.Background(), "")
	if err != nil {
		t.Fatal(err)
	}
	m := measureCrops(t, w.photo.Master, w.photo.Size, 1, 40)
	if m.percentiles[0] < 95 {
		t.Errorf("the first proposal, %.3f, lies at %.0f %% of random crops", m.score, m.percentiles[0])
	}
}
