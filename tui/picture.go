package tui

import (
	"context"
	"image"
	"slices"
	"strings"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/reading"
	"atelier/halflid/imageproc/study"
	"atelier/halflid/tui/cells"
)

// paint computes w and paints it. Nobody else uses the desk until it is done.
func (j *jobs) paint(ctx context.Context, desk *study.Desk, w want, frame plan.Frame) done {
	j.mu.Lock()
	defer j.mu.Unlock()
	wide := w.cols
	if w.column != "" {
		wide -= columnCols
	}
	views := []study.View{w.view}
	if w.beside {
		left, right := pair(w.view)
		views = []study.View{left, right}
	}
	rooms := w.rooms(wide)
	make := views
	if w.marks != (marks{}) {
		make = append(views[:len(views):len(views)], study.Plan) // what is marked are its shapes
	}
	p := w.plan
	if w.byHand && slices.Contains(views, study.Values) {
		var err error
		if p, err = held(ctx, desk, w.plan, frame); err != nil {
			return done{want: w, err: err}
		}
	}
	s, err := desk.Make(ctx, p, make...)
	if err != nil {
		return done{want: w, err: err}
	}
	j.clear(w)
	j.inks = cells.Inks(s.Figures.Tones) // none if the views have none
	var places []image.Rectangle
	for i := range views {
		places = append(places, j.lay(s, views[i], w, rooms[i]))
	}
	if err := j.send(w, places); err != nil {
		return done{want: w, figures: s.Figures, err: err}
	}
	var notan [2]float64
	if w.view == study.Notan {
		notan[0], notan[1] = s.NotanShares()
	}
	d := j.measure(ctx, desk, w, s)
	d.notan = notan
	return d
}

// held returns the plan with the cuts and tones by hand that its shapes have now.
// Those of single pixels, which the values are found by elsewhere, are others: a
// tenth of a value by hand would change the whole plan behind them.
func held(ctx context.Context, desk *study.Desk, p plan.Plan, frame plan.Frame) (plan.Plan, error) {
	if p.Values.CutMethod == plan.CutByHand && p.Values.ToneMethod == plan.ToneByHand {
		return p, nil
	}
	s, err := desk.Make(ctx, p, study.Plan)
	if err != nil {
		return p, err
	}
	return plan.HoldValues(values(s.Figures.Cuts), values(s.Figures.Tones))(p, frame), nil
}

// measure measures after the picture is on its way what that did not need: the
// plan behind a notan, for a reading, and where tones are set by hand. Behind
// other views it is measured when the keys rest.
func (j *jobs) measure(ctx context.Context, desk *study.Desk, w want, s *study.Study) done {
	now := w.view == study.Notan || w.byHand
	if now && len(s.Figures.Tones) == 0 || w.read && s.Figures.Map.W == 0 {
		var err error
		if s, err = desk.Make(ctx, w.plan, study.Plan); err != nil {
			return done{want: w, err: err}
		}
	}
	d := done{want: w, figures: s.Figures}
	if w.read {
		if j.said == nil || j.saidOf != w.plan || j.saidBy != w.photo {
			j.said, j.saidOf, j.saidBy = reading.Read(s).Lines(w.plan.Panel.Ruler()), w.plan, w.photo
		}
		d.lines = j.said
	}
	return d
}

// aspect returns the width of a pixel of the glyphs over its height.
func (j *jobs) aspect(g cells.Glyphs) float64 {
	per := g.Per()
	return j.opt.Aspect * float64(per.Y) / float64(2*per.X)
}

// clear makes the band all ground.
func (j *jobs) clear(w want) {
	per := w.glyphs.Per()
	j.band = j.band.Reshape(w.cols*per.X, w.rows*per.Y)
	j.band.Fill(j.ground)
	j.numbers, j.foot = j.numbers[:0], nil
}

// wholeCells moves a place to the nearest cell up and left of it, so that the
// picture's edges there are crisp.
func wholeCells(at, per image.Point) image.Point {
	return image.Pt(at.X-at.X%per.X, at.Y-at.Y%per.Y)
}

// encode makes cells of the band, on which pictures lie at places.
func (j *jobs) encode(w want, places []image.Rectangle) {
	j.grid.Surround, j.grid.Glyphs = j.ground, w.glyphs
	j.grid.SetTones(j.inks)
	cells.Encode(&j.grid, j.band, j.opt.Depth)
	if j.opt.Depth == cells.NoColour {
		j.grid.Bare(places...)
	}
}

// send brings the band to the terminal, with the text beside it.
func (j *jobs) send(w want, places []image.Rectangle) error {
	j.encode(w, places)
	for _, n := range j.numbers {
		j.grid.Letter(n.at, n.digit, j.opt.Depth)
	}
	for i, b := range j.foot {
		y := w.rows - len(j.foot) + i
		j.grid.Text(image.Pt(0, y), " "+b.words[0], w.cols/2, b.strong, j.opt.Depth)
		j.grid.Text(image.Pt(w.cols/2, y), " "+b.words[1], w.cols-w.cols/2, b.strong, j.opt.Depth)
	}
	j.beside(w)
	if len(j.inks) == 0 && w.paper == 0 {
		return j.opt.Screen.PaintLossy(&j.grid, image.Point{}) // a photograph alone
	}
	return j.opt.Screen.Paint(&j.grid, image.Point{})
}

// beside writes the column beside the picture.
func (j *jobs) beside(w want) {
	if w.column == "" {
		return
	}
	for i, s := range strings.Split(w.column, "\n") {
		j.grid.Text(image.Pt(w.cols-columnCols+1, i), s, columnCols-1, strings.HasPrefix(s, ">") || strings.HasPrefix(s, chosenRow), j.opt.Depth)
	}
}

// lay puts one view into the middle of a part of the band and returns where.
func (j *jobs) lay(s *study.Study, v study.View, w want, room image.Rectangle) image.Rectangle {
	per := w.glyphs.Per()
	size := imageproc.Fit(s.Ratio(v), j.aspect(w.glyphs), room.Size())
	pic := s.Raster(v, size)
	if v == study.Notan {
		j.inks = append(j.inks, cells.InksIn(pic, 2)...)
	}
	if !w.grid.None() {
		s.MarkGrid(pic, v, w.grid)
	}
	if v == study.Plan && w.going > 0 {
		s.MarkGoing(pic, w.going)
	}
	if w.focal {
		s.MarkFocus(pic, v)
	}
	if w.marks != (marks{}) {
		j.mark(s, v, pic, w.marks)
	}
	at := room.Min.Add(room.Size().Sub(size).Div(2))
	if size.Y < room.Dy()-1 {
		at.Y = wholeCells(at, per).Y // its top edge stays crisp
	}
	place := image.Rectangle{Min: at, Max: at.Add(size)}
	j.band.FillRect(place.Inset(-1), j.edge)
	j.band.Lay(pic, at)
	if v == study.Outline {
		j.number(s, place, per)
	}
	return place
}

// mark draws an activity's marks on the raster of a view.
func (j *jobs) mark(s *study.Study, v study.View, pic imageproc.Raster, k marks) {
	j.plain = j.plain.Reshape(pic.W, pic.H)
	j.plain.Lay(pic, image.Point{})
	if k.outlined {
		s.MarkShapes(pic, v, k.faint, k.shapes[:k.n]...)
	}
	if k.shape {
		s.MarkShapes(pic, v, true, k.shapes[:k.n]...)
		s.MarkShapes(pic, v, false, k.at)
	}
	s.MarkArea(pic, v, k.area)
	s.MarkArea(pic, v, k.other)
	if k.cross {
		s.MarkPlace(pic, v, k.at)
	}
	if j.opt.Depth.Approximate() {
		cells.Coarsen(pic, j.plain)
	}
}

// pair returns what stands left and right when two views are shown: the photo
// as it is looked at, and a plan.
func pair(v study.View) (left, right study.View) {
	switch v {
	case study.Values, study.Plan, study.Notan, study.Outline, study.Steps:
		return study.Photo, v
	default:
		return v, study.Plan
	}
}
