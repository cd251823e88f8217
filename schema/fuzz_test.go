package schema_test

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"example.org/headroom/schema"
)

// FuzzRead reads arbitrary text in each format: it must end in a Spec or in
// problems with places in the file, never in a fault of the program.
func FuzzRead(f *testing.F) {
	for _, pattern := range []string{"malformed/*", "formats/*"} {
		files, err := filepath.Glob("../testdata/" + pattern)
		if err != nil {
			f.Fatal(err)
		}
		for _, file := range files {
			if content, err := os.ReadFile(file); err == nil && filepath.Ext(file) != ".txt" {
				f.Add(string(content), strings.TrimPrefix(filepath.Ext(file), "."))
			}
		}
	}
	f.Fuzz(func(t *testing.T, content, format string) {
		if format != "yaml" && format != "json" && format != "cue" {
			format = "yaml"
		}
		opts := schema.Options{Stdin: strings.NewReader(content), StdinName: "fuzz." + format}
		l := schema.Read(context.Background(), schema.Target{Path: schema.Stdin, Format: format}, opts)
		if l.Err != nil {
			t.Fatal(l.Err)
		}
		if l.Spec == nil && len(l.Problems) == 0 {
			t.Fatal("neither a spec nor a problem")
		}
		lines := strings.Count(content, "\n") + 1
		for _, p := range l.Problems {
			if p.At.File == "" || p.At.Line > lines || p.Message == "" {
				t.Errorf("%+v", p)
			}
		}
		if l.Spec == nil {
			return
		}
		if _, err := l.Spec.JSON(); err != nil {
			t.Error(err)
		}
		if len(l.Problems) == 0 && len(l.Spec.Broken()) > 0 {
			t.Errorf("broken without a problem: %v", l.Spec.Broken())
		}
	})
}
