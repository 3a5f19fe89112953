package cells_test

import (
	"image"
	_ "image/jpeg"
	_ "image/png"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"

	"atelier/halflid/imageproc"
	"atelier/halflid/palette"
	"atelier/halflid/tui/cells"
)

// meter counts the bytes and writes that reach the terminal.
type meter struct {
	bytes, writes int
}

func (m *meter) Write(p []byte) (int, error) {
	m.bytes += len(p)
	m.writes++
	return len(p), nil
}

// bench is a Screen of w by h cells whose band is all of it.
func bench(w, h int) (*meter, *cells.Screen) {
	m := new(meter)
	s := cells.NewScreen(m)
	s.Resize(w, h)
	s.SetBand(image.Rect(0, 0, w, h))
	for _, seq := range []string{"\x1b[?1049h", "\x1b[2J", "\x1b[H"} {
		if _, err := s.Write([]byte(seq)); err != nil {
			panic(err)
		}
	}
	return m, s
}

// cost paints r and returns the bytes that it took.
func (m *meter) cost(t testing.TB, s *cells.Screen, r imageproc.Raster) int {
	t.Helper()
	var g cells.Grid
	cells.Encode(&g, r, cells.TrueColour)
	before := m.bytes
	if err := s.Paint(&g, image.Point{}); err != nil {
		t.Fatal(err)
	}
	return m.bytes - before
}

// scene is a made picture with what makes a photograph dear: slow changes of
// light, hard edges, and noise of a few codes in every channel.
func scene(w, h int) imageproc.Raster {
	rng := rand.New(rand.NewPCG(7, 7))
	r := imageproc.NewRaster(w, h)
	for y := range h {
		for x := range w {
			u, v := float64(x)/float64(w), float64(y)/float64(h)
			l := 90 + 70*math.Sin(5*u+2*v) + 40*math.Cos(11*v-3*u)
			if int(9*u+3*v)%3 == 0 {
				l -= 60
			}
			code := func(d float64) uint8 {
				return uint8(min(max(l+d+6*rng.NormFloat64(), 0), 255))
			}
			r.Set(x, y, palette.SRGB{R: code(12), G: code(0), B: code(-18)})
		}
	}
	return r
}

// photo is the photograph HALFLID_PHOTOS/name averaged to cover w by h pixels.
func photo(t testing.TB, name string, w, h int) imageproc.Raster {
	t.Helper()
	dir := os.Getenv("HALFLID_PHOTOS")
	if dir == "" {
		t.Skip("HALFLID_PHOTOS names no folder of photographs: only the made scene is measured")
	}
	f, err := os.Open(filepath.Join(dir, name))
	if err != nil {
		t.Skip(err)
	}
	defer f.Close()
	m, _, err := image.Decode(f)
	if err != nil {
		t.Fatal(err)
	}
	b := m.Bounds()
	r := imageproc.NewRaster(w, h)
	for y := range h {
		for x := range w {
			box := image.Rect(x*b.Dx()/w, y*b.Dy()/h, max((x+1)*b.Dx()/w, x*b.Dx()/w+1), max((y+1)*b.Dy()/h, y*b.Dy()/h+1))
			r.Set(x, y, mean(m, box.Add(b.Min)))
		}
	}
	return r
}

func mean(m image.Image, box image.Rectangle) palette.SRGB {
	var sr, sg, sb, n uint32
	for y := box.Min.Y; y < box.Max.Y; y++ {
		for x := box.Min.X; x < box.Max.X; x++ {
			r, g, b, _ := m.At(x, y).RGBA()
			sr, sg, sb, n = sr+r>>8, sg+g>>8, sb+b>>8, n+1
		}
	}
	return palette.SRGB{R: uint8(sr / n), G: uint8(sg / n), B: uint8(sb / n)}
}

// window is the part of r of w by h pixels whose corner is at x, y.
func window(r imageproc.Raster, x, y, w, h int) imageproc.Raster {
	out := imageproc.NewRaster(w, h)
	for j := range h {
		copy(out.Pix[3*j*w:3*(j+1)*w], r.Pix[3*((y+j)*r.W+x):])
	}
	return out
}

// framed is r with everything outside the frame at half its codes, as while a
// crop is being placed.
func framed(r imageproc.Raster, frame image.Rectangle) imageproc.Raster {
	out := window(r, 0, 0, r.W, r.H)
	for y := range r.H {
		for x := range r.W {
			if !image.Pt(x, y).In(frame) {
				c := r.At(x, y)
				out.Set(x, y, palette.SRGB{R: c.R / 2, G: c.G / 2, B: c.B / 2})
			}
		}
	}
	return out
}

// plan is r blurred by a box of radius k and laid into four greys.
func plan(r imageproc.Raster, k int) imageproc.Raster {
	tones := []uint8{38, 92, 150, 214}
	line := make([]int, r.W*r.H)
	for i := range line {
		line[i] = int(r.Pix[3*i]) + 2*int(r.Pix[3*i+1]) + int(r.Pix[3*i+2])
	}
	blur := func(n, stride, rows, step int) {
		tmp := make([]int, n)
		for j := range rows {
			for i := range n {
				sum := 0
				for d := -k; d <= k; d++ {
					q := i + d
					if q < 0 {
						q = -1 - q
					}
					if q >= n {
						q = 2*n - 1 - q
					}
					sum += line[j*step+q*stride]
				}
				tmp[i] = sum / (2*k + 1)
			}
			for i, v := range tmp {
				line[j*step+i*stride] = v
			}
		}
	}
	for range 2 {
		blur(r.W, 1, r.H, r.W)
		blur(r.H, r.W, r.W, 1)
	}
	out := imageproc.NewRaster(r.W, r.H)
	for i, v := range line {
		g := tones[min(v/256, 3)]
		out.Pix[3*i], out.Pix[3*i+1], out.Pix[3*i+2] = g, g, g
	}
	return out
}

// pictures runs f on the made scene and on photographs, each w by h pixels.
func pictures(t *testing.T, w, h int, f func(t *testing.T, r imageproc.Raster)) {
	t.Run("scene", func(t *testing.T) { f(t, scene(w, h)) })
	for _, name := range []string{"market-bazaar.jpg", "boat-pier.png", "street-rain.jpg"} {
		t.Run(name, func(t *testing.T) { f(t, photo(t, name, w, h)) })
	}
}

// The crop is placed on the whole photograph: its frame moves by one cell.
func TestBytesOfMovedFrame(t *testing.T) {
	pictures(t, 200, 120, func(t *testing.T, r imageproc.Raster) {
		m, s := bench(200, 60)
		frame := image.Rect(50, 30, 150, 90)
		full := m.cost(t, s, framed(r, frame))
		across := m.cost(t, s, framed(r, frame.Add(image.Pt(1, 0))))
		down := m.cost(t, s, framed(r, frame.Add(image.Pt(1, 2))))
		t.Logf("full %d, frame across %d, down %d bytes", full, across, down)
		if across > 10500 || down > 20000 {
			t.Errorf("frame moved by a cell takes %d bytes across, %d down", across, down)
		}
	})
}

// The crop fills the screen: moving it moves every cell.
func TestBytesOfMovedPhoto(t *testing.T) {
	pictures(t, 220, 130, func(t *testing.T, r imageproc.Raster) {
		m, s := bench(200, 60)
		full := m.cost(t, s, window(r, 4, 4, 200, 120))
		right := m.cost(t, s, window(r, 5, 4, 200, 120))
		left := m.cost(t, s, window(r, 4, 4, 200, 120))
		down := m.cost(t, s, window(r, 4, 6, 200, 120))
		up := m.cost(t, s, window(r, 4, 4, 200, 120))
		t.Logf("full %d; moved right %d, left %d, down %d, up %d bytes", full, right, left, down, up)
		if most := max(right, left, down, up); most > 10500 {
			t.Errorf("moving a photograph by a cell takes up to %d bytes", most)
		}
	})
}

// With text beside it the photograph is still moved aside cheaply, though not
// up and down.
func TestBytesOfMovedPhotoBesideText(t *testing.T) {
	r := scene(220, 130)
	m, s := bench(230, 60)
	s.SetBand(image.Rect(0, 0, 200, 60))
	m.cost(t, s, window(r, 4, 4, 200, 120))
	right := m.cost(t, s, window(r, 5, 4, 200, 120))
	left := m.cost(t, s, window(r, 4, 4, 200, 120))
	t.Logf("moved right %d, left %d bytes", right, left)
	if max(right, left) > 6000 {
		t.Errorf("moving a photograph aside takes %d and %d bytes", right, left)
	}
	s.SetShift(false)
	if n := m.cost(t, s, window(r, 5, 4, 200, 120)); n < 100000 {
		t.Errorf("moved for %d bytes where the terminal is not to move anything", n)
	}
	// Wide letters beside the picture are not moved.
	s.SetShift(true)
	if _, err := s.Write([]byte("\x1b[1;201H船")); err != nil {
		t.Fatal(err)
	}
	if n := m.cost(t, s, window(r, 4, 4, 200, 120)); n < 100000 {
		t.Errorf("moved for %d bytes beside a wide letter", n)
	}
}

func TestBytesOfSquintStep(t *testing.T) {
	pictures(t, 200, 120, func(t *testing.T, r imageproc.Raster) {
		m, s := bench(200, 60)
		full := m.cost(t, s, plan(r, 2))
		step := m.cost(t, s, plan(r, 3))
		t.Logf("plan full %d, squint step %d bytes", full, step)
		if step > 13000 {
			t.Errorf("squint step takes %d bytes", step)
		}
	})
}

func TestUnchangedPictureWritesNothing(t *testing.T) {
	m, s := bench(200, 60)
	r := scene(200, 120)
	m.cost(t, s, r)
	writes := m.writes
	if n := m.cost(t, s, r); n != 0 || m.writes != writes {
		t.Errorf("the same picture again took %d bytes, %d writes", n, m.writes-writes)
	}
}

func BenchmarkFullPhoto(b *testing.B) {
	for _, size := range []image.Point{{120, 40}, {200, 60}, {320, 90}} {
		r := scene(size.X, 2*size.Y)
		b.Run(size.String(), func(b *testing.B) {
			_, s := bench(size.X, size.Y)
			var g cells.Grid
			b.ReportAllocs()
			for b.Loop() {
				s.Invalidate()
				cells.Encode(&g, r, cells.TrueColour)
				if err := s.Paint(&g, image.Point{}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkSquintStep(b *testing.B) {
	r := scene(200, 120)
	steps := [2]imageproc.Raster{plan(r, 2), plan(r, 3)}
	_, s := bench(200, 60)
	var g cells.Grid
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		cells.Encode(&g, steps[i&1], cells.TrueColour)
		if err := s.Paint(&g, image.Point{}); err != nil {
			b.Fatal(err)
		}
	}
}
