package mass

// qShift turns gradient steps of 1/512 L* a pixel into the levels of 1/16 that
// basins are cut at.
const qShift = 5

// basins takes the picture apart along its ridges of gradient: every pixel
// flows to its lowest neighbour, flat parts to their nearest outlet, and what
// flows to one bottom is one leaf. It keeps 8 to 16 bytes a pixel of scratch.
type basins struct {
	w, h        int
	rise, guide []uint16
	soft        []uint16 // lightness under the squint, the last thing to tell neighbours apart

	label        []int32
	front, after []int32
	choice       []int32
}

// While a pixel has no leaf yet, its label says where it flows: flowing(j) for
// pixel j, unset, or waiting for its turn.
const (
	unset   = -1
	waiting = -2
)

func flowing(j int32) int32  { return -3 - j }
func flowsTo(l int32) int32  { return -3 - l }
func isFlowing(l int32) bool { return l <= -3 }

// run numbers the leaves, 0.. in raster order, into label and returns how many.
// Ties go to the neighbour that is most alike, and only then to the smaller
// index, so that a mirrored picture has mirrored leaves.
//
// Source: drop of water, Cousty, Bertrand, Najman, Couprie 2009, IEEE TPAMI 31;
// the order of plateaus and ties: ours.
func (b *basins) run() int {
	b.front = b.front[:0]
	b.descend()
	b.drain()
	return b.number()
}

// level is the level of pixel i.
func (b *basins) level(i int32) uint16 { return b.rise[i] >> qShift }

// around lists the neighbours of pixel i.
func (b *basins) around(i int32, to *[4]int32) []int32 {
	w := int32(b.w)
	n := 0
	if x := i % w; x > 0 {
		to[n] = i - 1
		n++
		if x < w-1 {
			to[n] = i + 1
			n++
		}
	} else if w > 1 {
		to[n] = i + 1
		n++
	}
	if i >= w {
		to[n] = i - w
		n++
	}
	if i+w < w*int32(b.h) {
		to[n] = i + w
		n++
	}
	return to[:n]
}

// nearer says whether pixel i would rather flow to j than to k, both equally low.
func (b *basins) nearer(i, j, k int32) bool {
	if dj, dk := apart(b.guide[i], b.guide[j]), apart(b.guide[i], b.guide[k]); dj != dk {
		return dj < dk
	}
	if b.rise[j] != b.rise[k] {
		return b.rise[j] < b.rise[k]
	}
	if dj, dk := apart(b.soft[i], b.soft[j]), apart(b.soft[i], b.soft[k]); dj != dk {
		return dj < dk
	}
	if b.soft[j] != b.soft[k] {
		return b.soft[j] < b.soft[k]
	}
	return j < k
}

func apart(a, b uint16) uint16 {
	if a > b {
		return a - b
	}
	return b - a
}

// descend lets every pixel with a lower neighbour flow to the lowest.
func (b *basins) descend() {
	w, h := b.w, b.h
	for y := range h {
		for x := range w {
			i := y*w + x
			low, best := b.rise[i]>>qShift, int32(-1)
			try := func(j int) {
				q := b.rise[j] >> qShift
				if q < low || q == low && best >= 0 && b.nearer(int32(i), int32(j), best) {
					low, best = q, int32(j)
				}
			}
			if x > 0 {
				try(i - 1)
			}
			if x < w-1 {
				try(i + 1)
			}
			if y > 0 {
				try(i - w)
			}
			if y < h-1 {
				try(i + w)
			}
			if best >= 0 {
				b.label[i] = flowing(best)
			} else {
				b.label[i] = unset
			}
		}
	}
}

// drain lets plateaus flow to their outlets, nearest pixels first.
func (b *basins) drain() {
	var to [4]int32
	for i, l := range b.label {
		if l != unset {
			continue
		}
		for _, j := range b.around(int32(i), &to) {
			if isFlowing(b.label[j]) && b.level(j) == b.level(int32(i)) {
				b.front = append(b.front, int32(i))
				break
			}
		}
	}
	for len(b.front) > 0 {
		b.choice = b.choice[:0]
		for _, i := range b.front {
			best := int32(-1)
			for _, j := range b.around(i, &to) {
				if isFlowing(b.label[j]) && b.level(j) == b.level(i) && (best < 0 || b.nearer(i, j, best)) {
					best = j
				}
			}
			b.choice = append(b.choice, best)
		}
		// Only now, so that no pixel of this round saw another of it.
		for k, i := range b.front {
			b.label[i] = flowing(b.choice[k])
		}
		b.after = b.after[:0]
		for _, i := range b.front {
			for _, j := range b.around(i, &to) {
				if b.label[j] == unset && b.level(j) == b.level(i) {
					b.label[j] = waiting
					b.after = append(b.after, j)
				}
			}
		}
		b.front, b.after = b.after, b.front
	}
}

// number gives each bottom a number and hands it up the flow.
func (b *basins) number() int {
	var to [4]int32
	n := int32(0)
	for i, l := range b.label {
		if l != unset {
			continue
		}
		b.label[i] = n
		b.front = append(b.front[:0], int32(i))
		for len(b.front) > 0 {
			p := b.front[len(b.front)-1]
			b.front = b.front[:len(b.front)-1]
			for _, j := range b.around(p, &to) {
				if b.label[j] == unset {
					b.label[j] = n
					b.front = append(b.front, j)
				}
			}
		}
		n++
	}
	for i := range b.label {
		p := int32(i)
		for isFlowing(b.label[p]) {
			p = flowsTo(b.label[p])
		}
		leaf := b.label[p]
		for p = int32(i); isFlowing(b.label[p]); {
			p, b.label[p] = flowsTo(b.label[p]), leaf
		}
	}
	return int(n)
}
