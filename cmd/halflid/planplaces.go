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

// places returns where each file's plan goes, empty for beside its photo, and why
// one cannot go anywhere. In --out, NAME.plan.json is for the first photo of that
// name; another with the same name but for its ending, now or in an earlier run,
// keeps its ending; a third of one name has no place there. The order of the files
// alone decides, not which is done first.
func (p *planner) places(files []string) ([]string, []error) {
	out, none := make([]string, len(files)), make([]error, len(files))
	if p.dir == "" {
		return out, none
	}
	taken := map[string]int{}
	others := func(path string, i int) bool {
		n, ok := taken[path]
		return ok && resolved(files[n]) != resolved(files[i])
	}
	for i, file := range files {
		name, short := planNames(file)
		path := filepath.Join(p.dir, short+keep.Ext)
		if _, ok := taken[path]; others(path, i) || !ok && othersPlan(path, name) {
			path = filepath.Join(p.dir, name+keep.Ext)
		}
		if others(path, i) {
			none[i] = fmt.Errorf("%s: %s is for %s already: name another folder with --out for one of them", file, path, files[taken[path]])
			continue
		}
		taken[path] = i
		out[i] = path
	}
	return out, none
}

// planNames returns the name of the photo that a file is, or is the plan of, as far
// as the file's own name tells it, and that name without its ending.
func planNames(file string) (name, short string) {
	name = filepath.Base(file)
	if keep.IsPlanPath(name) {
		name = name[:len(name)-len(keep.Ext)]
		if f, err := keep.Load(file); err != nil || f.Photo.Name != name {
			return name, name // what looks like an ending is none: my.boat
		}
	}
	return name, strings.TrimSuffix(name, filepath.Ext(name))
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
