package mass

import (
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"atelier/halflid/imageproc"
	"atelier/halflid/palette/oracle"
)

// digits reads labels from rows of digits joined by '/'.
func digits(t testing.TB, rows string) imageproc.Labels {
	t.Helper()
	lines := strings.Split(rows, "/")
	l := imageproc.NewLabels(len(lines[0]), len(lines))
	for y, line := range lines {
		if len(line) != l.W {
			t.Fatalf("row %d of %q has another length", y, rows)
		}
		for x, c := range line {
			l.Pix[y*l.W+x] = int32(c - '0')
		}
	}
	return l
}

// ofValue counts the components that carry value v and lists their areas.
func ofValue(values, comp imageproc.Labels, n int, v int32) (int, []int) {
	area := make([]int, n)
	for i, p := range comp.Pix {
		if values.Pix[i] == v {
			area[p]++
		}
	}
	area = slices.DeleteFunc(area, func(a int) bool { return a == 0 })
	slices.Sort(area)
	return len(area), area
}

// Hand count, cross-checked with scipy.ndimage.label 1.10.1 and
// skimage.measure.euler_number 0.19.3.
func TestComponentsPublished(t *testing.T) {
	for _, r := range oracle.Load(t, "t07_components.csv", 12).Rows {
		name, v := r.Text(t, "name"), digits(t, r.Text(t, "rows"))
		for _, conn := range []string{"4", "8"} {
			comp := imageproc.NewLabels(v.W, v.H)
			n, euler := Components(comp, v), Euler4(v, 1)
			if conn == "8" {
				n, euler = Components8(comp, v), Euler8(v, 1)
			}
			count, areas := ofValue(v, comp, n, 1)
			oracle.Close(t, name+" components "+conn, float64(count), r.Num(t, "comp"+conn), 0)
			oracle.Close(t, name+" Euler "+conn, float64(euler), r.Num(t, "euler"+conn), 0)
			var want []int
			for _, f := range strings.Fields(r.Text(t, "areas"+conn)) {
				a, err := strconv.Atoi(f)
				if err != nil {
					t.Fatal(err)
				}
				want = append(want, a)
			}
			if !slices.Equal(areas, want) {
				t.Errorf("%s: areas %s-connected %v, want %v", name, conn, areas, want)
			}
			holes := r.Num(t, "holes_for_"+conn+"conn_fg")
			oracle.Close(t, name+" holes by Euler "+conn, float64(count-euler), holes, 0)
			oracle.Close(t, name+" holes by counting "+conn, float64(holesIn(v, conn == "4")), holes, 0)
		}
		border := 0
		for _, p := range outline(v, 1) {
			border += p
		}
		oracle.Close(t, name+" outline", float64(border), r.Num(t, "perimeter_edges"), 0)
	}
}

// holesIn counts the connected parts of what is not of value 1, but for the one
// that reaches the picture's frame. Background touches at corners where what it
// surrounds does not.
func holesIn(v imageproc.Labels, corners bool) int {
	framed := imageproc.NewLabels(v.W+2, v.H+2)
	for y := range v.H {
		for x := range v.W {
			if v.At(x, y) == 1 {
				framed.Pix[(y+1)*framed.W+x+1] = 1
			}
		}
	}
	comp := imageproc.NewLabels(framed.W, framed.H)
	n := 0
	if corners {
		n = Components8(comp, framed)
	} else {
		n = Components(comp, framed)
	}
	parts, _ := ofValue(framed, comp, n, 0)
	return parts - 1
}

// outline counts, a row of the picture each, the pixel sides between value v
// and anything else, the picture's edge included.
func outline(l imageproc.Labels, v int32) []int {
	framed := imageproc.NewLabels(l.W+2, l.H+2)
	for y := range l.H {
		for x := range l.W {
			if l.At(x, y) == v {
				framed.Pix[(y+1)*framed.W+x+1] = 1
			}
		}
	}
	var out []int
	for _, b := range Adjacency(framed, 2) {
		out = append(out, int(b.Len))
	}
	return out
}

// scipyPicture reads t07_components_scipy.csv, whose rows have no columns to
// name: 40 rows "q" of pixels, then counts and sizes.
func scipyPicture(t *testing.T) (v imageproc.Labels, want map[string][]int) {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(oracle.Root(t), "testdata", "published", "t07_components_scipy.csv"))
	if err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(strings.TrimSpace(string(data)), "\n")
	if !strings.HasPrefix(lines[0], "#") || len(lines) != 44 {
		t.Fatalf("table of %d lines, first %q", len(lines), lines[0])
	}
	v = imageproc.Labels{W: 48}
	want = map[string][]int{}
	for _, line := range lines[1:] {
		f := strings.Split(strings.TrimSpace(line), ",")
		var nums []int
		for _, s := range f[1:] {
			n, err := strconv.Atoi(s)
			if err != nil {
				t.Fatal(err)
			}
			nums = append(nums, n)
		}
		if f[0] != "q" {
			want[f[0]] = nums
			continue
		}
		v.H++
		for _, n := range nums {
			v.Pix = append(v.Pix, int32(n))
		}
	}
	if len(v.Pix) != 48*40 || v.H != 40 {
		t.Fatalf("picture of %d pixels", len(v.Pix))
	}
	return v, want
}

// scipy.ndimage.label 1.10.1 on a 48x40 picture of three values.
func TestComponentsLarge(t *testing.T) {
	v, want := scipyPicture(t)
	comp := imageproc.NewLabels(v.W, v.H)
	var l Labeller
	n8 := l.Components8(comp, v)
	oracle.Close(t, "count 8", float64(n8), float64(want["count8"][0]), 0)
	n4 := l.Components(comp, v)
	oracle.Close(t, "count 4", float64(n4), float64(want["count4"][0]), 0)
	sizes := Areas(nil, comp, n4)
	slices.Sort(sizes)
	for i, w := range want["sizes4"] {
		oracle.Close(t, "size", float64(sizes[i]), float64(w), 0)
	}
	if len(sizes) != len(want["sizes4"]) {
		t.Errorf("%d sizes, want %d", len(sizes), len(want["sizes4"]))
	}
}

// flood is the plain way: fill from each pixel not yet numbered.
func flood(v imageproc.Labels, corners bool) (imageproc.Labels, int) {
	out := imageproc.NewLabels(v.W, v.H)
	for i := range out.Pix {
		out.Pix[i] = -1
	}
	n := 0
	for i := range v.Pix {
		if out.Pix[i] >= 0 {
			continue
		}
		stack := []int{i}
		out.Pix[i] = int32(n)
		for len(stack) > 0 {
			p := stack[len(stack)-1]
			stack = stack[:len(stack)-1]
			for dy := -1; dy <= 1; dy++ {
				for dx := -1; dx <= 1; dx++ {
					x, y := p%v.W+dx, p/v.W+dy
					if x < 0 || y < 0 || x >= v.W || y >= v.H || !corners && dx != 0 && dy != 0 {
						continue
					}
					if q := y*v.W + x; out.Pix[q] < 0 && v.Pix[q] == v.Pix[i] {
						out.Pix[q] = int32(n)
						stack = append(stack, q)
					}
				}
			}
		}
		n++
	}
	return out, n
}

func TestComponentsAgainstFlood(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	var l Labeller
	for range 300 {
		v := randomLabels(rng, 1+rng.IntN(14), 1+rng.IntN(14), 1+rng.IntN(3))
		got := imageproc.NewLabels(v.W, v.H)
		for _, corners := range []bool{false, true} {
			n := 0
			if corners {
				n = l.Components8(got, v)
			} else {
				n = l.Components(got, v)
			}
			want, m := flood(v, corners)
			if n != m || !slices.Equal(got.Pix, want.Pix) {
				t.Fatalf("%d by %d, corners %v: %d components %v, want %d %v", v.W, v.H, corners, n, got.Pix, m, want.Pix)
			}
		}
	}
}

func TestComponentsEmptyAndMisuse(t *testing.T) {
	if n := Components(imageproc.Labels{}, imageproc.Labels{}); n != 0 {
		t.Errorf("%d components of nothing", n)
	}
	for name, f := range map[string]func(dst, values imageproc.Labels) int{"Components": Components, "Components8": Components8} {
		func() {
			defer func() {
				if p, want := recover(), "mass: "+name+" of labels of 3 by 2 into 2 by 3"; p != want {
					t.Errorf("labels of two sizes: panic %v, want %q", p, want)
				}
			}()
			f(imageproc.NewLabels(2, 3), imageproc.NewLabels(3, 2))
		}()
	}
}

// TestComponentsKeepsMemory holds the promise that a warm Labeller allocates
// nothing.
func TestComponentsKeepsMemory(t *testing.T) {
	v := randomLabels(rand.New(rand.NewPCG(3, 4)), 64, 48, 3)
	comp := imageproc.NewLabels(v.W, v.H)
	var l Labeller
	l.Components(comp, v)
	if a := testing.AllocsPerRun(5, func() { l.Components(comp, v) }); a != 0 {
		t.Errorf("%v allocations", a)
	}
}

func randomLabels(rng *rand.Rand, w, h, k int) imageproc.Labels {
	l := imageproc.NewLabels(w, h)
	for i := range l.Pix {
		l.Pix[i] = int32(rng.IntN(k))
	}
	return l
}
