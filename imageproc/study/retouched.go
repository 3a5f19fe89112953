package study

import (
	"context"
	"errors"
	"image"
	"math"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/outline"
	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/retouch"
	"atelier/halflid/palette"
)

// retouched is the master with what the painter left out, moved, copied and
// added. Every step keeps what it painted over, so that another list of choices
// only takes back and does again what differs.
type retouched struct {
	photo imageproc.Picture // as it was opened; never written to
	own   bool              // Desk.master is a copy that may be written to
	tool  retouch.Retoucher
	steps []retouchStep
	list  plan.Choices // that the steps are of
	torn  bool         // the steps are not all of them
	made  int          // counts the changes, so that later stages see a new picture
}

// retouchStep is one choice laid in, and what was there before.
type retouchStep struct {
	choice plan.Choice
	at     image.Rectangle // of the master: all that it can have changed
	before imageproc.Picture
}

// leaveMargin is how far around what the painter marked the photo is filled too,
// in parts of its long side: the soft edge of a thing that goes must not bleed
// into what takes its place.
const leaveMargin = 0.0015

// setRetouched brings the master up to date with the plan's retouches. After an
// error the picture is sound, with fewer of them.
func (d *Desk) setRetouched(ctx context.Context, p plan.Plan) error {
	r := &d.retouched
	if p.Choices == r.list && !r.torn {
		return nil
	}
	list := retouchesOf(p)
	same := 0
	for same < len(list) && same < len(r.steps) && list[same] == r.steps[same].choice {
		same++
	}
	if same == len(list) && same == len(r.steps) {
		r.list, r.torn = p.Choices, false
		return nil
	}
	r.torn = true
	r.made++
	for i := len(r.steps) - 1; i >= same; i-- {
		s := &r.steps[i]
		layBack(d.master, s.before, s.at.Min)
	}
	r.steps = r.steps[:same]
	for _, c := range list[same:] {
		if err := d.lay(ctx, c); err != nil {
			return err
		}
	}
	r.list, r.torn = p.Choices, false
	return nil
}

// retouchesOf returns the retouches of a plan that count, in order: of equal ones
// the last.
func retouchesOf(p plan.Plan) []plan.Choice {
	var out []plan.Choice
	for _, c := range standing(p.Choices.List()) {
		if c.choice.Retouches() {
			out = append(out, c.choice)
		}
	}
	return out
}

// Retouches returns the choices of a plan that change the photo itself and count,
// in their order: what leaves out, moves, copies or adds. Two plans with equal
// ones have the same retouched photo.
func Retouches(p plan.Plan) plan.Choices { return plan.ListOf(retouchesOf(p)...) }

// Retouched returns a photo with what p leaves out, moves, copies and adds: the
// photo itself if that is nothing, else a copy, which is the caller's. It gives up
// with ctx's error when ctx ends.
func Retouched(ctx context.Context, photo imageproc.Picture, p plan.Plan) (imageproc.Picture, error) {
	d := NewDesk(photo)
	err := d.setRetouched(ctx, p)
	return d.master, err
}

// lay lays one choice into the master.
func (d *Desk) lay(ctx context.Context, c plan.Choice) error {
	r := &d.retouched
	if !r.own {
		d.master, r.own = copyOf(r.photo), true
	}
	size := d.master.Size()
	margin := 0
	if c.What == plan.LeaveOut || c.What == plan.Move {
		margin = int(math.Ceil(leaveMargin * float64(max(size.X, size.Y))))
	}
	thing := patchOf(c.Area, size, 0)
	gap := thing
	if margin > 0 {
		gap = patchOf(c.Area, size, margin)
		gap.Mask = outline.Grow(gap.Mask, float64(margin))
	}
	all := rectOf(gap)
	if c.What == plan.Move || c.What == plan.Copy {
		all = all.Union(rectOf(patchOf(Carried(c), size, 2)))
	}
	if all.Empty() {
		r.steps = append(r.steps, retouchStep{choice: c})
		return nil
	}
	step := retouchStep{c, all, d.master.Crop(all)}
	dx, dy := c.DX*float64(size.X), c.DY*float64(size.Y)
	switch c.What {
	case plan.LeaveOut:
		if err := d.fill(ctx, gap); err != nil {
			return err
		}
	case plan.Move:
		// The thing is lifted before its place is filled.
		lifted, from := d.master.Crop(rectOf(thing)), thing
		from.At = image.Point{}
		if err := d.fill(ctx, gap); err != nil {
			return err
		}
		r.tool.Carry(d.master, lifted, from, dx+float64(thing.At.X), dy+float64(thing.At.Y), c.Scale, c.Mirror)
	case plan.Copy:
		r.tool.Carry(d.master, d.master, thing, dx, dy, c.Scale, c.Mirror)
	case plan.Add:
		retouch.Paint(d.master, thing, palette.Light(c.Tone.Y()))
	}
	r.steps = append(r.steps, step)
	return nil
}

// fill leaves out a gap. What has nothing left around it stays.
func (d *Desk) fill(ctx context.Context, gap retouch.Patch) error {
	err := d.retouched.tool.LeaveOut(ctx, d.master, gap)
	if errors.Is(err, retouch.ErrNoSurroundings) {
		return nil
	}
	return err
}

func copyOf(pic imageproc.Picture) imageproc.Picture {
	size := pic.Size()
	return pic.Crop(image.Rect(0, 0, size.X, size.Y))
}

// layBack puts part back into pic with its upper left corner at at.
func layBack(pic, part imageproc.Picture, at image.Point) {
	from := part.Planes()
	for i, to := range pic.Planes() {
		for y := range from[i].H {
			copy(to.Row(at.Y + y)[at.X:], from[i].Row(y))
		}
	}
}

// patchOf returns an area of the photo as a patch of a picture of it, in a
// rectangle with margin pixels to spare on each side as far as the picture goes.
func patchOf(a plan.Area, size image.Point, margin int) retouch.Patch {
	return patchIn(a, scaling{x: float64(size.X), y: float64(size.Y)}, size, margin)
}

// patchIn is patchOf for a picture of part of the photo, which s leads to.
func patchIn(a plan.Area, s scaling, size image.Point, margin int) retouch.Patch {
	x0, y0, x1, y1 := a.Bounds()
	r := image.Rect(
		int(math.Floor(float64(x0*s.x)+s.dx))-margin, int(math.Floor(float64(y0*s.y)+s.dy))-margin,
		int(math.Ceil(float64(x1*s.x)+s.dx))+margin, int(math.Ceil(float64(y1*s.y)+s.dy))+margin,
	).Intersect(image.Rectangle{Max: size})
	p := retouch.Patch{At: r.Min, Mask: imageproc.NewMask(r.Dx(), r.Dy())}
	outline.Fill(p.Mask, ringsOf(a, s.from(r.Min)))
	return p
}

func rectOf(p retouch.Patch) image.Rectangle {
	return image.Rectangle{Min: p.At, Max: p.At.Add(image.Pt(p.Mask.W, p.Mask.H))}
}

// scaling leads from fractions of the photo to pixels.
type scaling struct{ x, y, dx, dy float64 }

// from returns s for a part of the picture that begins at a pixel.
func (s scaling) from(at image.Point) scaling {
	s.dx, s.dy = s.dx-float64(at.X), s.dy-float64(at.Y)
	return s
}

func ringsOf(a plan.Area, s scaling) []outline.Ring {
	var out []outline.Ring
	for _, ring := range a.Rings() {
		var r outline.Ring
		for _, p := range ring {
			r = append(r, outline.Point{X: float64(p.X*s.x) + s.dx, Y: float64(p.Y*s.y) + s.dy})
		}
		out = append(out, r)
	}
	return out
}
