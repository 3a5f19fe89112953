package quality

import (
	"fmt"
	"sync"
	"testing"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/mass"
)

// settings are the numbers of values and shapes that plans are compared at.
var settings = [4][2]int{{2, 6}, {3, 12}, {4, 24}, {5, 40}}

// method makes a plan of at most s shapes in k values.
type method struct {
	name string
	ours bool
	plan func(pic imageproc.Picture, base *mass.Base, k, s int) Flat
}

func ours(how mass.Method) func(imageproc.Picture, *mass.Base, int, int) Flat {
	return func(_ imageproc.Picture, base *mass.Base, k, s int) Flat { return flatOf(base, how, k, s) }
}

func blurred(share float64, equal bool) func(imageproc.Picture, *mass.Base, int, int) Flat {
	return func(pic imageproc.Picture, _ *mass.Base, k, s int) Flat { return Blurred(pic, share, k, s, equal) }
}

// methods are compared; the first is the reference, the second what the program
// does.
var methods = []method{
	{"blur 1 % + least error", false, blurred(.01, false)},
	{"plan, nested values", true, ours(mass.Nested)},
	{"plan, least error", true, ours(mass.LeastError)},
	{"blur 0.5 % + least error", false, blurred(.005, false)},
	{"blur 1 % + equal steps", false, blurred(.01, true)},
	{"k-means, no blur", false, blurred(0, false)},
}

// plansOf holds the plan of each method at each setting.
type plansOf [][4]Flat

// table holds the measures of one picture, or their means, by method and
// setting.
type table [][4]Measures

// measureAll makes and measures all plans of each picture; see does something
// with the plans (nil: nothing). Pictures are done two at a time; the results
// do not depend on it.
func measureAll(t testing.TB, samples []sample, see func(i int, plans plansOf)) []table {
	t.Helper()
	out := make([]table, len(samples))
	room := make(chan struct{}, 2)
	var all sync.WaitGroup
	for n, s := range samples {
		base := baseOf(t, s.pic, mass.Options{})
		room <- struct{}{}
		all.Go(func() {
			defer func() { <-room }()
			photo, plans, measures := New(s.pic), make(plansOf, len(methods)), make(table, len(methods))
			for m, how := range methods {
				for i, ks := range settings {
					f := how.plan(s.pic, base, ks[0], ks[1])
					plans[m][i], measures[m][i] = f, photo.Measure(f.Values, f.Shapes, f.Tones)
				}
			}
			if out[n] = measures; see != nil {
				see(n, plans)
			}
		})
	}
	all.Wait()
	return out
}

// meanTable returns the means over pictures.
func meanTable(all []table) table {
	out := make(table, len(methods))
	for m := range methods {
		for i := range settings {
			var column []Measures
			for _, one := range all {
				column = append(column, one[m][i])
			}
			out[m][i] = Mean(column)
		}
	}
	return out
}

// costs returns method m's cost at each setting and their mean.
func (tab table) costs(m int) (each [4]float64, mean float64) {
	for i := range settings {
		each[i] = Cost(tab[m][i], tab[0][i])
		mean += each[i] / 4
	}
	return each, mean
}

// print writes the table.
func (tab table) print(t testing.TB, title string) {
	t.Helper()
	say(t, "\n%s\n%-26s %4s %6s %6s %6s %5s %5s %5s %5s %5s  %s", title, "", "S", "rmse1", "rmse2", "blen", "thin", "prec", "rec", "ef", "inv", "cost,  at 2:6  3:12  4:24  5:40")
	for m, how := range methods {
		mean := Mean(tab[m][:])
		each, cost := tab.costs(m)
		say(t, "%-26s %4d %6.2f %6.2f %6.2f %5.3f %5.3f %5.3f %5.3f %5.3f  %.3f  %.3f %.3f %.3f %.3f", how.name, mean.Shapes, mean.Error1, mean.Error2,
			mean.Outline, mean.Thin, mean.Precision, mean.Recall, mean.F, mean.Invented, cost, each[0], each[1], each[2], each[3])
	}
}

// say writes a line of what the run prints, without the line of the source.
func say(t testing.TB, format string, args ...any) {
	fmt.Fprintf(t.Output(), format+"\n", args...)
}

// checkBest holds the plan with nested values, in the mean over the pictures,
// to be the best of the table on every leading measure: cost at each number of
// values and shapes; precision, F of edges, thin parts and invented border in
// the mean over these. Squint error and length of outline have no bar of their
// own, as each can be bought with the other; both are in the cost.
func checkBest(t testing.TB, tab table) {
	t.Helper()
	plan := Mean(tab[1][:])
	costs, _ := tab.costs(1)
	for m, how := range methods {
		if how.ours {
			continue
		}
		other := Mean(tab[m][:])
		each, _ := tab.costs(m)
		for i, ks := range settings {
			if !(costs[i] < each[i]) {
				t.Errorf("%d values, %d shapes: cost %.3f, %s has %.3f", ks[0], ks[1], costs[i], how.name, each[i])
			}
		}
		if !(plan.Precision > other.Precision) {
			t.Errorf("precision %.3f, %s has %.3f", plan.Precision, how.name, other.Precision)
		}
		if !(plan.F > other.F) {
			t.Errorf("F of edges %.3f, %s has %.3f", plan.F, how.name, other.F)
		}
		if !(plan.Thin < other.Thin) {
			t.Errorf("thin parts %.3f, %s has %.3f", plan.Thin, how.name, other.Thin)
		}
		if !(plan.Invented < other.Invented) {
			t.Errorf("invented border %.3f, %s has %.3f", plan.Invented, how.name, other.Invented)
		}
	}
}

// TestQuality compares the plan with the generic ways on the pictures that the
// project carries and, when everything is wanted, on those in HALFLID_PHOTOS;
// it fails if the plan is not the best. It writes a sheet of each picture into
// the folder HALFLID_SHEETS.
func TestQuality(t *testing.T) {
	t.Run("carried", func(t *testing.T) {
		tab := compare(t, "pictures the project carries", carried(t))
		m := Mean(tab[1][:])
		if _, cost := tab.costs(1); !(cost < .69) || m.Precision < .92 || m.F < .855 || m.Thin > .025 || m.Invented > .015 {
			t.Errorf("cost %.3f, precision %.3f, F %.3f, thin parts %.3f, invented %.3f: the bars are .69, .92, .855, .025, .015",
				cost, m.Precision, m.F, m.Thin, m.Invented)
		}
	})
	t.Run("photographs", func(t *testing.T) {
		if !heavy() {
			t.Skip("slow: set HALFLID_HEAVY=1 and HALFLID_PHOTOS")
		}
		photos := photographs(t, 768)
		if len(photos) == 0 {
			t.Skip("HALFLID_PHOTOS names no folder of photographs")
		}
		compare(t, "photographs in HALFLID_PHOTOS", photos)
	})
}

// compare prints the tables of samples, holds them and returns the means.
func compare(t *testing.T, title string, samples []sample) table {
	t.Helper()
	all := measureAll(t, samples, func(i int, plans plansOf) { writeSheet(t, samples[i], plans) })
	tab := meanTable(all)
	tab.print(t, title)
	say(t, "\neach picture: nested values at 4 values, 24 shapes, and cost beside the reference")
	for i, one := range all {
		m := one[1][2]
		say(t, "%-22s rmse1 %5.2f blen %5.2f thin %.3f prec %.3f ef %.3f inv %.3f cost %.3f", samples[i].name, m.Error1, m.Outline, m.Thin, m.Precision, m.F, m.Invented, Cost(m, one[0][2]))
	}
	checkBest(t, tab)
	return tab
}
