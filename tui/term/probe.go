package term

import (
	"fmt"
	"os"
	"regexp"
	"strings"
	"time"

	"atelier/halflid/tui/cells"
)

// Limit is how long an answer is waited for: more than a round trip across the
// world, and little beside the opening of a photo, during which it passes.
const Limit = 500 * time.Millisecond

// Silence is how long a terminal on the same machine may say nothing at all
// before it is taken for a mute one. Those that answer begin within a few ms;
// over SSH (SSH_CONNECTION or SSH_TTY is set) the whole limit is waited for.
const Silence = 120 * time.Millisecond

// questions is all that is asked, written at once. The place of the cursor is
// asked for before and after a half block to see how wide it is. What a terminal
// prints of it, not knowing better, is wiped at the end. The last question is
// one that every terminal answers, and they answer in order: after it nothing
// else comes.
const questions = "\x1b7" + // remember where the cursor is
	"\x1b[48;2;1;2;3m\x1bP$qm\x1b\\\x1b[m" + // set a colour; which is set?
	"\x1bP+q524742;5463\x1b\\" + // exact colours, by either name (RGB, Tc)?
	"\x1b[?2026$p" + // frames as one?
	"\x1b[16t\x1b[14t" + // size of a cell, of the window
	"\x1b[>0q" + // name and version
	"\x1b[6n▀\x1b[6n" + // width of the half block
	"\x1b8\x1b[m\x1b[K" + // go back and wipe
	fence

const fence = "\x1b[c"

// Probe returns what is known of the terminal out with keys from in after asking
// it, once, for at most limit. It must be called before anything else reads in.
// A terminal that answers costs one round trip, since it answers the last
// question too; a mute one costs Silence or, over SSH, limit. Terminals so old that
// they would print the questions, and files that are no terminals, are not asked,
// nor is any where the system gives no way to wait for keys (not unix).
//
// The painter's word goes before the environment's, that before an answer. What
// he types meanwhile is in Found.Ahead, and with Reader.Resume nothing is lost:
// not keys, not half a key; and answers that come late are taken out. in is made
// raw for the time and restored. An error is a mistake in the settings, found
// before anything is asked, or of the terminal.
func Probe(in, out *os.File, env func(string) string, s Settings, limit time.Duration) (Found, error) {
	tty := isTerminal(in.Fd()) && isTerminal(out.Fd())
	f, err := Known(out.Fd(), tty, env, s)
	if err != nil || !tty || !canAsk || !answers(env) {
		return f, err
	}
	var got []Answer
	f.Asked = true
	began := time.Now()
	f.Ahead, f.Whole, err = ask(in, out, silence(env, limit), limit, func(a Answer) { got = append(got, a) })
	f.Took = time.Since(began)
	if err != nil {
		return f, fmt.Errorf("asking the terminal what it can show: %w", err)
	}
	f.learn(got)
	return f, nil
}

func silence(env func(string) string, limit time.Duration) time.Duration {
	if env("SSH_CONNECTION") != "" || env("SSH_TTY") != "" {
		return limit
	}
	return min(limit, Silence)
}

// learn takes the answers in.
func (f *Found) learn(got []Answer) {
	if f.Whole {
		f.SyncBy = "it did not answer that"
	}
	var window, cursor []Answer
	for _, a := range got {
		switch a.Kind {
		case Text:
			if f.openColours {
				f.learnColours(a.Raw)
			}
			f.learnName(a.Raw)
		case Mode:
			if a.Params[0] == 2026 {
				f.Sync = a.Params[1] >= 1 && a.Params[1] <= 3
				f.SyncBy = "it said so when asked"
			}
		case Window:
			window = append(window, a)
		case Cursor:
			cursor = append(cursor, a)
		}
	}
	if f.openCell {
		f.learnCell(window)
	}
	if len(cursor) == 2 {
		f.learnWidth(cursor[0].Params, cursor[1].Params)
	}
}

// learnWidth goes by where the cursor stood before and after a half block. A
// terminal that knows no UTF-8 shows its three bytes as three letters.
func (f *Found) learnWidth(from, to []int) {
	n := to[1] - from[1]
	if from[0] != to[0] {
		return
	}
	switch n {
	case 1, 2:
		f.HalfBlock, f.HalfBy = n, "seen by where the cursor went"
		f.UTF8, f.UTF8By = true, "seen by where the cursor went"
	case 3:
		f.UTF8, f.UTF8By = false, "a half block was shown as three letters"
	}
}

// setColour is the colour that was set, as terminals report it: with or without
// a colour space, with parameters parted by either sign.
var setColour = regexp.MustCompile(`48[:;]2[:;](?:\d*[:;])?1[:;]2[:;]3(?:[:;m]|$)`)

// learnColours takes in an answer to either question of colours. That exact
// colours are there is believed from any of them.
func (f *Found) learnColours(raw string) {
	body := strings.TrimSuffix(strings.TrimPrefix(raw, "\x1bP"), "\x1b\\")
	switch {
	case len(body) > 3 && body[1:3] == "$r" && setColour.MatchString(body):
		f.Depth, f.DepthBy = cells.TrueColour, "it kept a colour just as it was set"
	case len(body) > 3 && body[1:3] == "$r" && f.Depth != cells.TrueColour && strings.HasSuffix(body, "m"):
		f.DepthBy = "it did not keep a colour as it was set"
	case strings.HasPrefix(body, "1+r") && hasCapability(body[3:]):
		f.Depth, f.DepthBy = cells.TrueColour, "it says that it has exact colours"
	}
}

// hasCapability reports whether RGB or Tc is among the capabilities, NAME or
// NAME=VALUE in hexadecimal.
func hasCapability(list string) bool {
	for _, c := range strings.Split(list, ";") {
		name, _, _ := strings.Cut(c, "=")
		if strings.EqualFold(name, "524742") || strings.EqualFold(name, "5463") {
			return true
		}
	}
	return false
}

func (f *Found) learnName(raw string) {
	name, ok := strings.CutPrefix(raw, "\x1bP>|")
	if !ok {
		return
	}
	f.Name = strings.TrimRight(name, "\x07\x1b\\")
	if hasAny(strings.ToLower(f.Name), repeaters...) {
		f.Repeat, f.RepeatBy = true, "it is "+f.Name
	} else if !f.Repeat {
		f.RepeatBy = f.Name + " is not known to"
	}
}

// learnCell takes a cell's own size before the window's.
func (f *Found) learnCell(window []Answer) {
	told := false
	for _, a := range window {
		if len(a.Params) != 3 {
			continue
		}
		h, w := float64(a.Params[1]), float64(a.Params[2])
		switch {
		case a.Params[0] == 6 && believable(w, h):
			f.CellW, f.CellH, f.CellBy, told = w, h, "it told the size of a cell", true
		case a.Params[0] == 4 && !told:
			if w, h, ok := cellOf(a.Params[2], a.Params[1], f.Cols, f.Rows); ok {
				f.CellW, f.CellH, f.CellBy = w, h, "it told the size of its window"
			}
		}
	}
}
