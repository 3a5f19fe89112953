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
	"atelier/halflid/imageproc/page"
	"atelier/halflid/imageproc/photo"
	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/sheet"
	"atelier/halflid/imageproc/study"
)

// sheeting is what halflid sheet was told.
type sheeting struct {
	out, kinds, paper, grid, order string
	fill, mirror, light, json      bool
	title, note                    string
	long, dpi                      float64
	thumbnail                      int
}

// writtenPage is what is said of a page that was written. Sides are millimetres.
type writtenPage struct {
	File string  `json:"file"`
	Page string  `json:"page"`
	W    float64 `json:"width_mm"`
	H    float64 `json:"height_mm"`
}

// sheetCommand writes what is carried to the panel.
func sheetCommand(out io.Writer) *cobra.Command {
	var d decisions
	var s sheeting
	cmd := &cobra.Command{
		Use:   "sheet FILE",
		Short: "Write pages to carry the plan to the panel: outline, grid, values, steps",
		Long: `sheet writes pages in millimetres, to be printed at 100 %: the outline at the
panel's true size with the number of each mass's value (1 the darkest), photo and
outline with the same grid, the values to mix to, the steps of blocking in, a
hand-out for a class, a wall of all thumbnails. A panel larger than the paper comes
in parts that overlap. Each page has rulers to check the printer with. The name's
ending says the kind of file: .pdf holds all pages, .svg and .png are one file a
page. Nothing is saved in the plan: decisions given as flags are only tried.`,
		Example: `  halflid sheet boat.plan.json -o boat.pdf
  halflid sheet boat.jpg --sheets outline --grid inch --paper letter -o outline.svg
  halflid sheet boat.jpg --sheets handout --title "Low tide" --note "Squint first."`,
		Args: oneFile,
	}
	d.register(cmd)
	f := cmd.Flags()
	f.StringVarP(&s.out, "output", "o", "", "`file` to write: NAME.pdf, .svg or .png; - is standard output, as PDF (default: beside the plan, NAME.sheet.pdf)")
	f.StringVar(&s.kinds, "sheets", "outline,grid,values,steps", "`which` pages: outline, grid, values, steps, handout, wall")
	f.StringVar(&s.paper, "paper", "", "the `paper`: letter, a4, a3, a5, legal, tabloid, a2, or sides such as 300x400mm (default: letter for panels in inches, else a4)")
	f.StringVar(&s.grid, "grid", "", "`grid` over the outline: none, halves, thirds, inch, 2cm, or parts such as 3x4 (default: none; the grid sheet has squares)")
	f.BoolVar(&s.fill, "fill", false, "fill the masses with their tones")
	f.BoolVar(&s.mirror, "mirror", false, "exchange left and right, for tracing from behind")
	f.BoolVar(&s.light, "light", false, "very light lines without numbers, for printing on the support itself")
	f.StringVar(&s.order, "order", "dark", "the `order` of blocking in: dark, light or large first")
	f.StringVar(&s.title, "title", "", "`title` of the pages (default: the photo's name)")
	f.StringVar(&s.note, "note", "", "a `note` for the hand-out")
	f.Float64Var(&s.long, "long-side", 0, "long side in `mm` of a panel that has no size, 20 to 3000 (default: as fits the paper)")
	f.Float64Var(&s.dpi, "dpi", 300, "`pixels` an inch of PNG pages, 30 to 1200")
	f.IntVar(&s.thumbnail, "thumbnail", 0, "the pages of the kept thumbnail of this `number`, 1 the first")
	f.BoolVar(&s.json, "json", false, "say what was written as JSON")
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		made, err := d.read()
		if err != nil {
			return err
		}
		if f.Changed("thumbnail") && s.thumbnail < 1 {
			return usagef("there is no thumbnail %d: 1 is the first", s.thumbnail)
		}
		return s.run(cmd.Context(), args[0], made, out, cmd.ErrOrStderr())
	}
	return cmd
}

// Limits of flags.
const (
	leastDPI, mostDPI   = 30, 1200
	leastLong, mostLong = 20, 3000
)

// options reads the flags; the paper is chosen later if none is named.
func (s *sheeting) options() (sheet.Options, error) {
	o := sheet.Options{Fill: s.fill, Mirror: s.mirror, Light: s.light, Title: s.title, Note: s.note, Long: s.long, Order: study.Order(s.order)}
	for _, word := range strings.Split(s.kinds, ",") {
		k, err := sheet.ParseKind(strings.TrimSpace(word))
		if err != nil {
			return o, usageError{err}
		}
		o.Kinds = append(o.Kinds, k)
	}
	var err error
	if s.grid != "" {
		if o.Grid, err = plan.ParseGrid(s.grid); err != nil {
			return o, usageError{err}
		}
	}
	if s.paper != "" {
		if o.Paper, err = page.ParsePaper(s.paper); err != nil {
			return o, usageError{err}
		}
	}
	switch {
	case o.Order != study.DarkFirst && o.Order != study.LightFirst && o.Order != study.LargeFirst:
		return o, usagef("there is no order %q: choose dark, light or large", s.order)
	case s.long != 0 && !(s.long >= leastLong && s.long <= mostLong):
		return o, usagef("--long-side %g is out of range: %d to %d mm", s.long, leastLong, mostLong)
	case !(s.dpi >= leastDPI && s.dpi <= mostDPI):
		return o, usagef("--dpi %g is out of range: %d to %d", s.dpi, leastDPI, mostDPI)
	}
	if s.out != "" && s.out != "-" {
		switch strings.ToLower(filepath.Ext(s.out)) {
		case ".pdf", ".svg", ".png":
		default:
			return o, usagef("%s: end the name in .pdf, .svg or .png", s.out)
		}
	}
	return o, nil
}

func (s *sheeting) run(ctx context.Context, file string, made changes, out, errw io.Writer) error {
	o, err := s.options()
	if err != nil {
		return err
	}
	w, err := openWork(ctx, file)
	if err != nil {
		return err
	}
	if err := w.unsound(); err != nil {
		return err
	}
	w.tell(errw)
	p := w.plan
	if s.thumbnail > 0 {
		if p, err = w.thumbnail(s.thumbnail); err != nil {
			return err
		}
	}
	desk := study.NewDesk(w.photo.Master)
	if p, err = made.apply(ctx, desk, p, w.frame()); err != nil {
		return err
	}
	if o.Paper.W == 0 {
		o.Paper = sheet.UsualPaper(p.Panel)
	}
	m, err := sheet.Gather(ctx, desk, p, photo.SafeName(w.name()), w.file.Thumbnails, w.frame(), o)
	if err != nil {
		return fmt.Errorf("%s: %w", file, err)
	}
	doc, err := sheet.Compose(m, o)
	if errors.Is(err, sheet.ErrNoThumbnails) {
		return fmt.Errorf("%s: %s", file, noThumbnails)
	}
	if err != nil {
		return fmt.Errorf("%s: %w", file, err)
	}
	if s.out == "-" {
		return page.WritePDF(out, doc)
	}
	return s.save(w, file, doc, out)
}

// save writes the files and says which.
func (s *sheeting) save(w *work, file string, doc page.Document, out io.Writer) error {
	target := s.out
	if target == "" {
		if w.place.Path == "" {
			return usagef("%s: name a file to write with -o", w.name())
		}
		target = sheetPath(w.place.Path, "sheet.pdf")
	}
	ext := strings.ToLower(filepath.Ext(target))
	var written []writtenPage
	names := make([]string, len(doc.Pages))
	for i, p := range doc.Pages {
		names[i] = target
		if ext != ".pdf" && len(doc.Pages) > 1 {
			names[i] = strings.TrimSuffix(target, filepath.Ext(target)) + "-" + p.Name + ext
		}
		if sameFile(photoPath(file, w.file), names[i]) || sameFile(file, names[i]) {
			return usagef("%s would write over the photo or the plan: choose another name", names[i])
		}
		if err := keep.Ready(names[i]); err != nil {
			return err
		}
		written = append(written, writtenPage{names[i], p.Name, decimals(p.W, 2), decimals(p.H, 2)})
	}
	for i := range doc.Pages {
		var b bytes.Buffer
		var err error
		switch ext {
		case ".pdf":
			err = page.WritePDF(&b, doc)
		case ".svg":
			err = page.WriteSVG(&b, doc, i)
		default:
			err = page.WritePNG(&b, doc, i, s.dpi)
		}
		if errors.Is(err, page.ErrTooLarge) {
			return usagef("%s: at %g pixels an inch this page is too large: choose a smaller --dpi", names[i], s.dpi)
		}
		if err != nil {
			return fmt.Errorf("%s: %w", names[i], err)
		}
		if err := keep.Save(names[i], b.Bytes()); err != nil {
			return err
		}
		if ext == ".pdf" {
			break
		}
	}
	if s.json {
		return printJSON(out, written)
	}
	var words strings.Builder
	for i, p := range written {
		if i > 0 && p.File == written[i-1].File {
			fmt.Fprintf(&words, ", %s", p.Page)
			continue
		}
		if i > 0 {
			words.WriteByte('\n')
		}
		fmt.Fprintf(&words, "wrote %s: %s", photo.SafeName(p.File), p.Page)
	}
	_, err := fmt.Fprintf(out, "%s\n", words.String())
	return err
}
