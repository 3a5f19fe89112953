package main

import (
	"errors"
	"slices"
	"sync/atomic"
	"testing"
	"time"
)

// Where what is printed cannot be written any more, no file is left half done and
// none is begun after that.
func TestInOrderEnds(t *testing.T) {
	broken := errors.New("closed")
	var begun, over atomic.Int32
	failed := make(chan struct{}) // some time ago
	err := inOrder(50, nil, func(i int) {
		begun.Add(1)
		if i > 0 {
			<-failed
		}
		over.Add(1)
	}, func(int) error {
		time.AfterFunc(100*time.Millisecond, func() { close(failed) })
		return broken
	})
	if !errors.Is(err, broken) {
		t.Errorf("it says %v", err)
	}
	if begun.Load() != over.Load() {
		t.Errorf("%d were begun, %d are done", begun.Load(), over.Load())
	}
	if begun.Load() > 1+atOnce {
		t.Errorf("%d of 50 were begun after the first had failed", begun.Load())
	}
}

// Two at a time, told in their order; one that has to wait waits; an error of what
// is told ends it.
func TestInOrder(t *testing.T) {
	var now, most, tried atomic.Int32
	done := make([]bool, 9)
	both := make(chan struct{}) // the first two meet at work
	var told []int
	after := func(i int) int { return []int{-1, -1, -1, 2, 3, -1, 4, -1, -1}[i] }
	err := inOrder(9, after, func(i int) {
		n := now.Add(1)
		for m := most.Load(); n > m && !most.CompareAndSwap(m, n); m = most.Load() {
		}
		if i < 2 {
			select { // whoever comes first waits
			case both <- struct{}{}:
			case <-both:
			case <-time.After(10 * time.Second):
				t.Error("the second does not begin while the first is not done")
			}
			time.Sleep(20 * time.Millisecond) // a third would begin
		}
		if a := after(i); a >= 0 && !done[a] {
			t.Errorf("%d did not wait for %d", i, a)
		}
		done[i] = true
		tried.Add(1)
		now.Add(-1)
	}, func(i int) error {
		if !done[i] {
			t.Errorf("%d is told before it is done", i)
		}
		told = append(told, i)
		return nil
	})
	if err != nil || most.Load() != atOnce || tried.Load() != 9 || !slices.Equal(told, []int{0, 1, 2, 3, 4, 5, 6, 7, 8}) {
		t.Errorf("%v: %d at once, %d tried, told in the order %v", err, most.Load(), tried.Load(), told)
	}
	stop := errors.New("the pipe is closed")
	told = nil
	err = inOrder(5, nil, func(int) {}, func(i int) error {
		told = append(told, i)
		if i == 2 {
			return stop
		}
		return nil
	})
	if err != stop || !slices.Equal(told, []int{0, 1, 2}) {
		t.Errorf("ended with %v after telling %v", err, told)
	}
	if err := inOrder(0, nil, nil, nil); err != nil {
		t.Errorf("no files: %v", err)
	}
}
