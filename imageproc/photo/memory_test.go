package photo

import (
	"context"
	"errors"
	"fmt"
	"image"
	"image/color"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// TestMain opens one file and prints the most memory that took, when asked to:
// TestMostMemory runs the test program again for a clean measure.
func TestMain(m *testing.M) {
	if file := os.Getenv("HALFLID_OPEN_AND_MEASURE"); file != "" {
		os.Exit(openAndMeasure(file))
	}
	os.Exit(m.Run())
}

func openAndMeasure(file string) int {
	data, err := os.ReadFile(file)
	if err != nil {
		fmt.Println(err)
		return 1
	}
	p, err := Decode(context.Background(), data, file, Options{})
	if err != nil {
		fmt.Println(err)
		return 1
	}
	status, err := os.ReadFile("/proc/self/status")
	if err != nil {
		fmt.Println(err)
		return 1
	}
	_, rest, _ := strings.Cut(string(status), "VmHWM:")
	fmt.Println(p.Size.X*p.Size.Y, strings.Fields(rest)[0], len(data))
	return 0
}

// mostMemory opens a file in a process of its own and returns the most memory
// that the process held, in bytes, the file itself among it.
func mostMemory(t *testing.T, file string) (pixels, most int64) {
	t.Helper()
	cmd := exec.Command(os.Args[0], "-test.run=^$")
	cmd.Env = append(os.Environ(), "HALFLID_OPEN_AND_MEASURE="+file)
	out, err := cmd.CombinedOutput()
	words := strings.Fields(string(out))
	if err != nil || len(words) < 3 {
		t.Fatalf("%s: %v: %s", filepath.Base(file), err, out)
	}
	pixels, _ = strconv.ParseInt(words[0], 10, 64)
	kb, _ := strconv.ParseInt(words[1], 10, 64)
	return pixels, kb << 10
}

// TestMostMemory opens pictures of 120 million pixels, and the largest that the
// bound lets through of the hungry kinds, within 1.2 GB and the file itself.
func TestMostMemory(t *testing.T) {
	if os.Getenv("HALFLID_HEAVY") == "" {
		t.Skip("opens pictures of 120 million pixels: set HALFLID_HEAVY=1")
	}
	if _, err := os.Stat("/proc/self/status"); err != nil {
		t.Skip("no /proc on this system")
	}
	dir := t.TempDir()
	write := func(name string, data []byte) string {
		file := filepath.Join(dir, name)
		if err := os.WriteFile(file, data, 0o600); err != nil {
			t.Fatal(err)
		}
		return file
	}
	tool := func(name string, args ...string) bool {
		if _, err := exec.LookPath(name); err != nil {
			t.Logf("%s is not installed: its sorts of file are left out", name)
			return false
		}
		if out, err := exec.Command(name, args...).CombinedOutput(); err != nil {
			t.Fatalf("%s: %v: %s", name, err, out)
		}
		return true
	}
	const w, h = 12000, 10000
	planes := image.NewYCbCr(image.Rect(0, 0, w, h), image.YCbCrSubsampleRatio420)
	for i := range planes.Y {
		planes.Y[i] = uint8(i * 7 / 1000)
	}
	jpg := write("120.jpg", encodeJPEG(t, planes, 85))
	deep := image.NewNRGBA64(image.Rect(0, 0, w, h))
	for i := 0; i < len(deep.Pix); i += 8 {
		deep.Pix[i], deep.Pix[i+7], deep.Pix[i+6] = uint8(i>>12), 255, 254
	}
	files := []string{jpg, write("120-16bit.png", encodePNG(t, deep))}
	deep, planes = nil, nil
	if p := filepath.Join(dir, "120-progressive.jpg"); tool("jpegtran", "-progressive", "-outfile", p, jpg) {
		files = append(files, p)
	}
	small := image.NewRGBA(image.Rect(0, 0, 6000, 4000))
	for y := range 4000 {
		for x := range 6000 {
			small.SetRGBA(x, y, color.RGBA{uint8(x >> 4), uint8(y >> 4), uint8(x * y >> 14), 255})
		}
	}
	png := write("24.png", encodePNG(t, small))
	if p := filepath.Join(dir, "24.avif"); tool("avifenc", "-s", "9", "-j", "all", png, p) {
		files = append(files, p)
	}
	if p := filepath.Join(dir, "24-10bit.avif"); tool("avifenc", "-s", "9", "-d", "10", "-j", "all", png, p) {
		files = append(files, p)
	}
	if p := filepath.Join(dir, "24.heic"); tool("heif-enc", "-q", "50", "-p", "preset=ultrafast", png, "-o", p) {
		files = append(files, p)
	}
	for _, file := range files {
		n, most := mostMemory(t, file)
		info, err := os.Stat(file)
		if err != nil {
			t.Fatal(err)
		}
		t.Logf("%-20s %3d million pixels: %4d MB at most, the file's %d MB among it; %.1f bytes a pixel", filepath.Base(file), n/1_000_000, most>>20, info.Size()>>20, float64(most)/float64(n))
		if most > DefaultMaxMemory+info.Size() {
			t.Errorf("%s took %d MB", filepath.Base(file), most>>20)
		}
	}
}

// TestMemoryIsBounded: what a decoder would take is refused before it runs.
func TestMemoryIsBounded(t *testing.T) {
	for _, c := range []struct {
		name string
		data []byte
		most int64
		want error
	}{
		{"grey.png", encodePNG(t, image.NewGray(image.Rect(0, 0, 3000, 3000))), masterMemory + 9_000_000, nil},
		{"grey.png", encodePNG(t, image.NewGray(image.Rect(0, 0, 3000, 3000))), masterMemory + 8_999_999, ErrTooLarge},
		{"deep.png", encodePNG(t, image.NewNRGBA64(image.Rect(0, 0, 1000, 1000))), masterMemory + 7_999_999, ErrTooLarge},
		{"deep.png", encodePNG(t, image.NewNRGBA64(image.Rect(0, 0, 1000, 1000))), masterMemory + 8_000_000, nil},
		{"plain.jpg", encodeJPEG(t, harbour(1000, 1000), 80), masterMemory + 1_500_000, nil},
		{"plain.jpg", encodeJPEG(t, harbour(1000, 1000), 80), masterMemory + 1_499_999, ErrTooLarge},
	} {
		_, err := Decode(context.Background(), c.data, c.name, Options{MaxMemory: c.most})
		if !errors.Is(err, c.want) {
			t.Errorf("%s in %d bytes: %v", c.name, c.most, err)
		}
		if c.want != nil && (err == nil || !strings.Contains(err.Error(), "memory") || strings.Contains(err.Error(), "\n")) {
			t.Errorf("%s: %v", c.name, err)
		}
	}
	for name, want := range map[string]int64{
		"boats-420.jpg": 64 * 64 * 3 / 2, "boats-444.jpg": 64 * 64 * 7, "boats-progressive.jpg": 64 * 64 * 19,
		"boats-cmyk.jpg": 64 * 64 * 8, "boats-grey.jpg": 64 * 64,
	} {
		if got := jpegMemory(fixture(t, name), 64*64); got != want {
			t.Errorf("%s: %d bytes, want %d", name, got, want)
		}
	}
}

// TestStrangeShapes: strips and a single pixel open.
func TestStrangeShapes(t *testing.T) {
	for _, c := range []struct{ size, master image.Point }{
		{image.Pt(1, 1), image.Pt(1, 1)},
		{image.Pt(1, 30000), image.Pt(1, 2048)},
		{image.Pt(30000, 1), image.Pt(2048, 1)},
		{image.Pt(3, 65535), image.Pt(1, 2048)},
	} {
		m := image.NewGray(image.Rectangle{Max: c.size})
		for i := range m.Pix {
			m.Pix[i] = 188
		}
		files := map[string][]byte{"strip.png": encodePNG(t, m)}
		if c.size.X <= 65535 && c.size.Y <= 65535 {
			files["strip.jpg"] = encodeJPEG(t, m, 95)
		}
		for name, data := range files {
			p := mustDecode(t, data, name)
			if p.Size != c.size || p.Master.Size() != c.master {
				t.Errorf("%s: %v, master %v, want %v", name, p.Size, p.Master.Size(), c.master)
			}
			near(t, name, codeAt(p.Master, 0, c.master.Y-1), [3]int{188, 188, 188}, 1)
		}
	}
}
