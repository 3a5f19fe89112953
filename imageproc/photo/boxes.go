package photo

import "encoding/binary"

// eachBox calls f with the boxes of an ISO base media file or of a box's body,
// in order, until f returns false or what follows is no whole box. at is where
// the body begins in b. Source: ISO/IEC 14496-12, 4.2.
func eachBox(b []byte, f func(kind string, body []byte, at int) bool) {
	for at := 0; at+8 <= len(b); {
		size, head := uint64(binary.BigEndian.Uint32(b[at:])), 8
		switch size {
		case 0: // to the end
			size = uint64(len(b) - at)
		case 1:
			if at+16 > len(b) {
				return
			}
			size, head = binary.BigEndian.Uint64(b[at+8:]), 16
		}
		if size < uint64(head) || size > uint64(len(b)-at) {
			return
		}
		if !f(string(b[at+4:at+8]), b[at+head:at+int(size)], at+head) {
			return
		}
		at += int(size)
	}
}

// findBox returns the body of the first box of a kind; nil if there is none.
func findBox(b []byte, kind string) []byte {
	var found []byte
	eachBox(b, func(k string, body []byte, _ int) bool {
		if k == kind {
			found = body[:len(body):len(body)]
		}
		return found == nil
	})
	return found
}

// fields reads big-endian numbers one after another; once it has met the end
// it gives zeros and failed is set.
type fields struct {
	b      []byte
	failed bool
}

func (r *fields) skip(n int) []byte {
	if n < 0 || n > len(r.b) {
		r.failed = true
		r.b = nil
		return nil
	}
	v := r.b[:n]
	r.b = r.b[n:]
	return v
}

// number reads an unsigned number of n bytes, 0 to 8.
func (r *fields) number(n int) uint64 {
	v := uint64(0)
	for _, c := range r.skip(n) {
		v = v<<8 | uint64(c)
	}
	return v
}

func (r *fields) u8() int     { return int(r.number(1)) }
func (r *fields) u16() int    { return int(r.number(2)) }
func (r *fields) u32() uint32 { return uint32(r.number(4)) }

// full reads the version and flags of a full box.
func (r *fields) full() (version int, flags uint32) {
	v := r.u32()
	return int(v >> 24), v & 0xffffff
}

// appendBox appends a box; its body is what the parts hold, one after another.
func appendBox(b []byte, kind string, parts ...[]byte) []byte {
	size := 8
	for _, p := range parts {
		size += len(p)
	}
	b = append(binary.BigEndian.AppendUint32(b, uint32(size)), kind...)
	for _, p := range parts {
		b = append(b, p...)
	}
	return b
}
