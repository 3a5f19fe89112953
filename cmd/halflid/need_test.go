package main

import (
	"os"
	"os/exec"
	"testing"
)

// heavy skips a test of real servers and long keys unless HALFLID_HEAVY is set.
func heavy(t *testing.T) {
	t.Helper()
	if os.Getenv("HALFLID_HEAVY") == "" {
		t.Skip("runs real servers for some seconds: set HALFLID_HEAVY=1")
	}
}

// needs returns the paths of programs that a test runs. If one is missing the
// test is skipped, but fails where everything must be there.
func needs(t *testing.T, names ...string) map[string]string {
	t.Helper()
	found := map[string]string{}
	for _, n := range names {
		p, err := exec.LookPath(n)
		if err != nil {
			for _, dir := range []string{"/usr/sbin/", "/usr/local/sbin/", "/sbin/"} {
				if p, err = exec.LookPath(dir + n); err == nil {
					break
				}
			}
		}
		if err != nil {
			missing(t, n+" is not installed")
		}
		found[n] = p
	}
	return found
}

// missing skips the test for want of something of the machine's, or fails it
// where everything must be there.
func missing(t *testing.T, what string) {
	t.Helper()
	if os.Getenv("CI") != "" || os.Getenv("HALFLID_NEED_SERVERS") != "" {
		t.Fatal(what)
	}
	t.Skip(what)
}

// notRacing leaves a test out under the race detector, which makes it many times
// slower: one whose goroutines are those of other tests, or of packages that are
// raced by their own.
func notRacing(t *testing.T) {
	t.Helper()
	if racing {
		t.Skip("too slow under the race detector; what runs beside each other in it is raced elsewhere")
	}
}
