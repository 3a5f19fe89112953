package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"strings"

	"github.com/spf13/cobra"

	"atelier/halflid/imageproc/photo"
)

// Exit codes: scripts may rely on them.
const (
	exitDone   = 0
	exitFailed = 1
	exitUsage  = 2
)

// usageError is a mistake in the command line itself.
type usageError struct{ error }

func (e usageError) Unwrap() error { return e.error }

func usagef(format string, args ...any) error { return usageError{fmt.Errorf(format, args...)} }

// exitError ends the program with a code of its own.
type exitError struct {
	error
	code int
}

// run is the whole program: results go to out, words to errw. It returns the
// exit code.
func run(args []string, in io.Reader, out, errw io.Writer) int {
	root := rootCommand(in, out)
	root.SetArgs(args)
	root.SetIn(in)
	root.SetOut(out)
	root.SetErr(errw)
	cmd, err := root.ExecuteContextC(context.Background())
	if err == nil {
		return exitDone
	}
	if text := unprinted(out, err); text != "" {
		for _, line := range strings.Split(text, "\n") {
			fmt.Fprintln(errw, "halflid: "+photo.SafeName(line))
		}
	}
	var usage usageError
	var exit exitError
	switch {
	case errors.As(err, &exit):
		return exit.code
	case errors.As(err, &usage):
		fmt.Fprintf(errw, "halflid: see %s --help\n", cmd.CommandPath())
		return exitUsage
	default:
		return exitFailed
	}
}

// unprinted returns the words of err. Where results could not be written to out
// they name it as the reader knows it, not as a device.
func unprinted(out io.Writer, err error) string {
	var p *fs.PathError
	f, ok := out.(*os.File)
	if !ok || !errors.As(err, &p) || p.Op != "write" || p.Path != f.Name() {
		return err.Error()
	}
	return strings.Replace(err.Error(), p.Op+" "+p.Path, "standard output cannot be written", 1)
}

func rootCommand(in io.Reader, out io.Writer) *cobra.Command {
	root := &cobra.Command{
		Use:     "halflid [FILE | FOLDER]",
		Short:   "Find the value plan in a photograph",
		Version: version(),
		Long: `halflid opens a photograph (or a plan that it kept) in the terminal, for a painter
who wants to know, before any paint, what the picture is about: crop it to the
panel, squint, choose how few values carry it. Without FILE it opens a demo: a
fishing harbour at low tide. A FOLDER opens as a wall of its photographs, each with
its plan if it has one. Press ? in the studio for its keys.

The plan is kept beside the photo as NAME.plan.json and found again. Values are
those of the photograph: exposure and camera change them. Judge them against
each other, and the extremes against nature or a grey card.

Exit codes: 0 done, 1 failed, 2 the command line was wrong.`,
		Example: `  halflid boat.jpg
  halflid photos/
  halflid show boat.jpg --view squint --width 100
  halflid plan *.jpg --panel 6x8 --values 3 --out plans
  halflid read boat.jpg
  halflid crop boat.jpg --focal 0.4,0.5 --panels 6x8,square
  halflid sheet boat.jpg --sheets outline,grid,values,steps -o boat.pdf
  halflid terminal`,
		SilenceUsage:  true,
		SilenceErrors: true,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) > 1 {
				if c := meant(args[0]); c != "" {
					return usagef("there is no command %s: did you mean halflid %s?", args[0], c)
				}
				return usagef("the studio opens one file, not %d; halflid plan takes many", len(args))
			}
			return named(args)
		},
	}
	new(limits).register(root)
	studioFlags := studioOptions{}
	studioFlags.register(root)
	root.RunE = func(cmd *cobra.Command, args []string) error {
		file := ""
		if len(args) == 1 {
			file = args[0]
		}
		return studio(cmd.Context(), file, studioFlags, in, out)
	}
	root.SetFlagErrorFunc(func(cmd *cobra.Command, err error) error { return usageError{flagWords(cmd.Flags(), err)} })
	root.SetVersionTemplate("{{.Name}} {{.Version}}\n")
	root.CompletionOptions.HiddenDefaultCmd = false
	root.AddCommand(showCommand(out), planCommand(out), readCommand(out), cropCommand(out), sheetCommand(out), terminalCommand(in, out), manCommand(out))
	root.InitDefaultHelpCmd()
	for _, c := range root.Commands() {
		if c.Name() == "help" {
			c.Args = topic(root)
		}
	}
	return root
}

// topic refuses help about what is no command.
func topic(root *cobra.Command) cobra.PositionalArgs {
	return func(_ *cobra.Command, args []string) error {
		if len(args) == 0 {
			return nil
		}
		_, err := commandNamed(root, "help", args)
		return err
	}
}

// commandNamed returns the command that args name, for another that speaks of it.
func commandNamed(root *cobra.Command, speaker string, args []string) (*cobra.Command, error) {
	if c, _, err := root.Find(args); err == nil && c != root {
		return c, nil
	}
	if m := meant(args[0]); m != "" {
		return nil, usagef("there is no command %s: did you mean halflid %s %s?", args[0], speaker, m)
	}
	return nil, usagef("there is no command %s: halflid --help lists them", args[0])
}
