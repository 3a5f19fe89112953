//go:build !purego

package tone

// weigh is weighPlain, four samples at a time, with the same operations on
// each in the same order (SSE2, which every amd64 has). The caller has checked
// that the rows are as long as dst.
//
//go:noescape
func weigh(dst []float32, pairs []pair)

// splitFours and weaveFours do split and weave as far as fours of samples go,
// and return how many were done.
//
//go:noescape
func splitFours(even, odd, line []float32) int

//go:noescape
func weaveFours(dst, even, odd []float32) int
