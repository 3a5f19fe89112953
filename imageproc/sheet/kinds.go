package sheet

import (
	"errors"
	"fmt"
	"slices"
	"strings"
)

// Kind is what a sheet is for.
type Kind string

// The kinds.
const (
	Outline Kind = "outline" // the masses at the panel's true size, with the numbers of their values
	Grid    Kind = "grid"    // the photograph's crop and the outline under one grid
	Values  Kind = "values"  // the plan's tones and the whole scale as patches
	Steps   Kind = "steps"   // blocking in, value by value
	HandOut Kind = "handout" // how a photograph became a plan, on one page
	Hung    Kind = "wall"    // all thumbnails
)

// Kinds lists them in the order in which they stand in a document.
func Kinds() []Kind { return []Kind{Outline, Grid, Values, Steps, HandOut, Hung} }

// ErrKind is wrapped by ParseKind's error for a word that is no kind;
// ErrNoThumbnails is what Compose returns for a wall of none.
var (
	ErrKind         = errors.New("no such sheet")
	ErrNoThumbnails = errors.New("the plan keeps no thumbnails to hang on a wall")
)

// ParseKind returns the kind of a word.
func ParseKind(s string) (Kind, error) {
	k := Kind(strings.ToLower(strings.TrimSpace(s)))
	if slices.Contains(Kinds(), k) {
		return k, nil
	}
	return "", fmt.Errorf("%w: %q; choose outline, grid, values, steps, handout or wall", ErrKind, s)
}
