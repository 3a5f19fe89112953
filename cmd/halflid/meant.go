package main

import (
	"fmt"
	"io/fs"
)

// named refuses a file without a name, such as a variable of the shell that is
// not set gives: it is not the demo.
func named(args []string) error {
	for _, a := range args {
		if a == "" {
			return usagef("the name of a file is empty: name a photo or a plan")
		}
	}
	return nil
}

// notThere is a file that does not exist; a mistyped command looks the same.
type notThere struct{ path string }

func (e notThere) Error() string {
	if e.path == "-" {
		return "only halflid show reads a photo from standard input: name a file"
	}
	if c := meant(e.path); c != "" {
		return fmt.Sprintf("%s: there is no such file, nor a command of that name: did you mean halflid %s?", e.path, c)
	}
	return e.path + ": there is no such file"
}

// meant returns the command that a word is a slip of; empty if there is none.
func meant(word string) string {
	for _, c := range []string{"show", "plan", "read", "crop", "sheet", "terminal", "man", "help", "completion"} {
		if near(word, c) {
			return c
		}
	}
	return ""
}

func (e notThere) Unwrap() error { return fs.ErrNotExist }

// near reports whether two words differ by at most one letter put in, taken out
// or changed.
func near(a, b string) bool {
	if len(a) > len(b) {
		a, b = b, a
	}
	if len(b)-len(a) > 1 {
		return false
	}
	i := 0
	for i < len(a) && a[i] == b[i] {
		i++
	}
	j := 0
	for j < len(a)-i && a[len(a)-1-j] == b[len(b)-1-j] {
		j++
	}
	return len(b)-i-j <= 1
}
