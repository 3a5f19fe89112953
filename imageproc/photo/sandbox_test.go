//go:build !noheic

package photo

import (
	"context"
	"errors"
	"fmt"
	"testing"
)

// TestForEachTellsTheFirst: of many damaged tiles the first is told, however
// the goroutines run.
func TestForEachTellsTheFirst(t *testing.T) {
	for range 50 {
		err := forEach(context.Background(), 40, 4, func(i int) error {
			if i >= 7 {
				return fmt.Errorf("tile %d", i)
			}
			return nil
		}, func(float64) {})
		if err == nil || err.Error() != "tile 7" {
			t.Fatalf("got %v", err)
		}
	}
}

// TestSandboxMemoryEnds: a decoder that asks for more than it may have ends in
// an error of its own kind.
func TestSandboxMemoryEnds(t *testing.T) {
	e, err := heicEngine()
	if err != nil {
		t.Fatal(err)
	}
	err = e.run(context.Background(), 1<<20, 4<<20, func(s *sandbox) error {
		if _, err := s.alloc(1 << 20); err != nil {
			return fmt.Errorf("a first megabyte: %v", err)
		}
		_, err := s.alloc(8 << 20)
		return err
	})
	if !errors.Is(err, errSandboxMemory) {
		t.Errorf("got %v", err)
	}
	err = e.run(context.Background(), 1<<20, 8<<20, func(s *sandbox) error { panic("tide") })
	if !errors.Is(err, errSandbox) {
		t.Errorf("a panic became %v", err)
	}
}
