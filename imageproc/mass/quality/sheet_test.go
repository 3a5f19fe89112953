package quality

import (
	"image"
	"image/color"
	"image/png"
	"os"
	"path/filepath"
	"testing"

	"golang.org/x/image/draw"
	"golang.org/x/image/font"
	"golang.org/x/image/font/basicfont"
	"golang.org/x/image/math/fixed"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/tone"
	"atelier/halflid/palette"
)

// tileLong is the longer side of a picture on a sheet.
const tileLong = 480

// sheet is a contact sheet of named rows.
type sheet struct {
	img  *image.NRGBA
	w, h int // of a tile
	y    int
}

func newSheet(size image.Point, rows, columns int) *sheet {
	f := min(1, float64(tileLong)/float64(max(size.X, size.Y)))
	s := &sheet{w: int(float64(size.X)*f + .5), h: int(float64(size.Y)*f + .5)}
	s.img = image.NewNRGBA(image.Rect(0, 0, columns*(s.w+8)+8, rows*(s.h+24)+8))
	draw.Draw(s.img, s.img.Bounds(), image.NewUniform(color.Gray{Y: 119}), image.Point{}, draw.Src)
	return s
}

// row writes a row of pictures, each under its name.
func (s *sheet) row(names []string, tiles []imageproc.Raster) {
	for i, tile := range tiles {
		at := image.Pt(8+i*(s.w+8), s.y+18)
		pen := font.Drawer{Dst: s.img, Src: image.White, Face: basicfont.Face7x13, Dot: fixed.P(at.X, at.Y-4)}
		pen.DrawString(names[i])
		from := image.NewNRGBA(image.Rect(0, 0, tile.W, tile.H))
		for p := range tile.W * tile.H {
			copy(from.Pix[4*p:], tile.Pix[3*p:3*p+3])
			from.Pix[4*p+3] = 255
		}
		draw.CatmullRom.Scale(s.img, image.Rectangle{Min: at, Max: at.Add(image.Pt(s.w, s.h))}, from, from.Bounds(), draw.Src, nil)
	}
	s.y += s.h + 24
}

// painted is a plan in its tones.
func painted(f Flat) imageproc.Raster {
	colours := make([]palette.SRGB, len(f.Tones))
	for i, l := range f.Tones {
		colours[i] = palette.Grey(l.Y())
	}
	return f.Values.Paint(imageproc.Raster{}, colours)
}

// writeSheet writes the photograph, squinted, the generic ways, and the plan at
// three settings into the folder that HALFLID_SHEETS names, to be looked at:
// could I block this in?
func writeSheet(t testing.TB, s sample, plans plansOf) {
	dir := os.Getenv("HALFLID_SHEETS")
	if dir == "" {
		return
	}
	img := drawSheet(s, plans)
	if err := os.MkdirAll(dir, 0o777); err != nil {
		t.Error(err)
		return
	}
	f, err := os.Create(filepath.Join(dir, s.name+".png"))
	if err != nil {
		t.Error(err)
		return
	}
	defer f.Close()
	if err := png.Encode(f, img); err != nil {
		t.Error(err)
	}
}

func drawSheet(s sample, plans plansOf) image.Image {
	squinted := imageproc.NewPicture(s.pic.R.W, s.pic.R.H)
	var b tone.Blurrer
	b.Blur(squinted, s.pic, .01*float64(max(s.pic.R.W, s.pic.R.H)))
	out := newSheet(s.pic.Size(), 4, 4)
	// The two-value plan stands beside the squint that it is a reading of.
	out.row([]string{s.name, "squinted 1 %"}, []imageproc.Raster{s.pic.Raster(imageproc.Raster{}), squinted.Raster(imageproc.Raster{})})
	var names []string
	var tiles []imageproc.Raster
	for m, how := range methods {
		if !how.ours {
			names, tiles = append(names, how.name+", 3:12"), append(tiles, painted(plans[m][1]))
		}
	}
	out.row(names, tiles)
	for m, how := range methods {
		if how.ours {
			out.row([]string{how.name + ", 2:6", "3:12", "4:24", "5:40"},
				[]imageproc.Raster{painted(plans[m][0]), painted(plans[m][1]), painted(plans[m][2]), painted(plans[m][3])})
		}
	}
	return out.img
}

// TestSheet: a sheet shows each picture where it belongs.
func TestSheet(t *testing.T) {
	s := sample{"halves", grey(96, 64, func(x, _ int) float64 { return 20 + 60*float64(x/48) })}
	plans := make(plansOf, len(methods))
	for m := range plans {
		for i := range plans[m] {
			l := imageproc.NewLabels(96, 64)
			for p := range l.Pix {
				l.Pix[p] = int32(p % 96 / 48)
			}
			plans[m][i] = Flat{l, 2, []palette.L{palette.L(10 + 5*m), palette.L(60 + 5*m)}}
		}
	}
	img := drawSheet(s, plans).(*image.NRGBA)
	if want := image.Pt(4*104+8, 4*88+8); img.Bounds().Size() != want {
		t.Fatalf("sheet of %v, want %v", img.Bounds().Size(), want)
	}
	at := func(column, row, x int) uint8 { return img.NRGBAAt(8+column*104+x, row*88+18+32).R }
	code := func(l palette.L) uint8 { return palette.Grey(l.Y()).R }
	for _, c := range []struct {
		column, row, x int
		want           uint8
	}{
		{0, 0, 10, code(20)},
		{0, 0, 80, code(80)},
		{1, 0, 90, code(80)},
		{2, 0, 10, 119},
		{0, 1, 10, code(10)},
		{1, 1, 10, code(25)},
		{3, 1, 80, code(85)},
		{0, 2, 80, code(65)},
		{3, 3, 80, code(70)},
	} {
		if got := at(c.column, c.row, c.x); got != c.want {
			t.Errorf("column %d, row %d, x %d: %d, want %d", c.column, c.row, c.x, got, c.want)
		}
	}
}
