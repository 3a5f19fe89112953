//go:build !amd64 || purego

package tone

func weigh(dst []float32, pairs []pair) { weighPlain(dst, pairs) }

func splitFours(even, odd, line []float32) int { return 0 }

func weaveFours(dst, even, odd []float32) int { return 0 }
