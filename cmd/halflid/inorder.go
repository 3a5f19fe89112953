package main

import (
	"sync/atomic"

	"golang.org/x/sync/errgroup"
)

// atOnce is how many photos are open at a time: two use both the decoder's one
// thread and the rest of the machine, and bound the memory.
const atOnce = 2

// inOrder does one for the files 0..n-1, some at a time, and then for each in turn
// as soon as it is done. After an error of then no further file is begun, and those
// that were are finished. after names the earlier file that one has to wait for, -1
// for none; nil: none has to.
func inOrder(n int, after func(i int) int, one func(i int), then func(i int) error) error {
	ready := make([]chan struct{}, n)
	for i := range ready {
		ready[i] = make(chan struct{})
	}
	var group errgroup.Group
	var ended atomic.Bool
	group.SetLimit(atOnce)
	go func() {
		for i := range n {
			group.Go(func() error {
				defer close(ready[i])
				if after != nil && after(i) >= 0 {
					<-ready[after(i)]
				}
				if !ended.Load() {
					one(i)
				}
				return nil // the others go on
			})
		}
	}()
	var failed error
	for i := range ready {
		<-ready[i]
		if failed == nil {
			failed = then(i)
			ended.Store(failed != nil)
		}
	}
	return failed
}
