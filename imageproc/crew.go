package imageproc

import (
	"runtime"
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
}

// Workers returns how many goroutines Do may use at most, 1 or more: one per
// processor that the program may use. A job needs that many sets of scratch.
func Workers() int { return min(runtime.GOMAXPROCS(0), maxWorkers) }

// Do runs job over rows 0..rows-1 and returns when all are done. cost is the
// rough work of one row in nanoseconds; small jobs stay on this goroutine.
// workers is what Workers returned when the scratch was made.
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
			c.work(w)
			c.wg.Done()
		})
	}
	c.wg.Add(workers - 1)
	for w := 1; w < workers; w++ {
		go c.bodies[w]()
	}
	c.work(0)
	c.wg.Wait()
	c.job = nil
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
