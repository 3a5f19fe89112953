package main

import (
	"bytes"
	"fmt"
	"image"
	"image/png"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"
	"sync/atomic"
	"syscall"
	"testing"
	"time"

	"atelier/halflid/cmd/halflid/keep"
	"atelier/halflid/imageproc/plan"
)

// The studio is killed while a painter moves the crop to and fro, step by step,
// and saves: at a moment by chance, or just while a plan is being written. Every
// time the plan that lies there is whole, it holds what was typed but for the last
// second, the next studio takes over the lock and sweeps what was left behind.
// HALFLID_KILLS says how many times (40 without).
func TestKilledWhileWorking(t *testing.T) {
	notRacing(t)
	heavy(t)
	kills := 40
	if s := os.Getenv("HALFLID_KILLS"); s != "" {
		var err error
		if kills, err = strconv.Atoi(s); err != nil {
			t.Fatal(err)
		}
	}
	const painters = 5
	var told killed
	var next atomic.Int32
	var all sync.WaitGroup
	for i := range painters {
		p := newKillable(t, uint64(i), &told)
		all.Go(func() {
			for {
				n := int(next.Add(1))
				if n > kills || t.Failed() {
					return
				}
				t.Run(fmt.Sprint("kill ", n), p.kill)
			}
		})
	}
	all.Wait()
	told.say(t)
	if told.kills < kills && !t.Failed() {
		t.Errorf("only %d kills", told.kills)
	}
}

// killed is what was found after the kills.
type killed struct {
	sync.Mutex
	kills, opening, saving, locks, temps, swept, pictures int

	missing []time.Duration // how old the oldest edit was that is missing
	stalled time.Duration   // the longest that the machine took for next to nothing
	edits   int
}

func (k *killed) say(t *testing.T) {
	slices.Sort(k.missing)
	at := func(share float64) time.Duration {
		if len(k.missing) == 0 {
			return 0
		}
		return k.missing[int(share*float64(len(k.missing)-1))].Round(time.Millisecond)
	}
	t.Logf("%d kills (%d while it opened, %d aimed at a save), %d edits typed; every plan was whole", k.kills, k.opening, k.saving, k.edits)
	t.Logf("locks left and taken over: %d; half-written files left: %d, swept: %d; whole pictures: %d", k.locks, k.temps, k.swept, k.pictures)
	late := 0
	for _, m := range k.missing {
		if m > time.Second {
			late++
		}
	}
	t.Logf("more than the last second is missing after %d kills; the machine itself took up to %v to write a small file", late, k.stalled.Round(time.Millisecond))
	t.Logf("age of the oldest edit that is missing: half of the kills up to %v, nine in ten %v, at most %v", at(0.5), at(0.9), at(1))
}

// killable is one painter's folder and the place of the crop in it.
type killable struct {
	dir, file, plan string
	r               *rand.Rand
	at              int // steps of the crop from the left, as found last
	told            *killed
}

// A crop of a fifth of the photo's width has 266 steps from edge to edge.
const (
	killCrop  = 0.2
	killSteps = 260
)

func newKillable(t *testing.T, seed uint64, told *killed) *killable {
	t.Helper()
	dir, file := quay(t)
	k := &killable{dir: dir, file: file, plan: filepath.Join(dir, "quay.plan.json"), r: rand.New(rand.NewPCG(seed, 9)), told: told}
	size := image.Pt(400, 300)
	p := plan.SetCrop(plan.Crop{X: 0, Y: 0.4, W: killCrop})(plan.Default(size), plan.Frame{Photo: size})
	w, err := openWork(t.Context(), file)
	if err != nil {
		t.Fatal(err)
	}
	if err := keep.Save(k.plan, w.file.With(p).Text()); err != nil {
		t.Fatal(err)
	}
	return k
}

// killMove is how much of the crop's long side a key moves it. The crop lies
// across, so that is its width.
const killMove = 0.015

// kill runs the studio once, and kills it.
func (k *killable) kill(t *testing.T) {
	before, _ := filepath.Glob(filepath.Join(k.dir, ".halflid-*.tmp"))
	old := time.Now().Add(-2 * time.Minute)
	for _, temp := range before {
		_ = os.Chtimes(temp, old, old) // as if the painter came back later
	}
	lock := filepath.Join(k.dir, ".quay.plan.json.lock")
	_, err := os.Lstat(lock)
	stale := err == nil

	term := start(t, 80, 24, k.dir, k.file)
	opening := k.r.IntN(8) == 0
	aimed := !opening && k.r.IntN(2) == 0
	stalled := watchMachine(filepath.Join(k.dir, "machine"))
	ends := make(chan time.Time, 1)
	var dead atomic.Bool
	shoot := func() {
		_ = term.cmd.Process.Signal(syscall.SIGKILL)
		ends <- time.Now()
		dead.Store(true)
	}
	typed := []time.Time{} // when each step was typed
	key := "l"
	if k.at > killSteps/2 {
		key = "h"
	}
	if opening {
		time.AfterFunc(time.Duration(k.r.IntN(500))*time.Millisecond, shoot)
	} else {
		s := term.shows("in across")
		if strings.Contains(s, "nothing is saved") {
			t.Errorf("the lock of the killed studio is not free:\n%s", s)
		}
		if left, _ := filepath.Glob(filepath.Join(k.dir, ".halflid-*.tmp")); len(left) > 0 {
			t.Errorf("not swept: %v", left)
		}
		wait := time.Duration(k.r.IntN(2200)) * time.Millisecond
		late := time.Duration(k.r.IntN(4000)) * time.Microsecond
		go func() {
			if aimed {
				k.awaitTemp(3 * time.Second)
				time.Sleep(late)
			} else {
				time.Sleep(wait)
			}
			shoot()
		}()
	}
	for !dead.Load() && len(typed) < killSteps/2 {
		if k.r.IntN(12) == 0 {
			_, _ = term.tty.WriteString("S")
		}
		if _, err := term.tty.WriteString(key); err == nil {
			typed = append(typed, time.Now())
		}
		time.Sleep(time.Duration(5+k.r.IntN(40)) * time.Millisecond)
	}
	end := <-ends
	_ = term.cmd.Wait()
	k.check(t, found{stalled: stalled(), end: end, typed: typed, left: key == "h", opening: opening, aimed: aimed, stale: stale, temps: len(before)})
}

// watchMachine begins to write a small file again and again, and returns what ends
// it and says how long the longest round took.
func watchMachine(path string) (longest func() time.Duration) {
	quit, done := make(chan struct{}), make(chan time.Duration)
	go func() {
		worst := time.Duration(0)
		for {
			select {
			case <-quit:
				_ = os.Remove(path)
				done <- worst
				return
			case <-time.After(50 * time.Millisecond):
			}
			start := time.Now()
			if f, err := os.Create(path); err == nil {
				_, _ = f.WriteString("nothing")
				_ = f.Sync()
				_ = f.Close()
			}
			worst = max(worst, time.Since(start))
		}
	}()
	return func() time.Duration {
		close(quit)
		return <-done
	}
}

// awaitTemp waits until a plan is being written.
func (k *killable) awaitTemp(most time.Duration) {
	for end := time.Now().Add(most); time.Now().Before(end); time.Sleep(100 * time.Microsecond) {
		if now, _ := filepath.Glob(filepath.Join(k.dir, ".halflid-*.tmp")); len(now) > 0 {
			return
		}
	}
}

// found is what was done before the kill.
type found struct {
	end                   time.Time
	stalled               time.Duration
	typed                 []time.Time
	left                  bool
	opening, aimed, stale bool
	temps                 int
}

// check looks at what lies there after the kill.
func (k *killable) check(t *testing.T, f found) {
	t.Helper()
	kept, err := keep.Load(k.plan)
	if err != nil {
		t.Fatalf("the plan is lost: %v", err)
	}
	steps := int(math.Round(kept.Plan.Crop.X / (killMove * killCrop)))
	done := steps - k.at
	if f.left {
		done = -done
	}
	if done < 0 || done > len(f.typed) {
		t.Fatalf("the crop is at step %d after %d, with %d steps typed", steps, k.at, len(f.typed))
	}
	if h := kept.History(); h.Plan() != kept.Plan {
		t.Error("the steps lead to another plan")
	}
	missing := time.Duration(0)
	if done < len(f.typed) {
		missing = f.end.Sub(f.typed[done])
	}
	// A second, and some of what a busy machine takes until a key is read, the plan
	// is made and it is on the disk.
	if most := 2*time.Second + 4*f.stalled; !f.opening && missing > most {
		t.Errorf("%d of %d edits are kept; the first that is missing was typed %v before the end, on a machine that took %v for next to nothing", done, len(f.typed), missing, f.stalled)
	}
	k.at = steps
	picture := false
	if data, err := os.ReadFile(filepath.Join(k.dir, "quay.plan.png")); err == nil {
		if _, err := png.Decode(bytes.NewReader(data)); err != nil {
			t.Errorf("the plan's picture is broken: %v", err)
		}
		picture = true
	}
	entries, err := os.ReadDir(k.dir)
	if err != nil {
		t.Fatal(err)
	}
	temps := 0
	for _, e := range entries {
		switch name := e.Name(); {
		case strings.HasPrefix(name, ".halflid-") && strings.HasSuffix(name, ".tmp"):
			temps++
			checkHalf(t, filepath.Join(k.dir, name))
		case name != "quay.png" && name != "quay.plan.json" && name != "quay.plan.png" && name != ".quay.plan.json.lock":
			t.Errorf("%s was left", name)
		}
	}
	k.told.Lock()
	defer k.told.Unlock()
	k.told.kills++
	k.told.edits += len(f.typed)
	k.told.stalled = max(k.told.stalled, f.stalled)
	k.told.temps += temps
	if f.opening {
		k.told.opening++
	} else {
		k.told.missing = append(k.told.missing, missing)
		k.told.swept += f.temps
		if f.stale {
			k.told.locks++
		}
	}
	if f.aimed {
		k.told.saving++
	}
	if picture {
		k.told.pictures++
	}
}

// checkHalf looks at a file that was left: half written it is for the user alone.
func checkHalf(t *testing.T, path string) {
	t.Helper()
	info, err := os.Stat(path)
	if err != nil || info.Mode().Perm() == 0o600 || info.Size() == 0 {
		return
	}
	data := readFileT(t, path)
	_, noPlan := plan.Read(data)
	_, noPicture := png.Decode(bytes.NewReader(data))
	if noPlan != nil && noPicture != nil {
		t.Errorf("%s is half written and has mode %v", path, info.Mode())
	}
}
