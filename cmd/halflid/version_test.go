package main

import (
	"runtime/debug"
	"strings"
	"testing"
)

// A reader who asks for the version gets one line, and a maintainer can find the
// commit by it.
func TestVersion(t *testing.T) {
	code, out, errs := call(t, "--version")
	if code != exitDone || errs != "" || !strings.HasPrefix(out, "halflid ") || strings.Count(out, "\n") != 1 || len(strings.Fields(out)) < 2 {
		t.Errorf("exit %d, %q, %q", code, out, errs)
	}
	for want, info := range map[string]debug.BuildInfo{
		"v1.2.0":                    {Main: debug.Module{Version: "v1.2.0"}},
		"built from a working copy": {Main: debug.Module{Version: "(devel)"}},
		"0123456789ab of 2026-03-01": {Settings: []debug.BuildSetting{
			{Key: "vcs.revision", Value: "0123456789abcdef"}, {Key: "vcs.time", Value: "2026-03-01T10:00:00Z"}, {Key: "vcs.modified", Value: "false"},
		}},
		"abc of 2026-03-01, with changes of its own": {Settings: []debug.BuildSetting{
			{Key: "vcs.revision", Value: "abc"}, {Key: "vcs.time", Value: "2026-03-01T10:00:00Z"}, {Key: "vcs.modified", Value: "true"},
		}},
	} {
		if got := versionOf(&info); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}
