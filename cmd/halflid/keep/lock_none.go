//go:build !(linux || darwin || freebsd || netbsd || openbsd || dragonfly)

package keep

import "os"

// openLock never makes a file: there are no locks on this system.
func openLock(string) (*os.File, error) { return nil, errNoLocks }

func tryLock(*os.File) error { return errNoLocks }

func isOurs(*os.File) bool { return true }
