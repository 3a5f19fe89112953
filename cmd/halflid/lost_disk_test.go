package main

import (
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"atelier/halflid/cmd/halflid/keep"
)

// tree returns every file below a folder with what it holds and its mode.
func tree(t *testing.T, root string) map[string]string {
	t.Helper()
	out := map[string]string{}
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		rel, _ := filepath.Rel(root, path)
		info, err := d.Info()
		if err != nil {
			return err
		}
		if !info.Mode().IsRegular() {
			out[rel] = info.Mode().String()
			return nil
		}
		out[rel] = info.Mode().String() + string(readFileT(t, path))
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// changed returns the names of what is new, gone or other.
func changed(before, after map[string]string) []string {
	var out []string
	for name, is := range after {
		if was, ok := before[name]; !ok || was != is {
			out = append(out, name)
		}
	}
	for name := range before {
		if _, ok := after[name]; !ok {
			out = append(out, "gone: "+name)
		}
	}
	slices.Sort(out)
	return out
}

// Each command writes what its help says and nothing else, in the photo's folder,
// in the user's or in the one for what is passing; and writes through no link.
func TestNothingElseIsWritten(t *testing.T) {
	root := t.TempDir()
	for _, env := range []string{"HOME", "TMPDIR", "XDG_STATE_HOME", "XDG_CACHE_HOME", "XDG_CONFIG_HOME"} {
		dir := filepath.Join(root, strings.ToLower(env))
		if err := os.Mkdir(dir, 0o755); err != nil {
			t.Fatal(err)
		}
		t.Setenv(env, dir)
	}
	dir := filepath.Join(root, "photos")
	if err := os.Mkdir(dir, 0o755); err != nil {
		t.Fatal(err)
	}
	file := write(t, dir, "quay.png", encodePNG(t, quayPicture(120, 90)))
	outside := write(t, root, "hers", []byte("hers"))
	do := func(args ...string) (code int, words string) {
		t.Helper()
		var o, e strings.Builder
		return run(args, strings.NewReader(""), &o, &e), e.String()
	}
	plans := []string{"photos/quay.plan.json", "photos/quay.plan.png"}
	for _, c := range []struct {
		args []string
		want []string
	}{
		{[]string{"show", file}, nil},
		{[]string{"read", file}, nil},
		{[]string{"plan", file}, plans},
		{[]string{"read", file, "--json"}, nil},
		{[]string{"plan", file, "--values", "2", "--out", filepath.Join(root, "out")}, []string{"out", "out/quay.plan.json", "out/quay.plan.png"}},
		{[]string{"show", filepath.Join(dir, "quay.plan.json"), "--view", "outline"}, nil},
		{[]string{"plan", file, "--values", "9"}, nil},
	} {
		before := tree(t, root)
		_, words := do(c.args...)
		if got := changed(before, tree(t, root)); !slices.Equal(got, c.want) {
			t.Errorf("%q wrote %q, want %q\n%s", c.args, got, c.want, words)
		}
	}
	// Links in the places of what is written.
	for _, name := range []string{"quay.plan.json", "quay.plan.png"} {
		path := filepath.Join(dir, name)
		kept := readFileT(t, path)
		if err := os.Remove(path); err != nil {
			t.Fatal(err)
		}
		if err := os.Symlink(outside, path); err != nil {
			t.Skip("no links here")
		}
		before := tree(t, root)
		code, words := do("plan", file, "--fresh")
		if code != exitFailed || string(readFileT(t, outside)) != "hers" || tree(t, root)[filepath.Join("photos", name)] != before[filepath.Join("photos", name)] {
			t.Errorf("%s is a link: exit %d, %s", name, code, words)
		}
		if err := os.Remove(path); err != nil {
			t.Fatal(err)
		}
		write(t, dir, name, kept)
	}
}

// The photo changes or vanishes while it is open: the plan is kept all the same,
// and the next look says what became of the photo.
func TestPhotoGoesWhileOpen(t *testing.T) {
	heavy(t)
	for name, do := range map[string]func(file string) error{
		"vanishes": os.Remove,
		"changes":  func(file string) error { return os.WriteFile(file, encodePNG(t, quayPicture(401, 300)), 0o644) },
		"breaks":   func(file string) error { return os.WriteFile(file, []byte("no picture"), 0o644) },
		"folder":   func(file string) error { return os.RemoveAll(filepath.Dir(file)) },
	} {
		t.Run(name, func(t *testing.T) {
			root := t.TempDir()
			dir := filepath.Join(root, "photos")
			if err := os.Mkdir(dir, 0o755); err != nil {
				t.Fatal(err)
			}
			file := write(t, dir, "quay.png", encodePNG(t, quayPicture(400, 300)))
			term := start(t, 90, 28, root, file)
			term.shows("whole photo")
			term.keys(".")
			term.shows("squint 1.4 %")
			if err := do(file); err != nil {
				t.Fatal(err)
			}
			term.keys(".", "3")
			term.shows("plan  6x8")
			term.keys("q")
			if code := term.ends(); code != exitDone {
				t.Errorf("exit %d", code)
			}
			term.clean()
			f, err := keep.Load(filepath.Join(dir, "quay.plan.json"))
			if err != nil || f.Plan.Squint != 2 || f.Plan.Values.K != 3 {
				t.Errorf("kept %+v, %v", f.Plan, err)
			}
			code, _, words := call(t, "show", file)
			if gone := name != "changes"; gone != (code == exitFailed) || gone && strings.Count(words, "\n") != 1 {
				t.Errorf("afterwards: exit %d, %s", code, words)
			}
		})
	}
}

// The program has no way to the network: no part of it, nor of what it is built
// on, speaks HTTP or TLS, and its own parts open no connection and start nothing.
func TestNoNetwork(t *testing.T) {
	tool, err := exec.LookPath("go")
	if err != nil {
		missing(t, "go is not installed")
	}
	list := func(format string, args ...string) []string {
		t.Helper()
		out, err := exec.Command(tool, append([]string{"list", "-f", format}, args...)...).Output()
		if err != nil {
			t.Fatal(err)
		}
		return strings.Fields(string(out))
	}
	for _, pkg := range list("{{.ImportPath}}", "-deps", ".") {
		for _, no := range []string{"net/http", "crypto/tls", "net/rpc", "net/smtp", "net/textproto", "plugin"} {
			if pkg == no || strings.HasPrefix(pkg, no+"/") {
				t.Errorf("the program is built with %s", pkg)
			}
		}
	}
	for _, pair := range list(`{{$p := .ImportPath}}{{range .Imports}}{{$p}}={{.}} {{end}}`, "-deps", ".") {
		pkg, imports, _ := strings.Cut(pair, "=")
		if strings.HasPrefix(pkg, "atelier/halflid/") && slices.Contains([]string{"net", "net/url", "os/exec", "plugin", "C"}, imports) {
			t.Errorf("%s imports %s", pkg, imports)
		}
	}
}

// A folder that cannot be written: the plan goes to the user's own folder, and
// that is said; what cannot be written there either is one line.
func TestReadOnlyFolder(t *testing.T) {
	dir, file := quay(t)
	if err := os.Chmod(dir, 0o555); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = os.Chmod(dir, 0o755) })
	if f, err := os.Create(filepath.Join(dir, "probe")); err == nil {
		_ = f.Close()
		_ = os.Remove(f.Name())
		t.Skip("every folder can be written here")
	}
	before := tree(t, dir)
	code, out, words := call(t, "plan", file)
	if code != exitDone || !strings.Contains(out+words, "wrote") {
		t.Errorf("exit %d\n%s%s", code, out, words)
	}
	if got := changed(before, tree(t, dir)); got != nil {
		t.Errorf("written: %v", got)
	}
	code, _, words = call(t, "plan", file, "--out", filepath.Join(dir, "out"))
	if code != exitFailed || strings.Count(words, "\n") != 1 || !strings.Contains(words, "permission denied") {
		t.Errorf("exit %d, %s", code, fmt.Sprint(words))
	}
}
