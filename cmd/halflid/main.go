// Command halflid turns a photograph into a value plan: a crop for a panel, a
// squint, a few values, flat shapes. Without a command it opens the studio in
// the terminal; its commands do the same work without a screen.
package main

import (
	"os"

	_ "atelier/halflid/tui/quiet" // before Bubble Tea is initialised: see there
)

func main() {
	os.Exit(run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
}
