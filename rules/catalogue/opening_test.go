package catalogue_test

import (
	"go/ast"
	"go/parser"
	gotoken "go/token"
	"io/fs"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// opening are the functions that open files or list folders.
var opening = map[string][]string{
	"os":       {"Create", "CreateTemp", "DirFS", "MkdirTemp", "Open", "OpenFile", "OpenInRoot", "OpenRoot", "ReadDir", "ReadFile", "WriteFile", "CopyFS"},
	"filepath": {"Glob", "Walk", "WalkDir"},
	"ioutil":   {"ReadAll", "ReadDir", "ReadFile", "TempDir", "TempFile", "WriteFile"},
	"syscall":  {"Open", "Openat"},
	"unix":     {"Open", "Openat", "Openat2"},
}

// opens are the files that may, each with the reason. All else is read by a Files of
// schema/internal/input, which opens nothing but plain files, in their root, up to a
// limit.
var opens = map[string]string{
	"schema/internal/input/disk.go":           "the handle of a root",
	"schema/internal/input/open.go":           "the one place",
	"cmd/internal/transaction/journal.go":     "writes journals under new names of its own",
	"cmd/internal/transaction/transaction.go": "writes outputs under new names of its own, and to what the user names as a stream",
	"cmd/internal/transaction/system_unix.go": "folders, to lock them and to put them on disk",
	"cmd/internal/revision/filters.go":        "a new temporary folder for git's index",
	"cmd/internal/cli/init.go":                "a new file, and names of files beside it",
	"rules/ruletest/ruletest.go":              "for tests",
	"rules/internal/oracle/published.go":      "for tests",
	".ci/speed.go":                            "a measurement, of files of this repository",
}

// TestOnePlaceOpensFiles holds that a name that a stranger chose is opened in one place.
func TestOnePlaceOpensFiles(t *testing.T) {
	root, seen := "../..", map[string]bool{}
	err := filepath.WalkDir(root, func(name string, entry fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case entry.IsDir() && (entry.Name() == "testdata" || entry.Name() == ".git"):
			return fs.SkipDir
		case entry.IsDir() || filepath.Ext(name) != ".go" || strings.HasSuffix(name, "_test.go"):
			return nil
		}
		set := gotoken.NewFileSet()
		file, err := parser.ParseFile(set, name, nil, parser.SkipObjectResolution)
		if err != nil {
			return err
		}
		relative, err := filepath.Rel(root, name)
		if err != nil {
			return err
		}
		relative = filepath.ToSlash(relative)
		ast.Inspect(file, func(n ast.Node) bool {
			selector, ok := n.(*ast.SelectorExpr)
			if !ok {
				return true
			}
			pkg, ok := selector.X.(*ast.Ident)
			if !ok || !slices.Contains(opening[pkg.Name], selector.Sel.Name) {
				return true
			}
			seen[relative] = true
			if opens[relative] == "" {
				t.Errorf("%s: %s.%s opens what a stranger may have named: read it by schema.ReadFile or a schema.Files, or say in this test why not", set.Position(n.Pos()), pkg.Name, selector.Sel.Name)
			}
			return true
		})
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	for name := range opens {
		if !seen[name] {
			t.Errorf("%s opens no files: take it off the list", name)
		}
	}
}
