package plan

import (
	"bytes"
	"encoding/json"
	"errors"
	"os"
	"path/filepath"
	"testing"
)

// FuzzRead: no text makes Read panic; an error says where; a file that is read
// is JSON, takes the published schema, holds sound plans, and is written and
// read again as the same bytes.
func FuzzRead(f *testing.F) {
	names, err := filepath.Glob(filepath.Join("testdata", "*.plan.json"))
	if err != nil || len(names) == 0 {
		f.Fatalf("%v %v", names, err)
	}
	for _, name := range names {
		text, err := os.ReadFile(name)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(text)
	}
	for _, text := range []string{"", "{}", `{"halflid":"plan","version":2}`, `{"halflid":"plan","version":1,"photo":{"name":"a"}}`, "[[[[", `{"a":1,"a":2}`, "\xef\xbb\xbf{}", `{"halflid":"plan","version":1e999}`} {
		f.Add([]byte(text))
	}
	valid := validator(f)
	f.Fuzz(func(t *testing.T, data []byte) {
		file, err := Read(data)
		if err != nil {
			var e *ReadError
			if !errors.As(err, &e) || e.Line < 1 || e.Column < 1 || e.Problem == "" || e.Kind == nil {
				t.Fatalf("%#v", err)
			}
			return
		}
		if !json.Valid(data) {
			t.Fatal("read, but no JSON")
		}
		sound(t, "plan", file.Plan, file.Photo.Size())
		for _, th := range file.Thumbnails {
			sound(t, "thumbnail", th.Plan, file.Photo.Size())
		}
		for h, ok := file.History(), true; ok; _, ok = h.CanUndo() {
			sound(t, "step", h.Plan(), file.Photo.Size())
			h = h.Undo()
		}
		once := file.Text()
		again, err := Read(once)
		if err != nil {
			t.Fatalf("%v\n%s", err, once)
		}
		if !again.Equal(file) || !bytes.Equal(again.Text(), once) {
			t.Fatalf("changed by writing:\n%s", once)
		}
		if err := valid(once); err != nil {
			t.Fatalf("%v\n%s", err, once)
		}
	})
}
