package reading

import "strconv"

// alike is a finding that may be made at several places in the same words.
type alike struct {
	weight float64
	line   Line // its places, area and activity
	asks   bool
	one    string    // the words for one place
	many   [2]string // for several, before and after how many
}

// tellAlike tells findings of one kind; those of the same words become one line
// with all their places, where the first of them stands.
func (t *teller) tellAlike(on Topic, kind string, list []alike) {
	told := map[string]bool{}
	for i, a := range list {
		if told[a.one] {
			continue
		}
		told[a.one] = true
		n, l := 1, a.line
		for _, b := range list[i+1:] {
			if b.one == a.one {
				n++
				l.At, l.Area = append(l.At, b.line.At...), l.Area.Union(b.line.Area)
			}
		}
		words := a.one
		if n > 1 {
			words = a.many[0] + strconv.Itoa(n) + a.many[1]
		}
		l.Asks = a.asks
		t.say(on, kind, a.weight, l, "%s", words)
	}
}
