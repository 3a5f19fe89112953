//go:build noheic

package photo

import (
	"context"
	"image"
)

// opensHEIC tells whether this build opens HEIC pictures.
const opensHEIC = false

func decodeHEIC(context.Context, *heifPicture, func(float64)) (image.Image, error) {
	return nil, errHEIFKind
}
