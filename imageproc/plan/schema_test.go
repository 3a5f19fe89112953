package plan

import (
	"bytes"
	"encoding/json"
	"maps"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
)

// validator returns a check of a text against the published schema.
func validator(t testing.TB) func(text []byte) error {
	t.Helper()
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(Schema()))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource("urn:halflid:plan:1", doc); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile("urn:halflid:plan:1")
	if err != nil {
		t.Fatal(err)
	}
	if s.DraftVersion != 2020 {
		t.Fatalf("schema of draft %d", s.DraftVersion)
	}
	return func(text []byte) error {
		v, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
		if err != nil {
			return err
		}
		return s.Validate(v)
	}
}

func TestSchemaTakesEveryFileWritten(t *testing.T) {
	valid := validator(t)
	r := seeded(t, 6)
	for range 800 {
		text := randomFile(r).Text()
		if err := valid(text); err != nil {
			t.Fatalf("%v\n%s", err, text)
		}
	}
	names, err := filepath.Glob(filepath.Join("testdata", "*.plan.json"))
	if err != nil || len(names) < 2 {
		t.Fatalf("%v %v", names, err)
	}
	for _, name := range names {
		text, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		if err := valid(text); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// What Read refuses the schema refuses, as far as a schema can say it; and
// where it cannot, the list says so.
func TestSchemaRefusesWrongFiles(t *testing.T) {
	valid := validator(t)
	for _, c := range wrongFiles {
		err := valid([]byte(c.made(t)))
		if (err != nil) != c.schema {
			t.Errorf("%q for %q: schema says %v, the list %v", c.new, c.old, err, c.schema)
		}
	}
	for _, text := range []string{"3", "null", "[]", "{}"} {
		both(t, valid, text, text, false)
	}
}

// Every field that Read needs the schema needs, and neither takes null where
// anything is known.
func TestSchemaMissesWhatReadMisses(t *testing.T) {
	valid := validator(t)
	for _, f := range []File{boatyard(t), moorings(t)} {
		var root any
		if err := json.Unmarshal(f.Text(), &root); err != nil {
			t.Fatal(err)
		}
		check := func(what string) {
			text, err := json.MarshalIndent(root, "", "  ")
			if err != nil {
				t.Fatal(err)
			}
			_, err = Read(text)
			both(t, valid, what, string(text), err == nil)
		}
		seen := map[string]bool{}
		var visit func(path string, v any)
		visit = func(path string, v any) {
			switch v := v.(type) {
			case map[string]any:
				for key, inner := range v {
					at := path + "." + key
					if !seen[at] {
						seen[at] = true
						v[key] = nil
						check(at + " null")
						delete(v, key)
						if at != ".choices" && at != ".thumbnails" { // other parts of the file refer to them
							check(at + " lost")
						}
						v[key] = inner
					}
					visit(at, inner)
				}
			case []any:
				for i, inner := range v {
					if at := path + "[]"; !seen[at] {
						seen[at] = true
						v[i] = nil
						check(at + " null")
						v[i] = inner
					}
					visit(path+"[]", inner)
				}
			}
		}
		visit("", root)
		if len(seen) < 30 {
			t.Errorf("only %v", seen)
		}
	}
}

// Of files with one thing in them lost or exchanged, those that Read takes are
// valid: nobody who checks a file with the schema refuses one that opens.
func TestSchemaTakesWhatReadTakes(t *testing.T) {
	valid := validator(t)
	r := seeded(t, 61)
	odd := []any{
		nil, true, 0, 1, 3, -1, 0.5, 0.1, 9.9, 10, 25, 100, 1e-6, "", "x", " x", "x ", "\u2003x", "a/b", "6x8 in", "6.5x8.25 in", "06x8 in",
		"A0", "A7", "free", "by hand", "nested", "mean", "across", "gentle", "sky", "0,0 1,0 1,1", "0,0 1,0",
		[]any{},
		[]any{3.0, 6.0},
		map[string]any{},
	}
	taken := 0
	for _, name := range []string{"boatyard.plan.json", "unknown.plan.json", "moorings.plan.json"} {
		text, err := os.ReadFile(filepath.Join("testdata", name))
		if err != nil {
			t.Fatal(err)
		}
		for range 150 {
			var root any
			if err := json.Unmarshal(text, &root); err != nil {
				t.Fatal(err)
			}
			spoil(r, root, odd)
			data, err := json.MarshalIndent(root, "", "  ")
			if err != nil {
				t.Fatal(err)
			}
			if _, err := Read(data); err != nil {
				continue
			}
			taken++
			if err := valid(data); err != nil {
				t.Fatalf("read, but %v\n%s", err, data)
			}
		}
	}
	if taken < 60 {
		t.Errorf("only %d of the files can be read: this shows little", taken)
	}
}

// spoil goes down from v at random, and drops or exchanges what it comes to.
func spoil(r *rand.Rand, v any, odd []any) {
	put := func(inner any, set func(any)) {
		switch inner.(type) {
		case map[string]any, []any:
			if r.IntN(6) > 0 {
				spoil(r, inner, odd)
				return
			}
		}
		set(odd[r.IntN(len(odd))])
	}
	switch v := v.(type) {
	case map[string]any:
		if len(v) == 0 {
			return
		}
		keys := slices.Sorted(maps.Keys(v))
		key := keys[r.IntN(len(keys))]
		if r.IntN(8) == 0 {
			delete(v, key)
			return
		}
		put(v[key], func(x any) { v[key] = x })
	case []any:
		if len(v) == 0 {
			return
		}
		i := r.IntN(len(v))
		put(v[i], func(x any) { v[i] = x })
	}
}

func TestSchemaIsACopy(t *testing.T) {
	Schema()[0] = 'x'
	if Schema()[0] != '{' {
		t.Error("the schema can be written to")
	}
}
