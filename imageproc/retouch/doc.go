// Package retouch changes a linear-light picture in place before anything is
// measured on it: it leaves things out (filled from their surroundings),
// carries parts of a picture elsewhere, and paints parts with one grey.
//
// A Retoucher keeps its scratch memory between calls; results do not depend on
// how many processors share the work.
package retouch
