package main

import (
	"bytes"
	"encoding/json"
	"image"
	"image/color"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"atelier/halflid/imageproc/photo"
	"atelier/halflid/imageproc/plan"
)

// TestFlagsInPlainWords: a wrong flag says what is wanted, and speaks of no parser.
func TestFlagsInPlainWords(t *testing.T) {
	_, file := quay(t)
	for _, c := range []struct {
		args []string
		want []string
	}{
		{[]string{"plan", file, "--values", "3.5"}, []string{`--values "3.5"`, "whole number"}},
		{[]string{"plan", file, "--values", "99999999999999999999"}, []string{"--values", "too large"}},
		{[]string{"plan", file, "--long", "wide"}, []string{`--long "wide"`, "whole number"}},
		{[]string{"show", file, "--squint", "1,5"}, []string{`--squint "1,5"`, "such as 1.5"}},
		{[]string{"show", file, "--squint", "2%"}, []string{`--squint "2%"`, "without a unit"}},
		{[]string{"show", file, "--max-megabytes", "x"}, []string{`--max-megabytes "x"`, "whole number"}},
		{[]string{"plan", file, "--json=maybe"}, []string{"--json", "alone"}},
		{[]string{"read", file, "--thumbnail", "x"}, []string{`--thumbnail "x"`, "1,3"}},
		{[]string{"crop", file, "-n", "x"}, []string{`--number "x"`, "whole number"}},
		{[]string{"plan", file, "--crop"}, []string{"--crop", "x,y,w"}},
		{[]string{"plan", file, "--valuse", "3"}, []string{"there is no flag --valuse"}},
		{[]string{"plan", file, "--value", "3"}, []string{"there is no flag --value", "--values"}},
		{[]string{"show", "-dash.jpg"}, []string{"there is no flag -d", "./-dash.jpg"}},
		{[]string{"show", file, "-q"}, []string{"there is no flag -q"}},
	} {
		code, out, words := call(t, c.args...)
		if code != exitUsage || out != "" {
			t.Errorf("%q: exit %d, out %q", c.args, code, out)
		}
		for _, w := range append(c.want, "see halflid "+c.args[0]+" --help") {
			if !strings.Contains(words, w) {
				t.Errorf("%q: %q does not say %q", c.args, words, w)
			}
		}
		if strings.Contains(words, "strconv") || strings.Contains(words, "shorthand") || strings.Contains(words, "argument") {
			t.Errorf("%q: programmers' words: %q", c.args, words)
		}
		if strings.Count(words, "\n") != 2 {
			t.Errorf("%q: not one line and where to look: %q", c.args, words)
		}
	}
}

// TestHelpOfNoCommand fails, and what is a command has help.
func TestHelpOfNoCommand(t *testing.T) {
	for words, want := range map[string]int{"bogus": exitUsage, "plann": exitUsage, "plan": exitDone, "help": exitDone, "": exitDone} {
		code, out, said := call(t, strings.Fields("help "+words)...)
		if code != want || (out != "") != (want == exitDone) || want != exitDone && !strings.Contains(said, "there is no command "+words) {
			t.Errorf("help %s: exit %d, out %q, words %q", words, code, out, said)
		}
	}
}

// TestNoName: an empty name, as an unset variable of a shell gives, is not the demo.
func TestNoName(t *testing.T) {
	for _, args := range [][]string{{""}, {"show", ""}, {"plan", ""}, {"plan", "", "--json"}, {"read", ""}, {"crop", ""}, {"sheet", ""}} {
		if code, out, words := call(t, args...); code != exitUsage || out != "" || !strings.Contains(words, "empty") {
			t.Errorf("%q: exit %d, out %q, words %q", args, code, out, words)
		}
	}
	for _, c := range []string{"plan", "read", "crop", "sheet"} {
		if code, _, words := call(t, c, "-"); code != exitFailed || !strings.Contains(words, "halflid show") {
			t.Errorf("%s -: exit %d, %q", c, code, words)
		}
	}
}

// TestLookingSaysWhatThePlanIs: who looks at a plan, or prints it, is told when it
// could not be read, or was made for another picture.
func TestLookingSaysWhatThePlanIs(t *testing.T) {
	dir, file := quay(t)
	kept := filepath.Join(dir, "quay.plan.json")
	if code, _, words := call(t, "plan", file); code != exitDone {
		t.Fatal(words)
	}
	text, err := os.ReadFile(kept)
	if err != nil {
		t.Fatal(err)
	}
	pdf := filepath.Join(t.TempDir(), "quay.pdf")
	changed := bytes.Replace(text, []byte(`"sha256": "`), []byte(`"sha256": "0`), 1)
	at := bytes.Index(changed, []byte(`"sha256": "0`)) + len(`"sha256": "0`) + 63
	changed = append(changed[:at:at], changed[at+1:]...)
	put := func(b []byte) {
		t.Helper()
		if err := os.WriteFile(kept, b, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	for _, args := range [][]string{{"show", file, "--width", "10"}, {"read", file}, {"read", file, "--json"}, {"crop", file, "-n", "1"}, {"sheet", file, "-o", pdf}} {
		put(text)
		if code, out, words := call(t, args...); code != exitDone || out == "" || words != "" {
			t.Errorf("%q, its own plan: exit %d, %q", args, code, words)
		}
		put(changed)
		code, out, words := call(t, args...)
		if code != exitDone || out == "" || !strings.HasPrefix(words, "halflid: note: ") || !strings.Contains(words, "not the picture that was planned") || strings.Count(words, "\n") != 1 {
			t.Errorf("%q, a plan for another picture: exit %d, %q", args, code, words)
		}
		put(text[:len(text)/2])
		code, out, words = call(t, args...)
		want, printed := exitDone, true
		if args[0] == "read" || args[0] == "sheet" {
			want, printed = exitFailed, false
		}
		if strings.Contains(strings.Join(args, " "), "--json") {
			out = strings.Trim(out, "[]\n")
		}
		if code != want || (out != "") != printed || !strings.Contains(words, "quay.plan.json") || !strings.Contains(words, "move it away") || strings.Count(words, "\n") != 1 {
			t.Errorf("%q, a plan cut short: exit %d, out %q, words %q", args, code, out, words)
		}
	}
	code, _, words := call(t, "show", kept)
	if code != exitFailed || !strings.Contains(words, "open the photo itself") {
		t.Errorf("a plan cut short that is named: exit %d, %q", code, words)
	}
	// Into another folder a new plan is made, and said to be one.
	code, out, words := call(t, "plan", file, "--out", t.TempDir())
	if code != exitDone || !strings.Contains(out, "note: a new plan is begun") || !strings.Contains(out, "cut short") {
		t.Errorf("plan --out: exit %d, out %q, words %q", code, out, words)
	}
	if code, out, _ := call(t, "plan", file, "--out", t.TempDir(), "--fresh"); code != exitDone || strings.Contains(out, "note:") {
		t.Errorf("plan --fresh: exit %d, %q", code, out)
	}
	put(changed)
	if code, out, _ := call(t, "plan", file, "--fresh"); code != exitDone || strings.Contains(out, "note:") {
		t.Errorf("plan --fresh of a changed photo: exit %d, %q", code, out)
	}
}

// TestTallPicture: a strip one pixel wide does not fill the memory with cells.
func TestTallPicture(t *testing.T) {
	m := image.NewGray(image.Rect(0, 0, 1, 5000))
	for y := range 5000 {
		m.SetGray(0, y, color.Gray{uint8(y / 20)})
	}
	dir := t.TempDir()
	file := filepath.Join(dir, "strip.png")
	write(t, dir, "strip.png", encodePNG(t, m))
	for _, width := range []string{"1", "80", "1000"} {
		code, out, words := call(t, "show", file, "--view", "whole", "--width", width)
		if n := strings.Count(out, "\n"); code != exitDone || n < 1 || n > maxShowRows {
			t.Errorf("width %s: exit %d, %d rows, %q", width, code, n, words)
		}
	}
	_, usual := quay(t)
	if code, out, _ := call(t, "show", usual, "--width", "1000"); code != exitDone || strings.Count(out, "\n") != 375 {
		t.Errorf("a usual photo at 1000 cells: exit %d, %d rows", code, strings.Count(out, "\n"))
	}
}

// TestLimitsNameTheirFlags: who hits a limit is told how to raise it.
func TestLimitsNameTheirFlags(t *testing.T) {
	file := write(t, t.TempDir(), "wide.png", encodePNG(t, image.NewGray(image.Rect(0, 0, 1200, 1000))))
	for flag, value := range map[string]string{"--max-megapixels": "1", "--max-memory-megabytes": "40"} {
		code, _, words := call(t, "show", file, flag, value)
		if code != exitFailed || !strings.HasSuffix(words, "; "+flag+" allows more\n") {
			t.Errorf("%s %s: exit %d, %q", flag, value, code, words)
		}
	}
	if err := raising(&photo.Error{Limit: photo.ByContext}); !strings.HasSuffix(err.Error(), "; --max-seconds allows more") {
		t.Error(err)
	}
	if err := raising(errMeanwhile); err != errMeanwhile {
		t.Error(err)
	}
}

// TestSidesAgree: what is opened can be planned, and its plan read again.
func TestSidesAgree(t *testing.T) {
	if photo.MaxSide != plan.MaxSide {
		t.Errorf("photos of %d pixels a side are opened, plans name up to %d", photo.MaxSide, plan.MaxSide)
	}
}

// TestResultsThatCannotBePrinted says so of standard output, not of a device.
func TestResultsThatCannotBePrinted(t *testing.T) {
	full, err := os.OpenFile("/dev/full", os.O_WRONLY, 0)
	if err != nil {
		t.Skip("no such device here")
	}
	defer full.Close()
	_, file := quay(t)
	for _, args := range [][]string{{"read", file}, {"show", file}, {"plan", file, "--json", "--out", t.TempDir()}} {
		t.Setenv("XDG_STATE_HOME", t.TempDir())
		var words bytes.Buffer
		code := run(args, strings.NewReader(""), full, &words)
		if code != exitFailed || !strings.Contains(words.String(), "standard output cannot be written") || strings.Contains(words.String(), "/dev/") {
			t.Errorf("%q: exit %d, %q", args, code, words.String())
		}
	}
}

// TestJSONWhereSomeFail: what was done is valid JSON all the same.
func TestJSONWhereSomeFail(t *testing.T) {
	_, file := quay(t)
	for _, c := range []string{"plan", "read"} {
		code, out, words := call(t, c, file, filepath.Join(t.TempDir(), "none.jpg"), "--json")
		var all []map[string]any
		if err := json.Unmarshal([]byte(out), &all); code != exitFailed || err != nil || len(all) != 1 || !strings.Contains(words, "1 of 2 files failed") {
			t.Errorf("%s: exit %d, %d entries, %v, %q", c, code, len(all), err, words)
		}
	}
}
