package imageproc

import (
	"fmt"
	"runtime"
	"strings"
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

// brittle panics in one of its rows.
type brittle struct{ at int }

func (b brittle) Rows(_, y0, y1 int) {
	if y0 <= b.at && b.at < y1 {
		panic("a row broke")
	}
}

// A panic on a helping goroutine comes to the caller, who can answer it; and the
// crew works on afterwards.
func TestCrewBringsPanicsHome(t *testing.T) {
	var c Crew
	for at := range 400 {
		func() {
			defer func() {
				if v := recover(); v == nil || !strings.Contains(fmt.Sprint(v), "a row broke") {
					t.Errorf("row %d: recovered %v", at, v)
				}
			}()
			c.Do(400, 1e6, 4, brittle{at})
			t.Errorf("row %d: no panic", at)
		}()
	}
	c.Do(400, 1e6, 4, brittle{-1})
}
