// Package oracle reads the published check tables under testdata and compares
// numbers with them. Only tests import it.
package oracle

import (
	"bufio"
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
)

// TB is the part of testing.TB that the comparison needs; a fake of it lets the
// comparison itself be tested.
type TB interface {
	Helper()
	Errorf(format string, args ...any)
	Fatalf(format string, args ...any)
}

// Close reports an error unless |got-want| <= tol. Written so that a NaN on
// either side fails.
func Close(t TB, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: got %.10g, want %.10g, off by %.3g, tolerance %.3g", what, got, want, math.Abs(got-want), tol)
	}
}

// Table is a check table: its header comment, its columns by name, its rows.
type Table struct {
	Name   string
	Source []string // the comment lines, without the leading '#'
	cols   map[string]int
	Rows   []Row
}

// Row is one line of a Table.
type Row struct {
	t     *Table
	Line  int
	Field []string
}

// Load reads testdata/published/name of the project that the working folder
// lies in. The test fails if the file, its source comment or its column line is
// missing, or if it does not have exactly rows rows.
func Load(t TB, name string, rows int) *Table {
	t.Helper()
	f, err := os.Open(filepath.Join(Root(t), "testdata", "published", name))
	if err != nil {
		t.Fatalf("oracle: %v", err)
	}
	defer f.Close()
	tab, err := read(f, name)
	if err != nil {
		t.Fatalf("oracle: %v", err)
	}
	if len(tab.Rows) != rows {
		t.Fatalf("oracle: %s has %d rows, the check wants %d", name, len(tab.Rows), rows)
	}
	return tab
}

func read(f *os.File, name string) (*Table, error) {
	tab := &Table{Name: name, cols: map[string]int{}}
	sc := bufio.NewScanner(f)
	sc.Buffer(nil, 1<<24)
	for n := 1; sc.Scan(); n++ {
		line := strings.TrimRight(sc.Text(), "\r")
		switch {
		case strings.HasPrefix(line, "#"):
			tab.Source = append(tab.Source, strings.TrimSpace(line[1:]))
			continue
		case line == "":
			continue
		}
		rec, err := csv.NewReader(strings.NewReader(line)).Read()
		if err != nil {
			return nil, fmt.Errorf("%s:%d: %w", name, n, err)
		}
		if len(tab.cols) == 0 {
			for i, c := range rec {
				tab.cols[c] = i
			}
			continue
		}
		tab.Rows = append(tab.Rows, Row{t: tab, Line: n, Field: rec})
	}
	if err := sc.Err(); err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	if len(tab.Source) == 0 {
		return nil, fmt.Errorf("%s names no source in a # line", name)
	}
	if len(tab.cols) < 2 {
		return nil, fmt.Errorf("%s has no column line", name)
	}
	return tab, nil
}

// Text returns the field of the named column; the test fails without it.
func (r Row) Text(t TB, col string) string {
	t.Helper()
	i, ok := r.t.cols[col]
	if !ok || i >= len(r.Field) {
		t.Fatalf("oracle: %s:%d has no column %q", r.t.Name, r.Line, col)
	}
	return r.Field[i]
}

// Num returns the number in the named column; the test fails without one.
func (r Row) Num(t TB, col string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(r.Text(t, col), 64)
	if err != nil {
		t.Fatalf("oracle: %s:%d column %s: %v", r.t.Name, r.Line, col, err)
	}
	return v
}

// Root returns the folder of go.mod above the working folder.
func Root(t TB) string {
	t.Helper()
	dir, err := os.Getwd()
	if err != nil {
		t.Fatalf("oracle: %v", err)
	}
	for {
		if _, err := os.Stat(filepath.Join(dir, "go.mod")); err == nil {
			return dir
		}
		up := filepath.Dir(dir)
		if up == dir {
			t.Fatalf("oracle: no go.mod above the working folder")
		}
		dir = up
	}
}
