package crops

import (
	"image"
	"math"
	"slices"

	"atelier/halflid/imageproc"
)

// grid returns the best of the grid for every quest, looked at only.
func (s *search) grid(over *survey, each int) []candidate {
	g := &gridJob{s: s, over: over, each: each, best: make([][]candidate, len(s.quests))}
	for i := range g.gathered {
		long := math.Pow(leastLong, float64(i)/(sizes-1))
		g.gathered[i] = over.gather(long)
	}
	s.crew.Do(len(s.quests), 2_000_000, imageproc.Workers(), g)
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
	s, full := g.s, g.s.full
	form, focus := s.quests[q].form, s.quests[q].focus
	widest := form.widest(full)
	least := min(1, leastLong/form.long(widest, full))
	var seen []candidate
	for i := range sizes {
		w := onLattice(widest * math.Pow(least, float64(i)/(sizes-1)))
		if w <= 0 {
			continue
		}
		h := form.box(0, 0, w, full).h
		l := newLooker(g.nearest(form.long(w, full)), s.o.Values, focus, w*float64(g.over.w), h*float64(g.over.h))
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
		v := min(max(nearLattice(focus-float64(at*length), length), 0), onLattice(1-length))
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
