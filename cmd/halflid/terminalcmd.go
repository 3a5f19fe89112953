package main

import (
	"fmt"
	"io"
	"math"
	"os"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"atelier/halflid/imageproc/photo"
	"atelier/halflid/tui/cells"
	terminfo "atelier/halflid/tui/term"
)

// terminalCommand prints what the terminal can show, and a card to see it by.
func terminalCommand(in io.Reader, out io.Writer) *cobra.Command {
	var look studioOptions
	cmd := &cobra.Command{
		Use:   "terminal",
		Short: "Say what this terminal can show, with a test card",
		Long: `terminal says what was found out about this terminal, and how, and prints a test
card: a value scale, the darkest and lightest steps, a grey between a warm and a
cool one, and the finer glyphs, with what to do where a step cannot be seen. It
asks the terminal once and waits half a second at most; where results do not go
to a terminal it prints what is known without asking.`,
		Example: "  halflid terminal\n  halflid terminal --colour 256 --cell 8:17",
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) > 0 {
				return usagef("halflid terminal takes no file (%q given)", args[0])
			}
			return nil
		},
	}
	look.register(cmd)
	cmd.RunE = func(*cobra.Command, []string) error {
		found, err := askAbout(in, out, look.settings())
		if err != nil {
			return asUsage(err)
		}
		var b strings.Builder
		describe(&b, found)
		card(&b, found)
		if _, err := io.WriteString(out, b.String()); err != nil {
			return fmt.Errorf("printing the test card: %w", err)
		}
		return nil
	}
	return cmd
}

// askAbout asks the terminal if both ends are one.
func askAbout(in io.Reader, out io.Writer, s terminfo.Settings) (terminfo.Found, error) {
	known, err := lookAt(out, s)
	if err != nil {
		return known, err
	}
	tty, isFile := out.(*os.File)
	keys, inFile := in.(*os.File)
	if !isFile || !inFile {
		return known, nil
	}
	return terminfo.Probe(keys, tty, os.Getenv, s, terminfo.Limit)
}

// describe writes what was found and how, one line a thing.
func describe(b *strings.Builder, f terminfo.Found) {
	row := func(what, is, by string) {
		b.WriteString(strings.TrimRight(fmt.Sprintf("  %-14s %-16s  %s", what, is, photo.SafeName(by)), " ") + "\n")
	}
	b.WriteString("What this terminal can show, and how that is known\n\n")
	depth, _, _ := strings.Cut(f.Depth.String(), ",")
	row("colours", depth, f.DepthBy)
	cell := number(f.CellW) + " by " + number(f.CellH)
	row("a cell", cell, f.CellBy)
	row("whole frames", yes(f.Sync), f.SyncBy)
	row("repeats", yes(f.Repeat), f.RepeatBy)
	wide := "one column"
	if f.HalfBlock != 1 {
		wide = strconv.Itoa(f.HalfBlock) + " columns"
	}
	row("half block", wide, f.HalfBy)
	letters := "UTF-8"
	if !f.UTF8 {
		letters = "not UTF-8"
	}
	row("letters", letters, f.UTF8By)
	ms := fmt.Sprintf("%.1f ms", f.Took.Seconds()*1000)
	switch {
	case f.Whole:
		row("it answered", "in "+ms, "")
	case f.Asked:
		row("it answered", "not in "+ms, "the studio opens the photo meanwhile and goes on without")
	default:
		row("it answered", "was not asked", "")
	}
	for _, line := range advice(f) {
		b.WriteString("\n" + line)
	}
	b.WriteString("\n")
}

// advice says what to do about what was found, if anything.
func advice(f terminfo.Found) []string {
	var out []string
	if f.HalfBlock != 1 {
		out = append(out, "Half blocks are drawn two columns wide here, so pictures do not fit. Look for\n\"ambiguous width\" in the terminal's settings and make it narrow.\n")
	}
	if !f.UTF8 {
		out = append(out, "Letters beyond ASCII are not set up here, so pictures may come out as gibberish.\nSet LANG to a UTF-8 one (LANG=en_GB.UTF-8), or use --colour none.\n")
	}
	switch {
	case f.Depth.Approximate():
		out = append(out, "Values are approximate here. A terminal of 256 colours or more shows them truly.\nIf this one does, say so: --colour 256 or --colour full.\n")
	case f.Depth == cells.Colour256 && f.DepthBy != "asked for":
		out = append(out, "If it shows exact colours all the same, say so: --colour full, or set\nCOLORTERM=truecolor where you log in.\n")
	}
	return out
}

func yes(b bool) string {
	if b {
		return "yes"
	}
	return "no"
}

// number writes a size with two decimals at most.
func number(x float64) string { return strconv.FormatFloat(math.Round(100*x)/100, 'f', -1, 64) }
