package term

// filter sorts input into keys, passed on unchanged and in order, and answers.
// The zero filter is ready.
type filter struct {
	held    []byte // the start of a sequence whose end has not come yet
	pasting bool
	mark    int // how much of the mark that ends pasted text has passed
	due     int // reports of the cursor that were asked for and not given
	take    func(Answer)
}

// feed appends to dst the keys in what was held and in b; take gets each answer
// when its turn comes. What it returns beside says whether something is held,
// and how it looks: plain if nothing is.
func (f *filter) feed(dst, b []byte) ([]byte, found) {
	if len(f.held) > 0 {
		b = append(f.held, b...)
		f.held = nil
	}
	for len(b) > 0 {
		if f.pasting {
			n := f.pasted(b)
			dst, b = append(dst, b[:n]...), b[n:]
			continue
		}
		what, n, a := look(b, f.due > 0)
		switch what {
		case partial, likely:
			f.held = append([]byte(nil), b...)
			return dst, what
		case answer:
			if a.Kind == Cursor && f.due > 0 {
				f.due--
			}
			if f.take != nil {
				f.take(a)
			}
			b = b[n:]
			continue
		case paste:
			f.pasting = true
		}
		dst, b = append(dst, b[:n]...), b[n:]
	}
	return dst, plain
}

// pasted returns how many bytes of b belong to the pasted text and its end mark.
func (f *filter) pasted(b []byte) int {
	for i, c := range b {
		switch {
		case c == pasteEnd[f.mark]:
			f.mark++
		case c == pasteEnd[0]:
			f.mark = 1
		default:
			f.mark = 0
		}
		if f.mark == len(pasteEnd) {
			f.mark, f.pasting = 0, false
			return i + 1
		}
	}
	return len(b)
}

// release appends what was held to dst: its end did not come, so it was keys.
func (f *filter) release(dst []byte) []byte {
	dst = append(dst, f.held...)
	f.held = nil
	return dst
}
