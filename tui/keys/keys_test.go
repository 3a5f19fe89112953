package keys

import (
	"strings"
	"testing"
)

func TestNoKeyMeansTwoThings(t *testing.T) {
	seen := map[Scope]map[string]bool{}
	for _, b := range table {
		if seen[b.Scope] == nil {
			seen[b.Scope] = map[string]bool{}
		}
		for _, k := range b.Keys {
			if seen[b.Scope][k] {
				t.Errorf("%s: key %q stands twice", b.Scope.Title(), k)
			}
			seen[b.Scope][k] = true
		}
		if b.Words == "" || b.Action == None {
			t.Errorf("%s: key %v has no words or no action", b.Scope.Title(), b.Keys)
		}
	}
}

func TestResolve(t *testing.T) {
	for _, c := range []struct {
		scope Scope
		key   string
		want  Action
	}{
		{Studio, " ", Flip},
		{Studio, "space", Flip},
		{Studio, "h", Left},
		{Studio, "left", Left},
		{Studio, "3", Three},
		{Studio, "9", None},
		{Scale, "left", PrevMark},
		{Help, "esc", Back},
		{Help, "3", None},
	} {
		if got := Resolve(c.scope, c.key); got != c.want {
			t.Errorf("%s: %q resolves to %d, want %d", c.scope.Title(), c.key, got, c.want)
		}
	}
}

// Nothing may need a key that only some keyboards have in reach: each binding
// has a key made of a letter, a digit, an arrow, Tab, Enter, Esc, Space or one
// of . , < > + - ?, or where letters are typed an arrow with Shift or Backspace;
// and digits mean values everywhere.
func TestEveryKeyboardReachesEverything(t *testing.T) {
	plain := "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789.,<>+-?"
	for _, b := range table {
		ok := false
		for _, k := range b.Keys {
			switch k {
			case "left", "right", "up", "down", "tab", "enter", "esc", "space", "ctrl+c", "ctrl+l", "ctrl+z", "shift+tab":
				ok = true
			case "shift+left", "shift+right", "shift+up", "shift+down", "backspace":
				ok = ok || b.Scope == Folder
			default:
				ok = ok || len(k) == 1 && strings.Contains(plain, k)
			}
			if len(k) == 1 && k[0] >= '0' && k[0] <= '9' && (b.Action < Two || b.Action > Five) && (b.Action < Value1 || b.Action > Value5) {
				t.Errorf("%s: digit %s does not mean values", b.Scope.Title(), k)
			}
		}
		if !ok {
			t.Errorf("%s: %v can only be reached with a special key", b.Scope.Title(), b.Keys)
		}
	}
}

func TestLabels(t *testing.T) {
	b := Binding{Keys: []string{"shift+left", "ctrl+r", "space"}}
	if got := b.Label(); got != "Shift+←  Ctrl+r  Space" {
		t.Errorf("label %q", got)
	}
	if !strings.Contains(Markdown(), "| `←` `h` | move the crop left |") {
		t.Error("the README's table lacks the crop's arrows")
	}
}
