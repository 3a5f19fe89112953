package tone

// pair is two rows that weigh the same in a sum. The mirrored taps of a
// symmetric kernel are pairs; a tap on its own is a pair of a row with itself at
// half its weight, which is exact.
type pair struct {
	a, b []float32
	w    float32
}

// alone returns the row with the weight w.
func alone(row []float32, w float32) pair { return pair{row, row, w / 2} }

// combine sets each dst[x] to the sum of w (a[x] + b[x]) over the pairs. It is
// the one inner loop of the direct blur, across rows and, with shifted slices
// of one row, along it. Pairs are summed in their order, and a pair before it is
// weighed, so that a mirrored row gives the mirrored result to the last bit;
// products are rounded before they are added, so that every machine gives the
// same bits. Without pairs dst becomes 0. It panics if a row is shorter than dst.
func combine(dst []float32, pairs []pair) {
	for i := range pairs {
		_, _ = pairs[i].a[:len(dst)], pairs[i].b[:len(dst)]
	}
	weigh(dst, pairs)
}

// weighPlain is weigh in plain Go. Two pairs at a time save half the passes
// over dst.
func weighPlain(dst []float32, pairs []pair) {
	n := len(dst)
	clear(dst)
	for len(pairs) >= 2 {
		a, b, w := pairs[0].a[:n], pairs[0].b[:n], pairs[0].w
		c, d, v := pairs[1].a[:n], pairs[1].b[:n], pairs[1].w
		for x := range dst {
			s := dst[x] + float32(w*(a[x]+b[x]))
			dst[x] = s + float32(v*(c[x]+d[x]))
		}
		pairs = pairs[2:]
	}
	if len(pairs) > 0 {
		a, b, w := pairs[0].a[:n], pairs[0].b[:n], pairs[0].w
		for x := range dst {
			dst[x] += float32(w * (a[x] + b[x]))
		}
	}
}

// split deals the samples of line, an even number, out to even and odd.
func split(even, odd, line []float32) {
	n := len(line) / 2
	even, odd = even[:n], odd[:n]
	from := splitFours(even, odd, line[:2*n])
	for i := from; i < n; i++ {
		even[i], odd[i] = line[2*i], line[2*i+1]
	}
}

// weave is the reverse of split: dst gets even[0], odd[0], even[1], ...; it may
// end with a sample of even.
func weave(dst, even, odd []float32) {
	n := len(dst) / 2
	even, odd = even[:n+len(dst)%2], odd[:n]
	from := weaveFours(dst[:2*n], even[:n], odd)
	for i := from; i < n; i++ {
		dst[2*i], dst[2*i+1] = even[i], odd[i]
	}
	if len(dst)%2 == 1 {
		dst[2*n] = even[n]
	}
}
