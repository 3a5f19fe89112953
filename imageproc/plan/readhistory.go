package plan

import "fmt"

// history reads the steps that are kept in a file whose plan and thumbnails have
// been read; nil if there are none.
func (r *reader) history(n node, path string, f File) *History {
	if r.err != nil {
		return nil
	}
	o := r.object(n, path, "", "done", "first", "steps")
	fn, fpath := o.need("first")
	first := r.stateFields(fn, fpath, "first")
	sn, spath := o.need("steps")
	if r.err == nil && sn.kind != isList {
		r.want(sn, spath, string(isList))
	}
	if r.err == nil && len(sn.list) > MaxKept {
		r.fail(sn.at, spath, fmt.Sprintf("%d steps: at most %d are kept", len(sn.list), MaxKept))
	}
	h := History{at: o.whole("done", 0, len(sn.list)), unknown: r.take()}
	h.first = r.state(first, f, nil)
	was := h.first.Thumbnails
	for i, item := range sn.list {
		if r.err != nil {
			return nil
		}
		so := r.stateFields(item, fmt.Sprintf("%s[%d]", spath, i), "", "action")
		s := &step{
			action:  so.text("action", "text of at most 80 characters without spaces around it", func(s string) bool { return lineOf(s) == s }),
			unknown: r.take(),
		}
		s.state = r.state(so, f, was)
		was = s.state.Thumbnails
		h.steps = append(h.steps, s)
	}
	if r.err != nil || len(h.steps) == 0 && h.unknown == "" {
		return nil
	}
	return &h
}

// stateFields reads the object of a state; r.take then has its unknown fields.
func (r *reader) stateFields(n node, path, rel string, more ...string) fields {
	return r.object(n, path, rel, append(more, "plan", "thumbnails")...)
}

// state reads a state; without thumbnails of its own it has those of the one
// before.
func (r *reader) state(o fields, f File, before []Thumbnail) State {
	n, path := o.need("plan")
	s := State{Plan: r.plan(n, path, f.Photo), Thumbnails: before}
	if n, ok := o.known["thumbnails"]; ok {
		s.Thumbnails = r.thumbnails(n, o.join("thumbnails"), f.Photo, f.Thumbnails)
	}
	return s
}
