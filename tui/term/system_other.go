//go:build !unix

package term

// CellSize returns 1 by 2, the common shape of a cell: consoles here do not say.
func CellSize(uintptr) (w, h float64, told bool) { return 1, 2, false }

// CanSuspend reports that the program cannot be stopped and brought back here.
func CanSuspend() bool { return false }
