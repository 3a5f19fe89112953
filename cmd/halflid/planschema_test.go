package main

import (
	"bytes"
	"path/filepath"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
)

// What plan --schema prints takes the plan files that plan writes.
func TestPlanSchema(t *testing.T) {
	var printed, out, errw bytes.Buffer
	if code := run([]string{"plan", "--schema"}, nil, &printed, &errw); code != exitDone {
		t.Fatalf("exit %d: %s", code, errw.String())
	}
	doc, err := jsonschema.UnmarshalJSON(&printed)
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource("urn:halflid:plan", doc); err != nil {
		t.Fatal(err)
	}
	schema, err := c.Compile("urn:halflid:plan")
	if err != nil {
		t.Fatal(err)
	}
	dir, file := quay(t)
	if code := run([]string{"plan", file, "--values", "4", "--cuts", "3,5,7", "--leave-out", "0.1,0.1,0.3,0.4"}, nil, &out, &errw); code != exitDone {
		t.Fatalf("exit %d: %s", code, errw.String())
	}
	text := readFileT(t, filepath.Join(dir, "quay.plan.json"))
	v, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	if err := schema.Validate(v); err != nil {
		t.Error(err)
	}
	v.(map[string]any)["version"] = "one"
	if schema.Validate(v) == nil {
		t.Error("it takes a version that is no number")
	}
}
