package mass

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"atelier/halflid/imageproc"
	"atelier/halflid/palette"
	"atelier/halflid/palette/oracle"
)

// TestTonesAlwaysRise: whatever the tones and areas of the values, what is
// painted rises, within 0..100, and tones that rise already stay.
func TestTonesAlwaysRise(t *testing.T) {
	rng := rand.New(rand.NewPCG(105, 1))
	for range 20000 {
		n := 1 + rng.IntN(9)
		tones, area := make([]palette.L, n), make([]float64, n)
		for k := range tones {
			tones[k] = palette.L(math.NaN())
			if rng.IntN(3) > 0 {
				area[k] = float64(1 + rng.IntN(50))
				tones[k] = palette.L([]float64{0, 0, 100, 100 * rng.Float64(), 1e-9, 50}[rng.IntN(6)])
			}
		}
		got := slices.Clone(tones)
		riseTones(got, area)
		fillTones(got)
		last, stay := palette.L(-1), true
		for k, v := range tones {
			if k > 0 && !(got[k] > got[k-1]) || !(got[k] >= 0 && got[k] <= 100) {
				t.Fatalf("tones %v of %v became %v", tones, area, got)
			}
			if area[k] > 0 {
				// Room for the empty ones below, and above the last.
				stay = stay && v > last && v > 0 && v < 100
				last = v
			}
		}
		for k, v := range tones {
			if stay && area[k] > 0 && got[k] != v {
				t.Fatalf("tones %v became %v although they rose", tones, got)
			}
		}
	}
}

// TestToneUnderBlack: an empty value under one painted black is black, and that
// one half an L* lighter.
func TestToneUnderBlack(t *testing.T) {
	nan := palette.L(math.NaN())
	for _, c := range [][2][]palette.L{
		{{nan, 0, 50}, {0, .5, 50}},
		{{50, 100, nan}, {50, 99.5, 100}},
		{{nan, 0, .2}, {0, .5, 1}},
		{{nan, 0, .7}, {0, .5, .7}},
	} {
		got := slices.Clone(c[0])
		fillTones(got)
		for i := range got {
			oracle.Close(t, "tone", float64(got[i]), float64(c[1][i]), 1e-9)
		}
	}
}

// What the painter gives a value does not move the tones: they are what the photo
// has of each value.
func TestToneOfWhatWasSaid(t *testing.T) {
	b := build(t, harbour(160, 120, 3), Options{})
	all := func(c Cutting) Plan {
		c.Values, c.BrushMark = 3, -1
		return b.Values(c).Shapes(imageproc.Labels{}, math.MaxInt)
	}
	before := all(Cutting{})
	light := -1 // the largest base shape of the lightest value
	for i := range b.shapes {
		if l := b.grouped(Cutting{Values: 3}); int(l.group[b.shapes[i].class]) == 2 {
			light = i
			break
		}
	}
	after := all(Cutting{Fixed: []Fixed{{light, 0}}})
	if after.Shares[0] <= before.Shares[0] {
		t.Fatalf("the dark has %g of the picture, before %g", after.Shares[0], before.Shares[0])
	}
	if after.Tones[0] != before.Tones[0] {
		t.Errorf("the dark is painted %g, before %g", after.Tones[0], before.Tones[0])
	}
	// A value of which the painter said everything keeps the photo's tone.
	var fixed []Fixed
	for i := range b.shapes {
		fixed = append(fixed, Fixed{i, 1})
	}
	if one := all(Cutting{Fixed: fixed}); len(one.Shapes) != 1 || math.Abs(float64(one.Tones[1]-before.Tones[1])) > 1e-9 {
		t.Errorf("all in the middle value is painted %g in %d shapes, the photo's middle is %g", one.Tones[1], len(one.Shapes), before.Tones[1])
	}
}
