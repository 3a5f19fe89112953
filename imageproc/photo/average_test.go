package photo

import (
	"context"
	"fmt"
	"image"
	"image/color"
	"math"
	"math/rand/v2"
	"runtime"
	"testing"

	"atelier/halflid/imageproc"
	"atelier/halflid/palette"
	"atelier/halflid/palette/oracle"
)

func averaged(t testing.TB, m image.Image, side, orientation int) imageproc.Picture {
	t.Helper()
	p, err := average(context.Background(), m, srgbCurves(), side, orientation, nil)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// TestGreysMatchPublishedLight opens all 256 greys.
// Source: IEC 61966-2-1:1999, as tabled in t01_srgb_grey_L.csv.
func TestGreysMatchPublishedLight(t *testing.T) {
	tab := oracle.Load(t, "t01_srgb_grey_L.csv", 256)
	m := image.NewGray(image.Rect(0, 0, 256, 1))
	for i := range m.Pix {
		m.Pix[i] = uint8(i)
	}
	p := mustDecode(t, encodePNG(t, m), "greys.png")
	for _, row := range tab.Rows {
		code := int(row.Num(t, "code8"))
		for _, plane := range p.Master.Planes() {
			oracle.Close(t, fmt.Sprint("code ", code), float64(plane.At(code, 0)), row.Num(t, "linear"), 6e-8)
		}
	}
}

// TestHalfTheLight averages a checker of black and white: half the light is
// code 187.5, where averaging codes would give 128.
// Source: IEC 61966-2-1:1999, inverse at 0.5: 187.516.
func TestHalfTheLight(t *testing.T) {
	m := image.NewGray(image.Rect(0, 0, 4096, 64))
	for i := range m.Pix {
		m.Pix[i] = uint8(255 * ((i + i/4096) % 2))
	}
	p := mustDecode(t, encodePNG(t, m), "checker.png")
	if p.Master.Size() != image.Pt(2048, 32) || p.Size != image.Pt(4096, 64) {
		t.Fatalf("sizes %v and %v", p.Master.Size(), p.Size)
	}
	for i, v := range p.Master.R.Pix {
		if v != 0.5 {
			t.Fatalf("pixel %d has light %g, want 0.5", i, v)
		}
	}
	near(t, "checker", codeAt(p.Master, 5, 5), [3]int{188, 188, 188}, 0)
}

func TestSpansShareEveryPixelOnce(t *testing.T) {
	for _, c := range [][2]int{{1, 1}, {7, 7}, {7, 3}, {6000, 2048}, {4001, 1365}, {100000, 2048}, {65535, 1}, {2049, 2048}} {
		n, m := c[0], c[1]
		share := make([]float64, n)
		for _, s := range spans(n, m) {
			sum := 0.0
			for k := s.i; k <= s.j; k++ {
				share[k] += float64(s.weight(k))
				sum += float64(s.weight(k))
			}
			oracle.Close(t, fmt.Sprintf("%d to %d: length of a run", n, m), sum, float64(n)/float64(m), 2e-7*float64(n)/float64(m)+2e-7)
		}
		for k, v := range share {
			oracle.Close(t, fmt.Sprintf("%d to %d: pixel %d", n, m, k), v, 1, 3e-7)
		}
	}
}

func TestFit(t *testing.T) {
	for _, c := range []struct{ in, want image.Point }{
		{image.Pt(6000, 4000), image.Pt(2048, 1365)},
		{image.Pt(4000, 6000), image.Pt(1365, 2048)},
		{image.Pt(2048, 2048), image.Pt(2048, 2048)},
		{image.Pt(2049, 3), image.Pt(2048, 3)},
		{image.Pt(90000, 2), image.Pt(2048, 1)},
		{image.Pt(640, 480), image.Pt(640, 480)},
	} {
		if got := fit(c.in, MasterSide); got != c.want {
			t.Errorf("fit(%v) = %v, want %v", c.in, got, c.want)
		}
	}
}

// naive is the area average written plainly in float64, straight from the
// colours that the image's own At gives, or from code when that is not nil.
func naive(m image.Image, code func(x, y int) [4]float64, to image.Point) [3][]float64 {
	b := m.Bounds()
	w, h := b.Dx(), b.Dy()
	light := make([][3]float64, w*h)
	for y := range h {
		for x := range w {
			var c [4]float64
			if code != nil {
				c = code(x, y)
			} else {
				r, g, bl, a := m.At(b.Min.X+x, b.Min.Y+y).RGBA()
				c[3] = float64(a) / 65535
				if a > 0 {
					c[0], c[1], c[2] = float64(r)/float64(a), float64(g)/float64(a), float64(bl)/float64(a)
				}
			}
			for i := range 3 {
				light[y*w+x][i] = c[3]*float64(palette.Decode(c[i])) + (1-c[3])*float64(palette.L(50).Y())
			}
		}
	}
	var out [3][]float64
	overlap := func(k int, lo, hi float64) float64 {
		return math.Max(0, math.Min(float64(k+1), hi)-math.Max(float64(k), lo))
	}
	for i := range out {
		for y := range to.Y {
			for x := range to.X {
				x0, x1 := float64(x*w)/float64(to.X), float64((x+1)*w)/float64(to.X)
				y0, y1 := float64(y*h)/float64(to.Y), float64((y+1)*h)/float64(to.Y)
				sum := 0.0
				for sy := int(y0); sy < h && float64(sy) < y1; sy++ {
					for sx := int(x0); sx < w && float64(sx) < x1; sx++ {
						sum += light[sy*w+sx][i] * overlap(sx, x0, x1) * overlap(sy, y0, y1)
					}
				}
				out[i] = append(out[i], sum/((x1-x0)*(y1-y0)))
			}
		}
	}
	return out
}

// odd is an image of a type that nothing here knows.
type odd struct{ *image.NRGBA64 }

// noise returns one image of each type, with an offset and odd sides.
func noise() map[string]image.Image {
	rng := rand.New(rand.NewPCG(7, 11))
	fill := func(pix []uint8) {
		for i := range pix {
			pix[i] = uint8(rng.UintN(256))
		}
	}
	big, cut := image.Rect(0, 0, 40, 30), image.Rect(3, 5, 36, 28)
	out := map[string]image.Image{}
	type sub interface {
		SubImage(image.Rectangle) image.Image
	}
	add := func(name string, m sub, pix ...[]uint8) {
		for _, p := range pix {
			fill(p)
		}
		out[name] = m.SubImage(cut)
	}
	gray, gray16 := image.NewGray(big), image.NewGray16(big)
	add("Gray", gray, gray.Pix)
	add("Gray16", gray16, gray16.Pix)
	nrgba, nrgba64, cmyk := image.NewNRGBA(big), image.NewNRGBA64(big), image.NewCMYK(big)
	add("NRGBA", nrgba, nrgba.Pix)
	add("NRGBA64", nrgba64, nrgba64.Pix)
	add("CMYK", cmyk, cmyk.Pix)
	out["other"] = odd{nrgba64.SubImage(cut).(*image.NRGBA64)}
	rgba, rgba64 := image.NewRGBA(big), image.NewRGBA64(big)
	for y := range big.Dy() { // premultiplied codes, clear and opaque ones among them
		for x := range big.Dx() {
			c := nrgba64.NRGBA64At(x, y)
			c.A = [3]uint16{0, 65535, c.A}[(x+y)%3]
			rgba.Set(x, y, c)
			rgba64.Set(x, y, c)
		}
	}
	add("RGBA", rgba)
	add("RGBA64", rgba64)
	colours := make(color.Palette, 256)
	for i := range colours {
		colours[i] = nrgba.NRGBAAt(i%40, i/40)
	}
	pal := image.NewPaletted(big, colours)
	add("Paletted", pal, pal.Pix)
	for _, ratio := range []image.YCbCrSubsampleRatio{
		image.YCbCrSubsampleRatio444, image.YCbCrSubsampleRatio422,
		image.YCbCrSubsampleRatio420, image.YCbCrSubsampleRatio440, image.YCbCrSubsampleRatio411, image.YCbCrSubsampleRatio410,
	} {
		m := image.NewYCbCr(big, ratio)
		add(ratio.String(), m, m.Y, m.Cb, m.Cr)
		out[ratio.String()+" even"] = m.SubImage(image.Rect(4, 4, 37, 27))
	}
	return out
}

// codes8 gives the codes 0 to 1 of the types whose own At rounds differently
// from what a file means by them; nil for the others.
func codes8(m image.Image) func(x, y int) [4]float64 {
	of := func(full float64, r, g, b, a int) [4]float64 {
		return [4]float64{float64(r) / full, float64(g) / full, float64(b) / full, float64(a) / full}
	}
	o := m.Bounds().Min
	switch v := m.(type) {
	case *image.NRGBA:
		return func(x, y int) [4]float64 {
			c := v.NRGBAAt(o.X+x, o.Y+y)
			return of(255, int(c.R), int(c.G), int(c.B), int(c.A))
		}
	case *image.NRGBA64:
		return func(x, y int) [4]float64 {
			c := v.NRGBA64At(o.X+x, o.Y+y)
			return of(65535, int(c.R), int(c.G), int(c.B), int(c.A))
		}
	case *image.Paletted:
		return func(x, y int) [4]float64 {
			c := v.At(o.X+x, o.Y+y).(color.NRGBA)
			return of(255, int(c.R), int(c.G), int(c.B), int(c.A))
		}
	case *image.RGBA:
		return func(x, y int) [4]float64 {
			c, undo := v.RGBAAt(o.X+x, o.Y+y), func(n, a uint8) int {
				return int(math.Floor(float64(n)*255/math.Max(float64(a), 1) + 0.5))
			}
			return of(255, undo(c.R, c.A), undo(c.G, c.A), undo(c.B, c.A), int(c.A))
		}
	case *image.YCbCr:
		return func(x, y int) [4]float64 {
			c := v.YCbCrAt(o.X+x, o.Y+y)
			r, g, b := color.YCbCrToRGB(c.Y, c.Cb, c.Cr)
			return of(255, int(r), int(g), int(b), 255)
		}
	case *image.CMYK:
		return func(x, y int) [4]float64 {
			c := v.CMYKAt(o.X+x, o.Y+y)
			r, g, b := color.CMYKToRGB(c.C, c.M, c.Y, c.K)
			return of(255, int(r), int(g), int(b), 255)
		}
	}
	return nil
}

// TestEveryImageType holds each type's rows against a plain average of the
// colours that the type itself gives, at full size and reduced.
func TestEveryImageType(t *testing.T) {
	for name, m := range noise() {
		t.Run(name, func(t *testing.T) {
			code, tol := codes8(m), 2e-6
			switch m.(type) {
			case odd, *image.RGBA64:
				tol = 1e-4 // thin alpha leaves few of the 16 bits
			}
			for _, side := range []int{100, 9, 1} {
				got := averaged(t, m, side, 1)
				want := naive(m, code, got.Size())
				for i, plane := range got.Planes() {
					for k, v := range plane.Pix {
						oracle.Close(t, fmt.Sprintf("side %d, channel %d, pixel %d", side, i, k), float64(v), want[i][k], tol)
					}
				}
			}
		})
	}
}

// TestYCbCrIsExact meets the standard library's 8-bit conversion code by code.
// Source: image/color, YCbCrToRGB (JFIF 1.02).
func TestYCbCrIsExact(t *testing.T) {
	m := image.NewYCbCr(image.Rect(0, 0, 256, 64), image.YCbCrSubsampleRatio444)
	rng := rand.New(rand.NewPCG(1, 2))
	for i := range m.Y {
		m.Y[i], m.Cb[i], m.Cr[i] = uint8(i), uint8(rng.UintN(256)), uint8(rng.UintN(256))
	}
	p := averaged(t, m, 256, 1)
	for y := range 64 {
		for x := range 256 {
			c := m.YCbCrAt(x, y)
			r, g, b := color.YCbCrToRGB(c.Y, c.Cb, c.Cr)
			near(t, fmt.Sprint(c), codeAt(p, x, y), [3]int{int(r), int(g), int(b)}, 0)
		}
	}
}

// TestStudioRange checks the narrow range of WebP at its ends and on the
// primaries. Source: ITU-R BT.601-7: black is Y 16, white 235; red is 81 90
// 240, green 145 54 34, blue 41 240 110.
func TestStudioRange(t *testing.T) {
	for _, c := range []struct{ in, want [3]int }{
		{[3]int{16, 128, 128}, [3]int{0, 0, 0}},
		{[3]int{235, 128, 128}, [3]int{255, 255, 255}},
		{[3]int{81, 90, 240}, [3]int{255, 0, 0}},
		{[3]int{145, 54, 34}, [3]int{0, 255, 0}},
		{[3]int{41, 240, 110}, [3]int{0, 0, 255}},
		{[3]int{0, 0, 0}, [3]int{0, 135, 0}},
		{[3]int{255, 255, 255}, [3]int{255, 125, 255}},
		{[3]int{0, 0, 128}, [3]int{0, 31, 0}},
	} {
		m := image.NewYCbCr(image.Rect(0, 0, 1, 1), image.YCbCrSubsampleRatio444)
		m.Y[0], m.Cb[0], m.Cr[0] = uint8(c.in[0]), uint8(c.in[1]), uint8(c.in[2])
		near(t, fmt.Sprint(c.in), codeAt(averaged(t, &scaledImage{m, studio}, 1, 1), 0, 0), c.want, 1)
	}
}

// TestSameOnAnyMachine compares one goroutine with several, bit by bit.
func TestSameOnAnyMachine(t *testing.T) {
	m := harbour(700, 531)
	many := averaged(t, m, 301, 6)
	old := runtime.GOMAXPROCS(1)
	one := averaged(t, m, 301, 6)
	runtime.GOMAXPROCS(7)
	seven := averaged(t, m, 301, 6)
	runtime.GOMAXPROCS(old)
	for i, plane := range many.Planes() {
		for k, v := range plane.Pix {
			if v != one.Planes()[i].Pix[k] || v != seven.Planes()[i].Pix[k] {
				t.Fatalf("channel %d pixel %d depends on the number of processors", i, k)
			}
		}
	}
}

// TestShortPalette closes the trap of an index outside the palette: it is
// black, and nothing panics in any goroutine.
func TestShortPalette(t *testing.T) {
	m := image.NewPaletted(image.Rect(0, 0, 64, 64), color.Palette{color.White, nil})
	for i := range m.Pix {
		m.Pix[i] = uint8(i)
	}
	p := averaged(t, m, 64, 1)
	near(t, "index 0", codeAt(p, 0, 0), [3]int{255, 255, 255}, 0)
	near(t, "index 1, a missing colour", codeAt(p, 1, 0), [3]int{0, 0, 0}, 0)
	near(t, "index 63, outside", codeAt(p, 63, 0), [3]int{0, 0, 0}, 0)
}

// TestPanicInAnyGoroutineIsAnError gives a broken image to several goroutines.
func TestPanicInAnyGoroutineIsAnError(t *testing.T) {
	m := image.NewGray(image.Rect(0, 0, 64, 64))
	m.Pix = m.Pix[: 64*20 : 64*20] // rows are missing at the end
	old := runtime.GOMAXPROCS(4)
	defer runtime.GOMAXPROCS(old)
	if _, err := average(context.Background(), m, srgbCurves(), 64, 1, nil); err == nil {
		t.Error("no error for missing rows")
	}
	p := image.NewPaletted(image.Rect(0, 0, 64, 64), color.Palette{bomb{}})
	if _, err := average(context.Background(), p, srgbCurves(), 64, 1, nil); err == nil {
		t.Error("no error for a palette that panics")
	}
}

// bomb is a colour that cannot be read.
type bomb struct{}

func (bomb) RGBA() (r, g, b, a uint32) { panic("tide") }

func TestNoPixels(t *testing.T) {
	if _, err := average(context.Background(), image.NewGray(image.Rect(3, 3, 3, 9)), srgbCurves(), 64, 1, nil); err != errNoPixels {
		t.Errorf("got %v", err)
	}
}
