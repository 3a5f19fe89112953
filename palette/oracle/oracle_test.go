package oracle

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// recorder stands in for testing.TB and keeps what it is told. Fatalf ends the
// call as the real one does, by a panic that caught takes back.
type recorder struct {
	errors []string
	fatal  string
}

type stopped struct{}

func (r *recorder) Helper() {}
func (r *recorder) Errorf(format string, args ...any) {
	r.errors = append(r.errors, fmt.Sprintf(format, args...))
}

func (r *recorder) Fatalf(format string, args ...any) {
	r.fatal = fmt.Sprintf(format, args...)
	panic(stopped{})
}

// caught runs f with a recorder and returns what it recorded.
func caught(f func(TB)) (r recorder) {
	defer func() {
		if p := recover(); p != nil {
			if _, ok := p.(stopped); !ok {
				panic(p)
			}
		}
	}()
	f(&r)
	return r
}

func TestCloseFails(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for _, c := range []struct {
		what           string
		got, want, tol float64
		pass           bool
	}{
		{"equal", 1, 1, 0, true},
		{"at the tolerance", 1.5, 1, 0.5, true},
		{"just outside", 1.5000001, 1, 0.5, false},
		{"below", 0.4, 1, 0.5, false},
		{"sign lost", -1, 1, 0.5, false},
		{"got NaN", nan, 1, 1e9, false},
		{"want NaN", 1, nan, 1e9, false},
		{"both NaN", nan, nan, 1e9, false},
		{"tolerance NaN", 1, 1, nan, false},
		{"tolerance negative", 1, 1, -1, false},
		{"got infinite", inf, 1, 1e9, false},
		{"both infinite", inf, inf, 1e9, false},
	} {
		r := caught(func(tb TB) { Close(tb, c.what, c.got, c.want, c.tol) })
		if pass := len(r.errors) == 0; pass != c.pass || r.fatal != "" {
			t.Errorf("%s: passed %v, want %v (%v %s)", c.what, pass, c.pass, r.errors, r.fatal)
		}
		if !c.pass && !strings.HasPrefix(r.errors[0], c.what+": got ") {
			t.Errorf("%s: the report does not name the check: %q", c.what, r.errors[0])
		}
	}
}

// project makes a folder with a go.mod and one check table, and moves into a
// folder below it.
func project(t *testing.T, table string) {
	t.Helper()
	root := t.TempDir()
	dir := filepath.Join(root, "testdata", "published")
	deep := filepath.Join(root, "some", "package")
	for _, d := range []string{dir, deep} {
		if err := os.MkdirAll(d, 0o777); err != nil {
			t.Fatal(err)
		}
	}
	for name, text := range map[string]string{filepath.Join(root, "go.mod"): "module x\n", filepath.Join(dir, "a.csv"): table} {
		if err := os.WriteFile(name, []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	t.Chdir(deep)
}

const good = "# source: a book, 1943\r\n# second line\n\nname,v\nlow,0.5\n\"high, higher\",1e2\n"

func TestLoad(t *testing.T) {
	project(t, good)
	tab := Load(t, "a.csv", 2)
	if len(tab.Source) != 2 || tab.Source[0] != "source: a book, 1943" {
		t.Errorf("source lines %q", tab.Source)
	}
	if got := tab.Rows[1].Text(t, "name"); got != "high, higher" {
		t.Errorf("quoted field %q", got)
	}
	Close(t, "first", tab.Rows[0].Num(t, "v"), 0.5, 0)
	Close(t, "second", tab.Rows[1].Num(t, "v"), 100, 0)
	if tab.Rows[1].Line != 6 {
		t.Errorf("line %d, want 6", tab.Rows[1].Line)
	}
}

func TestLoadFails(t *testing.T) {
	for _, c := range []struct {
		what, table, file string
		rows              int
		says              string
	}{
		{"a row too few", good, "a.csv", 3, "has 2 rows, the check wants 3"},
		{"a row too many", good, "a.csv", 1, "has 2 rows, the check wants 1"},
		{"no source", "name,v\nlow,0.5\n", "a.csv", 1, "names no source"},
		{"no column line", "# source: x\n", "a.csv", 0, "no column line"},
		{"one column", "# source: x\nv\n1\n", "a.csv", 1, "no column line"},
		{"empty", "", "a.csv", 0, "names no source"},
		{"broken quote", "# source: x\na,b\n\"1,2\n", "a.csv", 1, "a.csv:3"},
		{"no file", good, "b.csv", 2, "b.csv"},
	} {
		t.Run(c.what, func(t *testing.T) {
			project(t, c.table)
			r := caught(func(tb TB) { Load(tb, c.file, c.rows) })
			if !strings.Contains(r.fatal, c.says) {
				t.Errorf("said %q, want something with %q", r.fatal, c.says)
			}
		})
	}
}

func TestFieldFails(t *testing.T) {
	project(t, "# source: x\nname,v,w\nlow,half\nodd,NaN,1\n")
	tab := Load(t, "a.csv", 2)
	for _, c := range []struct {
		row  int
		col  string
		says string
	}{
		{0, "v", "column v"},               // not a number
		{0, "w", `no column "w"`},          // row too short
		{1, "nothing", `column "nothing"`}, // no such column
	} {
		r := caught(func(tb TB) { tab.Rows[c.row].Num(tb, c.col) })
		if !strings.Contains(r.fatal, c.says) {
			t.Errorf("row %d column %s: said %q, want something with %q", c.row, c.col, r.fatal, c.says)
		}
	}
	// A NaN that stands in a table is a number to the reader, and fails the check.
	r := caught(func(tb TB) { Close(tb, "NaN row", 1, tab.Rows[1].Num(tb, "v"), 1e9) })
	if len(r.errors) != 1 {
		t.Errorf("a NaN in a table passed")
	}
}

func TestRootFails(t *testing.T) {
	dir := t.TempDir()
	for up := dir; ; up = filepath.Dir(up) {
		if _, err := os.Stat(filepath.Join(up, "go.mod")); err == nil {
			t.Skipf("a go.mod lies above the folder for temporary files, in %s", up)
		}
		if up == filepath.Dir(up) {
			break
		}
	}
	t.Chdir(dir)
	if r := caught(func(tb TB) { Root(tb) }); !strings.Contains(r.fatal, "no go.mod") {
		t.Errorf("said %q", r.fatal)
	}
}
