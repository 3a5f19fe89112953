package photo

import (
	"encoding/binary"
	"testing"
)

// This file builds HEIC and AVIF files around the coded data of the fixtures.

func be(size int, v ...int) (b []byte) {
	for _, x := range v {
		for k := size - 1; k >= 0; k-- {
			b = append(b, byte(x>>(8*k)))
		}
	}
	return b
}

// box is a box for builders.
func box(kind string, parts ...[]byte) []byte { return appendBox(nil, kind, parts...) }

func ispe(w, h int) []byte { return box("ispe", be(4, 0, w, h)) }

// turnBoxes are the properties that ask for an EXIF orientation: quarter turns
// to the left, then a mirror (0: top and bottom change places, 1: left and right).
// Source: ISO/IEC 23008-12:2022, 6.5.10 and 6.5.12, as libavif's avifenc words them.
func turnBoxes(orientation int) [][]byte {
	irot := func(n byte) []byte { return box("irot", []byte{n}) }
	imir := func(axis byte) []byte { return box("imir", []byte{axis}) }
	return [][][]byte{
		1: {}, 2: {imir(1)}, 3: {irot(2)}, 4: {imir(0)},
		5: {irot(1), imir(0)}, 6: {irot(3)}, 7: {irot(3), imir(0)}, 8: {irot(1)},
	}[orientation]
}

// heifPart is one item of a file to be built.
type heifPart struct {
	kind  string
	data  []byte
	props [][]byte // whole boxes
	from  []int    // numbers of items that it is made from, counted from 1
}

// buildHEIF builds a file whose main picture is item number primary.
func buildHEIF(brand string, primary int, parts ...heifPart) []byte {
	var entries, ipco, ipma, refs, data []byte
	places := func(at int) []byte {
		b := be(4, 0)
		b = append(b, be(2, 0x4400, len(parts))...)
		for i, p := range parts {
			b = append(b, be(2, i+1, 0, 1)...)
			b = append(b, be(4, at, len(p.data))...)
			at += len(p.data)
		}
		return b
	}
	known := map[string]byte{} // equal properties are stored once
	for i, p := range parts {
		entries = append(entries, box("infe", be(4, 2<<24), be(2, i+1, 0), []byte(p.kind+"\x00"))...)
		ipma = append(append(ipma, be(2, i+1)...), byte(len(p.props)))
		for _, b := range p.props {
			if known[string(b)] == 0 {
				ipco = append(ipco, b...)
				known[string(b)] = byte(len(known) + 1)
			}
			ipma = append(ipma, 0x80|known[string(b)])
		}
		if p.from != nil {
			refs = append(refs, box("dimg", be(2, i+1, len(p.from)), be(2, p.from...))...)
		}
		data = append(data, p.data...)
	}
	ftyp := box("ftyp", []byte(brand), be(4, 0), []byte("mif1"), []byte(brand))
	build := func(at int) []byte {
		return append(append([]byte{}, ftyp...), box("meta", be(4, 0),
			box("hdlr", be(4, 0, 0), []byte("pict"), make([]byte, 13)),
			box("pitm", be(4, 0), be(2, primary)),
			box("iinf", be(4, 0), be(2, len(parts)), entries),
			box("iref", be(4, 0), refs),
			box("iprp", box("ipco", ipco), box("ipma", be(4, 0, len(parts)), ipma)),
			box("iloc", places(at)))...)
	}
	return append(build(len(build(0))+8), box("mdat", data)...)
}

// codedPart takes the main picture out of a fixture, with more properties.
func codedPart(t testing.TB, name string, more ...[]byte) heifPart {
	t.Helper()
	p, err := openHEIF(fixture(t, name))
	if err != nil {
		t.Fatal(err)
	}
	it := p.tiles[0]
	data, err := p.file.bytes(it)
	if err != nil {
		t.Fatal(err)
	}
	part := heifPart{kind: it.kind, data: data}
	for _, kind := range []string{"hvcC", "av1C", "ispe", "pixi"} {
		if body := p.file.prop(it, kind); body != nil {
			part.props = append(part.props, box(kind, body))
		}
	}
	part.props = append(part.props, more...)
	return part
}

// gridOf lays one fixture's picture cols x rows times and shows w x h of it.
func gridOf(t testing.TB, name string, cols, rows, w, h int, more ...[]byte) []byte {
	t.Helper()
	var parts []heifPart
	var from []int
	for i := range cols * rows {
		parts = append(parts, codedPart(t, name))
		from = append(from, i+1)
	}
	about := append([]byte{0, 1, byte(rows - 1), byte(cols - 1)}, be(4, w, h)...)
	props := append([][]byte{ispe(w, h)}, more...)
	parts = append(parts, heifPart{kind: "grid", data: about, props: props, from: from})
	return buildHEIF("heic", len(parts), parts...)
}

// turnedHEIF is a fixture turned by its container.
func turnedHEIF(t testing.TB, brand, name string, orientation int) []byte {
	t.Helper()
	return buildHEIF(brand, 1, codedPart(t, name, turnBoxes(orientation)...))
}

func nclx(primaries, transfer, matrix int, full bool) []byte {
	b := append([]byte("nclx"), be(2, primaries, transfer, matrix)...)
	if full {
		return box("colr", b, []byte{0x80})
	}
	return box("colr", b, []byte{0})
}

// shownQuarters returns which quarter of the fixture picture stands in each
// corner once it is turned: upper left, upper right, lower left, lower right.
// Source: Exif 2.3 (CIPA DC-008-2012), tag 0x0112.
func shownQuarters(orientation int) [4]int {
	return [...][4]int{
		1: {0, 1, 2, 3}, 2: {1, 0, 3, 2}, 3: {3, 2, 1, 0}, 4: {2, 3, 0, 1},
		5: {0, 2, 1, 3}, 6: {2, 0, 3, 1}, 7: {3, 1, 2, 0}, 8: {1, 3, 0, 2},
	}[orientation]
}

func clap(w, h, dx, dy int) []byte {
	b := be(4, w, 1, h, 1)
	b = binary.BigEndian.AppendUint32(b, uint32(int32(dx)))
	b = append(b, be(4, 2)...) // halves
	b = binary.BigEndian.AppendUint32(b, uint32(int32(dy)))
	return box("clap", append(b, be(4, 2)...))
}
