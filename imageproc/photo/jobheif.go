package photo

import (
	"fmt"
	"image"
	"image/jpeg"
)

// What decoding HEIC takes: the picture's planes, and for each decoder that
// runs its sandbox, which grows with the tile. Source: ours, by measure.
const (
	heicPlanes   = 3  // bytes a pixel of the whole
	heicPerPixel = 14 // bytes a pixel of the tile
	heicBase     = 8 << 20
)

// prepareHEIF reads the index of a HEIC or AVIF file and checks the size that
// it gives.
func (j *job) prepareHEIF() error {
	p, err := openHEIF(j.data)
	if err != nil {
		return j.explain(err, false)
	}
	w := pixels{int64(p.size.X), int64(p.size.Y)}
	if err := j.admitSize(w); err != nil {
		return err
	}
	for _, tile := range p.tiles {
		if _, err := p.file.bytes(tile); err != nil {
			return j.explain(err, false)
		}
	}
	need := avifBase + avifPerPixel*w.x*w.y
	if j.kind == kindHEIC {
		tile, ok := p.file.size(p.tiles[0])
		if !ok {
			return j.explain(errHEIF, false)
		}
		area := int64(tile.X) * int64(tile.Y)
		if area > j.opt.MaxPixels {
			return j.explain(errHEIF, false)
		}
		need = heicPlanes*w.x*w.y + int64(min(engineSlots(), len(p.tiles)))*(heicBase+heicPerPixel*area)
	}
	j.heif = p
	return j.admitMemory(need, w)
}

func (j *job) decodeHEIF() (image.Image, metadata, error) {
	var img image.Image
	var err error
	if j.kind == kindHEIC {
		img, err = decodeHEIC(j.ctx, j.heif, func(part float64) { j.report(decodeShare * part) })
	} else {
		img, err = decodeAVIF(j.ctx, j.data, j.heif)
	}
	return img, j.heif.meta(), err
}

// prepareRaw finds the picture that the camera put inside and checks its size.
func (j *job) prepareRaw() error {
	picture, exif := rawPicture(j.data)
	if picture == nil {
		return j.fail(ErrUnsupported, nil, "this raw camera file holds no picture that can be opened: export it as JPEG and open that")
	}
	size, err := headerSize(kindJPEG, picture)
	if err != nil {
		return j.explain(err, false)
	}
	if max(size.x, size.y) < leastPreview {
		return j.fail(ErrUnsupported, nil, "this raw camera file holds only a small picture, %d x %d pixels: export it as JPEG and open that", size.x, size.y)
	}
	if err := j.admitSize(size); err != nil {
		return err
	}
	j.raw, j.rawEXIF = picture, exif
	return j.admitMemory(decoderMemory(kindJPEG, picture, size), size)
}

// decodeRaw decodes that picture. Where it does not say how it is to be turned
// and coloured, the raw file's own EXIF block does.
func (j *job) decodeRaw() (image.Image, metadata, error) {
	j.source.data = j.raw
	img, err := jpeg.Decode(j.source)
	if err != nil {
		return nil, metadata{}, err
	}
	meta := readMeta(kindJPEG, j.raw)
	if meta.exif == nil {
		meta.exif = j.rawEXIF
		meta.orientation = exifOrientation(meta.exif)
	}
	size := img.Bounds().Size()
	meta.notes = []string{fmt.Sprintf("This is a raw camera file: what is opened is the picture that the camera put inside it, "+
		"%d x %d pixels, not the raw data", size.X, size.Y)}
	return img, meta, nil
}
