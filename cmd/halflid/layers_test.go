package main

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"atelier/halflid/palette/oracle"
)

const module = "atelier/halflid/"

// layers lists every package with the project's own packages that its program
// files may import. DEVELOPERS.md shows the same table in words. A package that
// is missing here fails the test: decide where it belongs before it grows.
var layers = map[string][]string{
	"palette":                {},
	"palette/oracle":         {},
	"imageproc":              {"palette"},
	"imageproc/photo":        {"palette", "imageproc"},
	"imageproc/tone":         {"palette", "imageproc"},
	"imageproc/mass":         {"palette", "imageproc", "imageproc/tone"},
	"imageproc/mass/quality": {"palette", "imageproc", "imageproc/tone", "imageproc/mass"},
	"imageproc/plan":         {"palette", "imageproc"},
	"imageproc/outline":      {"palette", "imageproc"},
	"imageproc/retouch":      {"palette", "imageproc"},
	"imageproc/study":        {"palette", "imageproc", "imageproc/tone", "imageproc/mass", "imageproc/plan", "imageproc/outline", "imageproc/retouch", "imageproc/contour"},
	"imageproc/reading":      {"palette", "imageproc", "imageproc/plan", "imageproc/study"},
	"imageproc/contour":      {"palette", "imageproc", "imageproc/outline"},
	"imageproc/crops":        {"palette", "imageproc", "imageproc/tone", "imageproc/plan", "imageproc/study", "imageproc/reading"},
	"imageproc/page":         {"palette"},
	"imageproc/sheet":        {"palette", "imageproc", "imageproc/plan", "imageproc/study", "imageproc/reading", "imageproc/contour", "imageproc/outline", "imageproc/page"},
	"tui/quiet":              {},
	"tui/keys":               {},
	"tui/cells":              {"palette", "imageproc", "tui/quiet"},
	"tui/term":               {"tui/cells", "tui/quiet"},
	"tui":                    {"palette", "imageproc", "imageproc/photo", "imageproc/plan", "imageproc/study", "imageproc/reading", "imageproc/crops", "imageproc/sheet", "imageproc/page", "tui/keys", "tui/cells", "tui/term", "tui/quiet"},
	"cmd/halflid/demo":       {},
	"cmd/halflid/keep":       {"imageproc/plan"},
	"cmd/halflid/previews":   {"palette", "imageproc", "imageproc/photo", "imageproc/plan", "imageproc/study", "cmd/halflid/keep"},
	"cmd/harbour":            {"palette"},
	"cmd/halflid":            {"palette", "imageproc", "imageproc/photo", "imageproc/plan", "imageproc/study", "imageproc/reading", "imageproc/crops", "imageproc/sheet", "imageproc/page", "tui", "tui/keys", "tui/cells", "tui/term", "tui/quiet", "cmd/halflid/demo", "cmd/halflid/keep", "cmd/halflid/previews"},
}

// outside lists the third-party and standard packages that only some may use.
var outside = map[string][]string{
	"github.com/charmbracelet":        {"tui", "cmd"},
	"github.com/muesli":               {"tui", "cmd"},
	"github.com/spf13/cobra":          {"cmd/halflid"},
	"github.com/disintegration":       {"imageproc/photo"},
	"github.com/bep/imagemeta":        {"imageproc/photo"},
	"github.com/gen2brain":            {"imageproc/photo"},
	"github.com/tetratelabs":          {"imageproc/photo"},
	"codeberg.org/go-pdf/fpdf":        {"imageproc/page"},
	"os":                              {"palette/oracle", "tui", "cmd"},
	"time":                            {"tui", "cmd", "imageproc/page"}, // a PDF asks for a date: always the same
	"log":                             {},
	"math/rand":                       {},
	"atelier/halflid/palette/oracle":  {},
	"golang.org/x/sys":                {"tui", "cmd"},
	"golang.org/x/term":               {"tui", "cmd"},
	"github.com/santhosh-tekuri":      {},
	"pgregory.net/rapid":              {},
	"github.com/creack/pty":           {},
	"github.com/charmbracelet/x/vt":   {},
	"github.com/rogpeppe/go-internal": {},
}

func TestLayers(t *testing.T) {
	root := oracle.Root(t)
	seen := map[string]bool{}
	eachProgramFile(t, root, func(pkg, file string, tree *ast.File) {
		seen[pkg] = true
		allowed, known := layers[pkg]
		if !known {
			t.Errorf("package %s (%s) is not in the layer table", pkg, file)
		}
		for _, imp := range tree.Imports {
			path := strings.Trim(imp.Path.Value, `"`)
			if own, ok := strings.CutPrefix(path, module); ok && !slices.Contains(allowed, own) {
				t.Errorf("%s imports %s, which the layer table does not allow", file, path)
			}
			for prefix, who := range outside {
				if path != prefix && !strings.HasPrefix(path, prefix+"/") {
					continue
				}
				if !slices.ContainsFunc(who, func(w string) bool { return pkg == w || strings.HasPrefix(pkg, w+"/") }) {
					t.Errorf("%s imports %s, which is not for %s", file, path, pkg)
				}
			}
		}
	})
	for pkg := range layers {
		if !seen[pkg] {
			t.Errorf("the layer table lists %s, which has no file", pkg)
		}
	}
}

// Who reads DEVELOPERS.md finds every package in its table.
func TestLayersStandInDevelopers(t *testing.T) {
	text, err := os.ReadFile(filepath.Join(oracle.Root(t), "DEVELOPERS.md"))
	if err != nil {
		t.Fatal(err)
	}
	for pkg := range layers {
		if !strings.Contains(string(text), "\n| `"+pkg+"` |") {
			t.Errorf("the table of DEVELOPERS.md does not have %s", pkg)
		}
	}
}

// Pixels are read in tui/cells only: elsewhere in tui no program file may touch a
// Pix slice.
func TestNoPixelsInTUI(t *testing.T) {
	eachProgramFile(t, oracle.Root(t), func(pkg, file string, tree *ast.File) {
		if pkg != "tui" && !strings.HasPrefix(pkg, "tui/") || pkg == "tui/cells" {
			return
		}
		ast.Inspect(tree, func(n ast.Node) bool {
			if sel, ok := n.(*ast.SelectorExpr); ok && sel.Sel.Name == "Pix" {
				t.Errorf("%s touches pixels (.%s): that belongs in tui/cells or imageproc", file, sel.Sel.Name)
			}
			return true
		})
	})
}

func eachProgramFile(t *testing.T, root string, visit func(pkg, file string, tree *ast.File)) {
	t.Helper()
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() && (d.Name() == "testdata" || strings.HasPrefix(d.Name(), ".") || d.Name() == "tools") {
			return filepath.SkipDir
		}
		if d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return nil
		}
		src, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		rel, err := filepath.Rel(root, path)
		if err != nil {
			return err
		}
		tree, err := parser.ParseFile(token.NewFileSet(), path, src, 0)
		if err != nil {
			return err
		}
		visit(filepath.ToSlash(filepath.Dir(rel)), filepath.ToSlash(rel), tree)
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
}
