package main

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"atelier/halflid/cmd/halflid/keep"
	"atelier/halflid/imageproc/plan"
)

// hostileNames are names that a file system takes and a terminal must not get.
var hostileNames = []string{
	"clear\x1b[2Jme.png", "title\x1b]0;hm\x07.png", "c1\u009b31m.png", "osc\u009d0;hm\u009c.png",
	"raw\x9b31m.png", "two\nlines.png", "over\rwritten.png", "back\b\bspace.png", "turned\u202egnp.png",
	"broken\xff\xfe.png", "del\x7f.png", "line\u2028end.png", "dcs\x1bPq#0;2;0;0;0\x1b\\.png", "tab\tbed.png",
	"-", "--json\x1b[5m.png", "%s%n%x.png", "nought\x01width\u200b.png",
}

// unseen returns the first thing in a text that a terminal might act upon: a
// control character but the end of a line, one that cannot be seen, or a byte
// that is no letter. Empty if there is none.
func unseen(s string) string {
	for i, r := range s {
		switch {
		case r == '\n':
		case r == utf8.RuneError && !strings.HasPrefix(s[i:], "\ufffd"):
			return fmt.Sprintf("byte %#x", s[i])
		case unicode.In(r, unicode.Cc, unicode.Cf, unicode.Zl, unicode.Zp):
			return fmt.Sprintf("%U", r)
		}
	}
	return ""
}

// hostilePlan is a plan file whose every text is meant for the terminal.
func hostilePlan(t *testing.T, photoName, file string) []byte {
	t.Helper()
	w, err := openWork(t.Context(), file)
	if err != nil {
		t.Fatal(err)
	}
	f := w.file
	f.Photo.Name = photoName
	three := plan.SetK(3)(f.Plan, w.frame())
	for _, name := range []string{"turned \u202e name", "zero\u200bwidth \ufeff", "wide 船船船", "soft\u00adhyphen"} {
		f, _ = f.Keep(name, three)
		three = plan.SetSquint(three.Squint*1.4)(three, w.frame())
	}
	text := string(f.Text())
	const odd = `"\u001b]0;hm\u0007": "\u001b[2J\u009b31m\u202e", `
	return []byte(strings.NewReplacer(`"crop": {`, odd+`"crop": {`, `"version": 1`, odd+`"version": 1`).Replace(text))
}

// Whatever files are called and whatever their plans hold: no command writes
// anything that a terminal acts upon, but for the colours of halflid show.
func TestNothingOddIsPrinted(t *testing.T) {
	notRacing(t)
	colours := regexp.MustCompile(`\x1b\[[0-9;:]*m`)
	picture := encodePNG(t, quayPicture(120, 90))
	names := hostileNames
	if os.Getenv("HALFLID_HEAVY") == "" {
		names = names[:1]
	}
	for _, name := range names {
		t.Run(fmt.Sprintf("%q", name), func(t *testing.T) {
			dir := t.TempDir()
			if err := os.WriteFile(filepath.Join(dir, name), picture, 0o644); err != nil {
				t.Skip("no such names here: ", err)
			}
			file := filepath.Join(dir, name)
			kept := strings.TrimSuffix(file, filepath.Ext(file)) + keep.Ext
			if err := os.WriteFile(kept, hostilePlan(t, "\x1b]0;hm\x07"+strings.ToValidUTF8(name, "?"), file), 0o644); err != nil {
				t.Fatal(err)
			}
			gone := filepath.Join(dir, "gone"+name)
			for _, args := range [][]string{
				{"plan", file},
				{"plan", file, "--json", "--all"},
				{"plan", file, "--all", "--thumbnails", filepath.Join(dir, "w\x1b[2J.png")},
				{"plan", file, "--out", filepath.Join(dir, "out\x1b[2J\u009b")},
				{"plan", kept},
				{"plan", file, gone, kept},
				{"read", file},
				{"read", file, "--json"},
				{"read", file, "--thumbnails"},
				{"read", file, "--thumbnail", "1", "--compare"},
				{"read", file, kept, "--table"},
				{"show", file},
				{"show", file, "--thumbnail", "9"},
				{"show", file, "--view", "x" + name},
				{"show", gone},
				{"show", dir},
				{"show", kept},
				{gone},
				{file, gone},
				{"help", name},
				{"plan", "--" + name},
				{"plan", file, "--values", name},
				{"plan", file, "--panel", name},
				{"plan", file, "--crop", name},
				{"read", file, "--focal", name},
				{"show", file, "--colour", name},
				{"terminal", name},
				{"__complete", "plan", "--" + name},
			} {
				code, out, words := call(t, args...)
				if args[0] == "show" {
					out = colours.ReplaceAllString(out, "")
				}
				if u := unseen(out) + unseen(words); u != "" {
					t.Errorf("%q: exit %d, %s in\n%q\n%q", args, code, u, clip(out), clip(words))
				}
			}
		})
	}
}

// clip returns the beginning of a long text.
func clip(s string) string {
	if len(s) > 600 {
		return s[:600] + " ..."
	}
	return s
}

// In JSON a name is the name all the same: what cannot be shown is escaped.
func TestJSONHasTheTrueName(t *testing.T) {
	notRacing(t)
	dir := t.TempDir()
	name := "c1\u009b31m\u202e\x7f.png"
	file := write(t, dir, name, encodePNG(t, quayPicture(120, 90)))
	for _, command := range []string{"plan", "read"} {
		code, out, words := call(t, command, file, "--json")
		if code != exitDone {
			t.Fatal(words)
		}
		var all []struct{ File, Photo string }
		if err := json.Unmarshal([]byte(out), &all); err != nil || len(all) != 1 || all[0].File != file || all[0].Photo != name {
			t.Errorf("%s: %v %+v", command, err, all)
		}
	}
}

// What the studio writes for a hostile name and plan is made of the same kinds of
// sequences as for a plain one, and nothing of the names' own is in it.
func TestStudioLetsNothingIn(t *testing.T) {
	notRacing(t)
	heavy(t)
	kinds := func(name string, hostile bool) map[string]bool {
		dir := t.TempDir()
		file := write(t, dir, name, encodePNG(t, quayPicture(400, 300)))
		if hostile {
			stem := strings.TrimSuffix(file, ".png")
			if err := os.WriteFile(stem+keep.Ext, hostilePlan(t, "was\x1b]0;hm\x07"+name, file), 0o644); err != nil {
				t.Fatal(err)
			}
		} else {
			must(t, "plan", file, "--values", "3")
		}
		term := start(t, 110, 30, dir, file)
		term.shows("in across")
		for _, k := range []string{"m", "3", "y", "T", "l", "n", "x\x1b[200~p\x1b]0;hm\x07\x9b2Jq\x1b[201~", "\r", " ", "b", "\x1b", "\x1b", "d", "\x1b", "R", "j", "\x1b", "?", "?", "S"} {
			term.keys(k)
			term.quiet()
		}
		term.shows("saved")
		term.keys("q")
		term.ends()
		term.clean()
		term.mu.Lock()
		defer term.mu.Unlock()
		return sequences(t, string(term.raw))
	}
	plain := kinds("quay.png", false)
	for _, name := range []string{"clear\x1b[2J\x1b[5mme.png", "title\x1b]0;hm\x07\x1bPq\x1b\\.png", "c1\u009b31m\u009d0;hm\u009c\u202e.png"} {
		for kind := range kinds(name, true) {
			if !plain[kind] {
				t.Errorf("%q: the studio wrote %q", name, kind)
			}
		}
	}
}

// sequences returns the kinds of sequences in what was written to a terminal: each
// without its numbers, but for modes, which are named by them. It fails the test
// for control characters beside them, other than those that the painter itself moves
// by: back a cell, to the row's beginning, down.
func sequences(t *testing.T, raw string) map[string]bool {
	t.Helper()
	all := regexp.MustCompile("\x1b(\\[[<-?]*[0-9;:]*[ -/]*[@-~]|[\\]P_^X][^\x07\x1b]*(\x07|\x1b\\\\)|[ -/]*[0-Z\\\\^-~])")
	kinds := map[string]bool{}
	rest := all.ReplaceAllStringFunc(raw, func(s string) string {
		switch {
		case strings.HasPrefix(s, "\x1b[?") && (s[len(s)-1] == 'h' || s[len(s)-1] == 'l'),
			!strings.HasPrefix(s, "\x1b["), strings.HasSuffix(s, "J"):
			kinds[s] = true
		default:
			kinds[regexp.MustCompile(`[0-9]+([;:][0-9]*)*`).ReplaceAllString(s, "")] = true
		}
		return ""
	})
	for _, r := range rest {
		if unicode.In(r, unicode.Cc, unicode.Cf, unicode.Zl, unicode.Zp) && r != '\b' && r != '\r' && r != '\n' || r == utf8.RuneError {
			t.Errorf("%U was written to the terminal", r)
		}
	}
	if strings.Contains(rest, "0;hm") && strings.Contains(raw, "\x1b]0;hm") {
		t.Error("the title was set")
	}
	return kinds
}

// A plan leads to no file outside its own folder, and to nothing that is no file.
func TestPlanLeadsNowhereElse(t *testing.T) {
	notRacing(t)
	root := t.TempDir()
	dir := filepath.Join(root, "photos")
	if err := os.Mkdir(dir, 0o755); err != nil {
		t.Fatal(err)
	}
	secret := write(t, root, "secret.png", encodePNG(t, quayPicture(120, 90)))
	file := write(t, dir, "quay.png", encodePNG(t, quayPicture(120, 90)))
	must(t, "plan", file)
	kept := filepath.Join(dir, "quay.plan.json")
	sound := string(readFileT(t, kept))
	for _, name := range []string{secret, "../secret.png", "..", ".", "", "/dev/zero", "../photos/quay.png", `sub/../quay.png`, "a\x00b"} {
		quoted, _ := json.Marshal(name)
		if err := os.WriteFile(kept, []byte(strings.Replace(sound, `"quay.png"`, string(quoted), 1)), 0o644); err != nil {
			t.Fatal(err)
		}
		for _, command := range []string{"show", "plan", "read"} {
			code, out, words := call(t, command, kept)
			if code != exitFailed || out != "" || !strings.Contains(words, "photo.name") {
				t.Errorf("%s with the photo %q: exit %d\n%s%s", command, name, code, clip(out), words)
			}
		}
	}
	// Nor is what lies beside it opened if it is no file.
	for name, make := range map[string]func(string) error{
		"folder.png": func(p string) error { return os.Mkdir(p, 0o755) },
		"zero.png":   func(p string) error { return os.Symlink("/dev/zero", p) },
		"pipe.png":   func(p string) error { return mkfifo(p) },
	} {
		if err := make(filepath.Join(dir, name)); err != nil {
			continue
		}
		if err := os.WriteFile(kept, []byte(strings.Replace(sound, `"quay.png"`, `"`+name+`"`, 1)), 0o644); err != nil {
			t.Fatal(err)
		}
		if code, _, words := call(t, "show", kept); code != exitFailed || strings.Count(words, "\n") != 1 {
			t.Errorf("%s: exit %d, %s", name, code, words)
		}
	}
}

// Plan files that were made to cost or to mislead: one line, with the file, the
// place in it and the reason.
func TestHostilePlanFilesAreRefused(t *testing.T) {
	notRacing(t)
	dir := t.TempDir()
	file := write(t, dir, "quay.png", encodePNG(t, quayPicture(120, 90)))
	must(t, "plan", file)
	kept := filepath.Join(dir, "quay.plan.json")
	sound := string(readFileT(t, kept))
	many := func(s string, n int) string { return strings.Repeat(s, n) }
	for part, text := range map[string]string{
		"the number 1e999 is too large":    strings.Replace(sound, `"width": 120`, `"width": 1e999`, 1),
		"want a number, text in quotes":    strings.Replace(sound, `"width": 120`, `"width": NaN`, 1),
		"photo.width: want a number":       strings.Replace(sound, `"width": 120`, `"width": 99999999999999999999`, 1),
		"more than 32 deep":                strings.Replace(sound, `"version": 1`, `"version": 1, "a": `+many("[", 100_000), 1),
		"more than 300000 entries":         strings.Replace(sound, `"version": 1`, `"version": 1, "a": [`+many("0,", 1_000_000)+"0]", 1),
		`the field "\x1b[2J" stands here`:  strings.Replace(sound, `"version": 1`, `"version": 1, "\u001b[2J": 1, "\u001b[2J": 1`, 1),
		`line 3, column 15: "\x1b[2J"`:     strings.Replace(sound, `"version": 1`, `"\u001b[2J":`+many("[", 16)+many("]", 16)+`, "version": 1`, 1),
		"bytes that are none":              strings.Replace(sound, "quay.png", "qu\xffy.png", 1),
		"byte-order mark":                  "\xef\xbb\xbf" + sound,
		"found more after it":              sound + "{}",
		"photo.name: want the photo's":     strings.Replace(sound, "quay.png", many("n", 1<<20), 1),
		"at most 8388608 are read":         sound + many(" ", plan.MaxBytes),
		"saved by a newer halflid (1e300;": strings.Replace(sound, `"version": 1`, `"version": 1e300`, 1),
	} {
		if text == sound {
			t.Fatalf("nothing was changed for %q", part)
		}
		if err := os.WriteFile(kept, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		for _, args := range [][]string{{"plan", kept}, {"show", kept}, {"read", kept}, {"plan", file}} {
			code, out, words := call(t, args...)
			where := regexp.MustCompile(`quay\.plan\.json: plan file, line \d+, column \d+: `)
			if code != exitFailed || out != "" || !strings.Contains(words, part) || !where.MatchString(words) || strings.Count(words, "\n") != 1 || len(words) > 600 {
				t.Errorf("%s: exit %d, want %q in\n%s%s", args[0], code, part, clip(out), clip(words))
			}
		}
		if got := readFileT(t, kept); string(got) != text {
			t.Errorf("%s: the plan that could not be read was written over", part)
		}
	}
}
