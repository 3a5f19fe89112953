package main

import (
	"errors"
	"sync/atomic"
	"testing"
	"time"
)

// Where what is printed cannot be written any more, no file is left half done and
// none is begun after that.
func TestInOrderEnds(t *testing.T) {
	broken := errors.New("closed")
	var begun, over atomic.Int32
	var second atomic.Bool
	err := inOrder(50, nil, func(i int) {
		begun.Add(1)
		if i == 1 {
			second.Store(true)
		}
		if i > 0 {
			time.Sleep(20 * time.Millisecond)
		}
		over.Add(1)
	}, func(int) error {
		for !second.Load() {
			time.Sleep(time.Millisecond)
		}
		return broken
	})
	if !errors.Is(err, broken) {
		t.Errorf("it says %v", err)
	}
	if begun.Load() != over.Load() {
		t.Errorf("%d were begun, %d are done", begun.Load(), over.Load())
	}
	if begun.Load() > 4 {
		t.Errorf("%d of 50 were begun after the first had failed", begun.Load())
	}
}

// A file waits for the earlier one that is named; what comes after is in order.
func TestInOrderWaits(t *testing.T) {
	var first atomic.Bool
	var told []int
	err := inOrder(6, func(i int) int {
		if i == 1 {
			return 0
		}
		return -1
	}, func(i int) {
		switch i {
		case 0:
			time.Sleep(20 * time.Millisecond)
			first.Store(true)
		case 1:
			if !first.Load() {
				t.Error("the second file did not wait for the first")
			}
		}
	}, func(i int) error {
		told = append(told, i)
		return nil
	})
	if err != nil || len(told) != 6 {
		t.Fatalf("%v, %v", told, err)
	}
	for i, n := range told {
		if i != n {
			t.Fatalf("in the order %v", told)
		}
	}
}
