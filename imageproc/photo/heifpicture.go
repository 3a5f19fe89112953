package photo

import (
	"image"
)

// heifPicture is the main picture of a HEIF file, ready to be decoded: one
// coded item, or a grid of them.
type heifPicture struct {
	file        *heifFile
	tiles       []*heifItem // row by row
	cols, rows  int
	size        image.Point     // of the whole, as stored
	crop        image.Rectangle // the part that is shown
	orientation int
	profile     []byte
	codes       *codes
}

// picture finds the main picture and what belongs to it.
func (f *heifFile) picture() (*heifPicture, error) {
	it := f.items[f.primary]
	if it.kind == "tmap" && len(it.from) > 0 { // brighter by a second picture: the first stands by itself
		if it = f.items[it.from[0]]; it == nil {
			return nil, errHEIF
		}
	}
	p := &heifPicture{file: f, cols: 1, rows: 1}
	var err error
	switch it.kind {
	case "hvc1", "hev1", "av01":
		var ok bool
		if p.size, ok = f.size(it); !ok {
			return nil, errHEIF
		}
		p.tiles = []*heifItem{it}
	case "grid":
		err = p.readGrid(it)
	case "":
		err = errHEIF
	default:
		err = errHEIFKind
	}
	if err != nil {
		return nil, err
	}
	p.crop, p.orientation = f.turn(it, p.size)
	p.readColour(it)
	p.readColour(p.tiles[0])
	return p, nil
}

// readGrid reads a grid's description. Source: ISO/IEC 23008-12, 6.6.2.3.
func (p *heifPicture) readGrid(it *heifItem) error {
	body, err := p.file.bytes(it)
	if err != nil {
		return err
	}
	r := &fields{b: body}
	r.u8()
	wide := 2 + 2*(r.u8()&1)
	p.rows, p.cols = r.u8()+1, r.u8()+1
	w, h := r.number(wide), r.number(wide)
	if r.failed || w == 0 || h == 0 || w > 1<<30 || h > 1<<30 || p.rows*p.cols != len(it.from) {
		return errHEIF
	}
	p.size = image.Pt(int(w), int(h))
	for _, id := range it.from {
		t := p.file.items[id]
		if t == nil || t.kind != "hvc1" && t.kind != "hev1" && t.kind != "av01" {
			return errHEIF
		}
		p.tiles = append(p.tiles, t)
	}
	return nil
}

// readColour takes over the colour boxes of an item where none were found before.
// Source: ISO/IEC 14496-12, 12.1.5.
func (p *heifPicture) readColour(it *heifItem) {
	for _, i := range it.props {
		if i < 0 || i >= len(p.file.props) || p.file.props[i].kind != "colr" {
			continue
		}
		r := &fields{b: p.file.props[i].body}
		switch string(r.skip(4)) {
		case "prof", "rICC":
			if p.profile == nil && len(r.b) <= maxProfile {
				p.profile = r.b
			}
		case "nclx":
			c := &codes{primaries: r.u16(), transfer: r.u16(), matrix: r.u16(), full: r.u8()&0x80 != 0}
			if p.codes == nil && !r.failed {
				p.codes = c
			}
		}
	}
}

// meta returns what the container says besides the pixels.
func (p *heifPicture) meta() metadata {
	return metadata{orientation: p.orientation, profile: p.profile, codes: p.codes}
}

// openHEIF finds the picture of a HEIC or AVIF file.
func openHEIF(data []byte) (*heifPicture, error) {
	f, err := readHEIF(data)
	if err != nil {
		return nil, err
	}
	return f.picture()
}
