package main

import (
	"cmp"
	"fmt"
	"image"
	"io"
	"math"
	"os"

	"github.com/spf13/cobra"
	"golang.org/x/term"

	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/study"
	"atelier/halflid/tui/cells"
	terminfo "atelier/halflid/tui/term"
)

// maxShowWidth bounds the cells that show prints; wider pictures are for files.
const maxShowWidth = 1000

// maxShowRows bounds the rows: a strip one pixel wide is printed narrower.
const maxShowRows = 1000

// showCommand prints one view as cells.
func showCommand(out io.Writer) *cobra.Command {
	var d decisions
	var look studioOptions
	view, width, thumbnail, divided := "plan", 0, 0, ""
	cmd := &cobra.Command{
		Use:   "show FILE",
		Short: "Print one view of a photo or plan as terminal cells",
		Long: `show prints one view to standard output and exits: the value plan, the crop as
photographed or squinted, the squinted crop in its values, the notan, the outline
with the number of each mass's value (1 the darkest), the steps of blocking it in,
or the whole photo with the crop on it. --grid lays a grid over it. Nothing is
saved: decisions given as flags are only tried. --thumbnail shows a plan that was
kept as a thumbnail, 1 the first. FILE is - for a photo on standard input.`,
		Example: `  halflid show boat.jpg
  halflid show boat.jpg --view squint --squint 2 --width 100 | less -R
  halflid show boat.jpg --thumbnail 2 --view notan
  halflid show boat.jpg --view outline --grid inch
  halflid show - --view notan <boat.jpg`,
		Args: oneFile,
	}
	d.register(cmd)
	cmd.Flags().StringVar(&view, "view", view, "the `view`: photo, squint, values, plan, notan, outline, steps, grid (the photo with a grid) or whole")
	cmd.Flags().IntVar(&width, "width", 0, "width in `cells`, 1 to 1000 (default: the terminal's, or 80); less where more than 1000 rows would come of it")
	cmd.Flags().StringVar(&divided, "grid", "", "lay a `grid` over it: halves, thirds, inch, 2cm, or parts such as 3x4")
	cmd.Flags().IntVar(&thumbnail, "thumbnail", 0, "show the kept thumbnail of this `number`, 1 the first")
	look.register(cmd)
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		var to showing
		var err error
		if to.view, to.grid, err = viewAndGrid(view, divided); err != nil {
			return usageError{err}
		}
		made, err := d.read()
		if err != nil {
			return err
		}
		if cmd.Flags().Changed("thumbnail") && thumbnail < 1 {
			return usagef("there is no thumbnail %d: 1 is the first", thumbnail)
		}
		if cmd.Flags().Changed("width") && (width < 1 || width > maxShowWidth) {
			return usagef("a width of %d cells is out of range: 1 to %d", width, maxShowWidth)
		}
		if to.found, err = lookAt(out, look.settings()); err != nil {
			return asUsage(err)
		}
		if to.glyphs, err = cells.ParseGlyphs(look.glyphs); err != nil {
			return asUsage(err)
		}
		to.width = cmp.Or(width, to.found.Cols, 80)
		w, err := openShown(cmd, args[0])
		if err != nil {
			return err
		}
		w.tell(cmd.ErrOrStderr())
		p := w.plan
		if thumbnail > 0 {
			if p, err = w.thumbnail(thumbnail); err != nil {
				return err
			}
		}
		desk := study.NewDesk(w.photo.Master)
		if p, err = made.apply(cmd.Context(), desk, p, w.frame()); err != nil {
			return err
		}
		s, err := desk.Make(cmd.Context(), p, to.view)
		if err != nil {
			return fmt.Errorf("%s: %w", w.name(), err)
		}
		return to.print(out, s)
	}
	return cmd
}

// showing is how a view is printed.
type showing struct {
	view   study.View
	grid   plan.Grid
	found  terminfo.Found // of what it is printed on
	glyphs cells.Glyphs
	width  int // in cells
}

// print prints the view, which s was made for, as cells.
func (to showing) print(out io.Writer, s *study.Study) error {
	width, rows := showSize(to.width, to.found.Aspect()/s.Ratio(to.view))
	g := cells.Grid{Glyphs: to.glyphs.At(to.found.Depth)}
	per := g.Glyphs.Per()
	pic := s.Raster(to.view, image.Pt(width*per.X, (rows+1)/2*per.Y))
	s.MarkGrid(pic, to.view, to.grid)
	switch to.view {
	case study.Values, study.Plan, study.Steps:
		g.SetTones(cells.Inks(s.Figures.Tones))
	case study.Notan:
		g.SetTones(cells.InksIn(pic, 2))
	}
	cells.Encode(&g, pic, to.found.Depth)
	if to.view == study.Outline {
		for _, n := range s.NumbersOn(pic.Size(), per.Y) {
			g.Letter(image.Pt(n.At.X/per.X, n.At.Y/per.Y), rune('1'+n.Value), to.found.Depth)
		}
	}
	return g.Print(out)
}

// showSize returns the width in cells and the height in half cells of a picture of
// width cells. tall is how many half cells high it is for each that it is wide.
func showSize(width int, tall float64) (w, rows int) {
	const most = 2 * maxShowRows
	if float64(width)*tall > most {
		width = max(1, int(most/tall))
	}
	return width, min(most, max(1, int(math.Round(float64(width)*tall))))
}

// openShown opens a file, or the photo that comes on standard input for "-".
func openShown(cmd *cobra.Command, path string) (*work, error) {
	if path != "-" {
		return openWork(cmd.Context(), path)
	}
	src, err := readInput(cmd.Context(), cmd.InOrStdin())
	if err != nil {
		return nil, err
	}
	return src.open(cmd.Context(), nil)
}

// viewAndGrid reads a view and the grid over it; "grid" is the photo with the one
// that is usual where none is named.
func viewAndGrid(view, divided string) (study.View, plan.Grid, error) {
	if view == "grid" {
		view = study.Photo.String()
		if divided == "" {
			divided = "halves"
		}
	}
	v, err := study.ParseView(view)
	if err != nil {
		return 0, plan.Grid{}, fmt.Errorf("%w; grid is the photo with a grid", err)
	}
	if divided == "" {
		return v, plan.Grid{}, nil
	}
	grid, err := plan.ParseGrid(divided)
	return v, grid, err
}

func oneFile(_ *cobra.Command, args []string) error {
	if len(args) != 1 {
		return usagef("name one photo or plan (%d given)", len(args))
	}
	return named(args)
}

// lookAt returns what is known of where results go, without asking it: that
// would slow every call, and need keys to read the answers from.
func lookAt(out io.Writer, s terminfo.Settings) (terminfo.Found, error) {
	f, ok := out.(*os.File)
	if !ok {
		return terminfo.Known(^uintptr(0), false, os.Getenv, s)
	}
	return terminfo.Known(f.Fd(), term.IsTerminal(int(f.Fd())), os.Getenv, s)
}
