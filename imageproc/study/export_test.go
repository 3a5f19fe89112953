package study_test

import (
	"bytes"
	"encoding/binary"
	"errors"
	"hash/crc32"
	"image"
	"image/color"
	"image/png"
	"strings"
	"testing"

	"atelier/halflid/imageproc/plan"
	"atelier/halflid/imageproc/study"
)

// chunk is one part of a PNG file.
type chunk struct{ kind, data string }

// chunks takes a PNG apart and checks every part's length and sum.
// Source: W3C PNG (third edition) 5.2, 5.3.
func chunks(t *testing.T, file []byte) (out []chunk) {
	t.Helper()
	rest, ok := bytes.CutPrefix(file, []byte("\x89PNG\r\n\x1a\n"))
	if !ok {
		t.Fatalf("the file begins with %q", file[:min(8, len(file))])
	}
	for len(rest) > 0 {
		if len(rest) < 12 {
			t.Fatalf("%d bytes are left over", len(rest))
		}
		n := int(binary.BigEndian.Uint32(rest))
		if n > len(rest)-12 {
			t.Fatalf("a chunk of %d bytes in %d", n, len(rest))
		}
		body := rest[4 : 8+n]
		if got, want := binary.BigEndian.Uint32(rest[8+n:]), crc32.ChecksumIEEE(body); got != want {
			t.Fatalf("chunk %s: sum %x, want %x", body[:4], got, want)
		}
		out = append(out, chunk{string(body[:4]), string(body[4:])})
		rest = rest[12+n:]
	}
	return out
}

func written(t *testing.T, s *study.Study, long int) []byte {
	t.Helper()
	var file bytes.Buffer
	if err := s.WritePlan(&file, long); err != nil {
		t.Fatal(err)
	}
	return file.Bytes()
}

// A saved picture can be traced to its plan, says nothing else about where or
// when it was made, and is the plan picture to any reader of PNG.
func TestWritePlan(t *testing.T) {
	size := image.Pt(120, 90)
	desk := study.NewDesk(harbour(seeded(t, 30), size.X, size.Y))
	for k := 2; k <= 5; k++ {
		for _, long := range []int{0, 1, 50, 300} {
			s := make1(t, desk, edited(whole(size), size, plan.SetK(k)), study.Plan)
			file := written(t, s, long)
			parts := chunks(t, file)
			if parts[0].kind != "IHDR" || parts[len(parts)-1] != (chunk{"IEND", ""}) {
				t.Fatalf("the file runs from %s to %s", parts[0].kind, parts[len(parts)-1].kind)
			}
			kinds := map[string]int{}
			for _, c := range parts {
				kinds[c.kind]++
				if c.kind == "tEXt" && c.data != "Plan\x00"+plan.Hash(s.Plan()) {
					t.Errorf("the text is %q, the plan %s", c.data, plan.Hash(s.Plan()))
				}
			}
			if kinds["tEXt"] != 1 || len(kinds) != 5 || kinds["PLTE"] != 1 || kinds["IDAT"] < 1 {
				t.Errorf("the file holds %v", kinds)
			}
			got, err := png.Decode(bytes.NewReader(file))
			if err != nil {
				t.Fatal(err)
			}
			want := s.PlanPicture(long)
			if got.Bounds() != want.Rect {
				t.Fatalf("read back as %v, want %v", got.Bounds(), want.Rect)
			}
			for y := range want.Rect.Dy() {
				for x := range want.Rect.Dx() {
					if color.GrayModel.Convert(got.At(x, y)) != want.At(x, y) {
						t.Fatalf("pixel %d, %d is %v, want %v", x, y, got.At(x, y), want.At(x, y))
					}
				}
			}
			if !bytes.Equal(file, written(t, s, long)) {
				t.Error("written twice, the bytes differ")
			}
		}
	}
}

// Plans that look the same but are not the same decisions are told apart.
func TestWritePlanTellsPlansApart(t *testing.T) {
	size := image.Pt(40, 30)
	desk := study.NewDesk(bars(size.X, size.Y, 0.1, 0.8))
	a := whole(size)
	b := edited(a, size, plan.SetShapes(400))
	first := make1(t, desk, a, study.Plan)
	one, picture := written(t, first, 0), first.PlanPicture(0)
	second := make1(t, desk, b, study.Plan)
	two := written(t, second, 0)
	if !bytes.Equal(picture.Pix, second.PlanPicture(0).Pix) {
		t.Fatal("the plans look different: this shows nothing")
	}
	if bytes.Equal(one, two) || !strings.Contains(string(two), plan.Hash(b)) {
		t.Error("the files do not tell the plans apart")
	}
}

// full takes some bytes and then fails.
type full struct{ left int }

var errFull = errors.New("no room")

func (f *full) Write(b []byte) (int, error) {
	if f.left < len(b) {
		return f.left, errFull
	}
	f.left -= len(b)
	return len(b), nil
}

func TestWritePlanReportsErrors(t *testing.T) {
	size := image.Pt(40, 30)
	s := make1(t, study.NewDesk(bars(size.X, size.Y, 0.1, 0.8)), whole(size), study.Plan)
	n := len(written(t, s, 0))
	for left := range n {
		if err := s.WritePlan(&full{left}, 0); !errors.Is(err, errFull) || !strings.Contains(err.Error(), "plan picture") {
			t.Fatalf("room for %d of %d bytes: %v", left, n, err)
		}
	}
}
