package mass

import (
	"cmp"
	"image"
	"slices"

	"atelier/halflid/imageproc"
)

// parts are the connected shapes of a redrawn plan.
type parts struct {
	labels imageproc.Labels // of each pixel, before crumbs went
	into   []int32          // the shape that each is part of at the end
	border borderGraph
	area   []int
	value  []int32
	fixed  []bool // has pixels outside the outlines
}

// takeCrumbsIn returns the shapes of the redrawn plan without crumbs.
func (r *redraw) takeCrumbsIn(least int) *parts {
	var label Labeller
	q := &parts{labels: imageproc.NewLabels(r.out.W, r.out.H)}
	stays := make([]bool, len(r.p.Shapes)) // shapes that are not redrawn
	for {
		n := label.Components(q.labels, r.out)
		q.area, q.value, q.fixed = make([]int, n), make([]int32, n), make([]bool, n)
		for i, l := range q.labels.Pix {
			q.area[l]++
			q.value[l] = r.out.Pix[i]
			if r.which[i] == 0 {
				q.fixed[l] = true
			}
		}
		if !r.restore(q, stays, least) {
			break
		}
		r.keepValues()
	}
	q.border.build(q.labels, len(q.area), r.l.base.rise, nil)
	q.takeIn(least, len(r.p.Tones))
	return q
}

// restore undoes the redrawing of shapes of which a crumb would be left outside
// the outlines, and says whether it did.
func (r *redraw) restore(q *parts, stays []bool, least int) bool {
	found := false
	for i, l := range q.labels.Pix {
		if r.which[i] != 0 || q.area[l] >= least {
			continue
		}
		if s := r.p.Labels.Pix[i]; !stays[s] && r.p.Shapes[s].Area >= least {
			stays[s], found = true, true
		}
	}
	if found {
		for i, s := range r.p.Labels.Pix {
			if stays[s] {
				r.out.Pix[i] = r.old.Pix[i]
			}
		}
	}
	return found
}

// takeIn gives crumbs inside the outlines the value of the neighbour with the
// longest border, the smallest crumb first, the last shape of a value excepted.
// Ties: the larger neighbour, then the darker.
func (q *parts) takeIn(least, values int) {
	n := len(q.area)
	q.into = make([]int32, n)
	ofValue := make([]int, values)
	for i := range q.into {
		q.into[i] = int32(i)
		ofValue[q.value[i]] += q.area[i]
	}
	isCrumb := func(i int32) bool {
		return !q.fixed[i] && q.area[i] < least && q.area[i] < ofValue[q.value[i]]
	}
	var m mesh
	m.load(n, q.border.a, q.border.b, q.border.len, q.border.len)
	for {
		crumb := int32(-1)
		for i := range int32(n) {
			if q.into[i] == i && isCrumb(i) && (crumb < 0 ||
				cmp.Or(cmp.Compare(q.area[i], q.area[crumb]), cmp.Compare(q.value[i], q.value[crumb])) < 0) {
				crumb = i
			}
		}
		if crumb < 0 || m.head[crumb] < 0 {
			break
		}
		q.takeOneIn(&m, crumb, ofValue)
	}
	for i := range q.into {
		q.into[i] = find(q.into, int32(i))
	}
}

func (q *parts) takeOneIn(m *mesh, i int32, ofValue []int) {
	best, length := int32(-1), 0.0
	for h := m.head[i]; h >= 0; h = m.next[h] {
		o := m.other(h)
		if best < 0 || cmp.Or(cmp.Compare(length, m.p[h>>1]), cmp.Compare(q.area[best], q.area[o]),
			cmp.Compare(q.value[o], q.value[best]), cmp.Compare(o, best)) < 0 {
			best, length = o, m.p[h>>1]
		}
	}
	v := q.value[best]
	ofValue[q.value[i]] -= q.area[i]
	ofValue[v] += q.area[i]
	q.value[i] = v
	for {
		o := int32(-1)
		for h := m.head[i]; h >= 0; h = m.next[h] {
			if j := m.other(h); q.value[j] == v && (o < 0 || j < o) {
				o = j
			}
		}
		if o < 0 {
			return
		}
		kept := m.join(i, o)
		lost := i + o - kept
		q.into[lost] = kept
		q.area[kept] += q.area[lost]
		q.fixed[kept] = q.fixed[kept] || q.fixed[lost]
		i = kept
	}
}

// number numbers what is left in raster order and returns the value of each
// shape.
func (q *parts) number() []int32 {
	first, value := make([]int32, len(q.into)), []int32(nil)
	for i := range first {
		first[i] = -1
	}
	// Parts are numbered in raster order, so the first of a shape comes first.
	for i, k := range q.into {
		if first[k] < 0 {
			first[k] = int32(len(value))
			value = append(value, q.value[k])
		}
		q.into[i] = first[k]
	}
	return value
}

// measure returns the plan of the shapes q.
func (r *redraw) measure(q *parts) Plan {
	b := r.l.base
	value := q.number()
	p := Plan{Labels: q.labels, Shapes: make([]Shape, len(value)), Next: -1}
	light := make([]float64, len(value))
	for y := range b.h {
		row, lights := p.Labels.Row(y), b.light[y*b.w:][:b.w]
		for x, l := range row {
			k := q.into[l]
			row[x] = k
			s := &p.Shapes[k]
			if s.Area == 0 {
				s.Value = int(value[k])
				s.Bounds = image.Rect(x, y, x+1, y+1)
			}
			s.Area++
			s.X += float64(x)
			s.Y += float64(y)
			s.Bounds.Min.X, s.Bounds.Max.X, s.Bounds.Max.Y = min(s.Bounds.Min.X, x), max(s.Bounds.Max.X, x+1), y+1
			light[k] += float64(lights[x])
		}
	}
	for i := range p.Shapes {
		s := &p.Shapes[i]
		s.X, s.Y = s.X+float64(s.Area)/2, s.Y+float64(s.Area)/2
	}
	p.finish(light, len(r.p.Tones))
	p.Tones = slices.Clone(r.p.Tones) // a smoother outline is no other paint
	var g borderGraph
	g.contract(&q.border, q.into)
	p.addBorders(&g)
	return p
}
