package tone

import (
	"math"

	"atelier/halflid/imageproc"
)

// modes blurs by so wide a Gaussian that only a few cosines survive it. A row
// of n samples mirrored at its edges is a sum of cosines cos(pi k (i+1/2)/n),
// k = 0..n-1, and a symmetric kernel does nothing but scale each of them; those
// scaled below 1e-9 are left out. Columns are taken apart first, since that
// leaves few rows for the other axis, and it works on whole rows at a time.
// Source: Strang 1999, SIAM Review 41(1) 135-147, DCT-2.
type modes struct {
	x, y     cosines
	folded   plane // upper half: rows added to their mirror image; lower half: less it
	mixed    plane // one row for each cosine along y
	sums     [][]float64
	lines    []lineSet
	dst, src plane
	step     int
}

// cosines are the surviving cosines of one axis.
type cosines struct {
	n, k  int
	table []float64 // k cosines at each of the first half of the samples
	gain  []float64 // what the kernel leaves of each, and the norm
}

// plan fills in the cosines of n samples that survive sigma.
func (c *cosines) plan(n int, sigma float64) {
	c.n, c.table, c.gain = n, c.table[:0], c.gain[:0]
	for k := range n {
		g := transfer(sigma, math.Pi*float64(k)/float64(n))
		if g < 1e-9 {
			break
		}
		norm := 2 / float64(n)
		if k == 0 {
			norm = 1 / float64(n)
		}
		c.gain = append(c.gain, g*norm)
	}
	c.k = len(c.gain)
	for i := range (n + 1) / 2 {
		for k := range c.k {
			c.table = append(c.table, math.Cos(math.Pi*float64(k)*(float64(i)+0.5)/float64(n)))
		}
	}
}

// transfer returns what a sampled Gaussian leaves of a cosine of w radians a
// sample. From sigma 2.2 up that is the Gaussian of w to 1e-10.
func transfer(sigma, w float64) float64 {
	if w == 0 {
		return 1
	}
	if sigma >= 2.2 {
		return math.Exp(-sigma * sigma * w * w / 2)
	}
	sum, all := 1.0, 1.0
	for i := 1; float64(i) <= 8*sigma+1; i++ {
		v := 2 * math.Exp(-float64(i*i)/(2*sigma*sigma))
		all += v
		sum += float64(v * math.Cos(w*float64(i)))
	}
	return sum / all
}

// The steps of a blur by cosines; each is spread over rows.
const (
	foldRows = iota // add and subtract mirrored rows
	takeApart
	putTogether
)

// blur writes src blurred into dst; they may be the same.
func (m *modes) blur(crew *imageproc.Crew, lines []lineSet, dst, src plane, sigma float64, workers int) {
	m.x.plan(src.W, sigma)
	m.y.plan(src.H, sigma)
	m.lines, m.dst, m.src = lines, dst, src
	half := (src.H + 1) / 2
	m.folded = m.folded.Reshape(src.W, 2*half)
	m.mixed = m.mixed.Reshape(src.W, m.y.k)
	for len(m.sums) < workers {
		m.sums = append(m.sums, nil)
	}
	for i := range m.sums {
		if len(m.sums[i]) < src.W+m.x.k {
			m.sums[i] = make([]float64, src.W+m.x.k)
		}
	}
	m.step = foldRows
	crew.Do(half, src.W, workers, m)
	m.step = takeApart
	crew.Do(m.y.k, src.W*(half/4+m.x.k), workers, m)
	m.step = putTogether
	crew.Do(half, src.W*m.y.k/4, workers, m)
	m.lines, m.dst, m.src = nil, plane{}, plane{}
}

// Rows does rows y0..y1-1 of the step at hand.
func (m *modes) Rows(worker, y0, y1 int) {
	for y := y0; y < y1; y++ {
		switch m.step {
		case foldRows:
			m.foldRow(y)
		case takeApart:
			m.takeApart(&m.lines[worker], m.sums[worker], y)
		case putTogether:
			m.putTogether(&m.lines[worker], y)
		}
	}
}

func (m *modes) foldRow(y int) {
	half := m.folded.H / 2
	sum, diff := m.folded.Row(y), m.folded.Row(half+y)
	a, b := m.src.Row(y)[:len(sum)], m.src.Row(m.src.H - 1 - y)[:len(sum)]
	diff = diff[:len(sum)]
	if 2*y+1 == m.src.H { // the middle row is its own mirror image: it counts once
		copy(sum, a)
		clear(diff)
		return
	}
	for x := range sum {
		sum[x], diff[x] = a[x]+b[x], a[x]-b[x]
	}
}

// block is how many rows are summed in single precision before the sum goes to
// double, so that the mean of a tall picture keeps its precision.
const block = 16

// takeApart finds cosine k along y at every column, blurs that row along x,
// and stores it.
func (m *modes) takeApart(s *lineSet, sums []float64, k int) {
	sum, coarse := sums[:m.x.n], sums[m.x.n:m.x.n+m.x.k]
	clear(sum)
	half := m.folded.H / 2
	line := s.line[:m.x.n]
	for i := 0; i < half; i += block {
		pairs := s.pairs[:0]
		for j := i; j < min(i+block, half); j++ {
			pairs = append(pairs, alone(m.folded.Row(j+half*(k&1)), float32(m.y.table[j*m.y.k+k])))
		}
		combine(line, pairs)
		s.pairs = pairs
		for x, v := range line {
			sum[x] += float64(v)
		}
	}
	m.x.analyse(coarse, sum)
	for i := range coarse {
		coarse[i] *= m.x.gain[i] * m.y.gain[k]
	}
	m.x.synthesise(m.mixed.Row(k), coarse)
}

// putTogether makes row y and its mirror image.
func (m *modes) putTogether(s *lineSet, y int) {
	part := func(dst []float32, first int) {
		pairs := s.pairs[:0]
		for k := first; k < m.y.k; k += 2 {
			pairs = append(pairs, alone(m.mixed.Row(k), float32(m.y.table[y*m.y.k+k])))
		}
		combine(dst, pairs)
		s.pairs = pairs
	}
	n := m.dst.W
	even, odd := s.even[:n], s.odd[:n]
	part(even, 0)
	part(odd, 1)
	a, b := m.dst.Row(y)[:n], m.dst.Row(m.dst.H - 1 - y)[:n]
	if 2*y+1 == m.dst.H {
		copy(a, even)
		return
	}
	for x := range even {
		a[x], b[x] = even[x]+odd[x], even[x]-odd[x]
	}
}

// analyse takes a row apart into its cosines. Mirrored samples are taken
// together, so that a mirrored row gives the same bits.
func (c *cosines) analyse(out, row []float64) {
	clear(out)
	n := c.n
	for i := range (n + 1) / 2 {
		sum, diff := row[i]+row[n-1-i], row[i]-row[n-1-i]
		if 2*i+1 == n {
			sum, diff = row[i], 0
		}
		t := c.table[i*c.k : (i+1)*c.k]
		for k := 0; k < len(out); k += 2 {
			out[k] += float64(t[k] * sum)
		}
		for k := 1; k < len(out); k += 2 {
			out[k] += float64(t[k] * diff)
		}
	}
}

// synthesise is the reverse of analyse.
func (c *cosines) synthesise(row []float32, in []float64) {
	n := c.n
	for i := range (n + 1) / 2 {
		t := c.table[i*c.k : (i+1)*c.k]
		even, odd := 0.0, 0.0
		for k := 0; k < len(in); k += 2 {
			even += float64(t[k] * in[k])
		}
		for k := 1; k < len(in); k += 2 {
			odd += float64(t[k] * in[k])
		}
		row[n-1-i] = float32(even - odd)
		if 2*i+1 == n {
			odd = 0
		}
		row[i] = float32(even + odd)
	}
}
