package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/charmbracelet/x/ansi"
	"github.com/santhosh-tekuri/jsonschema/v6"

	"atelier/halflid/cmd/halflid/demo"
	"atelier/halflid/imageproc/reading"
)

// The reading asks first and says the rest after it, each line once, and leaves
// no file behind.
func TestRead(t *testing.T) {
	dir, file := quay(t)
	var out, errw bytes.Buffer
	args := []string{"read", filepath.Join(dir, filepath.Base(file)), "--focal", "0.3,0.4,0.1", "--values", "3"}
	if code := run(args, nil, &out, &errw); code != exitDone {
		t.Fatalf("exit %d: %s", code, errw.String())
	}
	text := out.String()
	asks, says := strings.Index(text, "practice would ask"), strings.Index(text, "and it says")
	if says < 0 || asks > says {
		t.Errorf("asked at %d, said at %d:\n%s", asks, says, text)
	}
	for _, want := range []string{"quay.png: 6x8 in across", "Focal point", "%"} {
		if !strings.Contains(text, want) {
			t.Errorf("no %q in:\n%s", want, text)
		}
	}
	seen := map[string]bool{}
	for _, l := range strings.Split(strings.TrimSpace(text), "\n") {
		if seen[l] {
			t.Errorf("said twice: %q", l)
		}
		seen[l] = true
	}
	if left, _ := filepath.Glob(filepath.Join(dir, "*.plan.*")); len(left) > 0 {
		t.Errorf("left behind: %v", left)
	}
}

// readDemo puts the demo and its plan with two thumbnails into a new folder, goes
// there, and returns what read prints of it.
func readDemo(t *testing.T, flags ...string) []byte {
	t.Helper()
	dir := t.TempDir()
	name, data := demo.Photo()
	write(t, dir, name, data)
	write(t, dir, "harbour.plan.json", demo.Plan())
	t.Chdir(dir)
	var out, errw bytes.Buffer
	if code := run(append([]string{"read", name}, flags...), nil, &out, &errw); code != exitDone {
		t.Fatalf("exit %d: %s", code, errw.String())
	}
	return out.Bytes()
}

// What read prints of the demo is recorded; make golden records it anew.
func TestReadGolden(t *testing.T) {
	here, err := os.Getwd()
	if err != nil {
		t.Fatal(err)
	}
	for name, flags := range map[string][]string{
		"words.txt":   {"--focal", "0.55,0.6,0.1"},
		"json.json":   {"--json", "--focal", "0.55,0.6,0.1"},
		"table.txt":   {"--thumbnails"},
		"compare.txt": {"--thumbnail", "1,2", "--compare"},
	} {
		t.Run(name, func(t *testing.T) {
			path := filepath.Join(here, "testdata", "read", name)
			got := readDemo(t, flags...)
			if *update {
				if err := os.WriteFile(path, got, 0o644); err != nil {
					t.Fatal(err)
				}
				return
			}
			if want := readFileT(t, path); !bytes.Equal(got, want) {
				t.Errorf("%s is another than was recorded (make golden, and read the difference):\n%s", name, got)
			}
		})
	}
}

// Every JSON that read prints is as the published schema says, and --schema
// prints that schema.
func TestReadJSON(t *testing.T) {
	var printed, errw bytes.Buffer
	if code := run([]string{"read", "--schema"}, nil, &printed, &errw); code != exitDone || !bytes.Equal(printed.Bytes(), reading.Schema()) {
		t.Fatalf("exit %d: %s", code, errw.String())
	}
	doc, err := jsonschema.UnmarshalJSON(&printed)
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource("urn:halflid:reading:1", doc); err != nil {
		t.Fatal(err)
	}
	schema, err := c.Compile("urn:halflid:reading:1")
	if err != nil {
		t.Fatal(err)
	}
	valid := func(text []byte, entries int) {
		t.Helper()
		v, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
		if err != nil {
			t.Fatal(err)
		}
		if err := schema.Validate(v); err != nil {
			t.Error(err)
		}
		var all []map[string]json.RawMessage
		if err := json.Unmarshal(text, &all); err != nil || len(all) != entries {
			t.Errorf("%d entries, not %d: %v", len(all), entries, err)
		}
	}
	valid(readDemo(t, "--json", "--thumbnails"), 3)
	valid(readDemo(t, "--json", "--panel", "free", "--crop", "0.1,0.2,0.3,0.4"), 1)
	_, file, _ := quayThumbs(t)
	var out bytes.Buffer
	if code := run([]string{"read", file, "nowhere.jpg", file, "--json", "--thumbnail", "3"}, nil, &out, &errw); code != exitFailed {
		t.Errorf("exit %d", code)
	}
	valid(out.Bytes(), 2)
}

// A table has one line a plan under two of heads, in the order of the arguments,
// every line as wide as the columns say at most; what fails is said and the rest
// goes on. Names of double width keep the columns in line.
func TestReadTable(t *testing.T) {
	dir, file := quay(t)
	data := readFileT(t, file)
	names := []string{"港の朝.png", "a\x1b[31mb.png", strings.Repeat("long", 20) + ".png", "quay.png", strings.Repeat("港", 40) + "a.png"}
	for _, n := range names {
		write(t, dir, n, data)
	}
	t.Chdir(dir)
	args := []string{"read", "--values", "5", names[0], "nowhere.jpg", names[1], names[2], names[3], names[4]}
	var out, errw bytes.Buffer
	if code := run(args, nil, &out, &errw); code != exitFailed || !strings.Contains(errw.String(), "1 of 6 files failed") || !strings.Contains(errw.String(), "nowhere.jpg") {
		t.Errorf("exit %d: %s", code, errw.String())
	}
	lines := strings.Split(strings.TrimSuffix(out.String(), "\n"), "\n")
	if len(lines) != 2+len(names) {
		t.Fatalf("%d lines:\n%s", len(lines), out.String())
	}
	panel := ansi.StringWidth(lines[0][:strings.Index(lines[0], "panel")])
	for i, l := range lines {
		if w := ansi.StringWidth(l); w > tableCols || w != ansi.StringWidth(lines[0]) && i > 1 {
			t.Errorf("%d columns: %s", w, l)
		}
		if at := strings.Index(l, "6x8 in across"); i > 1 && ansi.StringWidth(l[:max(at, 0)]) != panel {
			t.Errorf("the panel stands at %d, its head at %d: %s", at, panel, l)
		}
		if strings.ContainsRune(l, '\x1b') {
			t.Errorf("a name's escape goes to the terminal: %q", l)
		}
	}
	if !strings.HasPrefix(lines[2], "港の朝.png") || !strings.HasPrefix(lines[4], "…") || !strings.HasPrefix(lines[5], "quay.png") {
		t.Errorf("names or order:\n%s", out.String())
	}
	out.Reset()
	if code := run([]string{"read", names[1]}, nil, &out, &errw); code != exitDone || strings.ContainsRune(out.String(), '\x1b') {
		t.Errorf("exit %d, a name's escape goes to the terminal in words: %q", code, out.String())
	}
}

// Two plans side by side show what differs and only that; the same plan twice
// says the same.
func TestReadCompare(t *testing.T) {
	_, file, _ := quayThumbs(t)
	var out, errw bytes.Buffer
	if code := run([]string{"read", file, "--thumbnail", "1", "--compare"}, nil, &out, &errw); code != exitDone {
		t.Fatalf("exit %d: %s", code, errw.String())
	}
	for _, want := range []string{"the plan", "thumbnail 1 two values, early", "values"} {
		if !strings.Contains(out.String(), want) {
			t.Errorf("no %q in:\n%s", want, out.String())
		}
	}
	for _, l := range strings.Split(out.String(), "\n") {
		if ansi.StringWidth(l) > 11+2+compareCols+2+compareCols && !strings.HasSuffix(l, ".png") {
			t.Errorf("too wide: %q", l)
		}
	}
	out.Reset()
	if code := run([]string{"read", file, file, "--compare"}, nil, &out, &errw); code != exitDone || !strings.Contains(out.String(), "say the same") {
		t.Errorf("exit %d: %s%s", code, out.String(), errw.String())
	}
}

// Mistakes in the command line, and files that are not there.
func TestReadRefuses(t *testing.T) {
	_, file := quay(t)
	for _, c := range []struct {
		args string
		code int
		says string
	}{
		{"", exitUsage, "name at least one"},
		{"nowhere.jpg", exitFailed, "nowhere.jpg"},
		{file + " --json --table", exitUsage, "choose one"},
		{file + " --compare", exitUsage, "two plans"},
		{file + " " + file + " --compare --thumbnail 1", exitFailed, "keeps no thumbnails"},
		{file + " --compare --thumbnails", exitUsage, "--thumbnail 1,3"},
		{file + " --thumbnail 0", exitUsage, "1 is the first"},
		{file + " --thumbnail 1 --thumbnails", exitUsage, "leave out"},
		{file + " --thumbnail 4", exitFailed, "keeps no thumbnails"},
	} {
		var out, errw bytes.Buffer
		if code := run(append([]string{"read"}, strings.Fields(c.args)...), nil, &out, &errw); code != c.code || !strings.Contains(errw.String(), c.says) {
			t.Errorf("read %s: exit %d: %s", c.args, code, errw.String())
		}
	}
}

// A name is cut to its column from the beginning, whatever its letters are wide.
func TestEndOfAName(t *testing.T) {
	for _, name := range []string{"quay", strings.Repeat("港", 40) + "a.png", strings.Repeat("a港", 30), strings.Repeat("long", 20)} {
		for wide := 4; wide < 40; wide++ {
			got := endOf(name, wide)
			w := ansi.StringWidth(got)
			if w > wide || w < min(wide-1, ansi.StringWidth(name)) || !strings.HasSuffix(name, strings.TrimPrefix(got, "…")) {
				t.Errorf("%q in %d columns: %q", name, wide, got)
			}
		}
	}
}
