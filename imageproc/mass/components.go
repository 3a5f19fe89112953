package mass

import (
	"fmt"

	"atelier/halflid/imageproc"
)

// Labeller numbers connected components. It keeps its scratch memory between
// calls (4 bytes a provisional component); the zero value is ready. Not for
// concurrent use.
type Labeller struct {
	parent []int32
}

// Components numbers the 4-connected components of equal value, 0.. in raster
// order of their first pixels, into dst and returns how many there are. dst and
// values must have one size and must not share Pix. See Labeller.Components.
func Components(dst, values imageproc.Labels) int {
	var l Labeller
	return l.Components(dst, values)
}

// Components8 is Components with pixels that touch at a corner counted as
// touching.
func Components8(dst, values imageproc.Labels) int {
	var l Labeller
	return l.Components8(dst, values)
}

// Components is the function Components with l's memory. It panics if dst and
// values differ in size. An empty picture has no components. One row of values
// above is looked at again, so dst must not share memory with values.
//
// Source: two passes with union-find, Rosenfeld and Pfaltz 1966; the smaller
// provisional number wins, which makes the order that of the raster.
func (l *Labeller) Components(dst, values imageproc.Labels) int {
	sameSize("Components", dst, values)
	l.parent = l.parent[:0]
	w := values.W
	for y := range values.H {
		l.row(dst, values, y, w, false)
	}
	return l.number(dst)
}

// Components8 is the function Components8 with l's memory.
func (l *Labeller) Components8(dst, values imageproc.Labels) int {
	sameSize("Components8", dst, values)
	l.parent = l.parent[:0]
	w := values.W
	for y := range values.H {
		l.row(dst, values, y, w, true)
	}
	return l.number(dst)
}

// row gives the pixels of row y provisional numbers.
func (l *Labeller) row(dst, values imageproc.Labels, y, w int, corners bool) {
	v, d := values.Row(y), dst.Row(y)
	var av, ad []int32
	if y > 0 {
		av, ad = values.Row(y-1), dst.Row(y-1)
	}
	last := int32(-1)
	for x := range w {
		c := v[x]
		if x == 0 || v[x-1] != c {
			last = -1
		}
		if av != nil {
			if av[x] == c && (last < 0 || ad[x] != last) {
				last = l.join(last, ad[x])
			}
			if corners && x > 0 && av[x-1] == c && ad[x-1] != last {
				last = l.join(last, ad[x-1])
			}
			if corners && x+1 < w && av[x+1] == c && ad[x+1] != last {
				last = l.join(last, ad[x+1])
			}
		}
		if last < 0 {
			last = int32(len(l.parent))
			l.parent = append(l.parent, last)
		}
		d[x] = last
	}
}

// join makes a and b one component and returns its smallest number; a < 0
// stands for none yet.
func (l *Labeller) join(a, b int32) int32 {
	b = find(l.parent, b)
	if a < 0 {
		return b
	}
	a = find(l.parent, a)
	if a < b {
		l.parent[b] = a
		return a
	}
	l.parent[a] = b
	return b
}

// number replaces provisional numbers by final ones.
func (l *Labeller) number(dst imageproc.Labels) int {
	n := int32(0)
	for i, p := range l.parent {
		if int(p) == i {
			l.parent[i] = n
			n++
		} else {
			// The parent is smaller, so it already holds its final number.
			l.parent[i] = l.parent[p]
		}
	}
	for i, p := range dst.Pix {
		dst.Pix[i] = l.parent[p]
	}
	return int(n)
}

// find returns the root of a in a union-find forest, halving the way there.
func find(parent []int32, a int32) int32 {
	for parent[a] != a {
		parent[a] = parent[parent[a]]
		a = parent[a]
	}
	return a
}

// Areas returns the number of pixels of each of the n labels; dst is reused if
// large enough. It panics on a label outside 0..n-1.
func Areas(dst []int32, labels imageproc.Labels, n int) []int32 {
	dst = resize(dst, n)
	clear(dst)
	for _, p := range labels.Pix {
		dst[p]++
	}
	return dst
}

// Euler4 returns the Euler number of the pixels with value v taken as
// 4-connected: components less holes.
//
// Source: Gray 1971, IEEE Trans. Comput. C-20, counts of 2x2 patterns.
func Euler4(values imageproc.Labels, v int32) int {
	one, three, diag := quads(values, v)
	return (one - three + 2*diag) / 4
}

// Euler8 is Euler4 with pixels that touch at a corner taken as touching.
func Euler8(values imageproc.Labels, v int32) int {
	one, three, diag := quads(values, v)
	return (one - three - 2*diag) / 4
}

// quads counts the 2x2 windows, those over the border included, that hold one,
// three, or two diagonal pixels of value v.
func quads(values imageproc.Labels, v int32) (one, three, diag int) {
	at := func(x, y int) int {
		if x >= 0 && y >= 0 && x < values.W && y < values.H && values.At(x, y) == v {
			return 1
		}
		return 0
	}
	for y := -1; y < values.H; y++ {
		for x := -1; x < values.W; x++ {
			a, b, c, d := at(x, y), at(x+1, y), at(x, y+1), at(x+1, y+1)
			switch a + b + c + d {
			case 1:
				one++
			case 3:
				three++
			case 2:
				if a == d {
					diag++
				}
			}
		}
	}
	return one, three, diag
}

func sameSize(what string, a, b imageproc.Labels) {
	if a.W != b.W || a.H != b.H {
		panic(fmt.Sprintf("mass: %s of labels of %d by %d into %d by %d", what, b.W, b.H, a.W, a.H))
	}
}

// resize returns a slice of n elements that reuses s where it can; the contents
// are undefined.
func resize[T any](s []T, n int) []T {
	if cap(s) < n {
		return make([]T, n)
	}
	return s[:n]
}
