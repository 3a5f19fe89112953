package plan

import "testing"

// No two values of a plan have one name; the first is dark, the last light.
func TestValueName(t *testing.T) {
	for k := MinK; k <= MaxK; k++ {
		seen := map[string]bool{}
		for i := range k {
			seen[ValueName(i, k)] = true
		}
		if len(seen) != k {
			t.Errorf("%d values have %d names", k, len(seen))
		}
		first, last := ValueName(0, k), ValueName(k-1, k)
		if first != "dark" && first != "darkest" || last != "light" && last != "lightest" {
			t.Errorf("%d values go from %s to %s", k, first, last)
		}
	}
}
