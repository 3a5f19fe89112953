package outline

import (
	"fmt"
	"math"

	"atelier/halflid/imageproc"
)

// Distance stores how deep inside m each pixel lies: the distance in pixels from
// its middle to the middle of the nearest pixel that is not marked, the pixels
// just outside the picture counting as such; 0 where m is not marked. dst is
// row-major like m and must have its size. The squares are exact: whole numbers,
// rounded once when the root is taken. It panics if the sizes differ. Source:
// Felzenszwalb and Huttenlocher 2012, Theory of Computing 8; in whole numbers as
// Meijster, Roerdink and Hesselink 2000.
func Distance(dst []float32, m imageproc.Mask) {
	checkSize("Distance", len(dst), m.W, m.H)
	d := newDepths(m.W, m.H)
	for y := range m.H {
		up, here := d.column(y)
		for x, marked := range m.Pix[y*m.W : (y+1)*m.W] {
			if marked {
				here[x] = up[x] + 1
			} else {
				here[x] = 0
			}
		}
	}
	for y := m.H - 1; y >= 0; y-- {
		here, down := d.row(y), d.below(y)
		for x, h := range here {
			here[x] = min(h, down[x]+1)
		}
		for x := 0; x < m.W; x++ {
			if here[x] == 0 {
				dst[y*m.W+x] = 0
				continue
			}
			x0 := x
			for x < m.W && here[x] > 0 {
				x++
			}
			d.run(dst[y*m.W+x0:y*m.W+x], here[x0:x])
			if x < m.W {
				dst[y*m.W+x] = 0
			}
		}
	}
}

// Depth stores how deep each pixel lies inside what carries its label: the
// distance from its middle to the middle of the nearest pixel with another
// label, the pixels just outside the picture counting as such: 1 or more. For
// each label it is what Distance gives for its mask. It panics if dst does not
// have l's size.
func Depth(dst []float32, l imageproc.Labels) {
	checkSize("Depth", len(dst), l.W, l.H)
	d := newDepths(l.W, l.H)
	for y := range l.H {
		up, here := d.column(y)
		row, above := l.Row(y), l.Row(max(0, y-1))
		for x, v := range row {
			if above[x] == v {
				here[x] = up[x] + 1
			} else {
				here[x] = 1
			}
		}
	}
	for y := l.H - 1; y >= 0; y-- {
		here, down := d.row(y), d.below(y)
		row, under := l.Row(y), l.Row(min(l.H-1, y+1))
		for x, h := range here {
			if under[x] == row[x] {
				here[x] = min(h, down[x]+1)
			} else {
				here[x] = 1
			}
		}
		for x := 0; x < l.W; {
			x0 := x
			for x < l.W && row[x] == row[x0] {
				x++
			}
			d.run(dst[y*l.W+x0:y*l.W+x], here[x0:x])
		}
	}
}

func checkSize(who string, n, w, h int) {
	if n != w*h {
		panic(fmt.Sprintf("outline: %s of %d by %d pixels into %d", who, w, h, n))
	}
}

// depths is the memory of one measurement.
type depths struct {
	w, h int
	up   []int32 // distance to another pixel straight up or down, row-major
	none []int32 // the row outside the picture
	site []int32 // the parabolas that are lowest somewhere, from left to right
	from []int32 // the first pixel where each is the lowest
	root []float32
}

func newDepths(w, h int) *depths {
	d := &depths{
		w: w, h: h, up: make([]int32, w*h), none: make([]int32, w),
		site: make([]int32, w+2), from: make([]int32, w+2),
	}
	// Roots are taken from a table: few squares occur, and they are small, as no
	// pixel is deeper than half the shorter side.
	deep := (min(w, h) + 2) / 2
	d.root = make([]float32, min(deep*deep, maxRoots)+1)
	for i := range d.root {
		d.root[i] = float32(math.Sqrt(float64(i)))
	}
	return d
}

// maxRoots bounds the table of roots; deeper pixels take theirs singly.
const maxRoots = 1 << 16

func (d *depths) row(y int) []int32 { return d.up[y*d.w : (y+1)*d.w] }

// column returns the row above y and row y.
func (d *depths) column(y int) (above, here []int32) {
	if y == 0 {
		return d.none, d.row(0)
	}
	return d.row(y - 1), d.row(y)
}

func (d *depths) below(y int) []int32 {
	if y == d.h-1 {
		return d.none
	}
	return d.row(y + 1)
}

// run stores the depths of a stretch of one row that is all of one kind and
// bounded by pixels of another kind on both sides, from the distances straight
// up or down. Pixel i is as deep as the lowest of the parabolas (i-j)^2 + up[j]^2
// of the run's pixels j and of the two that bound it, where up is 0. Beyond
// those nothing can be nearer.
func (d *depths) run(dst []float32, up []int32) {
	n := int32(len(up))
	site, from := d.site, d.from
	site[0], from[0] = -1, 0
	top := 0
	for j := int32(0); j <= n; j++ {
		hj := int32(0)
		if j < n {
			hj = up[j]
		}
		for top >= 0 {
			// The new parabola hides the last if it is the lower where that begins.
			i, t := site[top], from[top]
			if (t-j)*(t-j)+hj*hj > (t-i)*(t-i)+height(up, i) {
				break
			}
			top--
		}
		if top < 0 {
			top = 0
			site[0], from[0] = j, 0
			continue
		}
		// From where on the new one is at most as high: exact, as the quotient of
		// such whole numbers never rounds across a whole number.
		i := site[top]
		num := j*j - i*i + hj*hj - height(up, i)
		t := int32(math.Ceil(float64(num) / float64(2*(j-i))))
		if t < n {
			top++
			site[top], from[top] = j, t
		}
	}
	for i := n - 1; i >= 0; i-- {
		for from[top] > i {
			top--
		}
		j := site[top]
		d2 := (i-j)*(i-j) + height(up, j)
		if int(d2) < len(d.root) {
			dst[i] = d.root[d2]
		} else {
			dst[i] = float32(math.Sqrt(float64(d2)))
		}
	}
}

// height returns the squared distance straight up or down at pixel j of a run,
// 0 at the pixels that bound it.
func height(up []int32, j int32) int32 {
	if uint32(j) >= uint32(len(up)) {
		return 0
	}
	return up[j] * up[j]
}
