package page

import (
	"bytes"
	"math"
	"regexp"
	"testing"
)

func onePage(items ...Item) Document {
	return Document{Title: "a", Pages: []Page{{Name: "a", W: 60, H: 60, Layers: []Layer{{ID: "clip1", Items: items}}}}}
}

// What lies in a clip within another that it does not meet is not drawn, nor is
// anything between the two. As PDF 32000-1:2008 8.5.4 and SVG 2 have it: clips
// intersect.
func TestClipsThatDoNotMeetShowNothing(t *testing.T) {
	full := Path{Lines: []Line{Box(Rect{W: 60, H: 60})}, Fill: Grey(0)}
	for _, inner := range []Rect{{40, 0, 10, 60}, {0, 40, 60, 10}, {40, 40, 10, 10}} {
		d := onePage(Group{Clip: Rect{5, 5, 10, 10}, Items: []Item{Group{Clip: inner, Items: []Item{full}}}})
		for i, v := range Draw(d.Pages[0], 50).Pix {
			if v != 255 {
				t.Fatalf("clip %v: pixel %d is %d, want white", inner, i/4, v)
			}
		}
	}
}

// An id stands once in an SVG, also where a layer bears a name like a clip's.
func TestEachIDOnce(t *testing.T) {
	var b bytes.Buffer
	if err := WriteSVG(&b, onePage(Group{Clip: Rect{5, 5, 10, 10}}), 0); err != nil {
		t.Fatal(err)
	}
	seen := map[string]bool{}
	for _, m := range regexp.MustCompile(` id="([^"]*)"`).FindAllStringSubmatch(b.String(), -1) {
		if seen[m[1]] {
			t.Errorf("id %q twice", m[1])
		}
		seen[m[1]] = true
	}
	if len(seen) != 2 {
		t.Errorf("%d ids, want 2", len(seen))
	}
}

// Dashes that are no lengths are a programmer's mistake.
func TestDashesAreLengths(t *testing.T) {
	for _, dash := range [][]float64{{-1, 3}, {math.NaN(), 1}, {1, math.Inf(1)}} {
		func() {
			defer func() {
				if recover() == nil {
					t.Errorf("dashes %v are taken", dash)
				}
			}()
			onePage(Path{Lines: []Line{{Segments: []Segment{Straight(Point{0, 0}, Point{9, 0})}}}, Stroke: Grey(0), Width: 1, Dash: dash}).one(0)
		}()
	}
}
