package mass

// mesh is a graph of regions that can be joined: linked lists of half-borders.
// Half-borders 2e and 2e+1 are the two ends of border e. Two sums per border
// are added up when borders fall together.
type mesh struct {
	end        []int32 // region at which each half-border begins
	next, prev []int32
	head       []int32 // per region
	degree     []int32
	p, q       []float64 // sums per border
	mark       []int32   // scratch: the border of the kept region that leads here
	gone       []int32   // borders that the last join removed
}

// load sets up n regions with borders a[e]-b[e].
func (m *mesh) load(n int, a, b []int32, p, q []float64) {
	m.end, m.next, m.prev = resize(m.end, 2*len(a)), resize(m.next, 2*len(a)), resize(m.prev, 2*len(a))
	m.head, m.degree, m.mark = resize(m.head, n), resize(m.degree, n), resize(m.mark, n)
	m.p, m.q = append(m.p[:0], p...), append(m.q[:0], q...)
	for i := range n {
		m.head[i], m.degree[i], m.mark[i] = -1, 0, -1
	}
	for e := range a {
		m.link(int32(2*e), a[e])
		m.link(int32(2*e+1), b[e])
	}
}

// link puts half-border h into region r's list.
func (m *mesh) link(h, r int32) {
	m.end[h], m.prev[h], m.next[h] = r, -1, m.head[r]
	if m.head[r] >= 0 {
		m.prev[m.head[r]] = h
	}
	m.head[r] = h
	m.degree[r]++
}

// unlink takes half-border h out of its region's list.
func (m *mesh) unlink(h int32) {
	r := m.end[h]
	if m.prev[h] >= 0 {
		m.next[m.prev[h]] = m.next[h]
	} else {
		m.head[r] = m.next[h]
	}
	if m.next[h] >= 0 {
		m.prev[m.next[h]] = m.prev[h]
	}
	m.degree[r]--
}

// other returns the region on the far side of half-border h.
func (m *mesh) other(h int32) int32 { return m.end[h^1] }

// join makes the touching regions u and v one and returns which of the two
// stands for it: the one with more borders, the smaller number if equal. gone
// then lists the borders that vanished: the one between them, and those to a
// common neighbour, whose sums went to the border kept.
func (m *mesh) join(u, v int32) int32 {
	if m.degree[v] > m.degree[u] || m.degree[v] == m.degree[u] && v < u {
		u, v = v, u
	}
	m.gone = m.gone[:0]
	for h := m.head[u]; h >= 0; h = m.next[h] {
		m.mark[m.other(h)] = h >> 1
	}
	for h := m.head[v]; h >= 0; {
		next, o := m.next[h], m.other(h)
		kept := m.mark[o]
		switch {
		case o == u:
			m.unlink(h ^ 1)
			m.gone = append(m.gone, h>>1)
		case kept >= 0:
			m.p[kept] += m.p[h>>1]
			m.q[kept] += m.q[h>>1]
			m.unlink(h ^ 1)
			m.gone = append(m.gone, h>>1)
		default:
			m.link(h, u)
		}
		h = next
	}
	m.mark[v] = -1
	for h := m.head[u]; h >= 0; h = m.next[h] {
		m.mark[m.other(h)] = -1
	}
	m.head[v], m.degree[v] = -1, 0
	return u
}

// queue is a binary heap of numbers 0..n-1 that knows where each lies, so that
// an entry can move when its price changes.
type queue struct {
	less  func(i, j int32) bool
	items []int32
	at    []int32 // -1: not queued
}

// load queues all of 0..n-1.
func (q *queue) load(n int, less func(i, j int32) bool) {
	q.less = less
	q.items, q.at = resize(q.items, n), resize(q.at, n)
	for i := range q.items {
		q.items[i], q.at[i] = int32(i), int32(i)
	}
	for i := n/2 - 1; i >= 0; i-- {
		q.down(i)
	}
}

// first returns the cheapest entry; there must be one.
func (q *queue) first() int32 { return q.items[0] }

// fix restores the order after the price of i changed.
func (q *queue) fix(i int32) {
	if at := int(q.at[i]); at >= 0 && !q.up(at) {
		q.down(at)
	}
}

// remove takes i out, if it is queued.
func (q *queue) remove(i int32) {
	at := int(q.at[i])
	if at < 0 {
		return
	}
	last := len(q.items) - 1
	moved := q.items[last]
	q.items = q.items[:last]
	q.at[i] = -1
	if at == last {
		return
	}
	q.items[at], q.at[moved] = moved, int32(at)
	q.fix(moved)
}

func (q *queue) up(at int) bool {
	i, from := q.items[at], at
	for at > 0 {
		p := (at - 1) / 2
		if !q.less(i, q.items[p]) {
			break
		}
		q.items[at] = q.items[p]
		q.at[q.items[at]] = int32(at)
		at = p
	}
	q.items[at], q.at[i] = i, int32(at)
	return at != from
}

func (q *queue) down(at int) {
	i := q.items[at]
	for {
		c := 2*at + 1
		if c >= len(q.items) {
			break
		}
		if c+1 < len(q.items) && q.less(q.items[c+1], q.items[c]) {
			c++
		}
		if !q.less(q.items[c], i) {
			break
		}
		q.items[at] = q.items[c]
		q.at[q.items[at]] = int32(at)
		at = c
	}
	q.items[at], q.at[i] = i, int32(at)
}
