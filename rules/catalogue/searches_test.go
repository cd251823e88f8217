package catalogue_test

import (
	"go/ast"
	"go/parser"
	gotoken "go/token"
	"io/fs"
	"path/filepath"
	"strings"
	"testing"
)

// Every search of the network lives in rules/internal/circuit, where it is tested
// against the plain way and made fast for all who ask. A function that reads the
// edges at a node and then goes on to an edge's other end, or reads them again until
// nothing is left, is a search; and so is a path that is only asked whether it is there.
func TestSearchesLiveInCircuit(t *testing.T) {
	exempt := []string{
		"internal/circuit/", // their place
		"internal/oracle/",  // shares nothing with the rest, on purpose
	}
	read := 0
	err := filepath.WalkDir("..", func(path string, d fs.DirEntry, err error) error {
		name := strings.TrimPrefix(filepath.ToSlash(path), "../")
		if err != nil || d.IsDir() || !strings.HasSuffix(name, ".go") || strings.HasSuffix(name, "_test.go") {
			return err
		}
		for _, prefix := range exempt {
			if strings.HasPrefix(name, prefix) {
				return nil
			}
		}
		read++
		files := gotoken.NewFileSet()
		file, err := parser.ParseFile(files, path, nil, parser.SkipObjectResolution)
		if err != nil {
			return err
		}
		for _, decl := range file.Decls {
			if f, ok := decl.(*ast.FuncDecl); ok {
				for _, what := range searches(f) {
					t.Errorf("rules/%s: %s %s. Put what you look for into a function of rules/internal/circuit, "+
						"or ask Reach, Reaches, Tree, Around or EndOfRun there.", name, f.Name.Name, what)
				}
			}
		}
		return nil
	})
	if err != nil || read < 100 {
		t.Fatal(read, "files read:", err)
	}
}

// searches says what makes a function a search of the network.
func searches(f *ast.FuncDecl) (found []string) {
	if f.Body == nil {
		return nil
	}
	if calls(f.Body, "EdgesAt") && calls(f.Body, "Other") {
		found = append(found, "walks from the edges at a node to their other ends")
	}
	ast.Inspect(f.Body, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.ForStmt:
			if calls(n, "EdgesAt") {
				found = append(found, "reads the edges at one node after the other from a list that grows")
			}
		case *ast.BinaryExpr:
			if call, ok := n.X.(*ast.CallExpr); ok && isNil(n.Y) && len(call.Args) == 3 && isCall(call, "Path") {
				found = append(found, "asks for a path to know whether there is one")
			}
		}
		return true
	})
	return found
}

func calls(n ast.Node, method string) (found bool) {
	ast.Inspect(n, func(n ast.Node) bool {
		call, ok := n.(*ast.CallExpr)
		found = found || ok && isCall(call, method)
		return !found
	})
	return found
}

func isCall(call *ast.CallExpr, method string) bool {
	s, ok := call.Fun.(*ast.SelectorExpr)
	return ok && s.Sel.Name == method
}

func isNil(x ast.Expr) bool {
	id, ok := x.(*ast.Ident)
	return ok && id.Name == "nil"
}

// The search above finds what it is there to find.
func TestSearchesAreFound(t *testing.T) {
	for source, want := range map[string]int{
		`for queue := []Node{v}; len(queue) > 0; queue = queue[1:] { for _, e := range n.EdgesAt(queue[0]) { use(e.Other(queue[0])) } }`: 2,
		`for i := 0; i < len(list); i++ { list = append(list, ends(n.EdgesAt(list[i]))...) }`:                                            1,
		`for _, e := range n.EdgesAt(v) { visit(e.Other(v)) }`:                                                                           1,
		`return n.Path(a, b, cost) != nil`:                                                                                               1,
		`for _, e := range n.EdgesAt(v) { use(e) }`:                                                                                      0,
		`way := n.Path(a, b, cost); return way`:                                                                                          0,
	} {
		file, err := parser.ParseFile(gotoken.NewFileSet(), "", "package p\nfunc f() {"+source+"}", 0)
		if err != nil {
			t.Fatal(err)
		}
		if got := searches(file.Decls[0].(*ast.FuncDecl)); len(got) != want {
			t.Errorf("%s: found %v, want %d", source, got, want)
		}
	}
}
