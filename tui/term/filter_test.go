package term

import (
	"bytes"
	"math/rand/v2"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// sorted feeds the input in the given pieces and releases what is left over.
func sorted(pieces []string, due int) (keys string, answers []Answer, last found) {
	f := filter{due: due, take: func(a Answer) { answers = append(answers, a) }}
	var out []byte
	for _, p := range pieces {
		out, last = f.feed(out, []byte(p))
	}
	return string(f.release(out)), answers, last
}

func TestAnswersAreTaken(t *testing.T) {
	for _, c := range []struct {
		name, raw string
		kind      Kind
		params    []int
	}{
		{"what it is", "\x1b[?62;4;22c", Attributes, []int{62, 4, 22}},
		{"what it is, second", "\x1b[>41;354;0c", Attributes, []int{41, 354, 0}},
		{"mode", "\x1b[?2026;2$y", Mode, []int{2026, 2}},
		{"mode of the standard", "\x1b[4;2$y", Mode, []int{4, 2}},
		{"cursor, long form", "\x1b[?12;40;1R", Cursor, []int{12, 40, 1}},
		{"cell size", "\x1b[6;24;12t", Window, []int{6, 24, 12}},
		{"window size", "\x1b[4;1440;2400t", Window, []int{4, 1440, 2400}},
		{"resized", "\x1b[48;60;200;1440;2400t", Window, []int{48, 60, 200, 1440, 2400}},
		{"well", "\x1b[0n", Status, []int{0}},
		{"dark or light", "\x1b[?997;1n", Status, []int{997, 1}},
		{"keyboard", "\x1b[?0u", Keyboard, []int{0}},
		{"capability", "\x1bP1+r524742=38\x1b\\", Text, nil},
		{"no capability", "\x1bP0+r5463\x1b\\", Text, nil},
		{"setting", "\x1bP1$r0;48:2::1:2:3m\x1b\\", Text, nil},
		{"version", "\x1bP>|xterm(389)\x1b\\", Text, nil},
		{"unit", "\x1bP!|00000000\x1b\\", Text, nil},
		{"background", "\x1b]11;rgb:1c1c/1c1c/1c1c\x1b\\", Text, nil},
		{"background, bell", "\x1b]11;rgb:1c1c/1c1c/1c1c\x07", Text, nil},
		{"palette", "\x1b]4;16;rgb:0000/0000/0000\x07", Text, nil},
		{"pictures", "\x1b_Gi=1;OK\x1b\\", Text, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			want := []Answer{{c.kind, c.params, c.raw}}
			for cut := range len(c.raw) {
				keys, got, last := sorted([]string{"j" + c.raw[:cut], c.raw[cut:] + "k"}, 0)
				if diff := cmp.Diff(want, got); diff != "" || keys != "jk" || last != plain {
					t.Errorf("cut at %d: keys %q, answers %s", cut, keys, diff)
				}
			}
		})
	}
}

// keysOnly are inputs that hold no answer.
var keysOnly = []string{
	"nnn", "é→船", "\x1b", "\x1b\x1b", "\x1b[A", "\x1b[1;5C", "\x1bOP", "\x1b[3~", "\x1b[24;2~",
	"\x1b[a", "\x1b[b", "\x1b[c", "\x1b[d", "\x1b[7$", "\x1b[7^", "\x1b[8@", "\x1b[[A", "\x1b[[E",
	"\x1b[Z", "\x1b[I", "\x1b[O", "\x1b[OA", "\x1bOa", "\x1bj", "\x1bé", "\x1b\r", "\x1b\x7f",
	"\x1b[", "\x1b]", "\x1bP", "\x1b_", "\x1bO", "\x1b]j", "\x1b]1j", "\x1bPq", "\x1bP1j", "\x1b_j",
	"\x1b[1;2R", "\x1b[R", "\x1b[97;5u", "\x1b[<0;12;40M", "\x1b[<0;12;40m", "\x1b[M !!", "\x1b[M\x1b[?",
	"\x1b[200~\x1b[?62c nets \x1b]11;x\x07\x1b[201~", "\x1b[200~\x1b[20\x1b[201~j", "\x03", "\x00", "\xff\xe2\x96",
	"\x1b[1\x1b[A", "\x1b[?1\x1b[A", "\x1b]11;rgb\rj", "\x1b[t", "\x1b[n", "\x1b[y", "\x1b[1$z",
	"\x1b[" + strings.Repeat("1;", 80) + "c", "\x1b]11;" + strings.Repeat("x", longest) + "\x07",
}

func TestKeysComeThrough(t *testing.T) {
	for _, in := range keysOnly {
		for cut := range min(len(in), 90) {
			keys, answers, _ := sorted([]string{in[:cut], in[cut:]}, 0)
			if keys != in || len(answers) > 0 {
				t.Fatalf("%q cut at %d came through as %q, answers %v", in, cut, keys, answers)
			}
		}
	}
}

// A report of the cursor looks like F3 with a modifier: only those asked for
// are taken.
func TestCursorReportOnlyWhenDue(t *testing.T) {
	keys, answers, _ := sorted([]string{"\x1b[1;2R\x1b[1;", "2R"}, 1)
	if keys != "\x1b[1;2R" || len(answers) != 1 || answers[0].Kind != Cursor {
		t.Errorf("one due: keys %q, answers %v", keys, answers)
	}
	// F3 alone is never a report.
	if keys, answers, _ = sorted([]string{"\x1b[R"}, 1); keys != "\x1b[R" || answers != nil {
		t.Errorf("F3: keys %q, answers %v", keys, answers)
	}
}

func TestWhatIsWaitedFor(t *testing.T) {
	for in, want := range map[string]found{
		"": plain, "j": plain, "\x1b[A": plain,
		"\x1b": partial, "\x1b[": partial, "\x1b]": partial, "\x1bP": partial, "\x1bO": partial,
		"j\x1b[1;": partial, "\xe2\x96": partial, "\x1b\xe2": partial,
		"\x1b[?": likely, "\x1b[?6": likely, "\x1b]1": likely, "\x1b]11;r": likely, "\x1bP1+": likely,
		"\x1bP1+r52\x1b": likely, "\x1b[200~\x1b": plain, "\x1b[200~x\x1b[201~\x1b": partial,
	} {
		if _, _, got := sorted([]string{in}, 0); got != want {
			t.Errorf("after %q: %d, want %d", in, got, want)
		}
	}
}

// Once pasted text has ended, however its end mark was approached, answers are
// taken again.
func TestAnswerAfterPaste(t *testing.T) {
	for _, text := range []string{"", "nets", "\x1b[20", "\x1b", "\x1b[201\x1b[20"} {
		in := "\x1b[200~" + text + "\x1b[201~"
		keys, answers, _ := sorted([]string{in + "\x1b[?62c"}, 0)
		if keys != in || len(answers) != 1 {
			t.Errorf("after pasting %q: keys %q, answers %v", text, keys, answers)
		}
	}
}

// answerForms is written apart from the filter: what an answer may look like.
var answerForms = regexp.MustCompile("(?s)^(" +
	`\x1b\[[<>=?][0-9;:]*[ -/]?c|` +
	`\x1b\[[<>=?]?\d*[;:]\d*\$y|` +
	`\x1b\[\??[0-9;:]*R|` +
	`\x1b\[[0-9;:]*t|` +
	`\x1b\[\??[0-9;:]+n|` +
	`\x1b\[\?[0-9;:]*[ -/]?u|` +
	`\x1b\]\d{1,4};[^\x00-\x1f\x7f]*(\x07|\x1b\\)|` +
	`\x1bP([01][+$]r|[>!]\|)[^\x00-\x1f\x7f]*(\x07|\x1b\\)|` +
	`\x1b_G[^\x00-\x1f\x7f]*(\x07|\x1b\\)` +
	")$")

// checkFilter holds for any input however cut: keys and answers, in the order
// they come out, are the input; only what looks like an answer is one; the cut
// changes nothing.
func checkFilter(t *testing.T, in []byte, cuts []byte, due int) {
	t.Helper()
	var all []byte
	var answers []string
	f := filter{due: due}
	var out []byte
	f.take = func(a Answer) {
		all = append(append(all, out...), a.Raw...)
		out = out[:0]
		answers = append(answers, a.Raw)
	}
	// feed hands answers over while it appends keys, so keys are collected
	// byte by byte to see the order.
	for _, c := range in {
		var got []byte
		got, _ = f.feed(nil, []byte{c})
		all = append(all, got...)
	}
	all = f.release(all)
	if !bytes.Equal(all, in) {
		t.Fatalf("%q came out as %q", in, all)
	}
	for _, a := range answers {
		if !answerForms.MatchString(a) {
			t.Fatalf("%q was taken for an answer", a)
		}
	}
	var pieces []string
	rest := string(in)
	for _, c := range cuts {
		n := min(int(c), len(rest))
		pieces, rest = append(pieces, rest[:n]), rest[n:]
	}
	keys, got, _ := sorted(append(pieces, rest), due)
	whole, want, _ := sorted([]string{string(in)}, due)
	if keys != whole || !slices.EqualFunc(got, want, func(a, b Answer) bool { return a.Raw == b.Raw && a.Kind == b.Kind }) {
		t.Fatalf("%q in pieces %q: keys %q, whole %q", in, pieces, keys, whole)
	}
}

func FuzzFilter(f *testing.F) {
	for i, in := range keysOnly {
		f.Add([]byte(in+"\x1b[?62c"+in), []byte{1, byte(i), 3}, 0)
	}
	f.Add([]byte("jj\x1b[12;40Rjj\x1b]11;rgb:0/0/0\x1b\\\x1b[1;2R"), []byte{5, 3, 2, 9}, 1)
	f.Add([]byte("\x1b[200~\x1b[?62c\x1b[201~\x1b[?62c\x1bP1+r5247\x1b\\h"), []byte{7, 1, 1, 1}, 2)
	f.Fuzz(func(t *testing.T, in, cuts []byte, due int) {
		checkFilter(t, in, cuts, max(min(due, 4), 0))
	})
}

func TestFilterOnRandomInput(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 3))
	words := append([]string{"\x1b[?62c", "\x1b[4;2$y", "\x1bP1+r52\x1b\\", "\x1b]11;x\x07", "\x1b", "[", "?", "2", ";", "$", "y", "\x1b\\"}, keysOnly[:len(keysOnly)-2]...)
	for range 3000 {
		var in, cuts []byte
		for range rng.IntN(8) {
			in = append(in, words[rng.IntN(len(words))]...)
			cuts = append(cuts, byte(rng.IntN(9)))
		}
		checkFilter(t, in, cuts, rng.IntN(3))
	}
}
