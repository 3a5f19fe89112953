package main

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"atelier/halflid/cmd/halflid/keep"
	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/sheet"
	"atelier/halflid/imageproc/study"
)

// thumbnail returns the plan of kept thumbnail n, 1 the first.
func (w *work) thumbnail(n int) (plan.Plan, error) {
	all := w.file.Thumbnails
	switch {
	case len(all) == 0:
		return plan.Plan{}, fmt.Errorf("%s: %s", w.name(), noThumbnails)
	case n > len(all):
		return plan.Plan{}, usagef("there is no thumbnail %d: the plan of %s keeps %d, such as --thumbnail %d", n, w.name(), len(all), len(all))
	}
	return plan.Fit(all[n-1].Plan, w.frame()), nil
}

const noThumbnails = "its plan keeps no thumbnails: y in the studio keeps the plan as it is there"

// keptThumb is what is said of a kept thumbnail.
type keptThumb struct {
	Number  int    `json:"number"` // from 1, as on the wall
	Name    string `json:"name"`
	Panel   string `json:"panel"`
	Values  int    `json:"values"`
	Hash    string `json:"plan_hash"`
	Picture string `json:"picture,omitempty"` // the file that was written

	file []byte // of the picture
}

// thumbs are a photo's kept thumbnails on their way to files.
type thumbs struct {
	list []keptThumb
	wall []byte // the picture of all of them; nil: not wanted
}

// thumbnails makes the pictures that are wanted of the thumbnails of w. d is the
// desk of its photo.
func (p *planner) thumbnails(ctx context.Context, w *work, d *study.Desk) (thumbs, error) {
	out := thumbs{list: []keptThumb{}}
	var tiles []sheet.Tile
	for i, t := range w.file.Thumbnails {
		kept := plan.Fit(t.Plan, w.frame())
		s, err := d.Make(ctx, kept, study.Plan)
		if err != nil {
			return thumbs{}, fmt.Errorf("thumbnail %d: %w", i+1, err)
		}
		one := keptThumb{Number: i + 1, Name: t.Name, Panel: kept.Panel.String(), Values: kept.Values.K, Hash: plan.Hash(kept)}
		if p.every {
			var b bytes.Buffer
			if err := s.WritePlan(&b, p.long); err != nil {
				return thumbs{}, fmt.Errorf("thumbnail %d: %w", i+1, err)
			}
			one.file = b.Bytes()
		}
		if p.wall != "" {
			side := sheet.TileSide(len(w.file.Thumbnails))
			tiles = append(tiles, sheet.Tile{Picture: s.PlanPicture(side), Words: tileWords(one, s.Figures)})
		}
		out.list = append(out.list, one)
	}
	if p.wall != "" {
		var b bytes.Buffer
		if err := sheet.Wall(&b, tiles, sheet.WallOptions{}); err != nil {
			return thumbs{}, err
		}
		out.wall = b.Bytes()
	}
	return out, nil
}

// tileWords is what stands under a thumbnail on the wall: its line of text, or
// its panel if it has only a number, and below what is painted for each value.
func tileWords(t keptThumb, f study.Figures) string {
	words := t.Name
	if _, err := strconv.Atoi(words); err == nil {
		words = t.Panel
	}
	words += "\n"
	for i, tone := range f.Tones {
		if i > 0 {
			words += " "
		}
		words += fmt.Sprintf("N%.1f", float64(tone.Value()))
	}
	return words
}

// paths are the files that save writes.
func (t thumbs) paths(planPath, wall string) (out []string) {
	for _, one := range t.list {
		if one.file != nil {
			out = append(out, thumbnailPath(planPath, one.Number))
		}
	}
	if t.wall != nil {
		out = append(out, wall)
	}
	return out
}

// save writes the pictures, those of the thumbnails beside planPath.
func (t thumbs) save(planPath, wall string) error {
	for i := range t.list {
		one := &t.list[i]
		if one.file == nil {
			continue
		}
		one.Picture = thumbnailPath(planPath, one.Number)
		if err := keep.Save(one.Picture, one.file); err != nil {
			return err
		}
	}
	if t.wall == nil {
		return nil
	}
	return keep.Save(wall, t.wall)
}

// thumbnailPath returns the name of a thumbnail's picture: NAME.plan.2.png for
// the second beside NAME.plan.json.
func thumbnailPath(planPath string, number int) string {
	stem := strings.TrimSuffix(picturePath(planPath), ".png")
	return fmt.Sprintf("%s.%d.png", stem, number)
}

// checkWall says what is wrong with where the wall shall go, before any photo is
// opened.
func (p *planner) checkWall(files int) error {
	switch {
	case !p.given("thumbnails"):
		return nil
	case p.wall == "":
		return usagef("--thumbnails needs the name of the sheet, such as wall.png")
	case files > 1:
		return usagef("--thumbnails writes one wall, of one plan: name one photo or plan (%d given)", files)
	case !strings.EqualFold(filepath.Ext(p.wall), ".png"):
		return usagef("the wall of thumbnails is a PNG: end its name so, such as --thumbnails wall.png")
	}
	if p.dir != "" && filepath.Base(p.wall) == p.wall {
		p.wall = filepath.Join(p.dir, p.wall)
	}
	return nil
}

// spare refuses to write a picture over the photo, or over the plan's own
// picture with another.
func (p *planner) spare(photoPath, planPath string, thumbnails int) error {
	own := []string{picturePath(planPath)}
	for n := 1; p.every && n <= thumbnails; n++ {
		own = append(own, thumbnailPath(planPath, n))
	}
	for _, path := range own {
		if p.wall != "" && sameFile(path, p.wall) {
			return usagef("--thumbnails %s is the name of a plan's own picture: choose another, such as wall.png", p.wall)
		}
	}
	if p.wall != "" && sameFile(photoPath, p.wall) {
		return usagef("--thumbnails %s would write over the photo: choose another name, such as wall.png", p.wall)
	}
	for _, path := range own {
		if sameFile(photoPath, path) {
			return fmt.Errorf("%s: the plan's picture %s would write over the photo: give the photo another name, or write elsewhere with --out", photoPath, filepath.Base(path))
		}
	}
	return nil
}

// sameFile reports whether two paths lead to one file, or would.
func sameFile(a, b string) bool {
	if fullA, err := filepath.Abs(a); err == nil {
		if fullB, err := filepath.Abs(b); err == nil && fullA == fullB {
			return true
		}
	}
	infoA, errA := os.Stat(a)
	infoB, errB := os.Stat(b)
	return errA == nil && errB == nil && os.SameFile(infoA, infoB)
}

// photoPath returns where the photo of a file that was named lies.
func photoPath(file string, f plan.File) string {
	if keep.IsPlanPath(file) {
		return keep.PhotoFor(file, f)
	}
	return file
}
