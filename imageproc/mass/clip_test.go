package mass

import (
	"image"
	"slices"
	"testing"
)

// TestClipKeepsGroups: as long as every base value is left, a clip groups them
// as the region does, wherever it lies; when some are gone, it has as many
// values as it can.
func TestClipKeepsGroups(t *testing.T) {
	b := build(t, harbour(300, 200, 6), Options{})
	whole, fewer := 0, 0
	for x := 0; x <= 150; x += 25 {
		for _, w := range []int{150, 20} {
			c := b.Clip(image.Rect(x, 20, x+w, 180))
			if len(c.class) == len(b.class) {
				whole++
				if !slices.Equal(c.chain.nested, b.chain.nested) || !slices.Equal(c.chain.free, b.chain.free) {
					t.Errorf("from %d on, %d wide: cuts %b, the region has %b", x, w, c.chain.nested, b.chain.nested)
				}
				continue
			}
			fewer++
			for k := 2; k <= min(len(c.class), mostValues); k++ {
				if got := c.Values(Cutting{Values: k}).K(); got != k {
					t.Errorf("from %d on, %d wide: %d values, %d wanted", x, w, got, k)
				}
			}
		}
	}
	if whole == 0 || fewer == 0 {
		t.Errorf("%d clips with all base values, %d with fewer: not both were tried", whole, fewer)
	}
}

// TestAmong: the chain among all base values is the chain itself, and what cuts
// cost among some is what they cost among all.
func TestAmong(t *testing.T) {
	c := blockBase(t, []float64{10, 20, 35, 50, 65, 90}, 3, 2).chain
	all := c.among([]int32{0, 1, 2, 3, 4, 5})
	if !slices.Equal(all.cost, c.cost) || !slices.Equal(all.nested, c.nested) {
		t.Errorf("cuts %b, want %b", all.nested, c.nested)
	}
	some := c.among([]int32{1, 3, 4}) // parted behind 1 and behind 3
	if want := []float64{c.cost[0], c.cost[1<<1], c.cost[1<<3], c.cost[1<<1|1<<3]}; !slices.Equal(some.cost, want) {
		t.Errorf("costs %v, want %v", some.cost, want)
	}
}
