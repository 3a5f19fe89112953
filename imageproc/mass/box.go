package mass

import "math"

// window is two running means in a row, of widths 2 r1 + 1 and 2 r2 + 1: near a
// Gaussian, in time that does not depend on its width, and in whole numbers, so
// that nothing depends on the direction it runs in.
type window struct{ r1, r2 int }

// windowOf returns the window whose spread is nearest to sigma pixels.
func windowOf(sigma float64) window {
	best, off := window{}, math.Inf(1)
	for r := 0; r <= int(2*sigma)+2; r++ {
		for _, w := range []window{{r, r}, {r, r + 1}} {
			if d := math.Abs(w.variance() - float64(sigma*sigma)); d < off {
				best, off = w, d
			}
		}
	}
	return best
}

// variance returns the window's variance in pixels squared.
func (w window) variance() float64 {
	a, b := float64(2*w.r1+1), float64(2*w.r2+1)
	return (a*a + b*b - 2) / 12
}

// weight returns the sum of the window's weights along one axis.
func (w window) weight() int { return (2*w.r1 + 1) * (2*w.r2 + 1) }

// reach returns how far the window looks.
func (w window) reach() int { return w.r1 + w.r2 }

// runningSum writes the sums of 2r+1 neighbours of a padded line: dst[x] is the
// sum of src[x..x+2r].
func runningSum(dst, src []uint64, r int) {
	sum := uint64(0)
	for _, v := range src[:2*r] {
		sum += v
	}
	out, in := src[:len(dst)], src[2*r:][:len(dst)]
	for x := range dst {
		sum += in[x]
		dst[x] = sum
		sum -= out[x]
	}
}

// columnSums runs a window down the rows of a picture. Rows hold n words each;
// several small numbers may share a word as long as no sum leaves its bits.
type columnSums struct {
	win         window
	n           int
	shift       uint     // how many bits an inner sum loses to fit its place,
	mask        uint64   // and the bits that places then keep
	ring1       []uint64 // the last 2 r1 + 1 rows
	ring2       []uint64
	sum1, sum2  []uint64
	count, done int
}

// start prepares for rows of n words.
func (c *columnSums) start(win window, n int, shift uint, mask uint64) {
	c.win, c.n, c.shift, c.mask, c.count, c.done = win, n, shift, mask, 0, 0
	c.ring1, c.ring2 = resize(c.ring1, (2*win.r1+1)*n), resize(c.ring2, (2*win.r2+1)*n)
	c.sum1, c.sum2 = resize(c.sum1, n), resize(c.sum2, n)
	clear(c.ring1)
	clear(c.ring2)
	clear(c.sum1)
	clear(c.sum2)
}

// slot returns the memory for the next row to be added.
func (c *columnSums) slot() []uint64 {
	i := c.count % (2*c.win.r1 + 1)
	return c.ring1[i*c.n:][:c.n]
}

// leave takes the row that leaves the window out of the sums; it must be
// called before the slot is filled.
func (c *columnSums) leave() {
	old := c.slot()
	sum := c.sum1[:len(old)]
	for x, v := range old {
		sum[x] -= v
	}
}

// enter adds the filled slot and returns the sums of the row that lies reach
// rows back, or nil while the window is not full yet.
func (c *columnSums) enter() []uint64 {
	row := c.slot()
	sum := c.sum1[:len(row)]
	for x, v := range row {
		sum[x] += v
	}
	c.count++
	if c.count < 2*c.win.r1+1 {
		return nil
	}
	i := c.done % (2*c.win.r2 + 1)
	keep := c.ring2[i*c.n:][:c.n]
	sum2 := c.sum2[:len(keep)]
	sum = sum[:len(keep)]
	shift, mask := c.shift&63, c.mask
	for x := range keep {
		v := sum[x] >> shift & mask
		sum2[x] += v - keep[x]
		keep[x] = v
	}
	c.done++
	if c.done < 2*c.win.r2+1 {
		return nil
	}
	return sum2
}
