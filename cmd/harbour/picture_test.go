package main

import (
	"bytes"
	"image"
	"image/jpeg"
	"math"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"atelier/halflid/cmd/halflid/demo"
)

// rough is the harbour in coarse bodies, built once for all tests.
var rough = sync.OnceValue(func() *scene { return build(0.25) })

// committed is the picture that the program carries.
var committed = sync.OnceValues(func() (image.Image, error) {
	_, data := demo.Photo()
	return jpeg.Decode(bytes.NewReader(data))
})

func shoot(s *scene, w, rays, bands int) *image.RGBA {
	f := expose(s, snapshot, w, w*3/4, rays, bands)
	f.settle()
	return develop(f)
}

func TestSamePictureEveryTime(t *testing.T) {
	a := shoot(rough(), 64, 1, 1)
	b := shoot(build(0.25), 64, 1, 3)
	if !bytes.Equal(a.Pix, b.Pix) {
		t.Error("two renderings of the harbour differ")
	}
}

// blocks averages the linear luminance of img in n by n*3/4 blocks.
func blocks(img image.Image, n int) []float64 {
	b := img.Bounds()
	rows := n * 3 / 4
	sum, count := make([]float64, n*rows), make([]float64, n*rows)
	for y := range b.Dy() {
		for x := range b.Dx() {
			r, g, bl, _ := img.At(b.Min.X+x, b.Min.Y+y).RGBA()
			i := y*rows/b.Dy()*n + x*n/b.Dx()
			sum[i] += luma(vec{linear(r), linear(g), linear(bl)})
			count[i]++
		}
	}
	for i := range sum {
		sum[i] /= count[i]
	}
	return sum
}

func linear(code uint32) float64 {
	v := float64(code) / 65535
	if v <= 0.04045 {
		return v / 12.92
	}
	return math.Pow((v+0.055)/1.055, 2.4)
}

func lightness(y float64) float64 {
	if y <= 216.0/24389 {
		return y * 24389 / 27
	}
	return 116*math.Cbrt(y) - 16
}

// The committed JPEG is not compared byte for byte, because an encoder may
// change: its lightness in blocks of 40 by 40 pixels must agree with a small
// rendering within 2 L* on average and 15 L* anywhere.
func TestCommittedPictureIsThisScene(t *testing.T) {
	img, err := committed()
	if err != nil {
		t.Fatal(err)
	}
	want := blocks(img, 40)
	got := blocks(shoot(rough(), 160, 2, 2), 40)
	mean, worst := 0.0, 0.0
	for i := range want {
		d := math.Abs(lightness(got[i]) - lightness(want[i]))
		mean += d / float64(len(want))
		worst = math.Max(worst, d)
	}
	t.Logf("mean difference %.2f L*, worst %.2f L*", mean, worst)
	if !(mean <= 2) || !(worst <= 15) {
		t.Errorf("the committed picture is off by %.2f L* on average, %.2f at worst; run the generator again", mean, worst)
	}
}

// TestWorthSimplifying squints at 1 % of the long side and reduces to three
// values: each must hold its share and the darks must hang together.
func TestWorthSimplifying(t *testing.T) {
	img, err := committed()
	if err != nil {
		t.Fatal(err)
	}
	const w, h = 400, 300
	l := squint(blocks(img, w), w, h, 0.01*w)
	for i, y := range l {
		l[i] = lightness(y)
	}
	mean, class := threeValues(l)
	var share [3]float64
	for _, c := range class {
		share[c] += 1.0 / (w * h)
	}
	linked := largest(class, w, h) / (share[0] * w * h)
	t.Logf("values at L* %.0f, shares %.2f, largest dark holds %.2f of the darks", mean, share, linked)
	for c, s := range share {
		if !(s >= 0.15) {
			t.Errorf("value %d holds only %.2f of the picture", c, s)
		}
	}
	if !(linked >= 0.6) {
		t.Errorf("the largest dark holds only %.2f of the darks", linked)
	}
	if !(mean[2]-mean[0] >= 40) {
		t.Errorf("lights and darks are only %.0f L* apart", mean[2]-mean[0])
	}
}

func squint(y []float64, w, h int, sigma float64) []float64 {
	r := int(3 * sigma)
	mirror := func(i, n int) int {
		if i < 0 {
			return -i - 1
		}
		if i >= n {
			return 2*n - 1 - i
		}
		return i
	}
	pass := func(src []float64, at func(x, y, k int) int) []float64 {
		out := make([]float64, len(src))
		for i := range out {
			sum, all := 0.0, 0.0
			for k := -r; k <= r; k++ {
				g := math.Exp(-float64(k*k) / (2 * sigma * sigma))
				sum += g * src[at(i%w, i/w, k)]
				all += g
			}
			out[i] = sum / all
		}
		return out
	}
	y = pass(y, func(x, y, k int) int { return y*w + mirror(x+k, w) })
	return pass(y, func(x, y, k int) int { return mirror(y+k, h)*w + x })
}

func threeValues(l []float64) (mean [3]float64, class []int) {
	mean, class = [3]float64{25, 55, 85}, make([]int, len(l))
	for range 50 {
		var sum, n [3]float64
		for i, v := range l {
			c := 0
			for k := range mean {
				if math.Abs(v-mean[k]) < math.Abs(v-mean[c]) {
					c = k
				}
			}
			class[i] = c
			sum[c] += v
			n[c]++
		}
		for k := range mean {
			mean[k] = sum[k] / n[k]
		}
	}
	return mean, class
}

// largest returns the size of the largest connected patch of class 0.
func largest(class []int, w, h int) float64 {
	seen := make([]bool, len(class))
	best := 0
	for start := range class {
		todo, size := []int{start}, 0
		for len(todo) > 0 {
			i := todo[len(todo)-1]
			todo = todo[:len(todo)-1]
			if seen[i] || class[i] != 0 {
				continue
			}
			seen[i] = true
			size++
			if i%w > 0 {
				todo = append(todo, i-1)
			}
			if i%w < w-1 {
				todo = append(todo, i+1)
			}
			if i >= w {
				todo = append(todo, i-w)
			}
			if i < w*(h-1) {
				todo = append(todo, i+w)
			}
		}
		best = max(best, size)
	}
	return float64(best)
}

func TestRunSaysWhatIsWrong(t *testing.T) {
	nowhere := filepath.Join(t.TempDir(), "no", "such", "folder.jpg")
	for _, c := range []struct {
		args []string
		code int
		says string
	}{
		{nil, 2, "-o FILE.jpg"},
		{[]string{"-o", "x.jpg", "-rays", "9"}, 2, "-rays 1 to 4"},
		{[]string{"-o", "x.jpg", "-width", "3"}, 2, "-width from 16"},
		{[]string{"-nonsense"}, 2, "nonsense"},
		{[]string{"-o", nowhere, "-width", "32", "-rays", "1", "-detail", "0.3"}, 1, "no folder for"},
	} {
		var errs bytes.Buffer
		if got := run(c.args, &errs); got != c.code || !strings.Contains(errs.String(), c.says) {
			t.Errorf("%q: code %d, said %q; want %d and %q", c.args, got, errs.String(), c.code, c.says)
		}
	}
}

func TestRunWritesThePicture(t *testing.T) {
	out := filepath.Join(t.TempDir(), "small.jpg")
	var errs bytes.Buffer
	if code := run([]string{"-o", out, "-width", "64", "-rays", "1", "-detail", "0.2"}, &errs); code != 0 {
		t.Fatalf("code %d: %s", code, errs.String())
	}
	data, err := os.ReadFile(out)
	if err != nil {
		t.Fatal(err)
	}
	c, err := jpeg.DecodeConfig(bytes.NewReader(data))
	if err != nil || c.Width != 64 || c.Height != 48 {
		t.Errorf("%d by %d, %v; want 64 by 48", c.Width, c.Height, err)
	}
}
