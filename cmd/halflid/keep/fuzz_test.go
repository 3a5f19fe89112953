package keep

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode"

	"atelier/halflid/imageproc/plan"
)

// FuzzKept: whatever a photo is called and whatever lies in the place of its plan
// and its lock, nothing panics, the plan's place is in the photo's folder or in
// the one for states, the photo that a plan names is beside it, and what is said
// of a lock's owner can be shown.
func FuzzKept(f *testing.F) {
	f.Add("boat.jpg", []byte("{}"), []byte("12 quay\n"))
	f.Add("boat.jpg", aFile("boat.jpg", 1).Text(), []byte(""))
	f.Add("boat.jpg", aFile("hull.jpg", 1).Text(), []byte("12 \x1b[31m"))
	f.Add("..", []byte(`{"photo":{"name":"../../etc/passwd"}}`), []byte("999999999999999999999999 a b c"))
	f.Add(".plan.json", []byte("\x00\xff"), []byte("-1"))
	f.Add(strings.Repeat("n", 250)+".jpg", []byte("["), []byte(strings.Repeat("1", 400)))
	f.Add("\x1b[2J.jpg", []byte(`{"photo":{"name":"\u001b[2J.jpg"}}`), []byte("1 -"))
	root := f.TempDir()
	dir, state := filepath.Join(root, "photos"), filepath.Join(root, "state")
	if err := os.Mkdir(dir, 0o755); err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, name string, text, lock []byte) {
		base := filepath.Base(filepath.Clean("/" + name))
		if base == "/" || strings.ContainsRune(base, 0) || len(base) > maxName {
			base = "boat.jpg"
		}
		photo := filepath.Join(dir, base)
		if filepath.Dir(photo) != dir {
			t.Skip()
		}
		p, err := PathFor(photo, state)
		if err != nil {
			t.Fatal(err)
		}
		if d := filepath.Dir(p.Path); d != dir && d != state {
			t.Fatalf("the plan of %q is kept in %s", name, p.Path)
		}
		if !IsPlanPath(p.Path) || filepath.Dir(lockPath(p.Path)) != filepath.Dir(p.Path) || len(filepath.Base(lockPath(p.Path))) > maxName {
			t.Fatalf("the plan of %q is called %q", name, p.Path)
		}
		if d := filepath.Dir(PathForDemo(name, state).Path); d != state {
			t.Fatalf("the plan of the scene %q is kept in %s", name, d)
		}
		if isTemp(base) && isTemp(filepath.Base(p.Path)) {
			t.Fatalf("the plan of %q would be swept", name)
		}
		place := filepath.Join(dir, "kept.plan.json")
		write(t, place, text)
		kept, err := Load(place)
		if err == nil {
			if got := PhotoFor(place, kept); filepath.Dir(got) != dir {
				t.Fatalf("the photo of %q is %s", text, got)
			}
			Match(kept, name, sum, kept.Photo.Size())
			if StampAt(place) != StampOf(text) {
				t.Fatal("it has another stamp")
			}
		}
		othersPlan(place, photo)
		PhotoFor(place, plan.File{Photo: plan.Photo{Name: name}})
		held := filepath.Join(dir, "lock")
		write(t, held, lock)
		l, err := os.Open(held)
		if err != nil {
			t.Fatal(err)
		}
		defer l.Close()
		who := owner(l)
		if len(who) > 400 || strings.ContainsFunc(who, func(r rune) bool { return !unicode.IsPrint(r) }) {
			t.Fatalf("the lock %q is said to be held by %q", lock, who)
		}
	})
}
