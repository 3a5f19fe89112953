package main

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/spf13/pflag"
)

// Every command has its page, with every flag of it; pages of unknown commands
// and folders that are not there are refused.
func TestManPages(t *testing.T) {
	dir := t.TempDir()
	if code, out, errs := call(t, "man", "--dir", dir); code != exitDone || out != "" || errs != "" {
		t.Fatalf("exit %d, %q, %q", code, out, errs)
	}
	root := rootCommand(nil, nil)
	pages := 1
	for _, c := range root.Commands() {
		if !c.IsAvailableCommand() || c.Name() == "help" || c.Name() == "completion" {
			continue
		}
		pages++
		page := string(readFileT(t, filepath.Join(dir, "halflid-"+c.Name()+".1")))
		if !strings.HasPrefix(page, ".nh\n.TH \"HALFLID-"+strings.ToUpper(c.Name())+`" "1"`) || !strings.Contains(page, "halflid-"+c.Name()+" - "+c.Short) {
			t.Errorf("%s: %.200s", c.Name(), page)
		}
		c.LocalFlags().VisitAll(func(f *pflag.Flag) {
			if !f.Hidden && !strings.Contains(page, `\fB--`+f.Name+`\fP`) {
				t.Errorf("%s: --%s is missing", c.Name(), f.Name)
			}
		})
		if _, out, _ := call(t, "man", c.Name()); out != page {
			t.Errorf("%s: printed it differs from the file", c.Name())
		}
	}
	if main := string(readFileT(t, filepath.Join(dir, "halflid.1"))); !strings.Contains(main, "Exit codes: 0 done") || !regexp.MustCompile(`halflid-sheet\(1\)`).MatchString(main) {
		t.Errorf("%.300s", main)
	}
	if found, _ := filepath.Glob(filepath.Join(dir, "*.1")); len(found) < pages {
		t.Errorf("%d pages for %d commands", len(found), pages)
	}
	for _, args := range [][]string{{"man", "nosuch"}, {"man", "plan", "show"}, {"man", "plan", "--dir", dir}} {
		if code, out, errs := call(t, args...); code != exitUsage || out != "" || !strings.Contains(errs, "halflid: ") {
			t.Errorf("%v: exit %d, %q, %q", args, code, out, errs)
		}
	}
	missing := filepath.Join(dir, "nowhere")
	if code, _, errs := call(t, "man", "--dir", missing); code != exitFailed || !strings.Contains(errs, "there is no such folder") {
		t.Errorf("exit %d, %q", code, errs)
	}
	if _, err := os.Stat(missing); err == nil {
		t.Error("the folder was made")
	}
}
