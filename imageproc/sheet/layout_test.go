package sheet

import (
	"math/rand/v2"
	"os"
	"strings"
	"testing"

	"atelier/halflid/imageproc/page"
	"atelier/halflid/imageproc/plan"
)

// eachItem calls words for each text among items, and extent for what is seen of
// each other item.
func eachItem(items []page.Item, clip page.Rect, words func(page.Text), extent func(page.Rect)) {
	show := func(r page.Rect) {
		if clip.W > 0 {
			x0, y0 := max(r.X, clip.X), max(r.Y, clip.Y)
			r = page.Rect{X: x0, Y: y0, W: min(r.X+r.W, clip.X+clip.W) - x0, H: min(r.Y+r.H, clip.Y+clip.H) - y0}
			if r.W < 0 || r.H < 0 {
				return
			}
		}
		extent(r)
	}
	for _, it := range items {
		switch it := it.(type) {
		case page.Group:
			if it.Shift != (page.Point{}) {
				panic("shifted groups are not looked at")
			}
			eachItem(it.Items, it.Clip, words, extent)
		case page.Text:
			words(it)
		case page.Picture:
			show(it.At)
		case page.Path:
			for _, l := range it.Lines {
				for _, s := range l.Segments {
					for _, p := range []page.Point{s.From, s.C1, s.C2, s.To} {
						show(page.Rect{X: p.X, Y: p.Y})
					}
				}
			}
		}
	}
}

// On every kind of sheet, on all papers, of random plans: no words over other
// words, and nothing in the margins that printers leave blank.
func TestNoWordsOverWordsAndEvenMargins(t *testing.T) {
	papers := []string{"letter", "a4", "a5", "a3", "140x200mm", "300x500mm"}
	panels := []string{"6x8", "5x7 upright", "square", "18x24", "a5 upright", "free", "12x16", "11x14 upright"}
	r := rand.New(rand.NewPCG(5, 9))
	rounds := 14
	if os.Getenv("HALFLID_HEAVY") != "" {
		rounds = 200
	}
	seen := map[string]bool{}
	for i := range rounds {
		name, panel := papers[i%len(papers)], panels[i%len(panels)]
		s := sceneOf(t, panel, 2+r.IntN(4), 4+r.IntN(60), uint64(i))
		if r.IntN(2) == 0 {
			s.plan = plan.ResizeCrop(0.4+r.Float64()/2)(s.plan, s.frame)
		}
		o := Options{Kinds: Kinds(), Paper: paper(t, name), Fill: r.IntN(2) == 0, Mirror: r.IntN(2) == 0}
		o.Title = strings.Repeat("A boatyard at low tide ", 1+r.IntN(6))
		o.Note = strings.Repeat("Squint first, then draw the large shapes. ", r.IntN(30))
		o.Grid = []plan.Grid{{}, {Across: 3, Down: 4}, {Every: 1, Unit: plan.Inch}, {Every: 2, Unit: plan.Centimetre}, {Across: 2, Down: 2, Diagonals: true}}[r.IntN(5)]
		s.kept = s.kept[:1+r.IntN(5)]
		d, _ := s.compose(t, o)
		for _, p := range d.Pages {
			kind, _, _ := strings.Cut(p.Name, "-")
			seen[kind] = true
			checkPage(t, name+", "+panel, p)
		}
	}
	for _, k := range Kinds() {
		if !seen[string(k)] {
			t.Errorf("no page of %s was looked at", k)
		}
	}
}

func checkPage(t *testing.T, what string, p page.Page) {
	t.Helper()
	type placed struct {
		r page.Rect
		t page.Text
	}
	var all []placed
	in := func(r page.Rect, of string) {
		const slack = 0.05
		if r.X < margin-slack || r.Y < margin-slack || r.X+r.W > p.W-margin+slack || r.Y+r.H > p.H-margin+slack {
			t.Errorf("%s, %s: %s reaches into the margin: %.2f, paper %.1f by %.1f", what, p.Name, of, r, p.W, p.H)
		}
	}
	for _, l := range p.Layers {
		eachItem(l.Items, page.Rect{}, func(w page.Text) {
			r := textBox(w)
			r.H = page.Cap(w.Size)
			in(r, w.Words)
			for _, o := range all {
				if r.X < o.r.X+o.r.W && o.r.X < r.X+r.W && r.Y < o.r.Y+o.r.H && o.r.Y < r.Y+r.H {
					t.Errorf("%s, %s: %q lies over %q", what, p.Name, w.Words, o.t.Words)
				}
			}
			all = append(all, placed{r, w})
		}, func(r page.Rect) { in(r, l.ID) })
	}
	found := ""
	for _, o := range all {
		found += o.t.Words + "\n"
	}
	for _, want := range []string{"print at 100 %", "page ", "plan ", "0 mm", "0 in"} {
		if !strings.Contains(found, want) {
			t.Errorf("%s: %s says no %q", what, p.Name, want)
		}
	}
}

// Each number stands whole in one mass, its own unless a line leads to it; and
// nearly all masses have one.
func TestNumbersStandInMasses(t *testing.T) {
	masses, numbered := 0, 0
	for seed := range uint64(12) {
		s := sceneOf(t, []string{"6x8", "18x24 upright", "12x16"}[seed%3], 2+int(seed)%4, 60, seed)
		_, m := s.compose(t, Options{})
		w, h, _ := trueSize(m, Options{})
		numbers := placeNumbers(m.Map, w, h, numberSize(w, h), sizeSmall, gridLines(plan.Grid{Every: 2, Unit: plan.Centimetre}, w, h), nil)
		masses, numbered = masses+len(m.Map.Regions), numbered+len(numbers)
		labels := m.Figures.Map
		value := func(x, y float64) int {
			return m.Figures.List[labels.At(int(x/w*float64(labels.W)), int(y/h*float64(labels.H)))].Value
		}
		for _, n := range numbers {
			if !n.led && n.on != n.value {
				t.Errorf("seed %d: number %d stands on value %d", seed, n.value+1, n.on+1)
			}
			if n.led && value(n.from.X, n.from.Y) != n.value {
				t.Errorf("seed %d: a line leads from number %d to another value", seed, n.value+1)
			}
			dx, dy := page.Width("4", n.size, false)/2, page.Cap(n.size)/2
			for _, c := range [][2]float64{{0, 0}, {-dx, -dy}, {dx, -dy}, {-dx, dy}, {dx, dy}} {
				if v := value(n.at.X+c[0], n.at.Y+c[1]); v != n.on {
					t.Errorf("seed %d: number %d reaches into value %d", seed, n.value+1, v+1)
				}
			}
		}
	}
	if numbered < masses*99/100 {
		t.Errorf("%d of %d masses have a number", numbered, masses)
	}
}

// A panel larger than the paper comes in tiles of one size that cover it whole,
// share 10 mm and are no more than need be. Counts reckoned by hand from the room
// on the page.
func TestTiles(t *testing.T) {
	for _, c := range []struct {
		paper string
		w, h  float64
		want  int
	}{{"letter", 203.2, 152.4, 1}, {"letter", 152.4, 203.2, 1}, {"a4", 180, 240, 1}, {"a4", 240, 180, 2}, {"a3", 240, 300, 1}, {"letter", 304.8, 406.4, 4}, {"a5", 203.2, 152.4, 2}} {
		ti := tilesOn(paper(t, c.paper), c.w, c.h, keyHeight+keyGap)
		if n := ti.across * ti.down; n != c.want {
			t.Errorf("%s, %g by %g mm: %d tiles, want %d", c.paper, c.w, c.h, n, c.want)
		}
		room := roomOn(paper(t, c.paper), ti.turned)
		last := ti.tile(ti.across-1, ti.down-1)
		if !near(last.X+last.W, c.w) || !near(last.Y+last.H, c.h) || ti.tile(0, 0).X != 0 || ti.tile(0, 0).Y != 0 {
			t.Errorf("%s: the tiles do not cover %g by %g mm", c.paper, c.w, c.h)
		}
		if last.W > room.W+1e-9 || last.H > room.H-keyHeight-keyGap+1e-9 {
			t.Errorf("%s: a tile of %.1f by %.1f mm has no room", c.paper, last.W, last.H)
		}
		for x := 1; x < ti.across; x++ {
			if a, b := ti.tile(x-1, 0), ti.tile(x, 0); !near(a.X+a.W-b.X, overlap) {
				t.Errorf("%s: tiles share %.2f mm", c.paper, a.X+a.W-b.X)
			}
		}
	}
}

func near(a, b float64) bool { return a-b < 1e-6 && b-a < 1e-6 }

// textBox returns the place that a text takes: from the top of its letters to the
// bottom of the longest.
func textBox(t page.Text) page.Rect {
	w := page.Width(t.Words, t.Size, t.Bold)
	x := t.At.X
	switch t.Anchor {
	case page.Middle:
		x -= w / 2
	case page.End:
		x -= w
	}
	return page.Rect{X: x, Y: t.At.Y - page.Cap(t.Size), W: w, H: page.Cap(t.Size) + page.Descent(t.Size)}
}
