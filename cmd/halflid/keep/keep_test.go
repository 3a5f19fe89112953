package keep

import (
	"errors"
	"image"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"atelier/halflid/imageproc/plan"
)

const sum = "00112233445566778899aabbccddeeff00112233445566778899aabbccddeeff"

// aFile returns a plan file for a photo of that name.
func aFile(name string, squint float64) plan.File {
	size := image.Pt(4000, 3000)
	p := plan.SetSquint(squint)(plan.Default(size), plan.Frame{Photo: size})
	return plan.File{Photo: plan.Photo{Name: name, SHA256: sum, Width: size.X, Height: size.Y}, Plan: p}
}

func write(t *testing.T, path string, data []byte) {
	t.Helper()
	if err := os.WriteFile(path, data, 0o644); err != nil {
		t.Fatal(err)
	}
}

// names returns what lies in dir.
func names(t *testing.T, dir string) []string {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	var out []string
	for _, e := range entries {
		out = append(out, e.Name())
	}
	return out
}

func TestStateDir(t *testing.T) {
	for _, c := range []struct{ state, home, want string }{
		{"/var/state", "/home/her", "/var/state/halflid"},
		{"", "/home/her", "/home/her/.local/state/halflid"},
		{"not/absolute", "/home/her", "/home/her/.local/state/halflid"},
		{"", "", ""},
	} {
		env := map[string]string{"XDG_STATE_HOME": c.state, "HOME": c.home}
		got, err := StateDir(func(k string) string { return env[k] })
		if got != filepath.FromSlash(c.want) || (err != nil) != (c.want == "") {
			t.Errorf("%+v: %q, %v", c, got, err)
		}
	}
}

func TestPathForBeside(t *testing.T) {
	type files map[string]string // name: the photo that a plan names; empty for a photo
	for _, c := range []struct {
		name  string
		have  files
		photo string
		want  string
	}{
		{"alone", files{"boat.jpg": ""}, "boat.jpg", "boat.plan.json"},
		{"its own plan", files{"boat.jpg": "", "boat.plan.json": "boat.jpg"}, "boat.jpg", "boat.plan.json"},
		{"twin photos, no plan yet", files{"boat.jpg": "", "boat.png": ""}, "boat.jpg", "boat.jpg.plan.json"},
		{"the twin too", files{"boat.jpg": "", "boat.png": ""}, "boat.png", "boat.png.plan.json"},
		{"a twin in capitals", files{"boat.jpg": "", "boat.PNG": ""}, "boat.jpg", "boat.jpg.plan.json"},
		{"a raw file is no twin", files{"boat.jpg": "", "boat.raw": ""}, "boat.jpg", "boat.plan.json"},
		{"plan of the twin", files{"boat.jpg": "", "boat.png": "", "boat.plan.json": "boat.jpg"}, "boat.png", "boat.png.plan.json"},
		{"the first keeps its plan", files{"boat.jpg": "", "boat.png": "", "boat.plan.json": "boat.jpg"}, "boat.jpg", "boat.plan.json"},
		{"full name wins", files{"boat.jpg": "", "boat.plan.json": "boat.jpg", "boat.jpg.plan.json": "boat.jpg"}, "boat.jpg", "boat.jpg.plan.json"},
		{"renamed with its plan", files{"hull.jpg": "", "hull.plan.json": "boat.jpg"}, "hull.jpg", "hull.plan.json"},
		{"unreadable plan", files{"boat.jpg": "", "boat.plan.json": "{"}, "boat.jpg", "boat.plan.json"},
		{"no extension", files{"boat": ""}, "boat", "boat.plan.json"},
		{"only an extension", files{".jpg": ""}, ".jpg", ".jpg.plan.json"},
		{"two dots", files{"low.tide.jpg": ""}, "low.tide.jpg", "low.tide.plan.json"},
	} {
		dir := t.TempDir()
		for name, of := range c.have {
			switch {
			case of == "{":
				write(t, filepath.Join(dir, name), []byte(of))
			case of != "":
				write(t, filepath.Join(dir, name), aFile(of, 1).Text())
			default:
				write(t, filepath.Join(dir, name), []byte(name))
			}
		}
		got, err := PathFor(filepath.Join(dir, c.photo), filepath.Join(dir, "state"))
		want := filepath.Join(dir, c.want)
		if err != nil || got.Path != want || got.From != want || got.Note != "" {
			t.Errorf("%s: %+v, %v; want %s", c.name, got, err, c.want)
		}
		if n := len(names(t, dir)); n != len(c.have) {
			t.Errorf("%s: %d files after looking, %d before", c.name, n, len(c.have))
		}
		if _, had := c.have[c.want]; got.Exists() != had {
			t.Errorf("%s: exists %v", c.name, got.Exists())
		}
	}
}

// A newer version's plan is known by its photo as well.
func TestPathForReadsNewerPlans(t *testing.T) {
	dir := t.TempDir()
	write(t, filepath.Join(dir, "boat.jpg"), nil)
	write(t, filepath.Join(dir, "boat.png"), nil)
	text := strings.Replace(string(aFile("boat.jpg", 1).Text()), `"version": 1`, `"version": 9`, 1)
	write(t, filepath.Join(dir, "boat.plan.json"), []byte(text))
	got, err := PathFor(filepath.Join(dir, "boat.png"), dir)
	if err != nil || filepath.Base(got.Path) != "boat.png.plan.json" {
		t.Errorf("%+v, %v", got, err)
	}
}

// unwritable returns a folder that takes no files, whoever runs the test; ok is
// false if there is none.
func unwritable(t *testing.T) (dir string, ok bool) {
	t.Helper()
	dir = filepath.Join(t.TempDir(), "closed")
	if err := os.Mkdir(dir, 0o555); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { os.Chmod(dir, 0o755) })
	if !writable(dir) {
		return dir, true
	}
	// The superuser may write anywhere but where nobody can.
	for _, dir := range []string{"/proc/self", "/sys/kernel"} {
		if _, err := os.Stat(dir); err == nil && !writable(dir) {
			return dir, true
		}
	}
	return "", false
}

func TestPathForClosedFolder(t *testing.T) {
	dir, ok := unwritable(t)
	if !ok {
		t.Skip("every folder can be written here")
	}
	state := filepath.Join(t.TempDir(), "state")
	photo := filepath.Join(dir, strings.Repeat("é", 60)+".jpg")
	got, err := PathFor(photo, state)
	if err != nil || filepath.Dir(got.Path) != state || got.Exists() || !strings.Contains(got.Note, state) {
		t.Fatalf("%+v, %v", got, err)
	}
	if n := len(filepath.Base(got.Path)); n > 120 || !strings.HasPrefix(filepath.Base(got.Path), "ééé") {
		t.Errorf("named %s", got.Path)
	}
	if exists(state) {
		t.Error("looking made the folder")
	}
	other, _ := PathFor(filepath.Join(dir, "sub", filepath.Base(photo)), state)
	if other.Path == got.Path {
		t.Error("two photos of one name share a plan")
	}
	if err := Save(got.Path, aFile("boat.jpg", 1).Text()); err != nil {
		t.Fatal(err)
	}
	if info, err := os.Stat(state); err != nil || info.Mode().Perm() != 0o700 {
		t.Errorf("the state folder: %v %v", info.Mode(), err)
	}
	if again, _ := PathFor(photo, state); again != got {
		t.Errorf("a second look: %+v, first %+v", again, got)
	}
}

// A plan that was kept elsewhere while the folder was closed is found again.
func TestPathForFindsTheOlderPlan(t *testing.T) {
	dir, state := t.TempDir(), t.TempDir()
	photo := filepath.Join(dir, "boat.jpg")
	write(t, photo, nil)
	kept := statePath("boat.jpg", photo, state)
	write(t, kept, aFile("boat.jpg", 2).Text())
	got, err := PathFor(photo, state)
	if err != nil || got.From != kept || got.Path != filepath.Join(dir, "boat.plan.json") {
		t.Errorf("%+v, %v", got, err)
	}
	if f, err := Load(got.From); err != nil || f.Plan.Squint != 2 {
		t.Errorf("%v", err)
	}
	write(t, got.Path, aFile("boat.jpg", 3).Text())
	if got, _ = PathFor(photo, state); got.From != got.Path {
		t.Errorf("the plan beside does not win: %+v", got)
	}
}

func TestPathForLongName(t *testing.T) {
	dir, state := t.TempDir(), t.TempDir()
	got, err := PathFor(filepath.Join(dir, strings.Repeat("a", 245)+".jpg"), state)
	if err != nil || filepath.Dir(got.Path) != state || !strings.Contains(got.Note, "too long") {
		t.Fatalf("%+v, %v", got, err)
	}
	got, err = PathFor(filepath.Join(dir, strings.Repeat("a", 236)+".jpg"), state)
	if err != nil || filepath.Dir(got.Path) != dir {
		t.Fatalf("%+v, %v", got, err)
	}
	if err := Save(got.Path, []byte("{}")); err != nil {
		t.Error(err)
	}
	if l, err := TakeLock(got.Path); err != nil || l.Note != "" {
		t.Errorf("%v %v", l, err)
	} else {
		l.Release()
	}
}

func TestPathForDemo(t *testing.T) {
	got := PathForDemo("harbour.png", "/state")
	if got.Path != filepath.FromSlash("/state/harbour-demo.plan.json") || got.From != got.Path || got.Note == "" {
		t.Errorf("%+v", got)
	}
}

func TestPlanPaths(t *testing.T) {
	for path, want := range map[string]bool{"boat.plan.json": true, "a/BOAT.PLAN.JSON": true, ".plan.json": false, "plan.json": false, "boat.jpg": false} {
		if IsPlanPath(path) != want {
			t.Errorf("%s: %v", path, !want)
		}
	}
	f := aFile("boat.jpg", 1)
	if got := PhotoFor(filepath.Join("tide", "boat.plan.json"), f); got != filepath.Join("tide", "boat.jpg") {
		t.Error(got)
	}
}

func TestLoad(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "boat.plan.json")
	if _, err := Load(path); !errors.Is(err, fs.ErrNotExist) || !strings.Contains(err.Error(), path) {
		t.Errorf("none: %v", err)
	}
	want := aFile("boat.jpg", 1.4)
	write(t, path, want.Text())
	if f, err := Load(path); err != nil || !f.Equal(want) {
		t.Errorf("%+v, %v", f, err)
	}
	link := filepath.Join(dir, "link.plan.json")
	if err := os.Symlink(path, link); err == nil {
		if f, err := Load(link); err != nil || !f.Equal(want) {
			t.Errorf("through a link: %v", err)
		}
	}
	write(t, path, []byte("{\n"))
	var bad *plan.ReadError
	if _, err := Load(path); !errors.As(err, &bad) || bad.Line != 2 || !strings.Contains(err.Error(), path) {
		t.Errorf("cut short: %v", err)
	}
	write(t, path, make([]byte, plan.MaxBytes+10))
	if _, err := Load(path); !errors.Is(err, plan.ErrTooLarge) {
		t.Errorf("too large: %v", err)
	}
	if _, err := Load(dir); !errors.Is(err, ErrNotFile) {
		t.Errorf("a folder: %v", err)
	}
}

func TestSetAside(t *testing.T) {
	path := filepath.Join(t.TempDir(), "boat.plan.json")
	for i, want := range []string{".unread", ".unread2", ".unread3"} {
		text := []byte{'0' + byte(i)}
		write(t, path, text)
		to, err := SetAside(path)
		if err != nil || to != path+want || exists(path) {
			t.Fatalf("%s, %v", to, err)
		}
		if got, _ := os.ReadFile(to); string(got) != string(text) {
			t.Errorf("%s holds %q", to, got)
		}
	}
	if _, err := SetAside(path); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("nothing set aside: %v", err)
	}
}

func TestMatch(t *testing.T) {
	f := aFile("boat.jpg", 1)
	other := strings.Repeat("ab", 32)
	for _, c := range []struct {
		name, sum string
		size      image.Point
		want      Likeness
		part      string
	}{
		{"boat.jpg", sum, image.Pt(4000, 3000), Same, ""},
		{"hull.jpg", sum, image.Pt(4000, 3000), Renamed, "was called boat.jpg"},
		{"boat.jpg", other, image.Pt(4000, 3000), Changed, "the crop holds"},
		{"hull.jpg", other, image.Pt(4000, 3000), Changed, "the crop holds"},
		{"boat.jpg", other, image.Pt(2000, 1500), OtherSize, "the proportions agree"},
		{"boat.jpg", other, image.Pt(1023, 767), OtherSize, "the proportions agree"},
		{"boat.jpg", other, image.Pt(3000, 4000), OtherSize, "the proportions differ"},
		{"boat.jpg", other, image.Pt(1500, 1000), OtherSize, "1500 by 1000 pixels, the planned photo had 4000 by 3000"},
	} {
		v := Match(f, c.name, c.sum, c.size)
		if v.Likeness != c.want || !strings.Contains(v.Line, c.part) || (v.Line == "") != (c.want == Same) {
			t.Errorf("%+v: %+v", c, v)
		}
	}
}

// A plan in a folder of its own among the photos finds its photo above; one that
// lies beside it goes before that.
func TestPhotoAbove(t *testing.T) {
	dir := t.TempDir()
	plans := filepath.Join(dir, "plans")
	if err := os.Mkdir(plans, 0o755); err != nil {
		t.Fatal(err)
	}
	f, path := aFile("boat.jpg", 1), filepath.Join(plans, "boat.plan.json")
	if err := os.Mkdir(filepath.Join(dir, "boat.jpg"), 0o755); err != nil {
		t.Fatal(err)
	}
	if got := PhotoFor(path, f); got != filepath.Join(plans, "boat.jpg") {
		t.Errorf("with a folder of that name above: %s", got)
	}
	if err := os.Remove(filepath.Join(dir, "boat.jpg")); err != nil {
		t.Fatal(err)
	}
	for _, in := range []string{dir, plans} {
		want := filepath.Join(in, "boat.jpg")
		write(t, want, []byte("a photo"))
		if got := PhotoFor(path, f); got != want {
			t.Errorf("%s, not %s", got, want)
		}
	}
}
