package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"atelier/halflid/cmd/halflid/keep"
	"atelier/halflid/imageproc/crops"
	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/sheet"
	"atelier/halflid/imageproc/study"
)

// maxCrops bounds how many crops -n asks for.
const maxCrops = 24

// cropCommand proposes crops.
func cropCommand(out io.Writer) *cobra.Command {
	c := cropper{out: out}
	cmd := &cobra.Command{
		Use:   "crop FILE",
		Short: "Propose crops of a photo that are worth trying",
		Long: `crop searches the photo for crops that suit the panels at hand, upright and across,
and prints the best that differ, each with its reasons: what common practice asks
of a design and how the value plan of that crop answers, with yes (+) or not (?), by
the same reading and in the same words as "halflid read". Of each six, those come
first that satisfy most of it; the percentage weighs the questions. Fewer crops (-n)
are the first of more. A place counts as at the focal point within its radius, but at
most a fifth of the crop's short side from it. It weighs no taste; the last line of
each says how to take it. Nothing is saved, but --keep adds the proposals to the
thumbnails that the studio's wall shows. Crops lie about the focal point: the plan's,
or the one of --focal, or without one the strongest places that are left when the
photo is squinted at.

--values and --squint are those of the plan unless they are given. --wall writes
the plans of all proposals side by side. --json prints all figures; --schema says
what each means.`,
		Example: `  halflid crop boat.jpg --focal 0.4,0.5
  halflid crop boat.jpg --panels 6x8,9x12,square -n 6
  halflid crop boat.jpg --panels "6x8 across,a5" --wall crops.png`,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) != 1 && !c.schema {
				return usagef("name one photo or plan (%d given)", len(args))
			}
			return named(args)
		},
	}
	f := cmd.Flags()
	f.StringVar(&c.panels, "panels", "", "the `panels` at hand, such as 6x8,9x12,square; without a way both are tried (default: the plan's panel)")
	f.StringVar(&c.focal, "focal", "", "focal point as `x,y` or x,y,radius in parts of the photo; none: the strongest places (default: the plan's)")
	f.IntVarP(&c.n, "number", "n", 6, "the `number` of crops at most, 1 to 24")
	f.IntVar(&c.values, "values", 0, "the `number` of values that the plans have, 2 to 5")
	f.Float64Var(&c.squint, "squint", 0, "squint in `percent` of the crop's long side, 0 to 25")
	f.StringVar(&c.wall, "wall", "", "write the plans of all proposals on one sheet, a PNG `file` such as crops.png")
	f.BoolVar(&c.keep, "keep", false, "keep all proposals as thumbnails of the photo's plan")
	f.BoolVar(&c.json, "json", false, "print all figures as JSON")
	f.BoolVar(&c.schema, "schema", false, "print the JSON Schema of what --json prints")
	c.given = f.Changed
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		if c.schema {
			_, err := out.Write(crops.Schema())
			return err
		}
		return c.propose(cmd.Context(), args[0], cmd.ErrOrStderr())
	}
	return cmd
}

// cropper proposes crops of one photo.
type cropper struct {
	panels, focal, wall string
	n, values           int
	squint              float64
	keep, json, schema  bool
	given               func(flag string) bool
	out                 io.Writer
}

// options checks the flags and returns what crops of w are for.
func (c *cropper) options(w *work) (crops.Options, error) {
	o := crops.Options{Focus: w.plan.Focus, N: c.n, Squint: w.plan.Squint, Values: w.plan.Values.K, Brush: w.plan.Shapes.Brush, Plan: w.plan}
	none := crops.Options{}
	var err error
	if c.given("focal") {
		if o.Focus, err = plan.ParseFocus(c.focal); err != nil {
			return none, usageError{err}
		}
	}
	switch {
	case c.n < 1 || c.n > maxCrops:
		return none, usagef("%d crops are out of range: 1 to %d", c.n, maxCrops)
	case c.given("values") && (c.values < plan.MinK || c.values > plan.MaxK):
		return none, usagef("%d values are out of range: %d to %d", c.values, plan.MinK, plan.MaxK)
	case c.given("squint") && !(c.squint >= 0 && c.squint <= plan.MaxSquint):
		return none, usagef("a squint of %g %% is out of range: 0 to %g", c.squint, plan.MaxSquint)
	case c.given("wall") && !strings.EqualFold(filepath.Ext(c.wall), ".png"):
		return none, usagef("the wall of crops is a PNG: end its name so, such as --wall crops.png")
	}
	if c.given("values") {
		o.Values = c.values
	}
	if c.given("squint") {
		o.Squint = c.squint
	}
	if o.Panels, err = c.atHand(w.plan.Panel); err != nil {
		return none, err
	}
	return o, nil
}

// atHand returns the panels that crops are for: those that were named, else the
// plan's own, which is tried both ways.
func (c *cropper) atHand(own plan.Panel) ([]plan.Panel, error) {
	if !c.given("panels") {
		if own.Free() {
			return nil, usagef("the plan's panel is free and has no form to crop for: name sizes, such as --panels 6x8,square")
		}
		own.Way = plan.Unsaid
		return []plan.Panel{own}, nil
	}
	var out []plan.Panel
	for _, name := range strings.Split(c.panels, ",") {
		p, err := plan.ParsePanel(name)
		if err != nil {
			return nil, usageError{err}
		}
		if p.Free() {
			return nil, usagef("a free panel has no form to crop for: name sizes, such as --panels 6x8,square")
		}
		out = append(out, p)
	}
	return out, nil
}

func (c *cropper) propose(ctx context.Context, file string, errw io.Writer) error {
	w, err := openWork(ctx, file)
	if err != nil {
		return err
	}
	if err := c.canKeep(w); err != nil {
		return fmt.Errorf("%s: %w", file, err)
	}
	w.tell(errw)
	o, err := c.options(w)
	if err != nil {
		return err
	}
	if c.wall != "" && sameFile(photoPath(file, w.file), c.wall) {
		return usagef("--wall %s would write over the photo: choose another name, such as crops.png", c.wall)
	}
	master, err := study.Retouched(ctx, w.photo.Master, w.plan)
	if err != nil {
		return fmt.Errorf("%s: %w", file, err)
	}
	found, err := crops.Propose(ctx, master, w.photo.Size, o, nil)
	if err != nil {
		return fmt.Errorf("%s: %w", file, err)
	}
	r := cropReport{Halflid: "crops", Version: 1, File: file, Photo: w.photo.Name, Pixels: [2]int{w.photo.Size.X, w.photo.Size.Y}, Values: o.Values, Squint: o.Squint}
	for i, p := range found {
		r.Crops = append(r.Crops, cropOf(i+1, p, w, o, file))
	}
	if c.wall != "" {
		if err := c.writeWall(ctx, w, o, found); err != nil {
			return fmt.Errorf("%s: %w", file, err)
		}
		r.Wall = c.wall
	}
	if c.keep {
		if err := c.keepAll(w, o, found); err != nil {
			return fmt.Errorf("%s: %w", file, err)
		}
		r.Kept = w.place.Path
	}
	if c.json {
		return printJSON(c.out, r)
	}
	_, err = io.WriteString(c.out, r.words())
	return err
}

// writeWall writes the plans of all proposals on one sheet.
func (c *cropper) writeWall(ctx context.Context, w *work, o crops.Options, found []crops.Proposal) error {
	desk := study.NewDesk(w.photo.Master)
	var tiles []sheet.Tile
	for _, p := range found {
		s, err := desk.Make(ctx, taken(p, w, o), study.Plan)
		if err != nil {
			return err
		}
		words := fmt.Sprintf("%s\n%.0f %%, %d of %d with yes", p.Panel, 100*p.Score, yeses(p), len(p.Reasons))
		tiles = append(tiles, sheet.Tile{Picture: s.PlanPicture(sheet.TileSide(len(found))), Words: words})
	}
	var b bytes.Buffer
	if err := sheet.Wall(&b, tiles, sheet.WallOptions{}); err != nil {
		return err
	}
	return keep.Save(c.wall, b.Bytes())
}

// taken returns the plan of w with a proposal taken, as the command that is printed
// with it does.
func taken(p crops.Proposal, w *work, o crops.Options) plan.Plan {
	f := w.frame()
	out := plan.SetFocus(p.Focus)(p.Edit()(w.plan, f), f)
	return plan.SetSquint(o.Squint)(plan.SetK(o.Values)(out, f), f)
}

// canKeep says why crops cannot be kept, before they are searched for; nil if they
// can, or need not be.
func (c *cropper) canKeep(w *work) error {
	switch {
	case !c.keep:
		return nil
	case w.unread != nil:
		return fmt.Errorf("%w: move it away before crops are kept in it", w.unread)
	case w.place.Path == "":
		return errors.New("there is no folder to keep its plan in")
	}
	return keep.Ready(w.place.Path)
}

// keepAll adds the proposals to the thumbnails of the plan file.
func (c *cropper) keepAll(w *work, o crops.Options, found []crops.Proposal) error {
	lock, err := w.lock(w.place.Path)
	if err != nil {
		return err
	}
	defer lock.Release()
	file := w.file
	for _, p := range found {
		var ok bool
		if file, ok = file.Keep("crop for "+p.Panel.String(), taken(p, w, o)); !ok {
			return fmt.Errorf("its plan keeps %d thumbnails already, and %d more are too many: drop some in the studio", len(w.file.Thumbnails), len(found))
		}
	}
	return keep.Save(w.place.Path, file.Text())
}
