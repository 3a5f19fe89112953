package study_test

import (
	"bytes"
	"fmt"
	"image"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/study"
	"atelier/halflid/palette"
)

// boatyard returns flat made shapes with a little grain: sky, mud, a round tank,
// a gable and hulls, the shorter sides' length apart.
func boatyard(r *rand.Rand, w, h int) imageproc.Picture {
	unit := float64(min(w, h))
	return painted(w, h, func(px, py int) palette.RGB {
		x, y := float64(px)/unit, float64(py)/unit
		across := x - float64(int(x/0.45))*0.45 // the shapes repeat along the quay
		light := 0.7
		switch dx, dy := across-0.12, y-0.42; {
		case dx*dx+dy*dy < 0.01:
			light = 0.35
		case y > 0.75-0.1*across:
			light = 0.12
		case across > 0.22 && across < 0.4 && y > 0.4+1.2*max(across-0.31, 0.31-across):
			light = 0.03 + 0.1*float64(int(x/0.45)%3)
		case y > 0.6:
			light = 0.2
		}
		return grey(palette.Y(min(1, light*(1+0.03*r.NormFloat64()))))
	})
}

func TestRegion(t *testing.T) {
	r := seeded(t, 70)
	for range 20000 {
		photo := image.Pt(1+r.IntN(300), 1+r.IntN(300))
		size := image.Pt(1+r.IntN(photo.X), 1+r.IntN(photo.Y))
		at := image.Pt(r.IntN(photo.X-size.X+1), r.IntN(photo.Y-size.Y+1))
		crop := image.Rectangle{Min: at, Max: at.Add(size)}
		region := study.RegionOf(crop, photo)
		if !crop.In(region) || !region.In(image.Rectangle{Max: photo}) {
			t.Fatalf("photo %v, crop %v: region %v", photo, crop, region)
		}
		if region.Dx() > size.X+max(1, size.X/2) || region.Dy() > size.Y+max(1, size.Y/2) {
			t.Fatalf("crop %v: region %v is larger than half as much again", crop, region)
		}
		// Another crop in the same step.
		step := image.Pt(max(1, size.X/2), max(1, size.Y/2))
		other := image.Pt(at.X/step.X*step.X+r.IntN(step.X), at.Y/step.Y*step.Y+r.IntN(step.Y))
		moved := image.Rectangle{Min: other, Max: other.Add(size)}
		if moved.In(image.Rectangle{Max: photo}) && study.RegionOf(moved, photo) != region {
			t.Fatalf("photo %v: crops %v and %v have regions %v and %v", photo, crop, moved, region, study.RegionOf(moved, photo))
		}
	}
	if got := study.RegionOf(image.Rect(0, 0, 40, 30), image.Pt(40, 30)); got != image.Rect(0, 0, 40, 30) {
		t.Errorf("the region of all of the photo is %v", got)
	}
}

// place is what a crop shows, in pixels of its region.
type place struct {
	at     image.Point
	base   imageproc.Labels
	values []uint8
	cuts   []palette.L
}

func placed(t *testing.T, desk *study.Desk, p plan.Plan) place {
	t.Helper()
	s := make1(t, desk, p, study.Plan)
	base, at := s.BaseShapes()
	return place{at, base, codes(t, s, study.Plan), s.Figures.Cuts}
}

// compare counts, where two places overlap, the pixels, those before which an
// outline of base shapes lies in one alone, and those of another value.
func (a place) compare(b place) (all, outlines, values int) {
	shift := a.at.Sub(b.at)
	w := a.base.W
	both := image.Rectangle{Max: a.base.Size()}.Intersect(image.Rectangle{Max: b.base.Size()}.Sub(shift))
	for y := both.Min.Y; y < both.Max.Y; y++ {
		for x := both.Min.X; x < both.Max.X; x++ {
			i, j := y*w+x, (y+shift.Y)*w+x+shift.X
			all++
			left := x > both.Min.X && (a.base.Pix[i] == a.base.Pix[i-1]) != (b.base.Pix[j] == b.base.Pix[j-1])
			above := y > both.Min.Y && (a.base.Pix[i] == a.base.Pix[i-w]) != (b.base.Pix[j] == b.base.Pix[j-w])
			if left || above {
				outlines++
			}
			if a.values[i] != b.values[j] {
				values++
			}
		}
	}
	return all, outlines, values
}

// sameCuts reports whether two places have their values parted between the same
// lightnesses.
func (a place) sameCuts(b place) bool {
	return slices.EqualFunc(a.cuts, b.cuts, func(x, y palette.L) bool { return math.Abs(float64(x-y)) < 1 })
}

// A crop that moves inside its region keeps every outline of the base shapes.
// It keeps nearly every value of the plan too, unless nested values are parted
// elsewhere because of what has come in or gone out, as they are on this quay of
// few and even greys three times on the way; cuts by hand stay.
func TestStillWhileTheCropMoves(t *testing.T) {
	for _, c := range []struct {
		name        string
		photo, crop image.Point
		start       image.Point
	}{
		{"one to one", image.Pt(400, 300), image.Pt(200, 150), image.Pt(100, 75)},
		{"made smaller", image.Pt(1800, 120), image.Pt(1000, 80), image.Pt(500, 0)},
	} {
		desk := study.NewDesk(boatyard(seeded(t, 71), c.photo.X, c.photo.Y))
		w, h := float64(c.photo.X), float64(c.photo.Y)
		show := func(at image.Point, edits ...plan.Edit) place {
			p := edited(whole(c.photo), c.photo, plan.SetCrop(plan.Crop{
				X: float64(at.X) / w, Y: float64(at.Y) / h, W: float64(c.crop.X) / w, H: float64(c.crop.Y) / h,
			}), plan.SetToneMethod(plan.ToneFixed))
			p = edited(p, c.photo, edits...)
			if got := p.PixelRect(c.photo); got != (image.Rectangle{Min: at, Max: at.Add(c.crop)}) {
				t.Fatalf("the crop is %v", got)
			}
			return placed(t, desk, p)
		}
		byHand := plan.SetCuts([]palette.Value{4, 7})
		for way, edits := range [][]plan.Edit{{}, {plan.SetShapes(8)}, {byHand}, {byHand, plan.SetShapes(8)}} {
			for _, by := range []int{1, 10} {
				all, outlines, values, jumps := 0, 0, 0, 0
				for j := range 8 {
					at := c.start.Add(image.Pt(3*j, 3*j/2))
					a, b := show(at, edits...), show(at.Add(image.Pt(by, by%3)), edits...)
					n, o, v := a.compare(b)
					all, outlines = all+n, outlines+o
					if a.sameCuts(b) {
						values += v
					} else {
						jumps++
					}
				}
				share := float64(values) / float64(all)
				what := fmt.Sprintf("%s, all or 8 shapes, nested or by hand: %d, moved by %d", c.name, way, by)
				t.Logf("%s: %.3f %% of the plan changes its value; new cuts %d times of 8", what, 100*share, jumps)
				if outlines > 0 {
					t.Errorf("%s: %d pixels of outline of base shapes change", what, outlines)
				}
				// The values of the region hold for each crop in it. Which shapes
				// are pulled together first still follows their areas inside the
				// crop, so few shapes may change where a side cuts them.
				most := 0.005
				if way%2 == 1 {
					most = 0.03
				}
				if share > most || jumps > 0 {
					t.Errorf("%s: %.2f %% of the plan changes its value, new cuts %d times", what, 100*share, jumps)
				}
			}
		}
	}
}

// Crops of other sizes can have the same region: what was made for one must not
// be shown for another.
func TestRegionsAreNotMixedUp(t *testing.T) {
	photo := image.Pt(120, 90)
	master := harbour(seeded(t, 72), photo.X, photo.Y)
	desk := study.NewDesk(master)
	var plans []plan.Plan
	for _, size := range []image.Point{{X: 80, Y: 60}, {X: 118, Y: 60}, {X: 118, Y: 88}} {
		for _, squint := range []float64{0, 2} {
			p := edited(whole(photo), photo, plan.SetSquint(squint),
				plan.SetCrop(plan.Crop{W: float64(size.X) / 120, H: float64(size.Y) / 90}))
			if got := study.RegionOf(p.PixelRect(photo), photo); got.Size() != photo {
				t.Fatalf("crop %v has region %v: this shows nothing", p.PixelRect(photo), got)
			}
			plans = append(plans, p)
		}
	}
	var fresh [][]byte
	for _, p := range plans {
		fresh = append(fresh, make1(t, study.NewDesk(master), p, study.Plan).PlanPicture(0).Pix)
	}
	for i := range plans {
		for j := range plans {
			make1(t, desk, plans[i], study.Notan)
			if got := make1(t, desk, plans[j], study.Plan).PlanPicture(0).Pix; !bytes.Equal(got, fresh[j]) {
				t.Fatalf("plan %d after plan %d is not that of a fresh desk", j, i)
			}
		}
	}
}

// The plan of a crop lies where the crop lies: on flat bars each pixel is
// painted in the bar's own grey, to the pixel, or beside an edge to one pixel
// where the photo is made smaller.
func TestPlanLiesOnItsCrop(t *testing.T) {
	for _, c := range []struct {
		photo, crop image.Point
		near        int
	}{
		{image.Pt(240, 60), image.Pt(130, 40), 0},
		{image.Pt(1920, 40), image.Pt(1100, 32), 1},
	} {
		light := []palette.Y{0.02, 0.5, 0.15, 0.9, 0.05, 0.3}
		desk := study.NewDesk(bars(c.photo.X, c.photo.Y, light...))
		for _, at := range []image.Point{{}, {X: 37, Y: 3}, {X: c.photo.X - c.crop.X - 1, Y: 5}, c.photo.Sub(c.crop)} {
			p := edited(whole(c.photo), c.photo, plan.SetSquint(0), plan.SetK(5), plan.SetCrop(plan.Crop{
				X: float64(at.X) / float64(c.photo.X), Y: float64(at.Y) / float64(c.photo.Y),
				W: float64(c.crop.X) / float64(c.photo.X), H: float64(c.crop.Y) / float64(c.photo.Y),
			}))
			s := make1(t, desk, p, study.Plan)
			f := s.Figures
			if f.Crop != (image.Rectangle{Min: at, Max: at.Add(c.crop)}) {
				t.Fatalf("the crop is %v", f.Crop)
			}
			bar := func(x int) int { // of a pixel of the working picture
				return (at.X + (2*x+1)*c.crop.X/(2*f.Size.X)) * len(light) / c.photo.X
			}
			pic := s.PlanPicture(0)
			for x := c.near; x < f.Size.X-c.near; x++ {
				if bar(x-c.near) != bar(x+c.near) {
					continue
				}
				want := palette.Grey(light[bar(x)]).G
				for y := range f.Size.Y {
					if got := pic.GrayAt(x, y).Y; got < want-1 || got > want+1 {
						t.Fatalf("crop at %v: pixel %d, %d is %d, its bar is %d", at, x, y, got, want)
					}
				}
			}
		}
	}
}
