package tone

// kind is what a pass over a plane does.
type kind int

const (
	halve kind = iota
	convolve
	double
)

// pass is one pass of a blur: each row of dst follows from rows of src alone.
// Rows are first combined down the columns into one scratch row, then along it;
// nothing but the scratch row lies between the two.
type pass struct {
	kind       kind
	dst, src   channels
	level      int
	rows, row0 int // rows of each plane, the first of them
	b          *Blurrer
}

// run does one pass over rows rows of each plane of dst on all processors; cost
// is the work of a row in rough nanoseconds.
func (b *Blurrer) run(k kind, dst, src channels, level, rows, cost int) {
	b.pass = pass{kind: k, dst: dst, src: src, level: level, rows: rows, b: b}
	if k != halve {
		b.pass.row0 = b.y.levels[level].lo
	}
	b.crew.Do(rows*src.n, cost, b.workers, &b.pass)
	b.pass = pass{}
}

// Rows does rows i0..i1-1 of the pass, all planes counted through.
func (p *pass) Rows(worker, i0, i1 int) {
	s := &p.b.lines[worker]
	for i := i0; i < i1; i++ {
		dst, src := p.dst.of[i/p.rows], p.src.of[i/p.rows]
		y := i%p.rows + p.row0
		switch p.kind {
		case halve:
			p.halveRow(s, dst, src, y)
		case convolve:
			p.convolveRow(s, dst, src, y)
		case double:
			p.doubleRow(s, dst, src, y)
		}
	}
}

// folded returns row y of src mirrored at its edges.
func folded(src plane, y int) []float32 { return src.Row(fold(y, src.H)) }

// convolveRow blurs row y by the two kernels.
func (p *pass) convolveRow(s *lineSet, dst, src plane, y int) {
	v, w := p.b.y.kernel, p.b.x.kernel
	pairs := append(s.pairs[:0], alone(folded(src, y), v[0]))
	for k := 1; k < len(v); k++ {
		pairs = append(pairs, pair{folded(src, y-k), folded(src, y+k), v[k]})
	}
	r, n := len(w)-1, src.W
	line := s.line[:n+2*r]
	combine(line[r:r+n], pairs)
	extend(line, r, n)
	xs := &p.b.x.levels[p.level]
	pairs = append(pairs[:0], alone(line[r+xs.lo:], w[0]))
	for k := 1; k <= r; k++ {
		pairs = append(pairs, pair{line[r+xs.lo-k:], line[r+xs.lo+k:], w[k]})
	}
	combine(dst.Row(y)[xs.lo:xs.hi], pairs)
	s.pairs = pairs
}

// halveRow makes row y of the coarser level.
func (p *pass) halveRow(s *lineSet, dst, src plane, y int) {
	ys, xs := &p.b.y.levels[p.level], &p.b.x.levels[p.level]
	i := 2*y + ys.origin
	other := 0 // the partner of the first pair: the same sample, or the next
	if !ys.by.odd {
		other = 1
	}
	pairs := s.pairs[:0]
	for k, w := range ys.by.down {
		pairs = append(pairs, pair{folded(src, i-k), folded(src, i+k+other), w})
	}
	// The row starts at an even place, early enough for the first new sample.
	n := src.W
	left := (4 - xs.origin + 1) &^ 1
	line := s.line[:(max(2*dst.W+8+left+xs.origin, left+n)+1)&^1]
	combine(line[left:left+n], pairs)
	extend(line, left, n)
	split(s.even, s.odd, line)
	at := func(i int) []float32 {
		if i&1 == 0 {
			return s.even[i>>1:]
		}
		return s.odd[i>>1:]
	}
	first := left + xs.origin
	other = 0
	if !xs.by.odd {
		other = 1
	}
	pairs = pairs[:0]
	for k, w := range xs.by.down {
		pairs = append(pairs, pair{at(first - k), at(first + k + other), w})
	}
	combine(dst.Row(y), pairs)
	s.pairs = pairs
}

// doubleRow makes row y of the finer level.
func (p *pass) doubleRow(s *lineSet, dst, src plane, y int) {
	ys, xs := &p.b.y.levels[p.level], &p.b.x.levels[p.level]
	cx := &p.b.x.levels[p.level+1]
	row := func(j int) []float32 { return folded(src, j)[cx.lo:cx.hi] }
	i := y - ys.origin
	pairs := ys.by.finer(s.pairs[:0], row, i>>1, i&1)
	n := cx.hi - cx.lo
	line := s.line[:n+4]
	combine(line[2:2+n], pairs)
	extend(line, 2, n)
	// Fine samples come in twos: the first of them belongs to coarse sample cx.lo.
	from := xs.lo - (2*cx.lo + xs.origin)
	part := func(j int) []float32 { return line[j:] }
	out := dst.Row(y)[xs.lo:xs.hi]
	skip := from >> 1
	m := (len(out) + from&1 + 1) / 2 // twos to make
	pairs = xs.by.finer(pairs[:0], part, 2+skip, 0)
	combine(s.even[:m], pairs)
	pairs = xs.by.finer(pairs[:0], part, 2+skip, 1)
	combine(s.odd[:m], pairs)
	if from&1 == 0 {
		weave(out, s.even, s.odd)
	} else {
		weave(out, s.odd, s.even[1:])
	}
	s.pairs = pairs
}

// finer appends the pairs of coarse samples that make up the first (side 0) or
// second (side 1) fine sample of coarse sample j.
func (f *spline) finer(pairs []pair, at func(int) []float32, j, side int) []pair {
	switch {
	case !f.odd:
		step := 2*side - 1 // towards the nearer neighbour
		pairs = append(pairs, alone(at(j), f.even[0]), alone(at(j+step), f.even[1]))
		if len(f.even) > 2 {
			pairs = append(pairs, alone(at(j-step), f.even[2]))
		}
	case side == 0:
		for k, w := range f.on {
			pairs = append(pairs, pair{at(j - k), at(j + k), w})
		}
	default:
		for k, w := range f.mid {
			pairs = append(pairs, pair{at(j - k), at(j + 1 + k), w})
		}
	}
	return pairs
}
