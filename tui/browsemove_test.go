package tui

import (
	"errors"
	"math/rand"
	"strings"
	"testing"
)

// in fails the test unless the studio of a photo is seen.
func (p *pier) in(name string) {
	p.t.Helper()
	if p.b.studio == nil || p.b.name != name || p.b.move != nil {
		p.t.Fatalf("not in the studio of %s but in %q; move %+v", name, p.b.name, p.b.move)
	}
	if p.open != name {
		p.t.Fatalf("%q is open, seen is %s", p.open, name)
	}
}

func (p *pier) atWall(chosen string) {
	p.t.Helper()
	if p.b.studio != nil || p.b.move != nil {
		p.t.Fatalf("not at the wall but in %s; move %+v", p.b.name, p.b.move)
	}
	if p.chosen() != chosen {
		p.t.Fatalf("chosen is %s, want %s", p.chosen(), chosen)
	}
	if p.open != "" {
		p.t.Fatalf("%s is still held at the wall", p.open)
	}
}

func TestThroughAFolder(t *testing.T) {
	p := newPier(t, 4).begin(100, 30, "")
	p.keys("right", "enter")
	p.in("boat 3.jpg")
	p.keys(".")
	p.keys(">")
	p.in("boat 2.jpg")
	p.keys("3", "<")
	p.in("boat 3.jpg")
	p.keys("W")
	p.atWall("boat 3.jpg")
	want := "open boat 3.jpg, close boat 3.jpg, open boat 2.jpg, close boat 2.jpg, open boat 3.jpg, close boat 3.jpg"
	if got := strings.Join(p.log, ", "); got != want {
		t.Errorf("%s\nwant %s", got, want)
	}
	p.keys("enter", "q")
	if !p.over {
		t.Error("q does not end it")
	}
	if p.open != "boat 3.jpg" {
		t.Errorf("%q is open at the end", p.open)
	}
}

func TestEndsOfTheFolder(t *testing.T) {
	p := newPier(t, 2).begin(100, 30, "")
	p.keys("enter", "<")
	p.in("boat 2.jpg")
	p.says("the first photo of the folder")
	p.keys(">", ">")
	p.in("boat 1.jpg")
	p.says("the last photo of the folder")
	if len(p.log) != 3 {
		t.Errorf("%v", p.log)
	}
}

// Keys that come while the next photo is being read are that photo's, and further
// steps go further.
func TestKeysBetweenPhotos(t *testing.T) {
	p := newPier(t, 9).begin(100, 30, "")
	p.keys("enter")
	p.in("boat 9.jpg")
	for _, k := range []string{">", ".", ".", ">", "2"} {
		p.press(k)
	}
	p.do()
	p.in("boat 7.jpg")
	if got := p.kept["boat 8.jpg"]; got == nil || len(got.changed) == 0 {
		t.Error("the keys for the photo between were lost")
	}
	if k := p.b.studio.plan().Values.K; k != 2 {
		t.Errorf("%d values", k)
	}
}

// A single photo: its folder is looked through when that is asked for.
func TestFromOnePhoto(t *testing.T) {
	p := newPier(t, 12).begin(100, 30, "boat 9.jpg")
	if p.b.listed || p.b.listing {
		t.Error("the folder was looked through unasked")
	}
	p.keys(".", ">")
	p.in("boat 10.jpg")
	p.keys("<", "<")
	p.in("boat 8.jpg")
	p.keys("W")
	p.atWall("boat 8.jpg")
	p.says("by name")
	p = newPier(t, 3).begin(100, 30, "boat 2.jpg")
	p.keys("q")
	if !p.over || p.b.listed {
		t.Errorf("over %v, folder looked through %v", p.over, p.b.listed)
	}
	p = newPier(t, 3)
	p.broken["boat 2.jpg"] = errors.New("boat 2.jpg: damaged")
	p.begin(100, 30, "boat 2.jpg")
	if !p.over || p.b.err == nil || p.b.err.Error() != "boat 2.jpg: damaged" {
		t.Errorf("over %v, error %v", p.over, p.b.err)
	}
	p = newPier(t, 3)
	p.listErr = errors.New("harbour may not be looked into")
	p.begin(100, 30, "boat 2.jpg").keys(">")
	p.in("boat 2.jpg")
	p.says("may not be looked into")
}

// A photo that cannot be read or opened leads to the wall, where it says why.
func TestPhotosThatDoNotOpen(t *testing.T) {
	for _, when := range []string{"reading", "opening"} {
		p := newPier(t, 4)
		err := errors.New("boat 3.jpg: cut short")
		if when == "reading" {
			p.gone["boat 3.jpg"] = err
		} else {
			p.broken["boat 3.jpg"] = err
		}
		p.begin(100, 30, "")
		p.keys("right", "enter")
		p.atWall("boat 3.jpg")
		p.says("cut short")
		p.keys("left", "enter")
		p.in("boat 4.jpg")
		p.keys(">")
		p.atWall("boat 3.jpg")
		p.says("cut short")
		p.keys("right", "enter")
		p.in("boat 2.jpg")
	}
}

// A plan that cannot be saved is not left.
func TestUnsavedIsNotLeft(t *testing.T) {
	p := newPier(t, 4).begin(100, 30, "")
	p.keys("enter")
	p.failing = errors.New("the disk is full")
	for _, k := range []string{">", "W", "<"} {
		p.keys(k)
		if k == "<" {
			p.says("first photo")
			continue
		}
		p.in("boat 4.jpg")
		p.says("the disk is full")
	}
	p.keys("2")
	if len(p.kept["boat 4.jpg"].changed) == 0 {
		t.Error("it cannot be worked on any more")
	}
	p.failing = nil
	p.keys(">")
	p.in("boat 3.jpg")
}

// What an older studio still sends changes nothing in the one that is seen.
func TestOlderStudiosAreNotHeard(t *testing.T) {
	p := newPier(t, 4).begin(100, 30, "")
	p.keys("enter")
	old := p.b.studio
	p.keys(">")
	old.send(noteMsg("from the past"))
	p.do()
	p.in("boat 3.jpg")
	if s := p.screen(); strings.Contains(s, "from the past") {
		t.Errorf("an older studio is heard:\n%s", s)
	}
}

// Esc calls off what was begun at the wall.
func TestOpeningIsCalledOff(t *testing.T) {
	p := newPier(t, 4).begin(100, 30, "")
	p.press("enter")
	p.press("esc")
	p.do()
	p.atWall("boat 4.jpg")
	if len(p.log) != 0 {
		t.Errorf("%v", p.log)
	}
}

// Any keys in any order, with photos that do not open and plans that cannot be
// saved now and then: never two photos at once, and what is seen is what is open.
func TestRandomWalks(t *testing.T) {
	names := []string{">", "<", "W", "enter", "right", "left", "down", "up", "tab", "esc", ".", "3", "T", "m", "?", "b", "backspace"}
	for seed := range 12 {
		rnd := rand.New(rand.NewSource(int64(seed)))
		p := newPier(t, 1+rnd.Intn(6))
		for _, s := range p.shots {
			switch rnd.Intn(6) {
			case 0:
				p.broken[s.Name] = errors.New("damaged")
			case 1:
				p.gone[s.Name] = errors.New("gone")
			case 2:
				p.planned[s.Name] = true
			}
		}
		p.begin(70, 20, "")
		for range 60 {
			p.failing = nil
			if rnd.Intn(8) == 0 {
				p.failing = errors.New("the disk is full")
			}
			p.press(names[rnd.Intn(len(names))])
			if rnd.Intn(3) > 0 {
				p.do()
				if p.b.studio != nil && p.b.move == nil && p.open != p.b.name || p.b.studio == nil && p.open != "" {
					t.Fatalf("seed %d: open is %q, seen %q", seed, p.open, p.b.name)
				}
			}
			_ = p.screen()
		}
		p.failing = nil
		p.do()
		if p.b.err != nil {
			t.Fatalf("seed %d: %v", seed, p.b.err)
		}
		if p.b.move != nil {
			t.Fatalf("seed %d: a move never ends: %+v", seed, p.b.move)
		}
	}
}

// What still runs for a photo ends when it is left, for the one that was begun with
// as for one that was chosen on the wall.
func TestWhatRunsEndsWithThePhoto(t *testing.T) {
	p := newPier(t, 2).begin(100, 30, "boat 1.jpg")
	for _, name := range []string{"boat 1.jpg", "boat 2.jpg"} {
		if p.b.studio == nil || p.b.name != name {
			t.Fatalf("%s is not open:\n%s", name, p.screen())
		}
		its := p.b.studio.ctx
		if its.Err() != nil {
			t.Errorf("%s has ended before it is left", name)
		}
		p.keys("W")
		if its.Err() == nil {
			t.Errorf("%s goes on behind the wall", name)
		}
		p.keys("right", "enter")
	}
}
