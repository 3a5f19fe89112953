package main

import "runtime/debug"

// version returns what is known of the source that the program was built from: a
// release, or the day and the beginning of the name of a commit.
func version() string {
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return "of unknown source"
	}
	return versionOf(info)
}

func versionOf(info *debug.BuildInfo) string {
	if v := info.Main.Version; v != "" && v != "(devel)" {
		return v
	}
	commit, day, changed := "", "", ""
	for _, s := range info.Settings {
		switch s.Key {
		case "vcs.revision":
			commit = s.Value[:min(len(s.Value), 12)]
		case "vcs.time":
			day = s.Value[:min(len(s.Value), 10)]
		case "vcs.modified":
			if s.Value == "true" {
				changed = ", with changes of its own"
			}
		}
	}
	if commit == "" {
		return "built from a working copy"
	}
	return commit + " of " + day + changed
}
