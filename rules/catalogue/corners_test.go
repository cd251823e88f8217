package catalogue_test

import (
	"go/ast"
	"go/parser"
	gotoken "go/token"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// The corners of the supply are in rules/internal/demand, so that elements in series
// are held against one current and a voltage has one lowest value. A rule takes them
// from there; it sets no supply of its own.
func TestCornersLiveInDemand(t *testing.T) {
	supply := []string{"Pack", "House", "Auxiliary"}
	files, err := filepath.Glob("../*/*.go")
	if err != nil || len(files) < 300 {
		t.Fatal(len(files), "files:", err)
	}
	for _, path := range files {
		if strings.HasSuffix(path, "_test.go") {
			continue
		}
		set := gotoken.NewFileSet()
		file, err := parser.ParseFile(set, path, nil, parser.SkipObjectResolution)
		if err != nil {
			t.Fatal(err)
		}
		complain := func(at ast.Node, name string) {
			t.Errorf("%s sets %s of a case: take the corner from rules/internal/demand (corners.go), or add one there", set.Position(at.Pos()), name)
		}
		ast.Inspect(file, func(n ast.Node) bool {
			switch n := n.(type) {
			case *ast.KeyValueExpr:
				if key, ok := n.Key.(*ast.Ident); ok && slices.Contains(supply, key.Name) {
					complain(n, key.Name)
				}
			case *ast.AssignStmt:
				for _, left := range n.Lhs {
					if s, ok := left.(*ast.SelectorExpr); ok && slices.Contains(supply, s.Sel.Name) {
						complain(left, s.Sel.Name)
					}
				}
			}
			return true
		})
	}
}
