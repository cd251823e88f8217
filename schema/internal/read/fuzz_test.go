package read

import (
	"context"
	"encoding/json"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"example.org/headroom/schema/internal/input"
	"example.org/headroom/schema/internal/source"
)

// tight bounds what a fuzzed text may cost, so that there is room for very many.
var tight = input.Limits{FileBytes: 1 << 10, Depth: 16, Entities: 100, Values: 1000, Mistakes: 100}

// bare is a file system with nothing on it: a fuzzed text can import nothing.
type bare struct{}

func (bare) Open(string) (fs.File, error)          { return nil, fs.ErrNotExist }
func (bare) ReadDir(string) ([]fs.DirEntry, error) { return nil, fs.ErrNotExist }
func (bare) Stat(string) (fs.FileInfo, error)      { return nil, fs.ErrNotExist }

func FuzzYAML(f *testing.F) { fuzz(f, input.FormatYAML) }
func FuzzJSON(f *testing.F) { fuzz(f, input.FormatJSON) }
func FuzzCUE(f *testing.F)  { fuzz(f, input.FormatCUE) }

// fuzz reads arbitrary text in one format: it must end in values with places within the
// text, or in problems, never in a fault of the program.
func fuzz(f *testing.F, format string) {
	files, err := filepath.Glob("../../../testdata/malformed/*." + format)
	if err != nil || len(files) == 0 {
		f.Fatalf("%d seeds, %v", len(files), err)
	}
	for _, file := range files {
		content, err := os.ReadFile(file)
		if err != nil {
			f.Fatal(err)
		}
		if len(content) <= int(tight.FileBytes) {
			f.Add(string(content))
		}
	}
	f.Fuzz(func(t *testing.T, content string) {
		problems := source.NewCollector(tight.Mistakes)
		given, err := Values(context.Background(), input.Target{Path: input.Stdin, Format: format},
			input.Options{Files: bare{}, Stdin: strings.NewReader(content), StdinName: "fuzz." + format, Limits: tight}, problems)
		if err != nil {
			t.Fatal(err)
		}
		if given.Root == nil && problems.None() {
			t.Fatal("neither values nor a problem")
		}
		if given.Root != nil {
			within(t, given.Root, len(content), 0)
		}
		for _, p := range problems.Sorted() {
			if p.Message == "" || !strings.Contains(content, "%") && strings.Contains(p.Message+p.Fix, "%!") {
				t.Errorf("%+v", p)
			}
		}
		if format == input.FormatJSON && problems.None() && !json.Valid([]byte(strings.TrimPrefix(content, string(source.ByteOrderMark)))) {
			t.Errorf("taken, and no JSON")
		}
	})
}

// within walks through values: what is in one was written somewhere in the text.
func within(t *testing.T, d *source.Value, size, depth int) {
	if depth > tight.Depth+1 {
		t.Fatalf("values are nested %d deep", depth)
	}
	for _, at := range []source.Span{d.Key, d.Value, d.Shared, d.At} {
		if at.Valid() && (at.From < 0 || at.From > size || at.To > size) {
			t.Errorf("a value from %d to %d of %d bytes", at.From, at.To, size)
		}
		_, _ = at.Position(), at.String()
	}
	for _, item := range d.Items {
		within(t, item, size, depth+1)
	}
	for _, member := range d.Each() {
		within(t, member, size, depth+1)
	}
}
