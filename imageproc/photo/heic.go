//go:build !noheic

package photo

import (
	"context"
	"image"
	"sync"
	_ "unsafe" // for the link below

	_ "github.com/gen2brain/heic" // carries the decoder
)

// heifWasm is libheif with libde265, compiled to WebAssembly and packed, as the
// heic package carries it. The package's own Decode is not used: it prefers a
// library of the machine's where it finds one, so that results would depend on
// the machine; it has no bound on memory; and it lets the decoder write on the
// terminal. The build tag nodynamic keeps the package from looking for that
// library at all.
//
//go:linkname heifWasm github.com/gen2brain/heic.heifWasm
var heifWasm []byte

// opensHEIC tells whether this build opens HEIC pictures.
const opensHEIC = true

var heicEngine = sync.OnceValues(func() (*engine, error) { return newEngine(heifWasm, engineSlots()) })

// decodeHEIC decodes a picture tile by tile: phones store theirs in a hundred
// of 512 x 512. Each tile is handed to the decoder as a small file of its own,
// so that all processors work, memory stays small and stopping takes no longer
// than one tile. told hears the share done from the calling goroutine.
func decodeHEIC(ctx context.Context, p *heifPicture, told func(float64)) (image.Image, error) {
	first, err := readHVCC(p.file.prop(p.tiles[0], "hvcC"))
	if err != nil {
		return nil, err
	}
	m, err := newMosaic(p, first)
	if err != nil {
		return nil, err
	}
	e, err := heicEngine()
	if err != nil {
		return nil, err
	}
	err = forEach(ctx, len(p.tiles), engineSlots(), func(i int) error {
		hvcc := p.file.prop(p.tiles[i], "hvcC")
		shape, err := readHVCC(hvcc)
		if err != nil {
			return err
		}
		if shape.size != first.size || shape.chroma != first.chroma {
			return errHEIF
		}
		coded, err := p.file.bytes(p.tiles[i])
		if err != nil {
			return err
		}
		area := int64(shape.coded.X) * int64(shape.coded.Y)
		if claim, ok := p.file.size(p.tiles[i]); !ok || area > 2*int64(claim.X)*int64(claim.Y)+1<<14 {
			return errHEIF // the stream would take more memory than the container told
		}
		return e.run(ctx, 4<<20+8*area, 64<<20+24*area, func(s *sandbox) error {
			planes, err := decodeTile(s, synthesize(coded, hvcc, shape), m)
			if err != nil {
				return err
			}
			m.lay(i%p.cols, i/p.cols, planes)
			return nil
		})
	}, told)
	if err != nil {
		return nil, err
	}
	code := codes{primaries: 2, transfer: 2, matrix: 2}
	if first.code != nil {
		code = *first.code
	}
	if p.codes != nil {
		vui := code.matrix
		if code = *p.codes; code.matrix == 2 {
			code.matrix = vui
		}
	} else {
		p.codes = first.code
	}
	return m.image(code, p.crop), nil
}

// decodeTile runs the decoder on a file of one tile and returns its planes,
// valid while the sandbox lasts.
func decodeTile(s *sandbox, file []byte, m *mosaic) ([]byte, error) {
	in, err := s.put(file)
	if err != nil {
		return nil, err
	}
	about, err := s.alloc(20) // width, height, colour space, chroma, premultiplied
	if err != nil {
		return nil, err
	}
	ask := func(configOnly uint64, out uint32) error {
		ok, err := s.call("decode", uint64(in), uint64(len(file)), configOnly,
			uint64(about), uint64(about+4), uint64(about+8), uint64(about+12), uint64(about+16), uint64(out))
		if err == nil && uint32(ok) == 0 {
			err = errSandbox
		}
		return err
	}
	if err := ask(1, 0); err != nil {
		return nil, err
	}
	v, err := s.numbers(about, 4)
	if err != nil {
		return nil, err
	}
	const ycc = 0
	if int(v[0]) != m.tile.X || int(v[1]) != m.tile.Y || v[2] != ycc || int(v[3]) != max(m.chroma, 1) {
		return nil, errSandbox
	}
	out, err := s.alloc(m.bytes())
	if err != nil {
		return nil, err
	}
	if err := ask(0, out); err != nil {
		return nil, err
	}
	return s.view(out, m.bytes())
}
