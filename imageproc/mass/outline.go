package mass

// Eight classes are counted at once: a word holds one byte for each, or two
// words hold 16 bits for each of the even and of the odd ones.
const (
	evenBytes  = 0x00ff00ff00ff00ff
	everyPlace = 0x0001000100010001
)

// lanes counts how often each class lies in a window around each pixel of a
// row, asked for row by row downwards.
type lanes struct {
	win    window
	w, h   int
	sums   columnSums
	next   int // the next row to enter
	line   []uint64
	mid    []uint64
	half   []uint64
	whole  int // what a window of one class counts
	source func(dst []uint64, y int)
}

// newLanes prepares windows for rows lo and on. source writes a row with 1 in
// the byte of each pixel's class.
func newLanes(win window, w, h, lo int, source func(dst []uint64, y int)) *lanes {
	l := &lanes{win: win, w: w, h: h, next: lo - win.reach(), source: source}
	inner, shift := win.weight()*(2*win.r1+1), uint(0)
	for (inner>>shift)*(2*win.r2+1) > 65535 {
		shift++
	}
	l.whole = (inner >> shift) * (2*win.r2 + 1)
	l.sums.start(win, 2*w, shift, everyPlace*(65535>>shift))
	l.line = make([]uint64, w+2*win.reach())
	l.mid, l.half = make([]uint64, w+2*win.r2), make([]uint64, w+2*win.r2)
	return l
}

// row returns the counts around the pixels of the next row: w words for the
// even classes, then w for the odd ones.
func (l *lanes) row() []uint64 {
	w, reach, r2 := l.w, l.win.reach(), l.win.r2
	for {
		mid := l.line[reach:][:w]
		l.source(mid, mirrored(l.next, l.h))
		for i := range reach {
			l.line[reach-1-i] = mid[mirrored(-1-i, w)]
			l.line[reach+w+i] = mid[mirrored(w+i, w)]
		}
		l.next++
		runningSum(l.mid, l.line, l.win.r1)
		l.sums.leave()
		slot := l.sums.slot()
		half := l.half[:len(l.mid)]
		for x, v := range l.mid {
			half[x] = v >> 8 & evenBytes
			l.mid[x] = v & evenBytes
		}
		runningSum(slot[:w], l.mid, r2)
		runningSum(slot[w:], l.half, r2)
		if sum := l.sums.enter(); sum != nil {
			return sum
		}
	}
}

// widest, in pixels, keeps the counts of a window inside 16 bits.
const widest = 16

// smoothOutlines gives each pixel the class that is most frequent around it: in
// a wide window where the picture has no edge, in a narrow one on edges. class
// is the class of each leaf, leaf the leaf of each pixel; the classes of the
// pixels go to dst. Ties: the darker class.
//
// Source: threshold dynamics, Merriman, Bence, Osher 1992; windows by edge:
// ours.
func smoothOutlines(dst, leaf, class []int32, rise []uint16, w, h int, long float64, threads int) {
	wide := windowOf(min(.010*long, widest))
	narrow := windowOf(min(.003*long, widest))
	kernel := wholeKernel(.003 * long)
	share := edgeShares()
	bands(threads, h, func(_, lo, hi int) {
		source := func(dst []uint64, y int) {
			for x, l := range leaf[y*w:][:len(dst)] {
				dst[x] = 1 << (8 * uint(class[l]) & 63)
			}
		}
		a, b := newLanes(wide, w, h, lo, source), newLanes(narrow, w, h, lo, source)
		edge, buf := make([]int32, w), make([]int32, w+2*len(kernel))
		for y := lo; y < hi; y++ {
			filterRow(edge, rise, w, h, y, kernel, buf)
			wideRow, narrowRow := a.row(), b.row()
			out, own := dst[y*w:][:w], leaf[y*w:][:w]
			for x := range out {
				c := class[own[x]]
				if whole := uint64(a.whole) << (16 * uint(c>>1) & 63); wideRow[x+int(c&1)*w] == whole {
					out[x] = c // nothing else near
					continue
				}
				e := int64(share[min(edge[x]>>14, int32(len(share)-1))])
				pa, pb := (256-e)*int64(b.whole), e*int64(a.whole)
				out[x] = mostFrequent(wideRow[x], wideRow[x+w], narrowRow[x], narrowRow[x+w], pa, pb)
			}
		}
	})
}

// mostFrequent returns the class with the largest weighed count.
func mostFrequent(wideEven, wideOdd, narrowEven, narrowOdd uint64, pa, pb int64) int32 {
	best, most := int32(0), int64(-1)
	for k := int32(0); k < 8; k += 2 {
		if s := int64(wideEven&65535)*pa + int64(narrowEven&65535)*pb; s > most {
			best, most = k, s
		}
		if s := int64(wideOdd&65535)*pa + int64(narrowOdd&65535)*pb; s > most {
			best, most = k+1, s
		}
		wideEven, wideOdd, narrowEven, narrowOdd = wideEven>>16, wideOdd>>16, narrowEven>>16, narrowOdd>>16
	}
	return best
}

// wholeKernel is half of a Gaussian in whole numbers that sum to 64.
func wholeKernel(sigma float64) []int32 {
	k := gaussKernel[float64](min(sigma, 12))
	out := make([]int32, len(k))
	rest := int32(64)
	for i := len(k) - 1; i > 0; i-- {
		out[i] = int32(k[i]*64 + .5)
		rest -= 2 * out[i]
	}
	out[0] = rest
	for len(out) > 1 && out[len(out)-1] == 0 {
		out = out[:len(out)-1]
	}
	return out
}

// edgeShares tabulates 256 (1 - exp(-gradient/2)), the gradient in quarters of
// a step.
func edgeShares() []int16 {
	out := make([]int16, 4096)
	for i := range out {
		out[i] = int16(256*(1-expNeg((float64(i)+.5)*4/(2*stepsL))) + .5)
	}
	return out
}
