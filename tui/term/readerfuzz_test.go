package term

import (
	"bytes"
	"io"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	tea "github.com/charmbracelet/bubbletea"
)

// pieces is a terminal whose input comes in pieces of the given sizes, and that
// is silent now and then: then a wait for more is in vain.
type pieces struct {
	in    []byte
	sizes []byte
	n     int
}

func (p *pieces) Read(b []byte) (int, error) {
	if len(p.in) == 0 {
		return 0, io.EOF
	}
	n := min(p.next(), len(b), len(p.in))
	copy(b, p.in[:n])
	p.in = p.in[n:]
	return n, nil
}

// next returns how much comes at once, 1 at least.
func (p *pieces) next() int {
	if len(p.sizes) == 0 {
		return len(p.in)
	}
	p.n++
	return int(p.sizes[p.n%len(p.sizes)]&0x3f) + 1
}

func (p *pieces) ready(uintptr, time.Duration) bool {
	return len(p.in) > 0 && (len(p.sizes) == 0 || p.sizes[p.n%len(p.sizes)] < 0x80)
}

func (p *pieces) Write(b []byte) (int, error) { return len(b), nil }
func (p *pieces) Close() error                { return nil }
func (p *pieces) Fd() uintptr                 { return 0 }
func (p *pieces) Name() string                { return "pieces" }

// FuzzReader: whatever a terminal sends, in whatever pieces, read into a buffer
// of any size: what comes out is what came in, in order, without the answers;
// these are whole, and no longer than an answer may be; and it ends.
func FuzzReader(f *testing.F) {
	for i, in := range keysOnly {
		f.Add([]byte(in+"\x1b[?62c"+in), []byte{1, byte(i), 0x83}, uint16(7*i), 0)
	}
	f.Add([]byte("jj\x1b[12;40Rjj\x1b]11;rgb:0/0/0\x1b\\\x1b[1;2R"), []byte{5, 0x83, 2, 9}, uint16(256), 1)
	f.Add([]byte("\x1b[200~\x1b[?62c\x1b[201~\x1b[?62c\x1bP1+r5247\x1b\\h"), []byte{7, 1, 1, 1}, uint16(1), 2)
	f.Add([]byte("\x1b]11;"+strings.Repeat("x", 3*longest)), []byte{0x3f}, uint16(4096), 0)
	f.Add([]byte("\x1b[200~"+strings.Repeat("net ", 700)), []byte{0x3f, 0xff}, uint16(64), 0)
	f.Fuzz(func(t *testing.T, in, sizes []byte, buffer uint16, due int) {
		var out []byte
		var answers []Answer
		src := &pieces{in: bytes.Clone(in), sizes: sizes}
		r := NewReader(src, func(a Answer) { answers = append(answers, a) })
		r.waitFor = src.ready
		for range max(min(due, 4), 0) {
			r.ExpectCursor()
		}
		p := make([]byte, int(buffer)%5000+1)
		for empty := 0; ; {
			n, err := r.Read(p)
			if n > len(p) {
				t.Fatalf("%d bytes into %d", n, len(p))
			}
			out = append(out, p[:n]...)
			if err != nil {
				if n < len(p) {
					break
				}
				continue
			}
			if empty++; n > 0 {
				empty = 0
			}
			if empty > len(in)+10 {
				t.Fatal("it does not end")
			}
		}
		rest := in
		for _, a := range answers {
			if len(a.Raw) < 3 || len(a.Raw) > longest+1 || a.Raw[0] != 0x1b {
				t.Fatalf("an answer %q", a.Raw)
			}
		}
		if !merged(rest, out, answers) {
			t.Fatalf("%q came out as %q with the answers %v", in, out, answers)
		}
	})
}

// merged reports whether in is out with the answers put in, each in one piece and
// all in order. Where an answer is begun again inside what stands before it, the
// one place cannot be told from the other: all are tried.
func merged(in, out []byte, answers []Answer) bool {
	type place struct{ in, n int }
	failed := map[place]bool{}
	var try func(i, n int) bool
	try = func(i, n int) bool {
		used := 0
		for _, a := range answers[:n] {
			used += len(a.Raw)
		}
		for {
			if n == len(answers) {
				return bytes.Equal(in[i:], out[i-used:])
			}
			if failed[place{i, n}] {
				return false
			}
			raw := answers[n].Raw
			if bytes.HasPrefix(in[i:], []byte(raw)) && try(i+len(raw), n+1) {
				return true
			}
			failed[place{i, n}] = true
			if o := i - used; i >= len(in) || o >= len(out) || in[i] != out[o] {
				return false
			}
			i++
		}
	}
	return try(0, 0)
}

// FuzzSplitKeys: no letter is lost or doubled when a message is taken apart, and
// each part has a name that the key table can be asked for.
func FuzzSplitKeys(f *testing.F) {
	f.Add("nnn", false, false)
	f.Add("é→船", true, false)
	f.Add("\x1b[2J", false, true)
	f.Add("", false, false)
	f.Fuzz(func(t *testing.T, letters string, alt, paste bool) {
		m := tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(letters), Alt: alt, Paste: paste}
		var got []rune
		for _, k := range SplitKeys(m) {
			if k.Alt != alt || k.Paste != paste || !paste && len(k.Runes) > 1 {
				t.Fatalf("%+v of %+v", k, m)
			}
			_ = k.String()
			got = append(got, k.Runes...)
		}
		if string(got) != string(m.Runes) || utf8.ValidString(letters) && string(got) != letters {
			t.Fatalf("%q became %q", letters, string(got))
		}
	})
}
