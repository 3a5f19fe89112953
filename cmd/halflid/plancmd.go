package main

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"os"
	"strings"

	"github.com/spf13/cobra"

	"atelier/halflid/cmd/halflid/keep"
	"atelier/halflid/imageproc/photo"
	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/study"
)

// maxLong bounds the picture that --long asks for.
const maxLong = 20000

// planCommand makes plan pictures and plan files.
func planCommand(out io.Writer) *cobra.Command {
	p := planner{out: out}
	cmd := &cobra.Command{
		Use:   "plan FILE...",
		Short: "Write the value plan of photos, and print its figures",
		Long: `plan writes NAME.plan.png, the value plan in flat greys, and NAME.plan.json, all
decisions, for each photo or plan named, and prints the figures. It goes on from
the plan that is kept for a photo, if there is one; --fresh starts anew. Without
--out the files go beside the photo. Every file is tried; if any fails, it is
listed at the end and the exit code is 1. Pictures of plans, which *.png names
too, are passed over.

--leave-out, --add and --value-at add choices about single places to those that
the plan has, in this order, and may be repeated; --no-choices drops the old
ones first.

--all writes every thumbnail that the plan keeps too, as NAME.plan.1.png and so
on. --thumbnails writes all of them on one sheet, each with its number, its line
of text (or panel) and what is painted for its values; a name without a folder
goes into --out if that is given. --schema says what stands in a plan file.`,
		Example: `  halflid plan boat.jpg --panel 6x8 --upright --crop 0.3,0,0.5 --squint 1.2 --values 3
  halflid plan boat.jpg --cuts 3.5,6.2 --tones 2,5,8.5 --out plans --json
  halflid plan boat.jpg --leave-out 0.62,0.7,0.71,0.84 --add 0.1,0.6,0.14,0.8,1 --value-at 0.4,0.5,2
  halflid plan boat.jpg --all --thumbnails wall.png`,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) == 0 && !p.schema {
				return usagef("name at least one photo or plan")
			}
			return named(args)
		},
	}
	p.decisions.register(cmd)
	cmd.Flags().StringVar(&p.dir, "out", "", "`folder` for the files; it is made if need be (default: beside the photo)")
	cmd.Flags().IntVar(&p.long, "long", 0, "long side of the picture in `pixels`, up to 20000 (default: the size that is measured, at most 768)")
	cmd.Flags().BoolVar(&p.fresh, "fresh", false, "start from a new plan, not from the one that is kept")
	cmd.Flags().BoolVar(&p.every, "all", false, "write every kept thumbnail too, as NAME.plan.1.png, NAME.plan.2.png ...")
	cmd.Flags().StringVar(&p.wall, "thumbnails", "", "write all kept thumbnails of one plan on one sheet, a PNG `file` such as wall.png")
	cmd.Flags().BoolVar(&p.json, "json", false, "print the figures as JSON")
	cmd.Flags().BoolVar(&p.schema, "schema", false, "print the JSON Schema of plan files")
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		if p.schema {
			_, err := out.Write(plan.Schema())
			return err
		}
		return p.all(cmd.Context(), args, cmd.ErrOrStderr())
	}
	return cmd
}

// planner makes the plans of many files.
type planner struct {
	decisions
	dir         string
	long        int
	fresh, json bool
	every       bool   // --all
	wall        string // --thumbnails
	schema      bool
	out         io.Writer

	changes changes
}

func (p *planner) all(ctx context.Context, files []string, errw io.Writer) error {
	var err error
	if p.changes, err = p.decisions.read(); err != nil {
		return err
	}
	if p.long < 0 || p.long > maxLong {
		return usagef("a long side of %d pixels is out of range: 1 to %d", p.long, maxLong)
	}
	if files, err = withoutOwn(files, errw); err != nil {
		return err
	}
	if err := p.checkWall(len(files)); err != nil {
		return err
	}
	if p.dir != "" {
		if err := os.MkdirAll(p.dir, 0o755); err != nil {
			return noFolder(p.dir, err)
		}
	}
	places, failures := p.places(files)
	reports := make([]*report, len(files))
	before := turns(files, places)
	var done []*report
	err = inOrder(len(files), func(i int) int { return before[i] }, func(i int) {
		if failures[i] == nil {
			reports[i], failures[i] = p.one(ctx, files[i], places[i])
		}
	}, func(i int) error {
		r := reports[i]
		if r == nil {
			return nil
		}
		done = append(done, r)
		if p.json {
			return nil
		}
		return r.words(p.out)
	})
	if err != nil {
		return err
	}
	if p.json {
		if err := writeJSON(p.out, done); err != nil {
			return err
		}
	}
	return failed(failures)
}

// failed lists what failed; nil if nothing did.
func failed(failures []error) error {
	var lines []string
	for _, err := range failures {
		if err != nil {
			lines = append(lines, err.Error())
		}
	}
	switch {
	case len(lines) == 0:
		return nil
	case len(failures) == 1:
		return failures[0] // as it is: it may be a mistake in the command line
	}
	return fmt.Errorf("%d of %d files failed:\n  %s", len(lines), len(failures), strings.Join(lines, "\n  "))
}

// one makes the plan of one file and writes it to planPath, or where the photo's
// plan is kept if that is empty.
func (p *planner) one(ctx context.Context, file, planPath string) (*report, error) {
	w, err := openWork(ctx, file)
	if err != nil {
		return nil, err
	}
	if w.unread != nil && p.dir == "" {
		return nil, fmt.Errorf("%w: move it away, or write elsewhere with --out", w.unread)
	}
	if planPath == "" {
		planPath = w.place.Path
	}
	if planPath == "" {
		return nil, fmt.Errorf("%s: there is no folder to write to: name one with --out", file)
	}
	if p.wall != "" && len(w.file.Thumbnails) == 0 {
		return nil, fmt.Errorf("%s: %s", file, noThumbnails)
	}
	if err := p.spare(photoPath(file, w.file), planPath, len(w.file.Thumbnails)); err != nil {
		return nil, err
	}
	start := w.plan
	switch {
	case p.fresh:
		start = plan.Default(w.photo.Size)
		w.notes = w.photo.Notes // not what the photo is to the kept plan
	case w.unread != nil:
		w.notes = append(w.notes, fmt.Sprintf("a new plan is begun, the one that is kept cannot be read: %v", w.unread))
	}
	desk := study.NewDesk(w.photo.Master)
	m, err := p.make(ctx, w, desk, start)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", file, err)
	}
	lock, err := w.lock(planPath)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", file, err)
	}
	defer lock.Release()
	if err := m.save(planPath, p.wall, w.file); err != nil {
		return nil, err
	}
	r := reportOf(file, w, m.plan)
	r.Plan, r.Picture = planPath, picturePath(planPath)
	r.figures(m.figures)
	r.choices(m.plan, m.figures)
	r.Thumbnails = m.list
	if m.wall != nil {
		r.Wall = p.wall
	}
	return r, nil
}

// made is all that comes of one photo, before any of it is written.
type made struct {
	plan    plan.Plan
	figures study.Figures
	picture []byte
	thumbs
}

// make makes the plan that the flags lead to from start, and the thumbnails that
// are wanted. One desk makes them all, so that no stage is made twice.
func (p *planner) make(ctx context.Context, w *work, desk *study.Desk, start plan.Plan) (made, error) {
	var out made
	var err error
	if out.plan, err = p.changes.apply(ctx, desk, start, w.frame()); err != nil {
		return made{}, err
	}
	s, err := desk.Make(ctx, out.plan, study.Plan)
	if err != nil {
		return made{}, err
	}
	out.figures = s.Figures
	var picture bytes.Buffer
	if err := s.WritePlan(&picture, p.long); err != nil {
		return made{}, err
	}
	out.picture = picture.Bytes()
	if p.every || p.wall != "" {
		if out.thumbs, err = p.thumbnails(ctx, w, desk); err != nil {
			return made{}, err
		}
	}
	return out, nil
}

// save writes the plan file, its picture, and the thumbnails.
func (m *made) save(planPath, wall string, f plan.File) error {
	for _, path := range append(m.thumbs.paths(planPath, wall), planPath, picturePath(planPath)) {
		if err := keep.Ready(path); err != nil {
			return err
		}
	}
	if err := keep.Save(planPath, f.With(m.plan).Text()); err != nil {
		return err
	}
	if err := keep.Save(picturePath(planPath), m.picture); err != nil {
		return err
	}
	return m.thumbs.save(planPath, wall)
}

func reportOf(file string, w *work, chosen plan.Plan) *report {
	x0, y0, x1, y1 := chosen.Rect(w.photo.Size)
	return &report{
		File: file, Photo: w.photo.Name, Format: w.photo.Format, Profile: w.photo.Profile,
		Pixels: [2]int{w.photo.Size.X, w.photo.Size.Y}, Panel: chosen.Panel.String(),
		Crop:   [4]float64{decimals(x0, 6), decimals(y0, 6), decimals(x1-x0, 6), decimals(y1-y0, 6)},
		Squint: chosen.Squint, Hash: plan.Hash(chosen), Notes: safe(w.notes),
	}
}

func safe(notes []string) []string {
	var out []string
	for _, n := range notes {
		out = append(out, photo.SafeName(n))
	}
	return out
}
