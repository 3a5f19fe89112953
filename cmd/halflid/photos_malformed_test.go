package main

import (
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// photoFixtures reads the photo package's files of every kind, by their names.
func photoFixtures(t *testing.T) (names []string, files map[string][]byte) {
	t.Helper()
	dir := filepath.Join("..", "..", "imageproc", "photo", "testdata", "fixtures")
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	files = map[string][]byte{}
	for _, e := range entries {
		if filepath.Ext(e.Name()) != ".md" {
			names = append(names, e.Name())
			files[e.Name()] = readFileT(t, filepath.Join(dir, e.Name()))
		}
	}
	return names, files
}

// TestMalformedPhotosInABatch gives plan a folder's worth of broken files with
// sound ones among them: every file is tried, each ends in its two files or in
// one line that names it, and the exit code tells that some failed. What the
// photo package makes of a thousand broken files is tested there; this is the
// way from there to the painter.
func TestMalformedPhotosInABatch(t *testing.T) {
	notRacing(t)
	dir, out := t.TempDir(), t.TempDir()
	names, files := photoFixtures(t)
	rng := rand.New(rand.NewPCG(64, 1))
	args := []string{"plan", "--out", out, "--fresh"}
	bad, sound := 0, 0
	for i, name := range names {
		whole := files[name]
		data := append([]byte{}, whole...)
		switch i % 4 {
		case 0: // cut
			data = data[:len(data)/2]
		case 1: // turned bits
			for range 24 {
				data[rng.IntN(len(data))] ^= 1 << rng.IntN(8)
			}
		case 2: // a wrong name: text that says it is a picture
			data = []byte("low tide at six")
		default:
			sound++
		}
		if i%4 != 3 {
			bad++
		}
		args = append(args, write(t, dir, fmt.Sprintf("%02d-%s", i, name), data))
	}
	code, _, words := call(t, args...)
	if code != exitFailed {
		t.Errorf("exit %d", code)
	}
	written, failed := 0, 0
	for _, file := range args[4:] {
		base := filepath.Base(file)
		stem := strings.TrimSuffix(base, filepath.Ext(base))
		_, err := os.Stat(filepath.Join(out, stem+".plan.json"))
		told := 0
		for line := range strings.Lines(words) {
			if strings.Contains(line, base) {
				told++
			}
		}
		switch {
		case err == nil && told == 0:
			written++
		case err != nil && told == 1:
			failed++
		default:
			t.Errorf("%s: written %v, told %d times:\n%s", base, err == nil, told, words)
		}
	}
	if written < sound/2 || failed < bad/2 {
		t.Errorf("%d written, %d failed, of %d sound and %d broken:\n%s", written, failed, sound, bad, words)
	}
	if strings.Contains(words, "\x1b") || strings.Contains(words, "panic") {
		t.Errorf("words %q", words)
	}
}

// TestMalformedPhotosInTheStudio opens some in the studio: the terminal is left
// as it was, one line says why, and the exit code is 1.
func TestMalformedPhotosInTheStudio(t *testing.T) {
	notRacing(t)
	dir := t.TempDir()
	_, files := photoFixtures(t)
	for _, name := range []string{"boats-420.heic", "boats-420.avif", "boats-progressive.jpg", "boats-lzw.tif", "boats-moving.webp"} {
		whole := files[name]
		file := write(t, dir, name, whole[:len(whole)*2/5])
		term := start(t, 120, 24, dir, file)
		if code := term.ends(); code != exitFailed {
			t.Errorf("%s: exit %d:\n%s", name, code, term.screen())
		}
		if s := term.screen(); !strings.Contains(s, name) || !strings.Contains(s, ": copy it again") && !strings.Contains(s, "cut short") {
			t.Errorf("%s: nothing is said:\n%s", name, s)
		}
		term.clean()
	}
}
