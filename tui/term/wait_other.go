//go:build !unix

package term

import "time"

// readable waits for nothing: consoles here hand out whole keys.
func readable(uintptr, time.Duration) bool { return false }
