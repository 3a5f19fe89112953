package photo

import (
	"context"
	"errors"
	"fmt"
	"image"
	"strings"
	"testing"
)

func TestAVIFFixtures(t *testing.T) {
	for name, tol := range map[string]int{"boats-420.avif": 3, "boats-10bit.avif": 2} {
		p := mustDecode(t, fixture(t, name), name)
		checkQuarters(t, p, tol)
		if p.Format != "AVIF" || p.Profile != "sRGB" || len(p.Notes) != 0 || p.Orientation != 1 {
			t.Errorf("%s: format %s, profile %s, orientation %d, notes %q", name, p.Format, p.Profile, p.Orientation, p.Notes)
		}
	}
}

// TestAVIFTurns opens all eight orientations and a crop.
func TestAVIFTurns(t *testing.T) {
	for o := 1; o <= 8; o++ {
		p := mustDecode(t, turnedHEIF(t, "avif", "boats-10bit.avif", o), "turned.avif")
		if p.Orientation != o {
			t.Errorf("orientation %d, want %d", p.Orientation, o)
		}
		for i, q := range shownQuarters(o) {
			near(t, fmt.Sprintf("%d: quarter %d", o, i), codeAt(p.Master, 32*(i%2)+10, 32*(i/2)+20), quarters[q], 2)
		}
	}
	part := codedPart(t, "boats-10bit.avif", append([][]byte{clap(40, 30, -8, 6)}, turnBoxes(6)...)...)
	p := mustDecode(t, buildHEIF("avif", 1, part), "cropped.avif")
	if p.Size != image.Pt(30, 40) {
		t.Errorf("cropped size %v", p.Size)
	}
	near(t, "cropped", codeAt(p.Master, 29, 0), quarters[0], 2) // the upper left corner of the crop, turned to the right
	near(t, "cropped", codeAt(p.Master, 0, 39), quarters[3], 2)
}

func TestAVIFColours(t *testing.T) {
	for _, c := range []struct {
		name, profile string
		more          []byte
		notes         int
	}{
		{"P3", "Display P3", nclx(12, 13, 6, true), 1},
		{"profile", "embedded: Quay P3", box("colr", []byte("prof"), matrixProfile("Quay P3", p3D50, srgbPara)), 1},
		{"bright", "BT.2020 PQ", nclx(9, 16, 9, true), 1},
	} {
		p := mustDecode(t, buildHEIF("avif", 1, codedPart(t, "boats-10bit.avif", c.more)), c.name)
		if p.Profile != c.profile || len(p.Notes) != c.notes {
			t.Errorf("%s: profile %q, notes %q", c.name, p.Profile, p.Notes)
		}
	}
}

func TestAVIFRefused(t *testing.T) {
	good := fixture(t, "boats-420.avif")
	part := codedPart(t, "boats-420.avif")
	sized := func(w, h int) []byte {
		p := part
		p.props = append([][]byte{ispe(w, h)}, part.props...)
		return buildHEIF("avif", 1, p)
	}
	broken := part
	broken.data = append([]byte{}, part.data...)
	for i := len(broken.data) / 3; i < len(broken.data); i++ {
		broken.data[i] = 0xa5
	}
	for _, c := range []struct {
		name string
		data []byte
		kind error
		word string
	}{
		{"too large for memory", append(sized(8000, 6000), box("free", make([]byte, 10000))...), ErrTooLarge, "memory"},
		{"huge", sized(100000, 6000), ErrTooLarge, "pixels is more than"},
		{"cut", good[:len(good)-20], ErrTruncated, ""},
		{"cut in the index", good[:90], ErrTruncated, ""},
		{"broken", buildHEIF("avif", 1, broken), ErrDamaged, ""},
	} {
		p, err := Decode(context.Background(), c.data, c.name, Options{})
		if p != nil || !errors.Is(err, c.kind) || !strings.Contains(err.Error(), c.word) {
			t.Errorf("%s: %v; want %v with %q", c.name, err, c.kind, c.word)
		}
	}
}

// TestBrokenEngine: a decoder that cannot be made ready is told as such.
func TestBrokenEngine(t *testing.T) {
	for _, packed := range [][]byte{nil, []byte("no gzip"), append([]byte{0x1f, 0x8b}, make([]byte, 30)...)} {
		e, err := newEngine(packed, 1)
		if e != nil || !errors.Is(err, errEngine) {
			t.Errorf("%v, %v", e, err)
		}
		j := newJob(context.Background(), nil, "quay.avif", Options{})
		if got := j.explain(err, false); !errors.Is(got, ErrUnsupported) || !strings.Contains(got.Error(), "does not run on this machine") {
			t.Errorf("told as %v", got)
		}
	}
}
