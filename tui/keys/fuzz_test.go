package keys

import (
	"strings"
	"testing"
	"unicode"
)

// FuzzResolve: whatever a terminal calls a key, in whatever scope, it means what
// the table says or nothing; and a key that means something can be shown.
func FuzzResolve(f *testing.F) {
	for _, s := range Scopes() {
		for _, b := range Table(s) {
			for _, k := range b.Keys {
				f.Add(int(s), k)
			}
		}
	}
	for _, k := range []string{"", " ", "\x1b", "\x1b[2J", "ctrl+", "ctrl+ctrl+c", "alt+q", "shift+", "é", "\xff", strings.Repeat("ctrl+", 1000), "f1\x00"} {
		f.Add(-1, k)
		f.Add(int(Studio), k)
		f.Add(1<<40, k)
	}
	f.Fuzz(func(t *testing.T, scope int, key string) {
		s := Scope(scope)
		got := Resolve(s, key)
		name := key
		if name == " " {
			name = "space"
		}
		want := None
		for _, b := range Table(s) {
			for _, k := range b.Keys {
				if k == name {
					want = b.Action
				}
			}
		}
		if got != want {
			t.Fatalf("%q in scope %d means %d, the table says %d", key, scope, got, want)
		}
		if Resolve(s, key) != got || key == " " && Resolve(s, "space") != got {
			t.Fatalf("%q in scope %d means two things", key, scope)
		}
		shown := Binding{Keys: []string{name}}.Short()
		if got != None && (shown == "" || strings.ContainsFunc(shown, func(r rune) bool { return !unicode.IsPrint(r) })) {
			t.Fatalf("%q is shown as %q", key, shown)
		}
		if s.Title() == "" {
			t.Fatalf("scope %d has no name", scope)
		}
	})
}
