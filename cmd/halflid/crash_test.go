package main

import (
	"errors"
	"testing"

	"atelier/halflid/cmd/halflid/keep"
)

// After a crash nobody is told that a plan is saved which is not.
func TestAfterACrash(t *testing.T) {
	for _, c := range []struct {
		keeper *keeper
		err    error
		want   string
	}{
		{nil, nil, "no plan was open"},
		{&keeper{}, nil, "your plan is saved"},
		{&keeper{}, keep.ErrNoSpace, "your last changes are not saved: the disk is full"},
		{&keeper{notSet: errors.New("it is open elsewhere")}, nil, "nothing was saved: it is open elsewhere"},
	} {
		if got := afterCrash(c.keeper, c.err); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}
