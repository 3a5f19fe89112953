package tui

import (
	"errors"
	"image"
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"

	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/study"
	"atelier/halflid/tui/cells"
	"atelier/halflid/tui/keys"
)

// The keys of a first look, squint, values and the flip between photo and plan,
// are named in a window of the usual size, and squinting in every one.
func TestHintsOfAFirstLook(t *testing.T) {
	for _, cols := range []int{40, 64, 80, 120} {
		b := opened(t, cols, 24)
		for _, view := range []string{"w", "c", "s", "v", "m", "n"} {
			b.hit(view)
			line := ansi.Strip(b.m.hintLine())
			wants := []string{", . squint", "2-5 values", "? keys", "q quit"}
			if cols >= 64 {
				wants = append(wants, "Space flip", "arrows move")
			}
			if cols >= 80 {
				wants = append(wants, "+ - ")
			}
			for _, want := range wants {
				if !strings.Contains(line, want) {
					t.Errorf("%d columns, view %s: no %q in %q", cols, view, want, line)
				}
			}
		}
	}
}

// What a shape is taken in the hand for is named in a window of the usual size.
func TestHintsOfAShape(t *testing.T) {
	b := opened(t, 80, 24)
	b.hit("m", "enter")
	line := ansi.Strip(b.m.hintLine())
	for _, want := range []string{"1-5 value", "t together", "x leave out", "Esc done"} {
		if !strings.Contains(line, want) {
			t.Errorf("no %q in %q", want, line)
		}
	}
}

// The answer to a key that is too long for its row takes the one above too, until
// the next key. So does what is said unasked, which may take all rows below the
// picture.
func TestLongAnswersAreSaidWhole(t *testing.T) {
	const long = "not saved: the plan is open in another window (process 9529 on quay): close it there, or look at it here"
	for _, cols := range []int{64, 80, 120, 200} {
		b := opened(t, cols, 24)
		b.kept.fail = errors.New(strings.TrimPrefix(long, "not saved: "))
		b.hit("S")
		rows := strings.Split(ansi.Strip(b.m.View()), "\n")
		said := strings.Join(strings.Fields(strings.Join(rows[len(rows)-2:], " ")), " ")
		if !strings.Contains(said, long) {
			t.Errorf("%d columns: %q", cols, said)
		}
		for _, r := range rows {
			if w := ansi.StringWidth(r); w != cols {
				t.Errorf("a row of %d in %d columns", w, cols)
			}
		}
		b.hit("m")
		if !strings.Contains(ansi.Strip(b.m.View()), "6x8 in") {
			t.Error("the status is not there")
		}
		b.tell(noteMsg(long + ", and what follows is on the third row where the window is narrow"))
		if said := foot(b, 3); !strings.Contains(said, long) || !strings.HasSuffix(said, "narrow") {
			t.Errorf("%d columns, unasked: %q", cols, said)
		}
		b.hit("c")
		if !strings.Contains(ansi.Strip(b.m.View()), "6x8 in") {
			t.Error("the status is not there again")
		}
	}
	b := opened(t, 40, 12)
	b.hit("b")
	if s := ansi.Strip(b.m.hintLine()); strings.Contains(s, "…") {
		t.Errorf("cut off in the smallest window: %q", s)
	}
}

// foot is what stands in the last rows, in one line.
func foot(b *bench, rows int) string {
	all := strings.Split(ansi.Strip(b.m.View()), "\n")
	return strings.Join(strings.Fields(strings.Join(all[len(all)-rows:], " ")), " ")
}

// A notice that even all rows have no room for leads to the help, which has it.
func TestLongNoticesStandInTheHelp(t *testing.T) {
	b := opened(t, 40, 12)
	long := "a plan was made for this picture when it was called hull.jpg: rename hull.plan.json to boat.plan.json to go on from it, or go on here"
	b.tell(noteMsg(long))
	if said := foot(b, 2); !strings.HasSuffix(said, "… ? says all") || !strings.HasPrefix(said, "a plan was made") {
		t.Errorf("%q", said)
	}
	b.hit("?")
	if help := strings.Join(strings.Fields(ansi.Strip(b.m.View())), " "); !strings.Contains(help, long) {
		t.Errorf("not in the help: %q", help)
	}
	b.hit("esc", "m", "?")
	if !strings.Contains(strings.Join(strings.Fields(ansi.Strip(b.m.View())), " "), long) {
		t.Error("not in the help any more")
	}
}

// A key that means nothing says so, and takes away what was said before: that would
// read like its answer.
func TestKeysThatMeanNothing(t *testing.T) {
	for key, want := range map[string]string{"Q": "Q does nothing here: ? shows the keys", "7": "a plan has 2 to 5 values", "0": "a plan has 2 to 5 values", "esc": ""} {
		b := opened(t, 80, 24)
		b.m.note = "the crop is as large as the photo allows"
		b.hit(key)
		if b.m.note != want {
			t.Errorf("%s: %q, not %q", key, b.m.note, want)
		}
		if want != "" && !strings.Contains(ansi.Strip(b.m.View()), want) {
			t.Errorf("%s: it is not seen", key)
		}
	}
	for _, enter := range []string{"e", "f", "enter", "z", "R", "T", "d"} {
		b := opened(t, 80, 24)
		b.hit("m", enter, "Q")
		if !strings.HasPrefix(b.m.note, "Q does nothing here") {
			t.Errorf("after %s: %q", enter, b.m.note)
		}
	}
}

// How large all of the photo would be on the panel is said at every crop that is
// not the whole, where the crop is chosen also in a window of the usual size.
func TestSizeOfTheWhole(t *testing.T) {
	b := opened(t, 80, 24)
	for _, k := range []string{"t", "i", "h", "p", "c", "o"} {
		b.hit(k)
		if s := b.status(); !strings.Contains(s, "all of it ") {
			t.Errorf("after %s: %q", k, s)
		}
	}
	m := &model{frame: plan.Frame{Photo: image.Pt(600, 900)}}
	if p := plan.Default(m.frame.Photo); p.Crop.W < 1 || m.sizeWord(p) != "all of it 6.0x9.0 in" {
		t.Errorf("a crop as wide as the photo, not as tall: %q", m.sizeWord(p))
	}
}

// What was decided last about the shape in the hand is said first.
func TestTheLastChoiceIsSaidFirst(t *testing.T) {
	b := inTheDark(t)
	b.hit("2", "w")
	b.tell(tea.WindowSizeMsg{Width: 80, Height: 24})
	b.do()
	list := b.choices()
	last, first := list[len(list)-1].Words(), list[0].Words()
	said := b.m.saidHere()
	if i, j := strings.Index(said, last), strings.Index(said, first); i != 0 || j <= i {
		t.Errorf("said %q of %q, then %q", said, first, last)
	}
}

// The key that marks what would go next shows its marks wherever it is pressed,
// and says that they are there.
func TestMarkingWhatGoes(t *testing.T) {
	b := opened(t, 80, 24)
	b.hit("x")
	if !b.m.going || b.m.view != study.Plan || !strings.Contains(b.m.note, "marked") {
		t.Fatalf("x: marks %v, view %v, %q", b.m.going, b.m.view, b.m.note)
	}
	b.hit("c")
	if _, old := b.m.told(); old || b.m.unmeasured() {
		t.Error("the plan is not measured below the photo")
	}
	b.hit("x")
	if !b.m.going || b.m.view != study.Plan {
		t.Errorf("x from the photo: marks %v, view %v", b.m.going, b.m.view)
	}
	b.hit("x")
	if b.m.going {
		t.Error("x does not take the marks away")
	}
}

// No row of the list of keys is spelled as a row under the picture is: Bubble Tea
// would take it for written, and what the picture showed there would stay.
func TestNoPictureBehindTheKeys(t *testing.T) {
	for _, d := range []cells.Depth{cells.TrueColour, cells.Colour256, cells.Colour16, cells.NoColour} {
		for _, size := range [][2]int{{40, 12}, {80, 24}, {200, 90}} {
			b := opened(t, size[0], size[1])
			b.m.opt.Depth, b.m.ink = d, newInks(d)
			below := strings.Split(b.m.View(), "\n")
			b.hit("?")
			for i, row := range strings.Split(b.m.View(), "\n") {
				if row == below[i] {
					t.Errorf("%v, depth %d: row %d is not written", size, d, i)
				}
				if w := ansi.StringWidth(row); w != size[0] {
					t.Errorf("%v, depth %d: row %d is %d wide", size, d, i, w)
				}
			}
		}
	}
}

// Nothing of the list of keys is cut off, however narrow the window: its words
// go on below.
func TestKeysAreSaidWhole(t *testing.T) {
	for _, cols := range []int{40, 64, 80, 100} {
		b := opened(t, cols, 24)
		for _, scope := range [][]string{{}, {"m", "enter"}} {
			b.hit(scope...)
			b.hit("?")
			all := strings.Join(b.m.helpLines(), "\n")
			for _, l := range strings.Split(all, "\n") {
				if w := ansi.StringWidth(l); w > cols {
					t.Errorf("%d columns: %d wide: %q", cols, w, l)
				}
			}
			said := strings.Join(strings.Fields(all), " ")
			for _, k := range keys.Table(b.m.under) {
				if !strings.Contains(said, k.Words) {
					t.Errorf("%d columns: %q is not said whole", cols, k.Words)
				}
			}
			b.hit("esc")
		}
	}
}

// In a low window the values stand in the status line where there is room.
func TestValuesInALowWindow(t *testing.T) {
	b := opened(t, 100, 14)
	b.hit("m")
	f, _ := b.m.told()
	for i, tone := range f.Tones {
		if want := munsell(tone) + " " + percent(f.Shares[i]); !strings.Contains(b.status(), want) {
			t.Errorf("no %q in %q", want, b.status())
		}
	}
}

// A question that waits for an arrow is asked whole in the smallest window.
func TestAQuestionIsAskedWhole(t *testing.T) {
	for _, key := range []string{"t", "a"} {
		b := opened(t, 40, 12)
		b.hit("m", "enter", key)
		if s := b.status(); !strings.Contains(s, "which side? an arrow says") {
			t.Errorf("%s: %q", key, s)
		}
	}
}

// Each line of the reading can be read to its end where it has no column.
func TestReadingLinesAreSaidWhole(t *testing.T) {
	b := opened(t, 64, 22)
	b.hit("R")
	for range b.m.shown.lines {
		rows := strings.Split(ansi.Strip(b.m.View()), "\n")
		said := strings.Join(strings.Fields(strings.Join(rows[len(rows)-2:], " ")), " ")
		if want := b.m.readingSentence(); !strings.Contains(said, want) {
			t.Errorf("%q is not said whole: %q", want, said)
		}
		b.hit("j")
	}
}

// The place of the next letter is always seen.
func TestALongTextUnderAThumbnail(t *testing.T) {
	b := opened(t, 60, 20)
	b.hit("y", "T", "n")
	for i := range maxNote {
		b.press(string(rune('a' + i%26)))
		if s := b.status(); !strings.Contains(s, "▏") || !strings.Contains(s, string(rune('a'+i%26))+"▏") {
			t.Fatalf("after %d letters: %q", i+1, s)
		}
	}
	if b.m.note != "" {
		t.Errorf("while it fits: %q", b.m.note)
	}
	b.press("x")
	if b.m.note != "80 characters are the most" {
		t.Errorf("one more letter: %q", b.m.note)
	}
	b.hit("left")
	if b.m.note != "" {
		t.Errorf("after that: %q", b.m.note)
	}
}

// A text under a thumbnail that has none yet begins empty, not behind its number.
func TestATextBeginsEmpty(t *testing.T) {
	b := opened(t, 80, 24)
	b.hit("y", "T", "n", "l", "o", "w", "enter")
	if got := b.m.hist.Thumbnails()[0].Name; got != "low" {
		t.Errorf("named %q", got)
	}
	b.hit("n", "e", "r", "enter")
	if got := b.m.hist.Thumbnails()[0].Name; got != "lower" {
		t.Errorf("went on to %q", got)
	}
}

// Each press for the next paper names another.
func TestEachPaperIsAnother(t *testing.T) {
	b := opened(t, 80, 24)
	b.hit("E")
	before := b.status()
	for range 10 {
		b.hit("p")
		if now := b.status(); now == before {
			t.Errorf("p shows nothing new: %q", now)
		} else {
			before = now
		}
	}
}

// What is compared is called what it is, and its number of values said once.
func TestNamesOfTwo(t *testing.T) {
	b := opened(t, 80, 24)
	b.hit("y", "V", "j", "b")
	for range 3 {
		s := b.status()
		if strings.Contains(s, "thumbnail") || strings.Count(s, "four values") > 1 || strings.Count(s, "two values") > 1 {
			t.Errorf("a variation beside the plan in hand: %q", s)
		}
		b.hit(" ")
	}
	b.hit("esc")
	for range b.m.onWall() {
		if s := b.status(); strings.Count(s, "two values") > 1 || strings.Count(s, "four values") > 1 {
			t.Errorf("said twice: %q", s)
		}
		b.hit("right")
	}
}

// Escape that comes twice at once, held down or over a slow line, is two steps
// back and not none.
func TestTwoEscapesAtOnce(t *testing.T) {
	b := opened(t, 80, 24)
	b.hit("m", "enter", "z")
	b.tell(tea.KeyMsg{Type: tea.KeyEsc, Alt: true})
	b.do()
	if b.m.scope != keys.Studio {
		t.Errorf("left in %s", b.m.scope.Title())
	}
}
