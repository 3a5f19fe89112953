// Command harbour paints the demo scene: an invented fishing harbour and
// boatyard at low tide, as cluttered as a snapshot. The same program gives the
// same picture: all chance comes from fixed numbers.
package main

import (
	"bytes"
	"flag"
	"fmt"
	"image/jpeg"
	"io"
	"os"
	"path/filepath"
)

func main() { os.Exit(run(os.Args[1:], os.Stderr)) }

// run paints the picture that args ask for and returns the exit code: 0 done,
// 1 failed, 2 wrong use.
func run(args []string, errs io.Writer) int {
	fs := flag.NewFlagSet("harbour", flag.ContinueOnError)
	fs.SetOutput(errs)
	out := fs.String("o", "", "the JPEG `file` to write")
	width := fs.Int("width", 1600, "width in `pixels`; the height is three quarters of it")
	grain := fs.Int("rays", 2, "rays across each pixel and down it")
	detail := fs.Float64("detail", 1, "fineness of bodies, 0.2 to 1; less is quicker")
	quality := fs.Int("quality", 93, "JPEG quality, 1 to 100")
	if err := fs.Parse(args); err != nil {
		return 2
	}
	if *out == "" || *width < 16 || *grain < 1 || *grain > 4 || *quality < 1 || *quality > 100 || !(*detail >= 0.2 && *detail <= 1) {
		fmt.Fprintln(errs, "harbour: say where to write with -o FILE.jpg; -width from 16, -rays 1 to 4, -quality 1 to 100, -detail 0.2 to 1")
		return 2
	}
	if _, err := os.Stat(filepath.Dir(*out)); err != nil { // before the long work
		fmt.Fprintf(errs, "harbour: no folder for %s: %v\n", *out, err)
		return 1
	}
	f := expose(build(*detail), snapshot, *width, *width*3/4, *grain, 2)
	f.settle()
	var b bytes.Buffer
	if err := jpeg.Encode(&b, develop(f), &jpeg.Options{Quality: *quality}); err != nil {
		fmt.Fprintf(errs, "harbour: encoding the picture: %v\n", err)
		return 1
	}
	if err := os.WriteFile(*out, b.Bytes(), 0o644); err != nil {
		fmt.Fprintf(errs, "harbour: writing the picture: %v\n", err)
		return 1
	}
	return 0
}
