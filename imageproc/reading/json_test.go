package reading

import (
	"bytes"
	"encoding/json"
	"math/rand/v2"
	"regexp"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/plan"
	"atelier/halflid/palette"
)

// validator returns a check of a text against a definition of the published
// schema.
func validator(t testing.TB, definition string) func(text []byte) error {
	t.Helper()
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(Schema()))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource("urn:halflid:reading:1", doc); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile("urn:halflid:reading:1#/$defs/" + definition)
	if err != nil {
		t.Fatal(err)
	}
	return func(text []byte) error {
		v, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
		if err != nil {
			return err
		}
		return s.Validate(v)
	}
}

// anyDesign returns a random design: with or without light, colours, a focal
// point, a panel of fixed size.
func anyDesign(r *rand.Rand) Design {
	w, h, k := 40+r.IntN(140), 40+r.IntN(140), 1+r.IntN(5)
	if r.IntN(4) == 0 {
		w = 300 + r.IntN(30)
	}
	d := scattered(r, w, h, k, r.IntN(14))
	for i := range d.Tones { // not always far apart
		d.Tones[i] = (palette.Value(0.3) + palette.Value(float64(i)*(0.3+1.5*r.Float64()))).L()
		if i > 0 {
			d.Tones[i] = max(d.Tones[i], d.Tones[i-1]+1)
		}
	}
	d = withAll(d, r)
	if r.IntN(3) == 0 {
		d.Focus = plan.Focus{}
	}
	if r.IntN(4) == 0 {
		d.Light = imageproc.Plane[palette.Y]{}
	}
	if r.IntN(4) == 0 {
		d.Colours = nil
	}
	if r.IntN(3) > 0 {
		d.Panel = []plan.Panel{
			{Short: 6, Long: 8, Unit: plan.Inch, Way: plan.Across},
			{Short: 48, Long: 72, Unit: plan.Inch, Way: plan.Upright},
			{Short: 13, Long: 18, Unit: plan.Centimetre, Way: plan.Across},
			{Short: 1480, Long: 2100, Unit: plan.Millimetre, Way: plan.Upright},
		}[r.IntN(4)]
	}
	if r.IntN(3) == 0 { // a crop in the middle of a larger photo
		d.Photo = d.Photo.Mul(2)
		d.Crop = d.Crop.Add(d.Crop.Max.Div(2))
	}
	d.Kept = r.Float64()
	return d
}

// Whatever is read, its figures and its lines are as the schema says, and every
// kind of line that the schema names does come.
func TestSchemaTakesEveryReading(t *testing.T) {
	figures, line := validator(t, "reading"), validator(t, "line")
	r := rand.New(rand.NewPCG(77, 1))
	kinds := map[string]bool{}
	negative := regexp.MustCompile(`[\[:,]-0[,\]}]`)
	for range 500 {
		reading := anyDesign(r).Read()
		text, err := json.Marshal(reading)
		if err != nil {
			t.Fatal(err)
		}
		if err := figures(text); err != nil {
			t.Fatalf("%v\n%s", err, text)
		}
		if negative.Match(text) {
			t.Fatalf("a figure of -0 in %s", text)
		}
		for _, l := range reading.Lines([]plan.Unit{plan.Inch, plan.Centimetre, plan.Millimetre, ""}[r.IntN(4)]) {
			kinds[l.Kind] = true
			text, err := json.Marshal(l)
			if err != nil {
				t.Fatal(err)
			}
			if err := line(text); err != nil {
				t.Fatalf("%v\n%s", err, text)
			}
		}
	}
	var doc struct {
		Defs struct {
			Line struct {
				Properties struct {
					Topic struct{ Enum []Topic }
					Kind  struct{ Enum []string }
				}
			}
		} `json:"$defs"`
	}
	if err := json.Unmarshal(Schema(), &doc); err != nil {
		t.Fatal(err)
	}
	for _, k := range doc.Defs.Line.Properties.Kind.Enum {
		if !kinds[k] {
			t.Errorf("no line of the kind %s", k)
		}
	}
	for i, topic := range doc.Defs.Line.Properties.Topic.Enum {
		if topic != Topics()[i] {
			t.Errorf("topic %d is %s", i, topic)
		}
	}
}

// What is no reading the schema refuses: a figure out of its range, a field too
// many, one too few, a place of one number, a word that is not in the list.
func TestSchemaRefuses(t *testing.T) {
	r := bands(plan.Ground, plan.Sky, plan.Slant, plan.Standing).focused(0.3, 0.3, 0.1).Read()
	text, err := json.Marshal(r)
	if err != nil {
		t.Fatal(err)
	}
	line, err := json.Marshal(r.Lines(plan.Inch)[0])
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		definition, text, old, new string
	}{
		{"reading", string(text), `"left_weight":`, `"left_weight":1`},
		{"reading", string(text), `"left_weight"`, `"leftWeight"`},
		{"reading", string(text), `"kept":0.9`, `"kept":null`},
		{"reading", string(text), `"kept":0.9`, `"kept":0.9,"taste":5`},
		{"reading", string(text), `"plane":"sky"`, `"plane":"sea"`},
		{"reading", string(text), `"at":[0.3,0.3]`, `"at":[0.3]`},
		{"reading", string(text), `"tones":[1`, `"tones":[-1`},
		{"line", string(line), `"asks":true`, `"asks":1`},
		{"line", string(line), `"kind":"`, `"kind":"no`},
	} {
		valid := validator(t, c.definition)
		if err := valid([]byte(c.text)); err != nil {
			t.Fatal(err)
		}
		wrong := strings.Replace(c.text, c.old, c.new, 1)
		if wrong == c.text {
			t.Errorf("no %s in %s", c.old, c.text)
		} else if valid([]byte(wrong)) == nil {
			t.Errorf("%s for %s is taken", c.new, c.old)
		}
	}
}

// The figures of a hand-made picture as they are written: those that are not
// known are null, lists are never.
func TestJSONFigures(t *testing.T) {
	d := drawn(100, 60, 3, func(x, _ int) int { return min(x/60+x/85, 2) })
	text, err := json.Marshal(d.Read())
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{
		`"panel":null`, `"focal":null`, `"tones":[1,5,9]`, `"shares":[0.6,0.25,0.15]`, `"ruling":0`, `"nearly_equal":[]`, `"steps":[4,4]`,
		`"side_mm":null`, `"reach":null`, `"from":null`, `"far_less_near":null`, `"borders":null`, `"gone_from_afar":[]`,
	} {
		if !bytes.Contains(text, []byte(want)) {
			t.Errorf("no %s in %s", want, text)
		}
	}
}
