package main

import (
	"bytes"
	"context"
	"encoding/binary"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"math"
	"runtime"
	"syscall"
	"testing"
	"time"

	"atelier/halflid/cmd/halflid/demo"
	"atelier/halflid/imageproc/photo"
)

// openFigures compares opening a photo with what the standard decoder alone
// takes for it.
func openFigures(t *testing.T, data []byte) {
	bare := func() {
		if _, err := jpeg.Decode(bytes.NewReader(data)); err != nil {
			t.Fatal(err)
		}
	}
	ours := func() {
		if _, err := photo.Decode(context.Background(), data, "camera.jpg", photo.Options{}); err != nil {
			t.Fatal(err)
		}
	}
	bare()
	ours()
	var ratios, worked []float64
	var times []time.Duration
	for range 7 {
		runtime.GC() // what the other left behind is not to be paid here
		var b, d time.Duration
		bWork := processorOf(t, func() { b = took(bare) })
		runtime.GC()
		dWork := processorOf(t, func() { d = took(ours) })
		ratios, worked = append(ratios, float64(d)/float64(b)), append(worked, float64(dWork)/float64(bWork))
		times = append(times, d)
	}
	ratio := median(ratios)
	row(fmt.Sprintf("open a 24 MP JPEG of %.1f MB to the master, against image/jpeg alone", float64(len(data))/1e6),
		fmt.Sprintf("%.2f times as long (%s ms)", ratio, ms(median(times))), "<= 1.3x", ratio <= 1.3)
	row("the same in processor time", fmt.Sprintf("%.2f times as much", median(worked)), "", true)
	theirs, theirN := memory(bare)
	own, ownN := memory(ours)
	row("memory taken on the way", fmt.Sprintf("%.0f MB in %d pieces (image/jpeg alone: %.0f MB in %d)", own, ownN, theirs, theirN), "", true)
	row("its small preview", fmt.Sprintf("%s ms", ms(median(repeat(9, func() {
		if _, err := photo.Preview(data); err != nil {
			t.Fatal(err)
		}
	})))), "", true)
}

// processorOf returns the processor time that this process uses for f.
func processorOf(t *testing.T, f func()) time.Duration {
	used := func() time.Duration {
		var u syscall.Rusage
		if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
			t.Fatal(err)
		}
		return time.Duration(u.Utime.Nano() + u.Stime.Nano())
	}
	before := used()
	f()
	return used() - before
}

func repeat(n int, f func()) []time.Duration {
	var out []time.Duration
	for range n {
		out = append(out, took(f))
	}
	return out
}

// memory returns the megabytes and the pieces of memory that f asks for.
func memory(f func()) (mb float64, pieces uint64) {
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	f()
	runtime.ReadMemStats(&after)
	return float64(after.TotalAlloc-before.TotalAlloc) / 1e6, after.Mallocs - before.Mallocs
}

// camera returns a JPEG as a camera gives it: 6000 by 4000 pixels, 4:2:0,
// quality 92, noise of a sensor, and a small picture of 160 by 120 with black
// bars in its EXIF block. What it shows is the demo scene, enlarged.
func camera(t testing.TB) []byte {
	t.Helper()
	_, data := demo.Photo()
	img, err := jpeg.Decode(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	scene, ok := img.(*image.YCbCr)
	if !ok {
		t.Fatalf("the demo scene is a %T", img)
	}
	big := image.NewYCbCr(image.Rect(0, 0, 6000, 4000), image.YCbCrSubsampleRatio420)
	enlarge(big.Y, big.YStride, scene.Y, scene.YStride, 40)
	enlarge(big.Cb, big.CStride, scene.Cb, scene.CStride, 16)
	enlarge(big.Cr, big.CStride, scene.Cr, scene.CStride, 16)
	var b bytes.Buffer
	if err := jpeg.Encode(&b, big, &jpeg.Options{Quality: 92}); err != nil {
		t.Fatal(err)
	}
	out := withPreview(b.Bytes(), barred(t, big))
	if _, err := photo.Preview(out); err != nil {
		t.Fatalf("the preview is not taken: %v", err)
	}
	return out
}

// enlarge fills the plane dst, 3 by 2, from the middle of the plane src, 4 by 3,
// and adds noise of about a tenth of grain codes.
func enlarge(dst []uint8, stride int, src []uint8, from, grain int) {
	h, sh := len(dst)/stride, len(src)/from
	scale := float64(from) / float64(stride)
	top := (float64(sh) - scale*float64(h)) / 2
	noise := uint64(0x9e3779b97f4a7c15)
	at := make([]int, stride)
	share := make([]int, stride)
	for x := range at {
		f := min(max((float64(x)+0.5)*scale-0.5, 0), float64(from)-1.001)
		at[x], share[x] = int(f), int(256*(f-math.Floor(f)))
	}
	for y := range h {
		f := min(max(top+(float64(y)+0.5)*scale-0.5, 0), float64(sh)-1.001)
		up, down := src[int(f)*from:], src[(int(f)+1)*from:]
		v := int(256 * (f - math.Floor(f)))
		for x, i := range at {
			u := share[x]
			a := int(up[i])*(256-u) + int(up[i+1])*u
			b := int(down[i])*(256-u) + int(down[i+1])*u
			noise ^= noise << 13
			noise ^= noise >> 7
			noise ^= noise << 17
			sum := int(noise&255) + int(noise>>8&255) + int(noise>>16&255) + int(noise>>24&255) - 510 // spread 148
			dst[y*stride+x] = uint8(min(max((a*(256-v)+b*v+1<<15)>>16+sum*grain/1480, 0), 255))
		}
	}
}

// barred returns a JPEG of 160 by 120 that shows img between black bars.
func barred(t testing.TB, img image.Image) []byte {
	t.Helper()
	small := image.NewNRGBA(image.Rect(0, 0, 160, 120))
	size := img.Bounds().Size()
	high := float64(160*size.Y) / float64(size.X)
	for y := range 120 {
		for x := range 160 {
			small.SetNRGBA(x, y, color.NRGBA{A: 255})
			if v := (float64(y) + 0.5 - (120-high)/2) / high; v >= 0 && v < 1 {
				small.Set(x, y, img.At(x*size.X/160+size.X/320, int(v*float64(size.Y))))
			}
		}
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, small, &jpeg.Options{Quality: 90}); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// withPreview puts an EXIF block that holds the JPEG small behind the start of
// the JPEG file: a directory with the orientation, a second with the preview.
// Source: CIPA DC-008 (Exif 2.32), 4.5 and 4.8.
func withPreview(file, small []byte) []byte {
	order := binary.BigEndian
	tiff := []byte("MM\x00*\x00\x00\x00\x08")
	entry := func(tag, kind uint16, value uint32) {
		tiff = order.AppendUint16(tiff, tag)
		tiff = order.AppendUint16(tiff, kind)
		tiff = order.AppendUint32(tiff, 1)
		if kind == 3 {
			value <<= 16 // a short stands on the left of its four bytes
		}
		tiff = order.AppendUint32(tiff, value)
	}
	tiff = order.AppendUint16(tiff, 1)
	entry(0x0112, 3, 1)                 // upright
	tiff = order.AppendUint32(tiff, 26) // the second directory
	tiff = order.AppendUint16(tiff, 3)
	entry(0x0103, 3, 6) // a JPEG
	entry(0x0201, 4, 26+2+3*12+4)
	entry(0x0202, 4, uint32(len(small)))
	tiff = order.AppendUint32(tiff, 0)
	tiff = append(tiff, small...)

	out := append([]byte{}, file[:2]...)
	out = append(out, 0xff, 0xe1)
	out = order.AppendUint16(out, uint16(2+6+len(tiff)))
	out = append(out, "Exif\x00\x00"...)
	return append(append(out, tiff...), file[2:]...)
}
