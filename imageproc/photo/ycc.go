package photo

import "image"

// yccScale are the factors from YCbCr to RGB codes in 1/65536, and the code
// of Y that means black.
type yccScale struct {
	y, black         int32
	rCr, gCb, gCr, b int32
}

var (
	// jfif is JPEG's full range. Source: JFIF 1.02; the rounding is that of the
	// standard library's image/color, whose results are met exactly.
	jfif = yccScale{y: 0x10101, rCr: 91881, gCb: 22554, gCr: 46802, b: 116130}
	// studio is the narrow range, 16 to 235, in which WebP stores its planes
	// though the decoder hands them over unmarked.
	// Source: RFC 6386, 9.2; ITU-R BT.601-7, 2.5.3, as RGB codes 0 to 255.
	studio = yccScale{y: 76309, black: 16, rCr: 104597, gCb: 25675, gCr: 53279, b: 132201}
)

// ycc reads the planes of a YCbCr image without making RGB codes of them.
type ycc struct {
	img    *image.YCbCr
	scale  yccScale
	table  *wideTable
	terms  []int32 // what chroma adds to r, g, b, for each chroma column; biased so that sums are not negative
	held   int     // the chroma row that terms holds
	shift  uint    // luma columns per chroma column, as a power of two
	offset int     // luma columns by which the first chroma column is cut
}

func newYCC(img *image.YCbCr, scale yccScale, table *wideTable) *ycc {
	s := &ycc{img: img, scale: scale, table: table, held: -1}
	switch img.SubsampleRatio {
	case image.YCbCrSubsampleRatio422, image.YCbCrSubsampleRatio420:
		s.shift = 1
	case image.YCbCrSubsampleRatio411, image.YCbCrSubsampleRatio410:
		s.shift = 2
	}
	r := img.Rect
	s.offset = r.Min.X & (1<<s.shift - 1)
	s.terms = make([]int32, 3*((s.offset+r.Dx()-1)>>s.shift+1))
	return s
}

// chroma fills terms for luma row y (from the top of the image).
func (s *ycc) chroma(y int) {
	at := s.img.COffset(s.img.Rect.Min.X, s.img.Rect.Min.Y+y)
	if at == s.held {
		return
	}
	s.held = at
	n := len(s.terms) / 3
	cbs, crs := s.img.Cb[at:at+n], s.img.Cr[at:at+n]
	k := s.scale
	bias := int32(wideZero<<16) - k.black*k.y
	if k.black != 0 {
		bias += 1 << 15 // round to nearest
	}
	t := s.terms
	for i, c := range cbs {
		cb, cr := int32(c)-128, int32(crs[i])-128
		u := t[3*i : 3*i+3 : 3*i+3]
		u[0] = bias + k.rCr*cr
		u[1] = bias - k.gCb*cb - k.gCr*cr
		u[2] = bias + k.b*cb
	}
}

func (s *ycc) luma(y int) []uint8 {
	r := s.img.Rect
	at := s.img.YOffset(r.Min.X, r.Min.Y+y)
	return s.img.Y[at : at+r.Dx()]
}

func (s *ycc) row(y int, dst []float32) {
	s.chroma(y)
	luma := s.luma(y)
	if s.shift == 1 && s.offset == 0 {
		clear(dst)
		s.addPairs(luma, dst)
		return
	}
	t, k := s.table, s.scale.y
	terms := s.terms
	for x, v := range luma {
		c := terms[3*((x+s.offset)>>s.shift):][:3]
		yy := int32(v) * k
		d := dst[3*x:][:3]
		d[0] = t.r[uint32(yy+c[0])>>16&1023]
		d[1] = t.g[uint32(yy+c[1])>>16&1023]
		d[2] = t.b[uint32(yy+c[2])>>16&1023]
	}
}

func (s *ycc) add(y int, acc []float32) {
	s.chroma(y)
	luma := s.luma(y)
	if s.shift == 1 && s.offset == 0 {
		s.addPairs(luma, acc)
		return
	}
	t, k := s.table, s.scale.y
	terms := s.terms
	for x, v := range luma {
		c := terms[3*((x+s.offset)>>s.shift):][:3]
		yy := int32(v) * k
		d := acc[3*x:][:3]
		d[0] += t.r[uint32(yy+c[0])>>16&1023]
		d[1] += t.g[uint32(yy+c[1])>>16&1023]
		d[2] += t.b[uint32(yy+c[2])>>16&1023]
	}
}

// addPairs is add where two neighbours share their chroma, as most cameras
// store it: this loop is where the time of opening goes.
func (s *ycc) addPairs(luma []uint8, acc []float32) {
	t, k := s.table, s.scale.y
	terms := s.terms
	pairs := len(luma) / 2
	for i := range pairs {
		l, c, a := luma[2*i:2*i+2], terms[3*i:3*i+3], acc[6*i:6*i+6]
		c0, c1, c2 := c[0], c[1], c[2]
		yy := int32(l[0]) * k
		a[0] += t.r[uint32(yy+c0)>>16&1023]
		a[1] += t.g[uint32(yy+c1)>>16&1023]
		a[2] += t.b[uint32(yy+c2)>>16&1023]
		yy = int32(l[1]) * k
		a[3] += t.r[uint32(yy+c0)>>16&1023]
		a[4] += t.g[uint32(yy+c1)>>16&1023]
		a[5] += t.b[uint32(yy+c2)>>16&1023]
	}
	if len(luma) > 2*pairs {
		c, a := terms[3*pairs:3*pairs+3], acc[6*pairs:6*pairs+3]
		yy := int32(luma[2*pairs]) * k
		a[0] += t.r[uint32(yy+c[0])>>16&1023]
		a[1] += t.g[uint32(yy+c[1])>>16&1023]
		a[2] += t.b[uint32(yy+c[2])>>16&1023]
	}
}
