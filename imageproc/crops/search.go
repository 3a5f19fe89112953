package crops

import (
	"cmp"
	"context"
	"image"
	"math"
	"slices"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/plan"
)

// How much is looked at and read. Numbers are fixed, never cut short by a clock,
// so that the same photo has the same proposals everywhere. Source: ours.
const (
	leastLong  = 0.3 // the smallest crop's long side, of the photo's
	sizes      = 8   // of crops in the grid, in equal ratios
	across     = 11  // places of the focal point in the crop, each way
	margin     = 0.1 // that a focal point keeps from the sides in the grid
	mostShared = 0.7 // of two proposals
	apartFirst = 0.6 // of two crops that are read for one form

	readings   = 72 // of coarse plans of the grid, over all forms and focal points
	leastEach  = 3
	mostEach   = 48
	seeds      = 8   // whose neighbours are read too
	steps      = 1   // of each seed
	finalists  = 18  // read from plans of the ground
	apartLast  = 0.7 // of two of those
	groundCost = 5   // of a plan of the ground, in coarse readings
	photoCost  = 40  // of one of the photo
)

// candidate is a crop with what is known about it.
type candidate struct {
	quest int
	box   box
	score float64
	panel plan.Panel // of a finalist

	reasons []Reason // of one whose plan was read
}

// quest is one form about one focal point.
type quest struct {
	form  form
	focus plan.Focus
}

// search finds crops for a photo.
type search struct {
	ctx      context.Context
	o        Options
	photo    imageproc.Picture
	full     image.Point // pixels of the photo
	progress func(float64)
	done     float64 // in coarse readings, of all that there is to read
	all      float64
	quests   []quest
	coarse   []*coarsener // by worker
	studios  []*studio    // by worker, those that are read from now
	crew     imageproc.Crew
	pool     []candidate // all that was read
	taken    map[plan.Panel]int
	batch    []candidate // being read
	failed   []error     // of the batch
}

// run looks at the grid and reads coarse plans of the best of it. Then it goes on in
// courses: it reads what lies a step beside the best that share little with what was
// found so far, plans of the ground of the best of all, and plans of the photo of the
// best of those, which are proposed. What the first courses find does not depend on
// how many there are.
func (s *search) run(forms []form) ([]candidate, error) {
	s.taken = map[plan.Panel]int{}
	g := newGround(s.photo, s.full)
	if err := s.begin(g, forms); err != nil {
		return nil, err
	}
	small, large := s.studiosOf(g.picture), s.studiosOf(s.photo)
	var found []candidate // in their order
	for len(found) < s.o.N {
		list, err := s.best(found)
		if err != nil {
			return nil, err
		}
		s.choosePanels(list)
		if err := s.readPlans(list, small, groundCost); err != nil {
			return nil, err
		}
		list = pick(list, Course, mostShared)
		if err := s.readPlans(list, large, photoCost); err != nil {
			return nil, err
		}
		if len(list) == 0 {
			break
		}
		slices.SortFunc(list, better)
		found = append(found, list...)
	}
	s.progress(1)
	return found[:min(s.o.N, len(found))], nil
}

// studiosOf returns a studio for every worker.
func (s *search) studiosOf(picture imageproc.Picture) []*studio {
	var out []*studio
	for range imageproc.Workers() {
		out = append(out, newStudio(picture, s.full, s.o))
	}
	return out
}

// begin looks at the grid and reads coarse plans of the best of it.
func (s *search) begin(g *ground, forms []form) error {
	s.progress(0)
	p, err := newPieces(s.ctx, g, s.o.Squint)
	if err != nil {
		return err
	}
	for range imageproc.Workers() {
		s.coarse = append(s.coarse, &coarsener{pieces: p, k: s.o.Values})
	}
	over := newSurvey(g, s.o.Squint)
	places := []plan.Focus{s.o.Focus}
	if s.o.Focus.None() {
		places = over.places()
	}
	for _, p := range places {
		for _, f := range forms {
			s.quests = append(s.quests, quest{f, p})
		}
	}
	each := min(max(readings/len(s.quests), leastEach), mostEach)
	courses := (s.o.N + Course - 1) / Course
	s.all = float64(each*len(s.quests) + courses*(seeds*steps*6+finalists*groundCost+Course*photoCost))
	return s.read(s.grid(over, each))
}

// best returns the best crops by their coarse plans, as many as are read next, that
// share little with those found before.
func (s *search) best(found []candidate) ([]candidate, error) {
	if err := s.refine(pick(apart(s.pool, found), seeds, mostShared)); err != nil {
		return nil, err
	}
	return pick(apart(s.pool, found), finalists, apartLast), nil
}

// apart returns the candidates that share less than mostShared with each of others.
func apart(list, others []candidate) []candidate {
	var out []candidate
	for _, c := range list {
		if !slices.ContainsFunc(others, func(o candidate) bool { return o.box.overlap(c.box) >= mostShared }) {
			out = append(out, c)
		}
	}
	return out
}

// readBatch is how many crops are read between two looks at the context.
const readBatch = 32

// read reads candidates and puts them into the pool.
func (s *search) read(list []candidate) error {
	for len(list) > 0 {
		if err := s.ctx.Err(); err != nil {
			return err
		}
		n := min(readBatch, len(list))
		s.batch, list = list[:n], list[n:]
		s.crew.Do(n, 2_000_000, len(s.coarse), (*readJob)(s))
		s.pool = append(s.pool, s.batch...)
		s.advance(float64(n))
	}
	return s.ctx.Err()
}

// advance says that n coarse readings more are done.
func (s *search) advance(n float64) {
	s.done += n
	s.progress(min(1, s.done/s.all))
}

// readJob reads a crop a row.
type readJob search

func (j *readJob) Rows(worker, y0, y1 int) {
	for i := y0; i < y1; i++ {
		c := &j.batch[i]
		q := j.quests[c.quest]
		f := j.coarse[worker].figures(c.box, q.form.panels[0], q.focus)
		// The last bits of means depend on the order of sums, which a mirrored photo
		// turns round: they order nothing.
		c.score = math.Round(f.score()*1e6) / 1e6
	}
}

// figures reads the coarse plan of a crop.
func (c *coarsener) figures(b box, panel plan.Panel, focus plan.Focus) figures {
	return figuresOf(c.design(b, panel, focus).Read())
}

// refine walks from seeds to better crops nearby, with smaller and smaller steps.
func (s *search) refine(seeds []candidate) error {
	step := 0.06
	for range steps {
		var near []candidate
		from := make([]int, 0, 6*len(seeds))
		for i, c := range seeds {
			for _, b := range s.around(c, step) {
				near, from = append(near, candidate{quest: c.quest, box: b}), append(from, i)
			}
		}
		first := len(s.pool)
		if err := s.read(near); err != nil {
			return err
		}
		for i, c := range s.pool[first:] {
			if seed := &seeds[from[i]]; better(c, *seed) < 0 && c.score > seed.score+1e-9 {
				*seed = c
			}
		}
		step /= 2
	}
	return nil
}

// around returns crops a step beside, above, below, larger and smaller than one.
func (s *search) around(c candidate, step float64) []box {
	q, full := s.quests[c.quest], s.full
	widest := q.form.widest(full)
	least := onLattice(widest * min(1, leastLong/q.form.long(widest, full)))
	var out []box
	add := func(dx, dy, grow float64) {
		w := min(max(onLattice(c.box.w*grow), least), widest)
		b := q.form.box(0, 0, w, full)
		// It grows about the focal point, which stays where it is in the crop.
		fx, fy := (q.focus.X-c.box.x)/c.box.w, (q.focus.Y-c.box.y)/c.box.h
		if w != c.box.w {
			b.x, b.y = nearLattice(q.focus.X-float64(fx*b.w), b.w), nearLattice(q.focus.Y-float64(fy*b.h), b.h)
		} else {
			b.x, b.y = nearLattice(c.box.x+float64(dx*c.box.w), b.w), nearLattice(c.box.y+float64(dy*c.box.h), b.h)
		}
		b.x = min(max(b.x, 0), onLattice(1-b.w))
		b.y = min(max(b.y, 0), onLattice(1-b.h))
		if b == c.box || !b.keeps(q.focus, c.box) || slices.Contains(out, b) {
			return
		}
		out = append(out, b)
	}
	add(-step, 0, 1)
	add(step, 0, 1)
	add(0, -step, 1)
	add(0, step, 1)
	add(0, 0, 1+float64(1.5*step))
	add(0, 0, 1/(1+float64(1.5*step)))
	return out
}

// keeps reports whether the focal point keeps its margin in b, or at least what
// it has in another crop.
func (b box) keeps(f plan.Focus, other box) bool {
	room := func(b box) float64 {
		x, y := (f.X-b.x)/b.w, (f.Y-b.y)/b.h
		return min(x, 1-x, y, 1-y)
	}
	return room(b) >= min(margin, room(other))-1e-9
}

// better orders candidates: the higher score first; of equals the one nearer to
// the photo's middle across, then the larger, then the one of the earlier form.
func better(a, b candidate) int {
	off := func(c candidate) float64 { return math.Abs(c.box.x + c.box.w/2 - 0.5) }
	return cmp.Or(cmp.Compare(b.score, a.score), cmp.Compare(off(a), off(b)), cmp.Compare(b.box.w, a.box.w),
		cmp.Compare(a.quest, b.quest), cmp.Compare(a.box.y, b.box.y), cmp.Compare(a.box.x, b.box.x))
}

// pick returns up to n candidates, the best first, no two of which share as much
// as shared.
func pick(from []candidate, n int, shared float64) []candidate {
	sorted := slices.Clone(from)
	slices.SortFunc(sorted, better)
	var out []candidate
	for _, c := range sorted {
		if len(out) == n {
			break
		}
		if !slices.ContainsFunc(out, func(o candidate) bool { return o.box.overlap(c.box) >= shared }) {
			out = append(out, c)
		}
	}
	return out
}
