package main

import (
	"context"
	"io"

	"github.com/spf13/cobra"

	"atelier/halflid/imageproc/reading"
)

// readCommand prints what plans say.
func readCommand(out io.Writer) *cobra.Command {
	r := reader{out: out}
	cmd := &cobra.Command{
		Use:   "read FILE...",
		Short: "Say in words what the plan of a photo is like",
		Long: `read measures the value plan of each photo or plan named and prints what it says:
first what common practice would ask (do the darks link, is the strongest contrast
at the focal point, is anything pulling to an edge), the weightiest first, then the
rest. Beside a line that speaks of one place stands where in the crop that is. A
place counts as at the focal point within its radius, but at most a fifth of the
crop's short side from it. It gives figures and no marks: the rules are common practice, not law. Nothing is
saved: decisions given as flags are only tried.

Many files are set side by side in a table, one line each: tones and shares from
dark to light, the masses of the darkest value and how much of it the largest holds,
how far the strongest contrast lies from the focal point, how far off the middle the
picture balances, how many questions are asked. --words says each in words instead.
Every file is tried; if any fails, it is listed at the end and the exit code is 1.
--thumbnail reads kept thumbnails instead of the plan, --thumbnails sets the plan
and all of them side by side, and --compare prints only the lines in which two
differ: two files, two thumbnails of one, or one thumbnail and the plan.

--json prints every figure and every line; --schema says what each means, with its
unit and range.`,
		Example: `  halflid read boat.jpg
  halflid read boat.plan.json --focal 0.4,0.5 --values 3
  halflid read *.plan.json
  halflid read boat.jpg --thumbnails
  halflid read boat.jpg --thumbnail 1,3 --compare
  halflid read boat.jpg --json`,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) == 0 && !r.schema {
				return usagef("name at least one photo or plan")
			}
			return named(args)
		},
	}
	r.decisions.register(cmd)
	f := cmd.Flags()
	f.BoolVar(&r.json, "json", false, "print all figures and lines as JSON")
	f.BoolVar(&r.table, "table", false, "print a table, one line each, also for one file")
	f.BoolVar(&r.words, "words", false, "print words, also for many files")
	f.IntSliceVar(&r.numbers, "thumbnail", nil, "read the kept thumbnail of this `number`, 1 the first; several as 1,3")
	f.BoolVar(&r.every, "thumbnails", false, "read the plan and every kept thumbnail, in a table")
	f.BoolVar(&r.compare, "compare", false, "print the lines in which two plans differ, side by side")
	f.BoolVar(&r.schema, "schema", false, "print the JSON Schema of what --json prints")
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		if r.schema {
			_, err := out.Write(reading.Schema())
			return err
		}
		return r.all(cmd.Context(), args, cmd.ErrOrStderr())
	}
	return cmd
}

// reader reads the plans of many files.
type reader struct {
	decisions
	json, table, words, every, compare, schema bool

	numbers []int // of the thumbnails to be read
	out     io.Writer
	changes changes
}

// check refuses flags that do not go together.
func (r *reader) check(files int) error {
	ways := 0
	for _, on := range []bool{r.json, r.table, r.words, r.compare} {
		if on {
			ways++
		}
	}
	switch {
	case ways > 1:
		return usagef("--json, --table, --words and --compare are four ways to print: choose one")
	case r.every && len(r.numbers) > 0:
		return usagef("--thumbnails reads all of them: leave out --thumbnail")
	case r.compare && r.every:
		return usagef("--compare sets two plans side by side: name them with --thumbnail 1,3")
	case r.compare && files*max(1, len(r.numbers)) != 2 && (files != 1 || len(r.numbers) != 1):
		return usagef("--compare sets two plans side by side: name two files, or one and --thumbnail 1,3")
	}
	for _, n := range r.numbers {
		if n < 1 {
			return usagef("there is no thumbnail %d: 1 is the first", n)
		}
	}
	return nil
}

// all reads the files, at most two at a time, and prints in the order in which
// they were named: words as soon as they are there, tables at the end. What is to be
// known of their plans goes to errw.
func (r *reader) all(ctx context.Context, files []string, errw io.Writer) error {
	var err error
	if r.changes, err = r.decisions.read(); err != nil {
		return err
	}
	if files, err = withoutOwn(files, errw); err != nil {
		return err
	}
	if err := r.check(len(files)); err != nil {
		return err
	}
	inWords := r.words || len(files) == 1 && !r.json && !r.table && !r.compare && !r.every
	read, failures := make([][]told, len(files)), make([]error, len(files))
	var done []told
	err = inOrder(len(files), nil, func(i int) {
		read[i], failures[i] = r.one(ctx, files[i])
	}, func(i int) error {
		done = append(done, read[i]...)
		if len(read[i]) > 0 {
			read[i][0].work.tell(errw)
		}
		for _, t := range read[i] {
			if inWords {
				if _, err := io.WriteString(r.out, t.inWords()); err != nil {
					return err
				}
			}
		}
		return nil
	})
	if err != nil {
		return err
	}
	if !inWords {
		if err := r.print(done); err != nil {
			return err
		}
	}
	return failed(failures)
}

// print prints all that was read at once.
func (r *reader) print(done []told) error {
	switch {
	case r.json:
		return writeReadings(r.out, done)
	case r.compare && len(done) == 2:
		_, err := io.WriteString(r.out, sideBySide(done[0], done[1]))
		return err
	case r.compare || len(done) == 0:
		return nil
	}
	_, err := io.WriteString(r.out, readTable(done))
	return err
}
