//go:build race

package main

// racing reports whether the race detector watches: see notRacing.
const racing = true
