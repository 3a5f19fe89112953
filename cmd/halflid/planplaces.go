package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"syscall"

	"atelier/halflid/cmd/halflid/keep"
)

// places returns where each file's plan goes, empty for beside its photo. In
// --out, NAME.plan.json is for the first photo of that name; another with the
// same name but for its ending, now or in an earlier run, keeps its ending. The
// order of the files alone decides, not which is done first.
func (p *planner) places(files []string) []string {
	out := make([]string, len(files))
	if p.dir == "" {
		return out
	}
	taken := map[string]string{}
	for i, file := range files {
		base := filepath.Base(file)
		if keep.IsPlanPath(base) {
			base = base[:len(base)-len(keep.Ext)]
		}
		path := filepath.Join(p.dir, strings.TrimSuffix(base, filepath.Ext(base))+keep.Ext)
		if who, ok := taken[path]; ok && who != resolved(file) || !ok && othersPlan(path, base) {
			path = filepath.Join(p.dir, base+keep.Ext)
		}
		taken[path] = resolved(file)
		out[i] = path
	}
	return out
}

// othersPlan reports whether a plan file is there that is for another photo.
func othersPlan(path, photoName string) bool {
	f, err := keep.Load(path)
	stem := func(s string) string { return strings.TrimSuffix(s, filepath.Ext(s)) }
	return err == nil && f.Photo.Name != photoName && stem(f.Photo.Name) != photoName
}

// turns returns for each file the one before it that writes the same plan, and
// which it has to wait for: a photo that is named twice, or with its plan, is no
// second window on it. -1 stands for none.
func turns(files, places []string) []int {
	state, err := keep.StateDir(os.Getenv)
	if err != nil {
		state = ""
	}
	last, out := map[string]int{}, make([]int, len(files))
	for i, file := range files {
		path := places[i]
		if path == "" {
			path = file
			if p, err := keep.PathFor(resolved(file), state); err == nil && !keep.IsPlanPath(file) {
				path = p.Path
			}
		}
		path = resolved(path)
		out[i] = -1
		if n, ok := last[path]; ok {
			out[i] = n
		}
		last[path] = i
	}
	return out
}

// resolved returns a path by which the same file is named each time it is: absolute,
// its folder without links. A folder that is not there stays as it was named.
func resolved(path string) string {
	abs, err := filepath.Abs(path)
	if err != nil {
		return path
	}
	if dir, err := filepath.EvalSymlinks(filepath.Dir(abs)); err == nil {
		return filepath.Join(dir, filepath.Base(abs))
	}
	return abs
}

// noFolder says why --out cannot be made.
func noFolder(dir string, err error) error {
	var p *fs.PathError
	if errors.As(err, &p) && errors.Is(err, syscall.ENOTDIR) {
		return fmt.Errorf("%s is no folder: name another with --out", p.Path)
	}
	return fmt.Errorf("the folder %s cannot be made: %w; name another with --out", dir, cause(err))
}
