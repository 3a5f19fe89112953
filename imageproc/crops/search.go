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

	readings     = 176 // of crops of the grid, over all forms and focal points
	leastEach    = 4
	mostEach     = 48
	spare        = 2 // more seeds than proposals
	refineRounds = 3
)

// candidate is a crop with what is known about it.
type candidate struct {
	quest int
	box   box
	score float64
	fig   *figures // of its reading; nil: only looked at
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
	ground   *ground
	progress func(float64)
	done     float64 // of all that there is to read
	quests   []quest
	workers  []*coarsener
	crew     imageproc.Crew
	pool     []candidate // all that was read
	batch    []candidate // being read
}

func newSearch(ctx context.Context, g *ground, o Options, progress func(float64)) *search {
	s := &search{ctx: ctx, o: o, ground: g, progress: progress}
	for range imageproc.Workers() {
		s.workers = append(s.workers, newCoarsener(g, o.Squint, o.Values))
	}
	return s
}

// run looks at the grid, reads the best of it, goes on from the best of those, and
// returns the crops that are proposed.
func (s *search) run(forms []form) ([]candidate, error) {
	over := newSurvey(s.ground, s.o.Squint)
	places := []plan.Focus{s.o.Focus}
	if s.o.Focus.None() {
		places = over.places()
	}
	for _, p := range places {
		for _, f := range forms {
			s.quests = append(s.quests, quest{f, p})
		}
	}
	s.progress(0)
	each := min(max(readings/len(s.quests), leastEach), mostEach)
	seeds := s.o.N + spare
	all := float64(each*len(s.quests) + seeds*refineRounds*6)
	if err := s.read(s.grid(over, each), all); err != nil {
		return nil, err
	}
	if err := s.refine(s.pick(seeds), all); err != nil {
		return nil, err
	}
	s.progress(1)
	return s.pick(s.o.N), nil
}

// grid returns the best of the grid for every quest, looked at only.
func (s *search) grid(over *survey, each int) []candidate {
	g := &gridJob{s: s, over: over, each: each, best: make([][]candidate, len(s.quests))}
	for i := range g.gathered {
		long := math.Pow(leastLong, float64(i)/(sizes-1))
		g.gathered[i] = over.gather(long)
	}
	s.crew.Do(len(s.quests), 2_000_000, len(s.workers), g)
	var out []candidate
	for _, b := range g.best {
		out = append(out, b...)
	}
	return out
}

// gridJob looks at the crops of one quest a row.
type gridJob struct {
	s        *search
	over     *survey
	each     int
	gathered [sizes]*gathered
	best     [][]candidate
}

func (g *gridJob) Rows(_, y0, y1 int) {
	for q := y0; q < y1; q++ {
		if g.s.ctx.Err() != nil {
			return
		}
		g.best[q] = g.look(q)
	}
}

func (g *gridJob) look(q int) []candidate {
	s, full := g.s, g.s.ground.full
	form, focus := s.quests[q].form, s.quests[q].focus
	widest := form.widest(full)
	least := min(1, leastLong/form.long(widest, full))
	var seen []candidate
	for i := range sizes {
		w := onLattice(widest * math.Pow(least, float64(i)/(sizes-1)))
		if w <= 0 {
			continue
		}
		l := newLooker(g.nearest(form.long(w, full)), s.o.Values, focus)
		h := form.box(0, 0, w, full).h
		for _, y := range starts(focus.Y, h) {
			for _, x := range starts(focus.X, w) {
				b := form.box(x, y, w, full)
				f := l.figures(b, focus)
				seen = append(seen, candidate{quest: q, box: b, score: f.score()})
			}
		}
	}
	return pick(seen, g.each, apartFirst)
}

// nearest returns the contrast gathered for the size nearest to that long side.
func (g *gridJob) nearest(long float64) *gathered {
	i := int(math.Round(math.Log(max(long, leastLong)) / math.Log(leastLong) * (sizes - 1)))
	return g.gathered[min(max(i, 0), sizes-1)]
}

// starts returns where crops of a length along an axis begin so that the focal
// point lies in different places of them, rising, none twice.
func starts(focus, length float64) []float64 {
	var out []float64
	for i := range across {
		at := margin + (1-2*margin)*float64(i)/(across-1)
		v := min(max(nearLattice(focus-at*length), 0), onLattice(1-length))
		if !slices.Contains(out, v) {
			out = append(out, v)
		}
	}
	slices.Sort(out)
	return out
}

// long returns the long side of a crop of the form of that width, of the photo's.
func (f form) long(w float64, full image.Point) float64 {
	b := f.box(0, 0, w, full)
	x, y := float64(full.X), float64(full.Y)
	return max(b.w*x, b.h*y) / max(x, y)
}

// readBatch is how many crops are read between two looks at the context.
const readBatch = 32

// read reads candidates and puts them into the pool.
func (s *search) read(list []candidate, all float64) error {
	for len(list) > 0 {
		if err := s.ctx.Err(); err != nil {
			return err
		}
		n := min(readBatch, len(list))
		s.batch, list = list[:n], list[n:]
		s.crew.Do(n, 2_000_000, len(s.workers), (*readJob)(s))
		s.pool = append(s.pool, s.batch...)
		s.done += float64(n)
		s.progress(min(1, s.done/all))
	}
	return s.ctx.Err()
}

// readJob reads a crop a row.
type readJob search

func (j *readJob) Rows(worker, y0, y1 int) {
	for i := y0; i < y1; i++ {
		c := &j.batch[i]
		q := j.quests[c.quest]
		f := j.workers[worker].figures(c.box, q.form.panels[0], q.focus)
		c.fig, c.score = &f, f.score()
	}
}

// figures reads the coarse plan of a crop.
func (c *coarsener) figures(b box, panel plan.Panel, focus plan.Focus) figures {
	d := c.design(b, panel, focus)
	full := c.ground.full
	d.Focus = within(d.Focus, float64(max(d.Crop.Dx(), d.Crop.Dy())), float64(max(full.X, full.Y)))
	return figuresOf(d.Read())
}

// refine walks from seeds to better crops nearby, with smaller and smaller steps.
func (s *search) refine(seeds []candidate, all float64) error {
	step := 0.08
	for range refineRounds {
		var near []candidate
		from := make([]int, 0, 6*len(seeds))
		for i, c := range seeds {
			for _, b := range s.around(c, step) {
				near, from = append(near, candidate{quest: c.quest, box: b}), append(from, i)
			}
		}
		first := len(s.pool)
		if err := s.read(near, all); err != nil {
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
	q, full := s.quests[c.quest], s.ground.full
	widest := q.form.widest(full)
	least := onLattice(widest * min(1, leastLong/q.form.long(widest, full)))
	var out []box
	add := func(dx, dy, grow float64) {
		w := min(max(onLattice(c.box.w*grow), least), widest)
		b := q.form.box(0, 0, w, full)
		// It grows about the focal point, which stays where it is in the crop.
		fx, fy := (q.focus.X-c.box.x)/c.box.w, (q.focus.Y-c.box.y)/c.box.h
		if w != c.box.w {
			b.x, b.y = nearLattice(q.focus.X-fx*b.w), nearLattice(q.focus.Y-fy*b.h)
		} else {
			b.x, b.y = nearLattice(c.box.x+dx*c.box.w), nearLattice(c.box.y+dy*c.box.h)
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
	add(0, 0, 1+1.5*step)
	add(0, 0, 1/(1+1.5*step))
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

func (s *search) pick(n int) []candidate { return pick(s.pool, n, mostShared) }
