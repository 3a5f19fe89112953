package sheet

import (
	"context"
	"fmt"
	"image"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/contour"
	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/reading"
	"atelier/halflid/imageproc/study"
	"atelier/halflid/palette"
)

// Material is all that stands on the sheets of one plan. It holds no planes of the
// desk that made it, and Compose changes nothing in it.
type Material struct {
	Name    string // of the photo
	Plan    plan.Plan
	Hash    string // plan.Hash of it
	Figures study.Figures
	Map     *contour.Map // labels: values from 0, the darkest

	Lines  []reading.Line
	Photo  *image.NRGBA // the whole photograph, as it was taken
	InCrop [4]float64   // left, upper, right and lower edge of the crop in parts of the photo
	Crop   *image.NRGBA // what the plan was made from, retouched
	Notan  *image.Gray

	Thumbnails []Thumb // the kept ones
}

// Thumb is a kept thumbnail: its plan's picture, a line of the painter's, and the
// tones that it is painted in, dark to light.
type Thumb struct {
	Picture *image.Gray
	Words   string
	Tones   []palette.L
}

// ratio is its width over its height.
func (t Thumb) ratio() float64 { return float64(t.Picture.Rect.Dx()) / float64(t.Picture.Rect.Dy()) }

// Pictures' long sides in pixels: some 200 an inch as large as they come out on a
// letter page.
const (
	cropLong  = 1200
	photoLong = 900
	thumbLong = 480 // flat greys, drawn sharp
)

// Gather makes what sheets of a plan need; what no kind in o shows is left away.
// name is the photo's, for the pages; f its size. The desk's last study ends.
// Errors are those of Desk.Make.
func Gather(ctx context.Context, d *study.Desk, p plan.Plan, name string, thumbnails []plan.Thumbnail, f plan.Frame, o Options) (Material, error) {
	m := Material{Name: name, Plan: p, Hash: plan.Hash(p)}
	if o.has(HandOut) || o.has(Hung) {
		if err := m.gatherThumbs(ctx, d, thumbnails, f); err != nil {
			return Material{}, err
		}
	}
	views := []study.View{study.Plan}
	if o.has(HandOut) {
		if err := m.gatherPhoto(ctx, d, f); err != nil {
			return Material{}, err
		}
		views = append(views, study.Notan)
	}
	if o.has(HandOut) || o.has(Grid) {
		views = append(views, study.Photo)
	}
	s, err := d.Make(ctx, p, views...)
	if err != nil {
		return Material{}, err
	}
	m.Figures, m.Map = s.Figures, s.Outlines()
	if o.has(HandOut) || o.has(Grid) {
		m.Crop = coloured(s.Raster(study.Photo, sized(s.Ratio(study.Photo), m.Figures.Crop.Size(), cropLong)))
	}
	if o.has(HandOut) {
		m.Notan = greyPicture(s.Raster(study.Notan, m.Figures.Size))
		m.Lines = reading.Read(s).Lines(p.Panel.Ruler())
	}
	return m, nil
}

func (m *Material) gatherThumbs(ctx context.Context, d *study.Desk, thumbnails []plan.Thumbnail, f plan.Frame) error {
	for i, t := range thumbnails {
		p := plan.Fit(t.Plan, f)
		s, err := d.Make(ctx, p, study.Plan)
		if err != nil {
			return fmt.Errorf("thumbnail %d: %w", i+1, err)
		}
		words := t.Name
		if words == fmt.Sprint(i+1) || words == "" {
			words = p.Panel.String()
		}
		m.Thumbnails = append(m.Thumbnails, Thumb{s.PlanPicture(thumbLong), words, s.Figures.Tones})
	}
	return nil
}

// gatherPhoto makes the picture of the whole photograph as it was taken: that of a
// plan that crops nothing and retouches nothing.
func (m *Material) gatherPhoto(ctx context.Context, d *study.Desk, f plan.Frame) error {
	bare := m.Plan
	bare.Choices = plan.Choices{}
	bare = plan.SetCrop(plan.Crop{W: 1, H: 1})(bare, f)
	s, err := d.Make(ctx, bare, study.Photo)
	if err != nil {
		return err
	}
	m.Photo = coloured(s.Raster(study.Photo, sized(s.Ratio(study.Photo), s.Figures.Crop.Size(), photoLong)))
	m.InCrop[0], m.InCrop[1], m.InCrop[2], m.InCrop[3] = m.Plan.Rect(f.Photo)
	return nil
}

// sized returns the size of a picture of that width over height whose long side
// has long pixels, or as many as there are.
func sized(ratio float64, has image.Point, long int) image.Point {
	long = min(long, max(has.X, has.Y))
	return imageproc.Fit(ratio, 1, image.Pt(long, long))
}

func coloured(r imageproc.Raster) *image.NRGBA {
	out := image.NewNRGBA(image.Rect(0, 0, r.W, r.H))
	for i := range r.W * r.H {
		copy(out.Pix[4*i:4*i+3], r.Pix[3*i:3*i+3])
		out.Pix[4*i+3] = 255
	}
	return out
}

// greyPicture returns a raster whose colours are all greys.
func greyPicture(r imageproc.Raster) *image.Gray {
	out := image.NewGray(image.Rect(0, 0, r.W, r.H))
	for i := range out.Pix {
		out.Pix[i] = r.Pix[3*i]
	}
	return out
}
