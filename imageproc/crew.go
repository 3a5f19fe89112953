package imageproc

import (
	"fmt"
	"runtime"
	"runtime/debug"
	"sync"
	"sync/atomic"
)

// RowJob is work that can be done row by row, in any order: row y depends on
// nothing that another row writes. worker numbers the scratch memory to use.
type RowJob interface {
	Rows(worker, y0, y1 int)
}

// maxWorkers bounds the scratch memory that a job keeps per worker; the passes
// are limited by memory long before more would help.
const maxWorkers = 8

// bandRows is how many rows a worker takes at a time: few enough to share the
// work evenly, many enough that neighbouring bands seldom touch the same rows.
const bandRows = 16

// smallWork is the work (in rough nanoseconds) below which starting a second
// goroutine costs more than it saves.
const smallWork = 200_000

// Crew spreads a RowJob over goroutines. The zero Crew is ready. It keeps what
// it needs between jobs, so that a job allocates nothing once the crew is warm.
// A Crew runs one job at a time. Since rows are independent, the result is the
// same for every number of workers.
type Crew struct {
	job        RowJob
	rows, band int
	next       atomic.Int64
	wg         sync.WaitGroup
	bodies     []func()
	rescue     Rescue
}

// Rescue brings a panic on a helping goroutine to the one that waits for it,
// which has someone to answer it: on its own goroutine it would end the program
// at once, whatever state the terminal is in.
type Rescue struct{ first atomic.Pointer[string] }

// Catch, deferred on a helping goroutine, keeps its panic if it is the first.
func (r *Rescue) Catch() {
	if v := recover(); v != nil {
		text := fmt.Sprintf("%v\n\n%s", v, debug.Stack())
		r.first.CompareAndSwap(nil, &text)
	}
}

// Panic goes on with the panic that was kept, if any. It is called when all
// helpers are done.
func (r *Rescue) Panic() {
	if text := r.first.Swap(nil); text != nil {
		panic(*text)
	}
}

// Workers returns how many goroutines Do may use at most, 1 or more: one per
// processor that the program may use. A job needs that many sets of scratch.
func Workers() int { return min(runtime.GOMAXPROCS(0), maxWorkers) }

// Do runs job over rows 0..rows-1 and returns when all are done. A panic in job
// goes on here, whichever goroutine it came on. cost is the rough work of one row in
// nanoseconds; small jobs stay on this goroutine. workers is what Workers returned
// when the scratch was made.
func (c *Crew) Do(rows, cost, workers int, job RowJob) {
	workers = min(workers, 1+rows*cost/smallWork)
	if workers <= 1 {
		job.Rows(0, 0, rows)
		return
	}
	c.job, c.rows = job, rows
	c.band = min(bandRows, (rows+workers-1)/workers)
	c.next.Store(0)
	for w := len(c.bodies); w < workers; w++ {
		c.bodies = append(c.bodies, func() {
			defer c.wg.Done()
			defer c.rescue.Catch()
			c.work(w)
		})
	}
	c.wg.Add(workers)
	for w := 1; w < workers; w++ {
		go c.bodies[w]()
	}
	c.bodies[0]() // a panic here, too, waits for the others
	c.wg.Wait()
	c.job = nil
	c.rescue.Panic()
}

func (c *Crew) work(worker int) {
	for {
		y1 := int(c.next.Add(int64(c.band)))
		y0 := y1 - c.band
		if y0 >= c.rows {
			return
		}
		c.job.Rows(worker, y0, min(y1, c.rows))
	}
}
