package main

import (
	"context"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"atelier/halflid/imageproc/photo"
	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/reading"
	"atelier/halflid/imageproc/study"
)

// readCommand prints what plans say.
func readCommand(out io.Writer) *cobra.Command {
	var d decisions
	cmd := &cobra.Command{
		Use:   "read FILE...",
		Short: "Say in words what the plan of a photo is like",
		Long: `read measures the value plan of each photo or plan named and prints what it says:
first what common practice would ask (do the darks link, is the strongest contrast
at the focal point, is anything pulling to an edge), the weightiest first, then the
rest. It gives figures and no marks: the rules are common practice, not law. Nothing
is saved: decisions given as flags are only tried.`,
		Example: `  halflid read boat.jpg
  halflid read boat.plan.json --focal 0.4,0.5 --values 3`,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) == 0 {
				return usagef("name at least one photo or plan")
			}
			return nil
		},
	}
	d.register(cmd)
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		made, err := d.read()
		if err != nil {
			return err
		}
		failures := make([]error, len(args))
		for i, file := range args {
			failures[i] = readOne(cmd.Context(), file, made, out)
		}
		return failed(failures)
	}
	return cmd
}

// readOne prints what the plan of one file says.
func readOne(ctx context.Context, file string, made changes, out io.Writer) error {
	w, err := openWork(ctx, file)
	if err != nil {
		return err
	}
	desk := study.NewDesk(w.photo.Master)
	p, err := made.apply(ctx, desk, w.plan, w.frame())
	if err != nil {
		return err
	}
	s, err := desk.Make(ctx, p, study.Plan)
	if err != nil {
		return fmt.Errorf("%s: %w", file, err)
	}
	unit := p.Panel.Unit
	if unit == plan.Millimetre {
		unit = plan.Centimetre
	}
	_, err = io.WriteString(out, readingWords(file, p, reading.Read(s).Lines(unit)))
	return err
}

// readingWords writes the lines of a reading, what is asked apart from the rest.
func readingWords(file string, p plan.Plan, lines []reading.Line) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s: %s\n", photo.SafeName(file), p.Panel)
	for _, part := range []struct {
		asks bool
		head string
	}{{true, "practice would ask"}, {false, "and it says"}} {
		head := "  " + part.head + "\n"
		for _, l := range lines {
			if l.Asks == part.asks {
				b.WriteString(head + "    " + l.Words + "\n")
				head = ""
			}
		}
	}
	return b.String()
}
