package keep

import "crypto/sha256"

// Stamp stands for what a plan file held at some moment: equal stamps, equal
// text. Whoever reads a plan, takes its lock some time later and then saves asks
// in between whether another window has saved since. The zero Stamp is that of no
// file.
type Stamp [sha256.Size]byte

// StampOf returns the stamp of a plan file's text.
func StampOf(text []byte) Stamp { return sha256.Sum256(text) }

// StampAt returns the stamp of the plan file at path as it is now, without
// looking whether it is sound; the zero Stamp if it cannot be read.
func StampAt(path string) Stamp {
	text, err := readLimited(path)
	if err != nil {
		return Stamp{}
	}
	return StampOf(text)
}
