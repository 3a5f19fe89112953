package imageproc

import (
	"runtime"
	"sync/atomic"
	"testing"
)

type tally struct {
	count []atomic.Int32
	most  atomic.Int32
}

func (c *tally) Rows(worker, y0, y1 int) {
	for y := y0; y < y1; y++ {
		c.count[y].Add(1)
	}
	for old := c.most.Load(); int32(worker) > old && !c.most.CompareAndSwap(old, int32(worker)); old = c.most.Load() {
	}
}

func TestCrewDoesEveryRowOnce(t *testing.T) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(4))
	var c Crew
	for _, rows := range []int{0, 1, 2, 15, 16, 17, 100, 1001} {
		for _, cost := range []int{1, 1_000_000} {
			job := &tally{count: make([]atomic.Int32, rows)}
			c.Do(rows, cost, Workers(), job)
			for y := range job.count {
				if n := job.count[y].Load(); n != 1 {
					t.Fatalf("%d rows: row %d done %d times", rows, y, n)
				}
			}
			if m := int(job.most.Load()); m >= Workers() {
				t.Errorf("worker %d of %d", m, Workers())
			}
		}
	}
}
