package main

import (
	"fmt"
	"os"
	"runtime"
	"slices"
	"strings"
	"testing"
	"time"
)

// TestFigures measures what the project promises to be fast and small at, and
// prints it with what is to be reached. It judges no time: the machine may be
// busy with other things. Ratios come from runs side by side and are medians, so
// they hold on any machine; milliseconds and bytes are of this one run.
func TestFigures(t *testing.T) {
	if os.Getenv("HALFLID_BENCH") == "" {
		t.Skip("the figures take some minutes of a quiet machine: set HALFLID_BENCH=1, or make bench")
	}
	fmt.Printf("\n%s, %s/%s, %d processors%s; screen figures through a pseudo-terminal of %dx%d cells\n\n| work | measured | to reach | |\n|---|---|---|---|\n",
		runtime.Version(), runtime.GOOS, runtime.GOARCH, runtime.GOMAXPROCS(0), busy(), figureCols, figureRows)
	blurFigures(t)
	file := camera(t)
	openFigures(t, file)
	wallFigures(t, file)
	screenFigures(t, file)
	server := startSSH(t)
	for _, l := range slowLines {
		l.print(l.measure(t, server))
	}
	fmt.Printf("\nat the end%s\n\n", busy())
}

// busy says how many processes want a processor, where the system tells: with
// more than there are, milliseconds and their p95 are those of a busy machine.
func busy() string {
	data, err := os.ReadFile("/proc/loadavg")
	if err != nil {
		return ""
	}
	minute, _, _ := strings.Cut(string(data), " ")
	return ", load " + minute
}

// row prints one line of the table. goal is empty where none is set.
func row(work, measured, goal string, reached bool) {
	mark := ""
	switch {
	case goal == "":
	case reached:
		mark = "reached"
	default:
		mark = "**missed**"
	}
	fmt.Printf("| %s | %s | %s | %s |\n", work, measured, goal, mark)
}

// quantile returns the value below which the share q of vs lies: the nearest
// rank, so that it is one of vs. vs must not be empty.
func quantile[T int | float64 | time.Duration](vs []T, q float64) T {
	sorted := slices.Clone(vs)
	slices.Sort(sorted)
	return sorted[min(int(q*float64(len(sorted))), len(sorted)-1)]
}

func median[T int | float64 | time.Duration](vs []T) T { return quantile(vs, 0.5) }

// took returns how long f takes.
func took(f func()) time.Duration {
	begin := time.Now()
	f()
	return time.Since(begin)
}

func ms(d time.Duration) string { return fmt.Sprintf("%.1f", d.Seconds()*1000) }

func TestQuantile(t *testing.T) {
	vs := []int{5, 1, 4, 2, 3}
	for _, c := range []struct {
		q    float64
		want int
	}{{0, 1}, {0.5, 3}, {0.95, 5}, {1, 5}} {
		if got := quantile(vs, c.q); got != c.want {
			t.Errorf("quantile %g is %d, want %d", c.q, got, c.want)
		}
	}
	if vs[0] != 5 {
		t.Error("quantile sorted its argument")
	}
}
