package plan

// valueNames are the words for 1 to MaxK values, dark to light.
var valueNames = [MaxK][]string{
	{"tone"},
	{"dark", "light"},
	{"dark", "middle", "light"},
	{"dark", "half-dark", "half-light", "light"},
	{"darkest", "dark", "middle", "light", "lightest"},
}

// ValueName returns the painter's word for value i of k, 0 the darkest; k is 1 to
// MaxK. It panics outside. Source: common practice, no source.
func ValueName(i, k int) string { return valueNames[k-1][i] }
