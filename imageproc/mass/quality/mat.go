package quality

import (
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"math"

	"atelier/halflid/imageproc"
)

// ErrDivisions marks a file that does not hold divisions of a picture as
// ReadDivisions expects them.
var ErrDivisions = errors.New("not a file of divisions of a picture drawn by people")

// Limits for files from outside.
const (
	mostUnpacked = 64 << 20 // bytes of a file once unpacked
	mostItems    = 1 << 20  // cells or fields of one array
	mostDepth    = 6        // arrays within arrays
)

// ReadDivisions returns the divisions of one picture that people drew: the
// arrays called Segmentation of every struct in the cell array groundTruth of a
// MATLAB 5 file. Label numbers are as in the file. Every division has the same
// size. The error wraps ErrDivisions.
//
// Source: MAT-File Format, The MathWorks, level 5; Arbelaez, Maire, Fowlkes,
// Malik 2011 (the benchmark's files).
func ReadDivisions(data []byte) ([]imageproc.Labels, error) {
	all, err := readDivisions(data)
	if err != nil {
		return nil, fmt.Errorf("%w: %w", ErrDivisions, err)
	}
	return all, nil
}

func readDivisions(data []byte) ([]imageproc.Labels, error) {
	if len(data) < 128 {
		return nil, fmt.Errorf("%d bytes, shorter than the head of a file", len(data))
	}
	m := matReader{}
	switch string(data[126:128]) {
	case "IM":
		m.order = binary.LittleEndian
	case "MI":
		m.order = binary.BigEndian
	default:
		return nil, errors.New("no mark of byte order")
	}
	if v := m.order.Uint16(data[124:]); v != 0x0100 {
		return nil, fmt.Errorf("version %#x, want 0x100", v)
	}
	for rest := data[128:]; len(rest) > 0; {
		var e element
		var err error
		if e, rest, err = m.next(rest); err != nil {
			return nil, err
		}
		if e.kind == miCompressed {
			if e, err = m.unpack(e.data); err != nil {
				return nil, err
			}
		}
		if e.kind != miMatrix {
			return nil, fmt.Errorf("a top part of type %d, want an array", e.kind)
		}
		a, err := m.array(e.data, 0)
		if err != nil {
			return nil, err
		}
		if a.name == "groundTruth" {
			return divisions(a)
		}
	}
	return nil, errors.New("no array groundTruth")
}

// divisions collects the labels out of the cell array.
func divisions(a *matArray) ([]imageproc.Labels, error) {
	if a.class != classCell || len(a.items) == 0 {
		return nil, errors.New("groundTruth is not a filled cell array")
	}
	var out []imageproc.Labels
	for i, cell := range a.items {
		var seg *matArray
		if cell.class == classStruct && len(cell.items) == len(cell.fields) {
			for f, name := range cell.fields {
				if name == "Segmentation" {
					seg = cell.items[f]
				}
			}
		}
		if seg == nil || len(seg.dims) != 2 || len(seg.numbers) == 0 {
			return nil, fmt.Errorf("cell %d holds no Segmentation", i+1)
		}
		h, w := seg.dims[0], seg.dims[1]
		if i > 0 && (w != out[0].W || h != out[0].H) {
			return nil, fmt.Errorf("cell %d is %d by %d, the first %d by %d", i+1, w, h, out[0].W, out[0].H)
		}
		l := imageproc.NewLabels(w, h)
		for x := range w {
			for y := range h { // columns lie one after the other
				v := seg.numbers[x*h+y]
				if v != math.Trunc(v) || v < 0 || v > 1<<24 {
					return nil, fmt.Errorf("cell %d: label %v", i+1, v)
				}
				l.Pix[y*w+x] = int32(v)
			}
		}
		out = append(out, l)
	}
	return out, nil
}

// Types of the parts of a file and classes of arrays.
const (
	miInt8       = 1
	miInt32      = 5
	miUint32     = 6
	miMatrix     = 14
	miCompressed = 15

	classCell    = 1
	classStruct  = 2
	classDouble  = 6
	classUint32  = 13
	flagsComplex = 1 << 11
)

// widths is the size in bytes of one number of each type, 0 for what holds no
// plain numbers.
var widths = [10]int{1: 1, 2: 1, 3: 2, 4: 2, 5: 4, 6: 4, 7: 4, 9: 8}

type matReader struct{ order binary.ByteOrder }

type element struct {
	kind uint32
	data []byte
}

// matArray is one array: cells or fields in items, or numbers, column by column.
type matArray struct {
	name    string
	class   byte
	dims    []int
	fields  []string
	items   []*matArray
	numbers []float64
}

// next splits one part off b. Parts are padded to 8 bytes, packed ones are not.
func (m matReader) next(b []byte) (e element, rest []byte, err error) {
	if len(b) < 8 {
		return e, nil, errors.New("the file ends inside a head")
	}
	word := m.order.Uint32(b)
	if n := word >> 16; n != 0 { // up to four bytes lie in the head itself
		if n > 4 {
			return e, nil, fmt.Errorf("a short part of %d bytes", n)
		}
		return element{word & 0xffff, b[4 : 4+n]}, b[8:], nil
	}
	n := uint64(m.order.Uint32(b[4:]))
	b = b[8:]
	if n > uint64(len(b)) {
		return e, nil, fmt.Errorf("a part of %d bytes, %d are left", n, len(b))
	}
	end := n
	if word != miCompressed {
		end = min((n+7)&^7, uint64(len(b)))
	}
	return element{word, b[:n]}, b[end:], nil
}

// unpack returns the one part that lies in packed data.
func (m matReader) unpack(packed []byte) (element, error) {
	z, err := zlib.NewReader(bytes.NewReader(packed))
	if err != nil {
		return element{}, err
	}
	plain, err := io.ReadAll(io.LimitReader(z, mostUnpacked+1))
	if err != nil {
		return element{}, err
	}
	if len(plain) > mostUnpacked {
		return element{}, fmt.Errorf("more than %d bytes once unpacked", mostUnpacked)
	}
	e, rest, err := m.next(plain)
	if err == nil && len(rest) > 0 {
		err = fmt.Errorf("%d bytes too many after a packed part", len(rest))
	}
	return e, err
}

// array reads the inside of an array part.
func (m matReader) array(b []byte, depth int) (*matArray, error) {
	if depth > mostDepth {
		return nil, errors.New("arrays nested too deep")
	}
	if len(b) == 0 {
		return &matArray{class: classDouble}, nil // an empty cell
	}
	part := func(kinds ...uint32) (d []byte, err error) {
		var e element
		if e, b, err = m.next(b); err != nil {
			return nil, err
		}
		for _, k := range kinds {
			if e.kind == k {
				return e.data, nil
			}
		}
		return nil, fmt.Errorf("a part of type %d where %v belongs", e.kind, kinds)
	}
	flags, err := part(miUint32)
	if err != nil || len(flags) != 8 {
		return nil, errors.Join(err, errors.New("an array without flags"))
	}
	word := m.order.Uint32(flags)
	a := &matArray{class: byte(word)}
	dims, err := part(miInt32)
	if err != nil || len(dims) < 8 || len(dims)%4 != 0 {
		return nil, errors.Join(err, errors.New("an array without a size"))
	}
	count := 1
	for ; len(dims) > 0; dims = dims[4:] {
		d := int(int32(m.order.Uint32(dims)))
		if d < 0 || d > 1<<16 || count*d > mostUnpacked {
			return nil, fmt.Errorf("an array of %d along one side", d)
		}
		count *= d
		a.dims = append(a.dims, d)
	}
	name, err := part(miInt8)
	if err != nil {
		return nil, err
	}
	a.name = string(name)
	switch {
	case a.class == classCell:
		return a, m.inner(a, b, count, depth)
	case a.class == classStruct:
		size, err := part(miInt32)
		if err != nil || len(size) != 4 {
			return nil, errors.Join(err, errors.New("a struct without field names"))
		}
		names, err := part(miInt8)
		n := int(m.order.Uint32(size))
		if err != nil || n < 1 || n > 64 || len(names)%n != 0 {
			return nil, errors.Join(err, fmt.Errorf("field names of %d bytes each", n))
		}
		for ; len(names) > 0; names = names[n:] {
			field, _, _ := bytes.Cut(names[:n], []byte{0})
			a.fields = append(a.fields, string(field))
		}
		return a, m.inner(a, b, count*len(a.fields), depth)
	case a.class >= classDouble && a.class <= classUint32 && word&flagsComplex == 0:
		e, rest, err := m.next(b)
		if err != nil {
			return nil, err
		}
		if len(rest) > 0 {
			return nil, fmt.Errorf("%d bytes too many after the numbers", len(rest))
		}
		a.numbers, err = m.numbers(e, count)
		return a, err
	}
	return nil, fmt.Errorf("an array of class %d", a.class)
}

// inner reads the n arrays inside a.
func (m matReader) inner(a *matArray, b []byte, n, depth int) error {
	if n > mostItems {
		return fmt.Errorf("an array of %d arrays", n)
	}
	for range n {
		e, rest, err := m.next(b)
		if err != nil {
			return err
		}
		if e.kind != miMatrix {
			return fmt.Errorf("a part of type %d where an array belongs", e.kind)
		}
		in, err := m.array(e.data, depth+1)
		if err != nil {
			return err
		}
		a.items = append(a.items, in)
		b = rest
	}
	if len(b) > 0 {
		return fmt.Errorf("%d bytes too many after %d arrays", len(b), n)
	}
	return nil
}

// numbers reads n numbers of whatever type they were stored in.
func (m matReader) numbers(e element, n int) ([]float64, error) {
	if e.kind >= uint32(len(widths)) || widths[e.kind] == 0 {
		return nil, fmt.Errorf("numbers of type %d", e.kind)
	}
	width := widths[e.kind]
	if len(e.data) != n*width {
		return nil, fmt.Errorf("%d bytes for %d numbers of %d", len(e.data), n, width)
	}
	out := make([]float64, n)
	for i := range out {
		d := e.data[i*width:]
		switch e.kind {
		case 1:
			out[i] = float64(int8(d[0]))
		case 2:
			out[i] = float64(d[0])
		case 3:
			out[i] = float64(int16(m.order.Uint16(d)))
		case 4:
			out[i] = float64(m.order.Uint16(d))
		case 5:
			out[i] = float64(int32(m.order.Uint32(d)))
		case 6:
			out[i] = float64(m.order.Uint32(d))
		case 7:
			out[i] = float64(math.Float32frombits(m.order.Uint32(d)))
		case 9:
			out[i] = math.Float64frombits(m.order.Uint64(d))
		}
	}
	return out, nil
}
