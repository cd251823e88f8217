package catalogue_test

import (
	"go/parser"
	gotoken "go/token"
	"io/fs"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

const module = "example.org/headroom/"

// layers is the order of the packages: data flows from the first to the last, and
// a package imports what stands in its own line or in one above it. The engine
// stands below the report and not above it, since a report is plain data that the
// engine fills and the writers read: a writer needs no engine, an editor no writer.
var layers = []struct {
	packages string // patterns of package paths
	apart    bool   // those of this line know nothing of each other
}{
	{packages: "schema/internal/* rules/internal/calc cmd/internal/parallel cmd/internal/safe cmd/internal/starter"},
	{packages: "schema"},
	{packages: "cmd/internal/suggest"},
	{packages: "rules/internal/circuit cmd/internal/revision cmd/internal/transaction cmd/internal/whereabouts"},
	{packages: "rules"},
	{packages: "rules/internal/capacity"},
	{packages: "rules/internal/demand"},
	{packages: "rules/internal/charging rules/internal/thermal"},
	{packages: "rules/*", apart: true}, // the families
	{packages: "rules/catalogue"},
	{packages: "cmd/internal/report"},
	{packages: "cmd/internal/review"},
	{packages: "cmd/internal/engine"},
	{packages: "cmd/internal/output"},
	{packages: "cmd/internal/cli"},
	{packages: "cmd/headroom"},
}

// forTests are packages that only tests import.
var forTests = []string{"rules/ruletest", "rules/internal/calculator", "rules/internal/ngspice", "rules/internal/oracle", "rules/internal/repository"}

// layerOf is the line of a package: of the lines that match, the one that names it
// most exactly. It is -1 for a package that no line names.
func layerOf(pkg string) int {
	best, literal := -1, -1
	for i, layer := range layers {
		for pattern := range strings.FieldsSeq(layer.packages) {
			if ok, _ := path.Match(pattern, pkg); ok && len(strings.TrimSuffix(pattern, "*")) > literal {
				best, literal = i, len(strings.TrimSuffix(pattern, "*"))
			}
		}
	}
	return best
}

// TestImportsPointOneWay holds the order of the packages.
func TestImportsPointOneWay(t *testing.T) {
	seen := map[string]bool{}
	for pkg, imports := range importsOf(t, "../..") {
		if slices.Contains(forTests, pkg) {
			continue
		}
		own := layerOf(pkg)
		if own < 0 {
			t.Errorf("the package %s is in no line of layers: say there what it may import", pkg)
			continue
		}
		seen[pkg] = true
		for imported, file := range imports {
			switch at := layerOf(imported); {
			case slices.Contains(forTests, imported):
				t.Errorf("%s imports %s, which is for tests: take out of it what a run needs", file, imported)
			case at > own:
				t.Errorf("%s imports %s, which stands below %s in the order of the packages: move what both need into %s, or pass it in", file, imported, pkg, layers[own].packages)
			case at == own && layers[own].apart:
				t.Errorf("%s imports %s, another family: move what both need into a package of rules/internal", file, imported)
			}
		}
	}
	for _, pkg := range []string{"schema", "rules/fuse", "cmd/internal/cli"} {
		if !seen[pkg] {
			t.Errorf("the package %s was not looked at", pkg)
		}
	}
}

// importsOf lists the packages below a folder, without their tests, each with
// what it imports of the module and a file that does.
func importsOf(t *testing.T, root string) map[string]map[string]string {
	packages := map[string]map[string]string{}
	err := filepath.WalkDir(root, func(name string, entry fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case entry.IsDir() && (entry.Name() == "testdata" || name != root && strings.HasPrefix(entry.Name(), ".")):
			return fs.SkipDir
		case entry.IsDir() || filepath.Ext(name) != ".go" || strings.HasSuffix(name, "_test.go"):
			return nil
		}
		relative, err := filepath.Rel(root, name)
		if err != nil {
			return err
		}
		file, err := parser.ParseFile(gotoken.NewFileSet(), name, nil, parser.ImportsOnly)
		if err != nil {
			return err
		}
		relative = filepath.ToSlash(relative)
		pkg := path.Dir(relative)
		if packages[pkg] == nil {
			packages[pkg] = map[string]string{}
		}
		for _, spec := range file.Imports {
			imported, err := strconv.Unquote(spec.Path.Value)
			if err != nil {
				return err
			}
			if inside, ok := strings.CutPrefix(imported, module); ok {
				packages[pkg][inside] = relative
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return packages
}
