package mass

// A sweep smooths lines by least squares: along each it solves
// (1 + lambda D'WD) u = d, D the differences of neighbours, W their weights, by
// forward elimination and back substitution (Thomas algorithm). Weight i
// couples sample i with i + 1; the last of a line is zero.

// stripWidth is how many columns are swept at a time: the scratch of a strip of
// 64 columns of 512 float64 is 256 kB and stays in a second-level cache.
const stripWidth = 64

// sweepColumns solves along the columns lo..hi of u in place. c holds
// h * stripWidth numbers.
func sweepColumns(u []float64, weight []float32, w, h, lo, hi int, lambda float64, c []float64) {
	for x0 := lo; x0 < hi; x0 += stripWidth {
		n := min(stripWidth, hi-x0)
		eliminateFirst(c[:n], u[x0:], weight[x0:], lambda)
		for y := 1; y < h; y++ {
			at := y*w + x0
			eliminate(c[y*n:][:n], u[at:], c[(y-1)*n:], u[at-w:], weight[at:], weight[at-w:], lambda)
		}
		for y := h - 2; y >= 0; y-- {
			substitute(u[y*w+x0:][:n], c[y*n:], u[(y+1)*w+x0:])
		}
	}
}

// eliminateFirst is elimination on the first line.
func eliminateFirst(c, u []float64, weight []float32, lambda float64) {
	u, weight = u[:len(c)], weight[:len(c)]
	for i := range c {
		m := float64(lambda * float64(weight[i]))
		inv := 1 / (1 + m)
		c[i] = m * inv
		u[i] *= inv
	}
}

// eliminate is elimination on any other line.
func eliminate(c, u, cp, up []float64, weight, before []float32, lambda float64) {
	n := len(c)
	u, cp, up, weight, before = u[:n], cp[:n], up[:n], weight[:n], before[:n]
	for i := range c {
		m, b := float64(lambda*float64(weight[i])), float64(lambda*float64(before[i]))
		inv := 1 / (1 + m + float64(b*(1-cp[i])))
		c[i] = m * inv
		u[i] = (u[i] + float64(b*up[i])) * inv
	}
}

// substitute is one line of the way back.
func substitute(u, c, after []float64) {
	c, after = c[:len(u)], after[:len(u)]
	for i := range u {
		u[i] += float64(c[i] * after[i])
	}
}

// rowPair is one row with two right-hand sides, solved in place.
type rowPair struct {
	u, a   []float64
	weight []float32
}

// sweepRows solves along the rows lo..hi of both u and a in place. Four rows go
// side by side, because each step waits for the division of the step before.
// c holds 6 w numbers.
func sweepRows(u, a []float64, weight []float32, w, lo, hi int, lambda float64, c []float64) {
	for y := lo; y < hi; y += 4 {
		var r [4]rowPair
		for i := range r {
			at := (y + i) * w
			if y+i < hi {
				r[i] = rowPair{u[at:][:w], a[at:][:w], weight[at:][:w]}
				continue
			}
			// Rows beyond the last are solved in scratch and forgotten.
			r[i] = rowPair{c[4*w:][:w], c[5*w:][:w], weight[y*w:][:w]}
			clear(r[i].u)
			clear(r[i].a)
		}
		sweepFour(&r, c[:4*w], lambda)
	}
}

// sweepFour solves four rows; c holds four numbers a column.
func sweepFour(r *[4]rowPair, c []float64, lambda float64) {
	n := len(r[0].u)
	u0, u1, u2, u3 := r[0].u[:n], r[1].u[:n], r[2].u[:n], r[3].u[:n]
	a0, a1, a2, a3 := r[0].a[:n], r[1].a[:n], r[2].a[:n], r[3].a[:n]
	w0, w1, w2, w3 := r[0].weight[:n], r[1].weight[:n], r[2].weight[:n], r[3].weight[:n]
	var c0, c1, c2, c3, b0, b1, b2, b3 float64
	var d0, d1, d2, d3, e0, e1, e2, e3 float64
	for x := range n {
		m0, m1 := float64(lambda*float64(w0[x])), float64(lambda*float64(w1[x]))
		m2, m3 := float64(lambda*float64(w2[x])), float64(lambda*float64(w3[x]))
		f0 := 1 / (1 + m0 + float64(b0*(1-c0)))
		f1 := 1 / (1 + m1 + float64(b1*(1-c1)))
		f2 := 1 / (1 + m2 + float64(b2*(1-c2)))
		f3 := 1 / (1 + m3 + float64(b3*(1-c3)))
		d0, e0 = (u0[x]+float64(b0*d0))*f0, (a0[x]+float64(b0*e0))*f0
		d1, e1 = (u1[x]+float64(b1*d1))*f1, (a1[x]+float64(b1*e1))*f1
		d2, e2 = (u2[x]+float64(b2*d2))*f2, (a2[x]+float64(b2*e2))*f2
		d3, e3 = (u3[x]+float64(b3*d3))*f3, (a3[x]+float64(b3*e3))*f3
		u0[x], u1[x], u2[x], u3[x] = d0, d1, d2, d3
		a0[x], a1[x], a2[x], a3[x] = e0, e1, e2, e3
		c0, c1, c2, c3 = m0*f0, m1*f1, m2*f2, m3*f3
		at := c[4*x:][:4]
		at[0], at[1], at[2], at[3] = c0, c1, c2, c3
		b0, b1, b2, b3 = m0, m1, m2, m3
	}
	for x := n - 2; x >= 0; x-- {
		at := c[4*x:][:4]
		d0, e0 = u0[x]+float64(at[0]*d0), a0[x]+float64(at[0]*e0)
		d1, e1 = u1[x]+float64(at[1]*d1), a1[x]+float64(at[1]*e1)
		d2, e2 = u2[x]+float64(at[2]*d2), a2[x]+float64(at[2]*e2)
		d3, e3 = u3[x]+float64(at[3]*d3), a3[x]+float64(at[3]*e3)
		u0[x], u1[x], u2[x], u3[x] = d0, d1, d2, d3
		a0[x], a1[x], a2[x], a3[x] = e0, e1, e2, e3
	}
}
