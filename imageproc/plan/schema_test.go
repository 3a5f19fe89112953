package plan

import (
	"bytes"
	"os"
	"path/filepath"
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
}

func TestSchemaIsACopy(t *testing.T) {
	Schema()[0] = 'x'
	if Schema()[0] != '{' {
		t.Error("the schema can be written to")
	}
}
