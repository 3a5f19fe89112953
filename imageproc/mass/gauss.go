package mass

import "math"

// sample is what planes are stored as, number what is computed with.
type sample interface {
	~uint16 | ~int16 | ~float32 | ~float64
}

type number interface {
	~int32 | ~float32 | ~float64
}

// gaussKernel returns half of a sampled Gaussian of sigma pixels, the middle
// first, cut at three sigma, scaled so that the whole sums to one.
func gaussKernel[T ~float32 | ~float64](sigma float64) []T {
	if !(sigma > 0) {
		return []T{1}
	}
	r := int(math.Ceil(3 * sigma))
	k, sum := make([]float64, r+1), 0.0
	for i := range k {
		k[i] = expNeg(float64(i*i) / (2 * sigma * sigma))
		sum += k[i]
		if i > 0 {
			sum += k[i]
		}
	}
	out := make([]T, r+1)
	for i := range k {
		out[i] = T(k[i] / sum)
	}
	return out
}

// mirrored returns where index i of a line of n lies when the line is mirrored
// at its ends with the last sample doubled (half-sample symmetric).
func mirrored(i, n int) int {
	i %= 2 * n
	if i < 0 {
		i += 2 * n
	}
	if i >= n {
		i = 2*n - 1 - i
	}
	return i
}

// filterRow computes row y of src filtered with the symmetric kernel k along
// columns and rows into dst; buf holds w + 2(len(k)-1) numbers. Samples at
// equal distance are added before they are weighted, so that a mirrored plane
// gives the mirrored result to the last bit.
func filterRow[S sample, T number](dst []T, src []S, w, h, y int, k, buf []T) {
	r := len(k) - 1
	buf = buf[:w+2*r]
	mid := buf[r : r+w]
	row := src[y*w:][:w]
	for x, v := range row {
		mid[x] = k[0] * T(v)
	}
	j := 1
	for ; j+2 <= r; j += 3 {
		a, b := src[mirrored(y-j, h)*w:][:w], src[mirrored(y+j, h)*w:][:w]
		c, d := src[mirrored(y-j-1, h)*w:][:w], src[mirrored(y+j+1, h)*w:][:w]
		e, f := src[mirrored(y-j-2, h)*w:][:w], src[mirrored(y+j+2, h)*w:][:w]
		k1, k2, k3 := k[j], k[j+1], k[j+2]
		for x := range mid {
			mid[x] += T(k1*(T(a[x])+T(b[x]))) + T(k2*(T(c[x])+T(d[x]))) + T(k3*(T(e[x])+T(f[x])))
		}
	}
	for ; j <= r; j++ {
		a, b := src[mirrored(y-j, h)*w:][:w], src[mirrored(y+j, h)*w:][:w]
		k1 := k[j]
		for x := range mid {
			mid[x] += T(k1 * (T(a[x]) + T(b[x])))
		}
	}
	for i := range r {
		buf[r-1-i] = mid[mirrored(-1-i, w)]
		buf[r+w+i] = mid[mirrored(w+i, w)]
	}
	along(dst[:w], buf, k)
}

// along filters one padded line with k.
func along[T number](dst, buf, k []T) {
	r, w := len(k)-1, len(dst)
	for x, v := range buf[r:][:w] {
		dst[x] = k[0] * v
	}
	j := 1
	for ; j+2 <= r; j += 3 {
		a, b := buf[r-j:][:w], buf[r+j:][:w]
		c, d := buf[r-j-1:][:w], buf[r+j+1:][:w]
		e, f := buf[r-j-2:][:w], buf[r+j+2:][:w]
		k1, k2, k3 := k[j], k[j+1], k[j+2]
		for x := range dst {
			dst[x] += T(k1*(a[x]+b[x])) + T(k2*(c[x]+d[x])) + T(k3*(e[x]+f[x]))
		}
	}
	for ; j <= r; j++ {
		a, b := buf[r-j:][:w], buf[r+j:][:w]
		k1 := k[j]
		for x := range dst {
			dst[x] += T(k1 * (a[x] + b[x]))
		}
	}
}
