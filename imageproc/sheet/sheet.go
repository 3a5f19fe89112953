package sheet

import (
	"context"
	"errors"
	"fmt"
	"image"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/contour"
	"atelier/halflid/imageproc/page"
	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/reading"
	"atelier/halflid/imageproc/study"
)

// Kind is what a sheet is for.
type Kind string

// The kinds.
const (
	Outline Kind = "outline" // the drawing at the panel's true size, with the number of each mass's value
	Grid    Kind = "grid"    // photo and outline with the same grid
	Values  Kind = "values"  // the plan's tones and the whole scale as patches
	Steps   Kind = "steps"   // blocking in, value by value
	HandOut Kind = "handout" // how a photo became a plan, on one page
	Hung    Kind = "wall"    // all thumbnails
)

// Kinds lists them in the order in which they stand in a document.
func Kinds() []Kind { return []Kind{Outline, Grid, Values, Steps, HandOut, Hung} }

// ErrKind is what ParseKind returns for a word that is no kind, and ErrNoThumbnails
// what Compose returns for a wall of none.
var (
	ErrKind         = errors.New("no such sheet")
	ErrNoThumbnails = errors.New("the plan keeps no thumbnails to hang on a wall")
)

// ParseKind returns the kind of a word.
func ParseKind(s string) (Kind, error) {
	for _, k := range Kinds() {
		if string(k) == s {
			return k, nil
		}
	}
	return "", fmt.Errorf("%w: %q; choose outline, grid, values, steps, handout or wall", ErrKind, s)
}

// Options say what is drawn and how. The zero Options are an outline on A4.
type Options struct {
	Kinds  []Kind     // none: Outline alone; their order does not matter
	Paper  page.Paper // turned as suits; without a size: A4
	Grid   plan.Grid  // over the outline; the grid sheet has one in any case
	Fill   bool       // masses in their tones, not only their outlines
	Mirror bool       // left and right exchanged, for tracing from behind
	Light  bool       // lines so light that paint covers them
	Order  study.Order
	Title  string  // empty: the photo's name
	Note   string  // a line or more for the hand-out
	Long   float64 // long side in millimetres of a panel that has no size; 0: as fits the paper
}

// Material is what sheets are drawn from, gathered once. It is the caller's and
// holds no planes of a desk.
type Material struct {
	name       string
	plan       plan.Plan
	hash       string
	figures    study.Figures
	outlines   *contour.Map
	numbers    []study.Numbered
	crop       *image.NRGBA // as photographed
	whole      *image.NRGBA // with the crop on it
	notan      *image.NRGBA
	lines      []reading.Line
	thumbnails []thumbnail
}

type thumbnail struct {
	words   string
	picture *image.Gray
}

// Sizes of pictures in pixels, on their long side.
const (
	photoSide     = 1600
	smallSide     = 700
	thumbnailSide = 420
)

// Gather makes what sheets of a plan need. name is the photo's, for the pages;
// thumbnails are only made if a kind in o shows them. Errors are those of
// Desk.Make.
func Gather(ctx context.Context, d *study.Desk, p plan.Plan, name string, thumbnails []plan.Thumbnail, f plan.Frame, o Options) (Material, error) {
	m := Material{name: name, plan: p, hash: plan.Hash(p)}
	if o.has(HandOut) || o.has(Hung) {
		for i, t := range thumbnails {
			q := plan.Fit(t.Plan, f)
			s, err := d.Make(ctx, q, study.Plan)
			if err != nil {
				return Material{}, fmt.Errorf("thumbnail %d: %w", i+1, err)
			}
			words := t.Name
			if words == fmt.Sprint(i+1) {
				words = q.Panel.String()
			}
			m.thumbnails = append(m.thumbnails, thumbnail{fmt.Sprintf("%d  %s", i+1, words), s.PlanPicture(thumbnailSide)})
		}
	}
	s, err := d.Make(ctx, p, study.Whole, study.Photo, study.Plan, study.Notan)
	if err != nil {
		return Material{}, err
	}
	m.figures, m.outlines, m.numbers = s.Figures, s.Outlines(), s.Numbers()
	if o.has(Grid) || o.has(HandOut) {
		m.crop = picture(s, study.Photo, photoSide)
	}
	if o.has(HandOut) {
		m.whole, m.notan = picture(s, study.Whole, smallSide), picture(s, study.Notan, smallSide)
		unit := p.Panel.Unit
		if unit == plan.Millimetre {
			unit = plan.Centimetre
		}
		m.lines = reading.Read(s).Lines(unit)
	}
	return m, nil
}

// picture returns a view at most long pixels long.
func picture(s *study.Study, v study.View, long int) *image.NRGBA {
	size := imageproc.Fit(s.Ratio(v), 1, image.Pt(long, long))
	r := s.Raster(v, size)
	out := image.NewNRGBA(image.Rect(0, 0, r.W, r.H))
	for i := range r.W * r.H {
		copy(out.Pix[4*i:], r.Pix[3*i:3*i+3])
		out.Pix[4*i+3] = 255
	}
	return out
}

func (o Options) has(k Kind) bool {
	for _, one := range o.Kinds {
		if one == k {
			return true
		}
	}
	return len(o.Kinds) == 0 && k == Outline
}

// Compose lays the pages out. The same material and options give the same
// document. The error is ErrNoThumbnails.
func Compose(m Material, o Options) (page.Document, error) {
	if o.Paper.W == 0 {
		o.Paper, _ = page.ParsePaper("a4")
	}
	if o.Title == "" {
		o.Title = m.name
	}
	if o.Order == "" {
		o.Order = study.DarkFirst
	}
	c := &composer{m: m, o: o}
	for _, k := range Kinds() {
		if !o.has(k) {
			continue
		}
		switch k {
		case Outline:
			c.outline()
		case Grid:
			c.grid()
		case Values:
			c.values()
		case Steps:
			c.steps()
		case HandOut:
			c.handOut()
		case Hung:
			if len(m.thumbnails) == 0 {
				return page.Document{}, ErrNoThumbnails
			}
			c.wall()
		}
	}
	c.finish()
	return page.Document{Title: o.Title, Mark: m.hash, Pages: c.pages}, nil
}

// composer lays out page after page.
type composer struct {
	m     Material
	o     Options
	pages []page.Page
}

// UsualPaper is the paper that is usual where panels come in such sizes: letter for
// inches, A4 for all others.
func UsualPaper(p plan.Panel) page.Paper {
	name := "a4"
	if p.Unit == plan.Inch && !p.Free() {
		name = "letter"
	}
	out, err := page.ParsePaper(name)
	if err != nil {
		panic("sheet: " + err.Error())
	}
	return out
}
