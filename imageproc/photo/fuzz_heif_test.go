//go:build !noheic

package photo

import "testing"

// FuzzHEIC: whatever the coded data and the settings that come with it, Decode
// gives a photo within its limits or one of its errors. The container around
// them is sound: FuzzContainer looks after that.
func FuzzHEIC(f *testing.F) {
	for _, n := range []string{"boats-420.heic", "boats-444.heic", "boats-10bit.heic", "boats-grey.heic", "boats-odd.heic"} {
		p, err := openHEIF(fixture(f, n))
		if err != nil {
			f.Fatal(err)
		}
		coded, err := p.file.bytes(p.tiles[0])
		if err != nil {
			f.Fatal(err)
		}
		f.Add(coded, p.file.prop(p.tiles[0], "hvcC"))
	}
	f.Fuzz(func(t *testing.T, coded, hvcc []byte) {
		s, err := readHVCC(hvcc)
		if err != nil || len(coded) == 0 || s.coded.X > 512 || s.coded.Y > 512 {
			return
		}
		decodesOrTells(t, buildHEIF("heic", 1, heifPart{kind: "hvc1", data: coded, props: [][]byte{box("hvcC", hvcc), ispe(s.size.X, s.size.Y)}}))
	})
}

// FuzzHEVC: a parameter set is read within its bounds or refused.
func FuzzHEVC(f *testing.F) {
	for _, n := range []string{"boats-420.heic", "boats-444.heic", "boats-10bit.heic", "boats-grey.heic", "boats-narrow.heic"} {
		p, err := openHEIF(fixture(f, n))
		if err != nil {
			f.Fatal(err)
		}
		f.Add(p.file.prop(p.tiles[0], "hvcC"))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		s, err := readHVCC(data)
		if err == nil && (s.size.X <= 0 || s.size.Y <= 0 || s.size.X > s.coded.X || s.size.Y > s.coded.Y || s.chroma > 3) {
			t.Fatalf("%+v", s)
		}
	})
}
