package main

import (
	"context"
	"fmt"
	"runtime/debug"
	"sync/atomic"

	"atelier/halflid/imageproc"
	"atelier/halflid/imageproc/photo"
)

// opening is a photo that is being opened beside whatever else goes on.
type opening struct {
	preview imageproc.Picture // empty if the photo has none

	progress atomic.Pointer[func(float64)]
	share    atomic.Pointer[float64]
	done     chan struct{}
	work     *work
	err      error
	crash    string
}

// beginOpening begins to open src, and gives up when ctx ends. The preview is
// there at once.
func beginOpening(ctx context.Context, src *source) *opening {
	o := &opening{done: make(chan struct{})}
	preview, err := photo.Preview(src.data)
	if err != nil {
		preview.R.W = 0 // none: the studio says that it is opening
	}
	o.preview = preview
	go func() {
		defer close(o.done)
		defer func() {
			if r := recover(); r != nil {
				o.crash = fmt.Sprintf("%v\n\n%s", r, debug.Stack())
			}
		}()
		o.work, o.err = src.open(ctx, o.tell)
	}()
	return o
}

func (o *opening) tell(share float64) {
	o.share.Store(&share)
	if f := o.progress.Load(); f != nil {
		(*f)(share)
	}
}

// wait returns the photo when it is open; progress takes the share done. A panic
// while opening goes on here, where the screen is guarded.
func (o *opening) wait(progress func(float64)) (*work, error) {
	if progress != nil {
		o.progress.Store(&progress)
		if s := o.share.Load(); s != nil {
			progress(*s)
		}
	}
	<-o.done
	if o.crash != "" {
		panic(o.crash)
	}
	return o.work, o.err
}
