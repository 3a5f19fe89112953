package keep

import (
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"testing"
	"time"
)

// A stamp tells whether another window has saved, also if it saved as many bytes
// at the same moment.
func TestStamp(t *testing.T) {
	path := filepath.Join(t.TempDir(), "boat.plan.json")
	if StampAt(path) != (Stamp{}) {
		t.Error("there is no file, but a stamp")
	}
	then := time.Now().Add(-time.Hour)
	one, two := aFile("boat.jpg", 1).Text(), aFile("boat.jpg", 2).Text()
	if len(one) != len(two) {
		t.Fatal("the texts must be of one length")
	}
	stamps := map[Stamp]bool{}
	for range 2 {
		for _, text := range [][]byte{one, two} {
			if err := Save(path, text); err != nil {
				t.Fatal(err)
			}
			if err := os.Chtimes(path, then, then); err != nil {
				t.Fatal(err)
			}
			if StampAt(path) != StampOf(text) {
				t.Error("a file has another stamp than its text")
			}
			stamps[StampAt(path)] = true
		}
	}
	if len(stamps) != 2 || stamps[Stamp{}] {
		t.Errorf("%d stamps of two texts", len(stamps))
	}
}

// The autosaver counts in time that has passed, which no clock that is set
// changes: it never asks what time it is.
func TestAutosaverAsksNoClock(t *testing.T) {
	tree, err := parser.ParseFile(token.NewFileSet(), "autosave.go", nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	timers := 0
	ast.Inspect(tree, func(n ast.Node) bool {
		sel, ok := n.(*ast.SelectorExpr)
		if !ok {
			return true
		}
		if x, ok := sel.X.(*ast.Ident); !ok || x.Name != "time" {
			return true
		}
		switch sel.Sel.Name {
		case "Now", "Since", "Until", "Date", "Unix", "Time":
			t.Errorf("it asks for time.%s", sel.Sel.Name)
		case "AfterFunc":
			timers++
		}
		return true
	})
	if timers != 1 {
		t.Errorf("%d timers", timers)
	}
}
