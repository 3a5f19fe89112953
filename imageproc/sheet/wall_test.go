package sheet

import (
	"bytes"
	"errors"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"atelier/halflid/palette/oracle"
)

// flat is a picture whose pixels all differ from the ground and from each other's
// tiles, with a part of a larger picture's bounds.
func flat(r *rand.Rand, w, h int) *image.Gray {
	img := image.NewGray(image.Rect(3, 5, 3+w+2, 5+h+1))
	tones := [3]uint8{uint8(r.IntN(80)), uint8(90 + r.IntN(80)), uint8(180 + r.IntN(76))}
	for i := range img.Pix {
		img.Pix[i] = tones[r.IntN(3)]
	}
	return img.SubImage(image.Rect(4, 5, 4+w, 5+h)).(*image.Gray)
}

func wallOf(t *testing.T, tiles []Tile, opt WallOptions) *image.Gray {
	t.Helper()
	var b bytes.Buffer
	if err := Wall(&b, tiles, opt); err != nil {
		t.Fatal(err)
	}
	img, err := png.Decode(&b)
	if err != nil {
		t.Fatal(err)
	}
	g, ok := img.(*image.Gray)
	if !ok {
		t.Fatalf("the wall is a %T", img)
	}
	return g
}

// Every picture hangs there pixel by pixel, inside a dark hairline, and apart
// from pictures and black words there is only the ground. Random sizes.
func TestWallHangsEveryPicture(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	ground := munsellCode(t, 5)
	line := munsellCode(t, 2)
	for range 60 {
		tiles := make([]Tile, 1+r.IntN(9))
		for i := range tiles {
			tiles[i] = Tile{Picture: flat(r, 1+r.IntN(60), 1+r.IntN(60))}
		}
		got := wallOf(t, tiles, WallOptions{})
		h := hang(tiles, WallOptions{})
		taken := image.NewGray(got.Rect)
		for i, tile := range tiles {
			p := tile.Picture
			at := h.pictureAt(i)
			if at.Size() != p.Rect.Size() || !at.Inset(-h.margin).In(got.Rect) {
				t.Fatalf("picture %d at %v has no margin on a sheet of %v", i, at, got.Rect)
			}
			for y := at.Min.Y - 1; y <= at.Max.Y; y++ {
				for x := at.Min.X - 1; x <= at.Max.X; x++ {
					want := line
					if image.Pt(x, y).In(at) {
						want = p.GrayAt(x-at.Min.X+p.Rect.Min.X, y-at.Min.Y+p.Rect.Min.Y).Y
					}
					if g := got.GrayAt(x, y).Y; g != want {
						t.Fatalf("picture %d, %d,%d: %d, want %d", i, x-at.Min.X, y-at.Min.Y, g, want)
					}
					if taken.GrayAt(x, y).Y != 0 {
						t.Fatalf("pictures lie over each other at %d,%d", x, y)
					}
					taken.SetGray(x, y, color.Gray{Y: 1})
				}
			}
		}
		for y := range got.Rect.Dy() {
			for x := range got.Rect.Dx() {
				if g := got.GrayAt(x, y).Y; taken.GrayAt(x, y).Y == 0 && g > ground {
					t.Fatalf("lighter than the ground at %d,%d: %d", x, y, g)
				}
			}
		}
		for _, p := range []image.Point{{}, {got.Rect.Dx() - 1, got.Rect.Dy() - 1}} {
			if got.GrayAt(p.X, p.Y).Y != ground {
				t.Fatalf("the ground is %d, want %d", got.GrayAt(p.X, p.Y).Y, ground)
			}
		}
	}
}

// munsellCode is the sRGB code of a neutral.
// Source: t02_munsell_value.csv, the ASTM D1535 quintic.
func munsellCode(t *testing.T, v float64) uint8 {
	t.Helper()
	for _, r := range oracle.Load(t, "t02_munsell_value.csv", 21).Rows {
		if r.Num(t, "V") == v {
			return uint8(r.Num(t, "srgb_code"))
		}
	}
	t.Fatalf("no N%v in the table", v)
	return 0
}

// No other number of columns comes nearer to the aspect; and the equal sheets
// that a painter meets are about 4:3.
func TestWallColumns(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	for range 300 {
		n := 1 + r.IntN(60)
		h := hanging{lines: 1 + r.IntN(3), scale: 1 + r.IntN(2), margin: 10 + r.IntN(40)}
		for range n {
			h.sizes = append(h.sizes, image.Pt(50+r.IntN(400), 50+r.IntN(400)))
			h.width = max(h.width, h.sizes[len(h.sizes)-1].X)
		}
		aspect := 0.4 + 3*r.Float64()
		c := h.bestColumns(aspect)
		off := func(c int) float64 {
			d := h.margin
			for from := 0; from < n; from += c {
				high := 0
				for i := from; i < from+c && i < n; i++ {
					high = max(high, h.sizes[i].Y)
				}
				d += high + (2*h.lines+1)*letterHeight*h.scale/2 + h.margin
			}
			w := h.margin + c*(h.width+h.margin)
			return math.Abs(math.Log(float64(w) / float64(d) / aspect))
		}
		for other := 1; other <= n; other++ {
			if off(other) < off(c)-1e-9 {
				t.Fatalf("%d pictures in %d columns are %.3f off, in %d %.3f", n, c, off(c), other, off(other))
			}
		}
	}
	for _, n := range []int{4, 6, 9, 12, 20, 30, 56, 100, 200} {
		side := TileSide(n)
		tiles := make([]Tile, n)
		for i := range tiles {
			tiles[i] = Tile{image.NewGray(image.Rect(0, 0, side, side*3/4)), "three values\n6x8 in across"}
		}
		h := hang(tiles, WallOptions{})
		s := h.size()
		if a := float64(s.X) / float64(s.Y); a < 0.9 || a > 1.9 || s.X > 4000 {
			t.Errorf("%d pictures: a sheet of %v", n, s)
		}
	}
}

func TestTileSide(t *testing.T) {
	for _, c := range []struct{ n, want int }{{1, 768}, {9, 768}, {10, 600}, {16, 600}, {25, 480}, {100, 240}, {145, 200}, {200, 200}, {100000, 200}} {
		if got := TileSide(c.n); got != c.want {
			t.Errorf("TileSide(%d) = %d, want %d", c.n, got, c.want)
		}
	}
}

// The same tiles give the same bytes, and the tiles are not written to.
func TestWallSameBytes(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 8))
	var tiles []Tile
	var before [][]byte
	for i := range 5 {
		p := flat(r, 30+i, 40)
		tiles = append(tiles, Tile{p, fmt.Sprint("thumbnail ", i)})
		before = append(before, bytes.Clone(p.Pix))
	}
	var a, b bytes.Buffer
	if err := errors.Join(Wall(&a, tiles, WallOptions{}), Wall(&b, tiles, WallOptions{})); err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(a.Bytes(), b.Bytes()) {
		t.Error("twice the same wall, other bytes")
	}
	for i, tile := range tiles {
		if !bytes.Equal(tile.Picture.Pix, before[i]) {
			t.Errorf("picture %d was written to", i)
		}
	}
}

type full struct{}

var errFull = errors.New("no room")

func (full) Write([]byte) (int, error) { return 0, errFull }

func TestWallErrors(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 10))
	if err := Wall(full{}, []Tile{{flat(r, 9, 9), "x"}}, WallOptions{}); !errors.Is(err, errFull) || !strings.Contains(err.Error(), "wall of thumbnails") {
		t.Errorf("a full disk gives %v", err)
	}
	one := []Tile{{flat(r, 9, 9), "x"}}
	for name, f := range map[string]func(){
		"no tiles":      func() { hang(nil, WallOptions{}) },
		"no picture":    func() { hang([]Tile{{}}, WallOptions{}) },
		"empty picture": func() { hang([]Tile{{Picture: &image.Gray{}}}, WallOptions{}) },
		"aspect":        func() { hang(one, WallOptions{Aspect: -1}) },
		"endless":       func() { hang(one, WallOptions{Aspect: math.Inf(1)}) },
		"no number":     func() { hang(one, WallOptions{Aspect: math.NaN()}) },
		"side":          func() { TileSide(0) },
	} {
		func() {
			defer func() {
				if s, ok := recover().(string); !ok || !strings.HasPrefix(s, "sheet: ") {
					t.Errorf("%s: no panic that names the package", name)
				}
			}()
			f()
		}()
	}
}
