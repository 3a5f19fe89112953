package quality

import (
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"errors"
	"slices"
	"testing"

	"atelier/halflid/imageproc"
)

// matWriter writes MATLAB 5 parts, to test the reader with.
type matWriter struct{ order binary.AppendByteOrder }

func (m matWriter) part(kind uint32, data []byte) []byte {
	if len(data) > 0 && len(data) <= 4 && kind != miMatrix {
		b := m.order.AppendUint32(nil, uint32(len(data))<<16|kind)
		return append(b, append(slices.Clone(data), make([]byte, 4-len(data))...)...)
	}
	b := m.order.AppendUint32(m.order.AppendUint32(nil, kind), uint32(len(data)))
	b = append(b, data...)
	return append(b, make([]byte, -len(data)&7)...)
}

func (m matWriter) array(class byte, name string, dims []int, inside ...[]byte) []byte {
	flags := m.order.AppendUint32(m.order.AppendUint32(nil, uint32(class)), 0)
	var size []byte
	for _, d := range dims {
		size = m.order.AppendUint32(size, uint32(d))
	}
	b := slices.Concat(m.part(miUint32, flags), m.part(miInt32, size), m.part(miInt8, []byte(name)))
	return m.part(miMatrix, append(b, slices.Concat(inside...)...))
}

// labels writes a division as 16-bit numbers, column by column.
func (m matWriter) labels(l imageproc.Labels) []byte {
	var b []byte
	for x := range l.W {
		for y := range l.H {
			b = m.order.AppendUint16(b, uint16(l.At(x, y)))
		}
	}
	return m.array(11, "", []int{l.H, l.W}, m.part(4, b))
}

// divided writes one struct of the benchmark's: the division and its outlines.
func (m matWriter) divided(l imageproc.Labels) []byte {
	names := make([]byte, 2*16)
	copy(names, "Segmentation")
	copy(names[16:], "Boundaries")
	outline := m.array(9, "", []int{l.H, l.W}, m.part(2, make([]byte, l.H*l.W)))
	return m.array(classStruct, "", []int{1, 1}, m.part(miInt32, m.order.AppendUint32(nil, 16)),
		m.part(miInt8, names), m.labels(l), outline)
}

func (m matWriter) file(packed bool, parts ...[]byte) []byte {
	head := append(bytes.Repeat([]byte{' '}, 124), m.order.AppendUint16(nil, 0x0100)...)
	head = append(head, m.order.AppendUint16(nil, 'M'<<8|'I')...)
	for _, p := range parts {
		if packed {
			var z bytes.Buffer
			w := zlib.NewWriter(&z)
			w.Write(p) //nolint:errcheck // a buffer takes everything
			w.Close()
			p = append(m.order.AppendUint32(m.order.AppendUint32(nil, miCompressed), uint32(z.Len())), z.Bytes()...)
		}
		head = append(head, p...)
	}
	return head
}

// divisionsFile is a file of the benchmark's kind.
func (m matWriter) divisionsFile(packed bool, all ...imageproc.Labels) []byte {
	var cells [][]byte
	for _, l := range all {
		cells = append(cells, m.divided(l))
	}
	other := m.array(classDouble, "other", []int{1, 1}, m.part(9, make([]byte, 8)))
	return m.file(packed, other, m.array(classCell, "groundTruth", []int{1, len(all)}, cells...))
}

func numbered(w, h int, label func(x, y int) int32) imageproc.Labels {
	l := imageproc.NewLabels(w, h)
	for i := range l.Pix {
		l.Pix[i] = label(i%w, i/w)
	}
	return l
}

func TestReadDivisions(t *testing.T) {
	a := numbered(7, 5, func(x, y int) int32 { return int32(1 + x/4 + 300*(y/3)) })
	b := numbered(7, 5, func(x, y int) int32 { return int32(1 + 7*y + x) })
	for _, order := range []binary.AppendByteOrder{binary.LittleEndian, binary.BigEndian} {
		for _, packed := range []bool{false, true} {
			got, err := ReadDivisions(matWriter{order}.divisionsFile(packed, a, b))
			if err != nil {
				t.Fatalf("%v, packed %v: %v", order, packed, err)
			}
			if len(got) != 2 || got[0].Size() != a.Size() || !slices.Equal(got[0].Pix, a.Pix) || !slices.Equal(got[1].Pix, b.Pix) {
				t.Errorf("%v, packed %v: read %v", order, packed, got)
			}
		}
	}
}

// TestNumberTypes: labels stored in any type are the same numbers.
func TestNumberTypes(t *testing.T) {
	m := matReader{binary.LittleEndian}
	le := binary.LittleEndian
	for kind, data := range map[uint32][]byte{
		1: {250}, 2: {250}, 3: le.AppendUint16(nil, 65530), 4: le.AppendUint16(nil, 65530), 5: le.AppendUint32(nil, 1<<32-6),
		6: le.AppendUint32(nil, 1<<32-6), 7: le.AppendUint32(nil, 0xc0c00000), 9: le.AppendUint64(nil, 0xc018000000000000),
	} {
		want := map[uint32]float64{1: -6, 2: 250, 3: -6, 4: 65530, 5: -6, 6: 1<<32 - 6, 7: -6, 9: -6}[kind]
		got, err := m.numbers(element{kind, data}, 1)
		if err != nil || len(got) != 1 || got[0] != want {
			t.Errorf("type %d: %v, %v, want %v", kind, got, err, want)
		}
	}
}

// TestReadDivisionsRefuses: what is cut short, damaged or something else is
// refused with ErrDivisions and never panics.
func TestReadDivisionsRefuses(t *testing.T) {
	m := matWriter{binary.LittleEndian}
	l := numbered(6, 4, func(x, _ int) int32 { return int32(1 + x/3) })
	good := m.divisionsFile(false, l)
	bad := map[string][]byte{
		"nothing":     nil,
		"not a file":  bytes.Repeat([]byte("words "), 40),
		"two sizes":   m.divisionsFile(true, l, numbered(6, 5, func(_, _ int) int32 { return 1 })),
		"no cells":    m.divisionsFile(true),
		"other array": m.file(true, m.array(classDouble, "other", []int{1, 1}, m.part(9, make([]byte, 8)))),
		"half labels": m.file(false, m.array(classCell, "groundTruth", []int{1, 1}, m.array(classStruct, "", []int{1, 1},
			m.part(miInt32, m.order.AppendUint32(nil, 16)), m.part(miInt8, append([]byte("Segmentation"), 0, 0, 0, 0)),
			m.array(classDouble, "", []int{1, 1}, m.part(9, binary.LittleEndian.AppendUint64(nil, 0x3ff8000000000000)))))),
		"bad zlib": m.file(false, m.part(miCompressed, []byte("12345678"))),
	}
	for name, data := range bad {
		if _, err := ReadDivisions(data); !errors.Is(err, ErrDivisions) {
			t.Errorf("%s: %v", name, err)
		}
	}
	for n := range good {
		if _, err := ReadDivisions(good[:n]); !errors.Is(err, ErrDivisions) {
			t.Fatalf("cut to %d of %d bytes: %v", n, len(good), err)
		}
	}
	for i := 124; i < len(good); i++ {
		for _, v := range []byte{0, 255, good[i] ^ 8} {
			damaged := slices.Clone(good)
			damaged[i] = v
			if _, err := ReadDivisions(damaged); err != nil && !errors.Is(err, ErrDivisions) {
				t.Fatalf("byte %d: %v", i, err)
			}
		}
	}
}

func FuzzReadDivisions(f *testing.F) {
	l := numbered(6, 4, func(x, _ int) int32 { return int32(1 + x/3) })
	for _, packed := range []bool{false, true} {
		f.Add(matWriter{binary.LittleEndian}.divisionsFile(packed, l, l))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		all, err := ReadDivisions(data)
		if (err == nil) != (len(all) > 0) || err != nil && !errors.Is(err, ErrDivisions) {
			t.Errorf("%d divisions, %v", len(all), err)
		}
	})
}
