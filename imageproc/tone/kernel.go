package tone

import "math"

// reach is how many sigmas a sampled kernel extends to each side. At 4 the
// light left out beside a white edge is 3e-5, or 0.03 L* on black.
const reach = 4.0

// coarseReach is reach for the kernel of a coarsest level, where a wider one
// costs little and its cut would lie nearer to the middle of the whole blur.
const coarseReach = 4.5

// gaussian appends the right half of a sampled Gaussian, w[0] the centre,
// normalised so that the centre and both halves sum to 1. sigma in samples.
// k4 and k6 are the fourth and sixth cumulants that the kernel is to have
// (0 for the plain Gaussian).
// Source: Edgeworth series, Cramér 1946, Mathematical Methods of Statistics,
// 17.7, to the sixth order.
func gaussian(w []float64, sigma, k4, k6, radii float64) []float64 {
	r := max(int(math.Ceil(radii*sigma)), 1)
	s2 := sigma * sigma
	a, b, c := k4/(24*s2*s2), k6/(720*s2*s2*s2), k4*k4/(1152*s2*s2*s2*s2)
	sum := 0.0
	for i := 0; i <= r; i++ {
		t := float64(i) / sigma
		u := t * t
		h4 := float64(u*u) - float64(6*u) + 3
		h6 := float64(u*u*u) - float64(15*u*u) + float64(45*u) - 15
		h8 := float64(u*u*u*u) - float64(28*u*u*u) + float64(210*u*u) - float64(420*u) + 105
		v := math.Exp(-u/2) * (1 + float64(a*h4) + float64(b*h6) + float64(c*h8))
		v = max(v, 0)
		w = append(w, v)
		sum += v
		if i > 0 {
			sum += v
		}
	}
	for i := range w {
		w[i] /= sum
	}
	return w
}

// rounded appends w as float32. The centre takes up what rounding the others
// changed, so that the kernel keeps the mean.
func rounded(dst []float32, w []float64) []float32 {
	rest := 1.0
	dst = append(dst, 0)
	for _, v := range w[1:] {
		f := float32(v)
		dst = append(dst, f)
		rest -= 2 * float64(f)
	}
	dst[0] = float32(rest)
	return dst
}

// fold returns the sample of 0..n-1 that index i shows when the row is
// mirrored at both edges, half a sample outside its ends: ..1 0 | 0 1 .. n-1 | n-1 ..
func fold(i, n int) int {
	if uint(i) < uint(n) {
		return i
	}
	i %= 2 * n
	if i < 0 {
		i += 2 * n
	}
	if i >= n {
		i = 2*n - 1 - i
	}
	return i
}

// extend fills the left and right margins of line, whose middle n samples are
// in place, with their mirror.
func extend(line []float32, left, n int) {
	mid := line[left : left+n]
	for i := 1; i <= left; i++ {
		line[left-i] = mid[fold(-i, n)]
	}
	for i := left + n; i < len(line); i++ {
		line[i] = mid[fold(i-left, n)]
	}
}
