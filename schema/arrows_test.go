package schema

import (
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// TestArrows checks that each package below knows only those before it.
func TestArrows(t *testing.T) {
	const below = "example.org/headroom/schema/internal/"
	order := []string{"source", "spell", "input", "find", "define", "read", "check"}
	entries, err := os.ReadDir("internal")
	if err != nil {
		t.Fatal(err)
	}
	if len(entries) != len(order) {
		t.Errorf("%d packages, and %d in the order", len(entries), len(order))
	}
	for _, e := range entries {
		at := slices.Index(order, e.Name())
		if at < 0 {
			t.Errorf("%s is not in the order", e.Name())
			continue
		}
		files, err := filepath.Glob(filepath.Join("internal", e.Name(), "*.go"))
		if err != nil || len(files) == 0 {
			t.Fatal(err, files)
		}
		for _, file := range files {
			f, err := parser.ParseFile(token.NewFileSet(), file, nil, parser.ImportsOnly)
			if err != nil {
				t.Fatal(err)
			}
			for _, spec := range f.Imports {
				path, _ := strconv.Unquote(spec.Path.Value)
				name, inner := strings.CutPrefix(path, below)
				if inner && slices.Index(order, name) >= at || !inner && strings.HasPrefix(path, "example.org/headroom/") {
					t.Errorf("%s imports %s", file, path)
				}
			}
		}
	}
}
