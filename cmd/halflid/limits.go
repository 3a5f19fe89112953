package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"time"

	"github.com/spf13/cobra"

	"atelier/halflid/imageproc/photo"
)

// limits are how large a photo may be that is opened: flags raise them.
type limits struct{ megapixels, megabytes, memory, seconds int64 }

// register makes the flags those of every command below cmd, and hands what was
// said on with the command's context.
func (l *limits) register(cmd *cobra.Command) {
	cmd.PersistentFlags().Int64Var(&l.megapixels, "max-megapixels", photo.DefaultMaxPixels/1_000_000, "largest photo that is opened, in `millions` of pixels")
	cmd.PersistentFlags().Int64Var(&l.megabytes, "max-megabytes", photo.DefaultMaxBytes/megabyte, "largest file that is opened, in `MB`")
	cmd.PersistentFlags().Int64Var(&l.memory, "max-memory-megabytes", photo.DefaultMaxMemory/megabyte, "most memory that opening a photo may take, in `MB`")
	cmd.PersistentFlags().Int64Var(&l.seconds, "max-seconds", 120, "longest that opening a photo may take, in `seconds`")
	cmd.PersistentPreRunE = func(cmd *cobra.Command, _ []string) error {
		if l.megapixels < 1 || l.megapixels > mostMegapixels {
			return usagef("--max-megapixels %d is out of range: 1 to %d", l.megapixels, mostMegapixels)
		}
		if l.megabytes < 1 || l.megabytes > mostMegabytes {
			return usagef("--max-megabytes %d is out of range: 1 to %d", l.megabytes, mostMegabytes)
		}
		if l.memory < 1 || l.memory > mostMegabytes {
			return usagef("--max-memory-megabytes %d is out of range: 1 to %d", l.memory, mostMegabytes)
		}
		if l.seconds < 1 || l.seconds > mostSeconds {
			return usagef("--max-seconds %d is out of range: 1 to %d", l.seconds, mostSeconds)
		}
		cmd.SetContext(context.WithValue(cmd.Context(), limitsKey{}, *l))
		return nil
	}
}

// What a flag counts in, and the most that flags can ask for: larger pictures do
// not fit into the memory of a usual machine.
const (
	megabyte       = 1_000_000
	mostMegapixels = 2000
	mostMegabytes  = 65_536
	mostSeconds    = 86_400
)

type limitsKey struct{}

// limitsOf returns what was said of the size of photos.
func limitsOf(ctx context.Context) photo.Options {
	l, ok := ctx.Value(limitsKey{}).(limits)
	if !ok {
		return photo.Options{MaxPixels: photo.DefaultMaxPixels, MaxBytes: photo.DefaultMaxBytes}
	}
	return photo.Options{MaxPixels: l.megapixels * 1_000_000, MaxBytes: l.megabytes * megabyte, MaxMemory: l.memory * megabyte}
}

// inTime returns a context for opening a photo, which ends when that takes longer
// than it may.
func inTime(ctx context.Context) (context.Context, context.CancelFunc) {
	l, ok := ctx.Value(limitsKey{}).(limits)
	if !ok {
		return ctx, func() {}
	}
	return context.WithTimeout(ctx, time.Duration(l.seconds)*time.Second)
}

// raising adds to an error of photo.Decode which flag raises the limit that the
// photo goes over, if it is one that can be.
func raising(err error) error {
	var e *photo.Error
	if !errors.As(err, &e) {
		return err
	}
	switch e.Limit {
	case photo.ByPixels:
		return fmt.Errorf("%w; --max-megapixels allows more", err)
	case photo.ByBytes:
		return fmt.Errorf("%w; --max-megabytes allows more", err)
	case photo.ByMemory:
		return fmt.Errorf("%w; --max-memory-megabytes allows more", err)
	case photo.ByContext:
		return fmt.Errorf("%w; --max-seconds allows more", err)
	}
	return err
}

// readInput reads a photo that comes on standard input.
func readInput(ctx context.Context, in io.Reader) (*source, error) {
	most := limitsOf(ctx).MaxBytes
	data, err := appendAll(nil, io.LimitReader(in, most+1))
	switch {
	case err != nil:
		return nil, fmt.Errorf("standard input cannot be read: %w", cause(err))
	case int64(len(data)) > most:
		return nil, fmt.Errorf("standard input is too large: at most %d MB are opened; --max-megabytes raises that", most/megabyte)
	}
	return &source{name: "standard input", data: data, input: true}, nil
}
