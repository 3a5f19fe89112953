package photo

import (
	"errors"
	"image"
	"math"
)

var (
	errHEIF      = errors.New("photo: HEIF container is damaged")
	errHEIFShort = errors.New("photo: HEIF container is cut short")
	errHEIFKind  = errors.New("photo: HEIF container of a kind not known")
)

// heifItem is one coded or derived picture of a HEIF or AVIF file.
type heifItem struct {
	kind    string
	method  int // where extents point: 0 the file, 1 the idat box
	base    uint64
	extents [][2]uint64 // offset and length
	props   []int       // indices into heifFile.props
	from    []uint32    // items that it is derived from, in order
}

// heifProp is one property box.
type heifProp struct {
	kind string
	body []byte
}

// heifFile is the index of a HEIF or AVIF file: what is where. It holds slices
// of the file. Source: ISO/IEC 23008-12 and 14496-12, 8.11.
type heifFile struct {
	data, idat []byte
	primary    uint32
	items      map[uint32]*heifItem
	props      []heifProp
}

// maxItems bounds the items of one file: a picture of 150 million pixels in
// tiles of 512 has 600.
const maxItems = 1 << 14

// readHEIF reads the index.
func readHEIF(data []byte) (*heifFile, error) {
	meta := findBox(data, "meta")
	if len(meta) < 4 {
		if findBox(data, "moov") != nil {
			return nil, errHEIFKind // a film
		}
		if len(data) > 8 && wantsMore(data) {
			return nil, errHEIFShort
		}
		return nil, errHEIF
	}
	f := &heifFile{data: data, items: map[uint32]*heifItem{}}
	ok := true
	eachBox(meta[4:], func(kind string, body []byte, _ int) bool {
		r := &fields{b: body}
		switch kind {
		case "pitm":
			if v, _ := r.full(); v == 0 {
				f.primary = uint32(r.u16())
			} else {
				f.primary = r.u32()
			}
		case "idat":
			f.idat = body
		case "iinf":
			f.readKinds(r)
		case "iloc":
			f.readPlaces(r)
		case "iref":
			f.readSources(r)
		case "iprp":
			f.readProps(body, r)
		}
		ok = ok && !r.failed && len(f.items) <= maxItems
		return ok
	})
	if !ok || f.items[f.primary] == nil {
		return nil, errHEIF
	}
	return f, nil
}

// wantsMore reports whether a box at the top of the file claims to reach past
// its end.
func wantsMore(data []byte) bool {
	at := 0
	eachBox(data, func(_ string, body []byte, start int) bool {
		at = start + len(body)
		return true
	})
	return at < len(data) || at == len(data) && findBox(data, "mdat") == nil
}

// item returns the item of a number, made if it is not there.
func (f *heifFile) item(id uint32) *heifItem {
	if f.items[id] == nil {
		f.items[id] = &heifItem{}
	}
	return f.items[id]
}

func (f *heifFile) readKinds(r *fields) {
	n := 2
	if v, _ := r.full(); v > 0 {
		n = 4
	}
	r.number(n)
	eachBox(r.b, func(kind string, body []byte, _ int) bool {
		if kind != "infe" {
			return true
		}
		e := &fields{b: body}
		v, _ := e.full()
		if v < 2 {
			return true // pictures have no such old entries
		}
		id := uint32(e.u16())
		if v > 2 {
			id = id<<16 | uint32(e.u16())
		}
		e.u16() // protection
		if kind := string(e.skip(4)); !e.failed {
			f.item(id).kind = kind
		}
		return len(f.items) <= maxItems
	})
}

func (f *heifFile) readPlaces(r *fields) {
	v, _ := r.full()
	sizes := r.u16()
	offset, length, base, index := sizes>>12&15, sizes>>8&15, sizes>>4&15, 0
	if v == 1 || v == 2 {
		index = sizes & 15
	}
	idSize := 2
	if v > 1 {
		idSize = 4
	}
	if max(offset, length, base, index) > 8 {
		r.failed = true
		return
	}
	for n := r.number(idSize); n > 0 && !r.failed; n-- {
		it := f.item(uint32(r.number(idSize)))
		if v > 0 {
			it.method = r.u16() & 15
		}
		if r.u16() != 0 {
			it.method = -1 // in another file
		}
		it.base = r.number(base)
		it.extents = nil
		for k := r.u16(); k > 0 && !r.failed; k-- {
			r.number(index)
			it.extents = append(it.extents, [2]uint64{r.number(offset), r.number(length)})
			if offset+length == 0 && k > 1 {
				r.failed = true // many extents that take no room in the file
			}
		}
		if len(f.items) > maxItems {
			r.failed = true
		}
	}
}

func (f *heifFile) readSources(r *fields) {
	n := 2
	if v, _ := r.full(); v > 0 {
		n = 4
	}
	eachBox(r.b, func(kind string, body []byte, _ int) bool {
		if kind != "dimg" {
			return true
		}
		e := &fields{b: body}
		it := f.item(uint32(e.number(n)))
		for k := e.u16(); k > 0 && !e.failed; k-- {
			it.from = append(it.from, uint32(e.number(n)))
		}
		r.failed = r.failed || e.failed
		return !r.failed && len(f.items) <= maxItems
	})
}

func (f *heifFile) readProps(body []byte, r *fields) {
	eachBox(body, func(kind string, body []byte, _ int) bool {
		switch kind {
		case "ipco":
			eachBox(body, func(kind string, body []byte, _ int) bool {
				f.props = append(f.props, heifProp{kind, body})
				return len(f.props) <= maxItems
			})
		case "ipma":
			e := &fields{b: body}
			v, flags := e.full()
			for n := e.u32(); n > 0 && !e.failed; n-- {
				id := uint32(e.number(2 + 2*min(v, 1)))
				it := f.item(id)
				for k := e.u8(); k > 0 && !e.failed; k-- {
					p := int(e.number(1+int(flags&1))) & (1<<(7+8*(flags&1)) - 1) // without the bit for essential
					it.props = append(it.props, p-1)
				}
				if len(f.items) > maxItems {
					e.failed = true
				}
			}
			r.failed = r.failed || e.failed
		}
		return !r.failed
	})
}

// prop returns the body of an item's first property of a kind; nil if none.
func (f *heifFile) prop(it *heifItem, kind string) []byte {
	for _, i := range it.props {
		if i >= 0 && i < len(f.props) && f.props[i].kind == kind {
			return f.props[i].body
		}
	}
	return nil
}

// size returns the width and height that an item claims, before it is turned.
func (f *heifFile) size(it *heifItem) (image.Point, bool) {
	r := &fields{b: f.prop(it, "ispe")}
	r.full()
	w, h := r.u32(), r.u32()
	if r.failed || w == 0 || h == 0 || w > math.MaxInt32 || h > math.MaxInt32 {
		return image.Point{}, false
	}
	return image.Pt(int(w), int(h)), true
}

// bytes returns an item's own data. It is a slice of the file unless the item
// lies in pieces.
func (f *heifFile) bytes(it *heifItem) ([]byte, error) {
	from := f.data
	switch it.method {
	case 0:
	case 1:
		from = f.idat
	default:
		return nil, errHEIFKind
	}
	var out []byte
	for i, e := range it.extents {
		at := it.base + e[0]
		n := e[1]
		if n == 0 && len(it.extents) == 1 && at <= uint64(len(from)) {
			n = uint64(len(from)) - at // the whole of what follows
		}
		if at < it.base || at > uint64(len(from)) || n > uint64(len(from))-at {
			return nil, errHEIFShort
		}
		if i == 0 {
			out = from[at : at+n : at+n]
			continue
		}
		if uint64(len(out))+n > uint64(len(f.data)) {
			return nil, errHEIF // pieces that overlap
		}
		out = append(out, from[at:at+n]...)
	}
	if len(out) == 0 {
		return nil, errHEIF
	}
	return out, nil
}
