package main

import (
	"fmt"
	"image"
	"io"
	"math"
	"os"

	"github.com/spf13/cobra"
	"golang.org/x/term"

	"atelier/halflid/imageproc/study"
	"atelier/halflid/tui/cells"
	terminfo "atelier/halflid/tui/term"
)

// maxShowWidth bounds the cells that show prints; wider pictures are for files.
const maxShowWidth = 1000

// showCommand prints one view as cells.
func showCommand(out io.Writer) *cobra.Command {
	var d decisions
	view, width, colour := "plan", 0, "auto"
	cmd := &cobra.Command{
		Use:   "show FILE",
		Short: "Print one view of a photo or plan as terminal cells",
		Long: `show prints one view to standard output and exits: the value plan, the crop as
photographed or squinted, the squinted crop in its values, the notan, or the
whole photo with the crop on it.`,
		Example: "  halflid show boat.jpg\n  halflid show boat.jpg --view squint --squint 2 --width 100 | less -R",
		Args:    oneFile,
	}
	d.register(cmd)
	cmd.Flags().StringVar(&view, "view", view, "photo, squint, values, plan, notan or whole")
	cmd.Flags().IntVar(&width, "width", 0, "width in cells (default: the terminal's, or 80)")
	cmd.Flags().StringVar(&colour, "colour", colour, "full, 256, 16, none or auto")
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		v, err := study.ParseView(view)
		if err != nil {
			return usageError{err}
		}
		edits, err := d.edits()
		if err != nil {
			return err
		}
		if cmd.Flags().Changed("width") && (width < 1 || width > maxShowWidth) {
			return usagef("a width of %d cells is out of range: 1 to %d", width, maxShowWidth)
		}
		tty, cols, aspect := lookAt(out)
		depth, err := terminfo.Profile(os.Getenv, tty, colour)
		if err != nil {
			return usageError{err}
		}
		if width == 0 {
			width = cols
		}
		w, err := openWork(cmd.Context(), args[0])
		if err != nil {
			return err
		}
		s, err := study.NewDesk(w.photo.Master).Make(cmd.Context(), apply(w.plan, w.frame(), edits), v)
		if err != nil {
			return fmt.Errorf("%s: %w", w.name(), err)
		}
		rows := max(1, int(math.Round(float64(width)*aspect/s.Ratio(v))))
		return cells.Print(out, s.Raster(v, image.Pt(width, rows+rows%2)), depth)
	}
	return cmd
}

func oneFile(_ *cobra.Command, args []string) error {
	if len(args) != 1 {
		return usagef("name one photo or plan (%d given)", len(args))
	}
	return nil
}

// lookAt returns what is known of where results go: whether it is a terminal,
// its width in cells, and the width of a cell over half its height.
func lookAt(out io.Writer) (tty bool, cols int, aspect float64) {
	cols, aspect = 80, 1
	f, ok := out.(*os.File)
	if !ok || !term.IsTerminal(int(f.Fd())) {
		return false, cols, aspect
	}
	if w, _, err := term.GetSize(int(f.Fd())); err == nil && w > 0 {
		cols = w
	}
	if w, h, _ := terminfo.CellSize(f.Fd()); w > 0 && h > 0 {
		aspect = 2 * w / h
	}
	return true, cols, aspect
}
