//go:build !race

package main

import "testing"

const racing = false

// The other file is chosen when the race detector is on.
func TestRaceIsOff(t *testing.T) {
	if racing {
		t.Error("the race detector is taken to be on")
	}
}
