package schema_test

import (
	"context"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"example.org/headroom/schema"
)

// tight bounds what a fuzzed specification may cost, so that one execution is short.
var tight = schema.Limits{FileBytes: 2 << 10, Depth: 16, Entities: 100, Values: 1000, Mistakes: 100}

// bare is a file system with nothing on it: a fuzzed text can import nothing.
type bare struct{}

func (bare) Open(string) (fs.File, error)          { return nil, fs.ErrNotExist }
func (bare) ReadDir(string) ([]fs.DirEntry, error) { return nil, fs.ErrNotExist }
func (bare) Stat(string) (fs.FileInfo, error)      { return nil, fs.ErrNotExist }

func readText(format, content string) *schema.Loaded {
	return schema.Read(context.Background(), schema.Target{Path: schema.Stdin, Format: format},
		schema.Options{Files: bare{}, Stdin: strings.NewReader(content), StdinName: "fuzz." + format, Limits: tight})
}

// FuzzRead reads arbitrary text in each format and decodes it: it must end in a Spec or
// in problems with places in the file, never in a fault of the program; and a Spec
// without problems must be the same once it is written as JSON and read again. The
// readers have targets of their own, which are much faster.
func FuzzRead(f *testing.F) {
	formats := []string{schema.FormatYAML, schema.FormatJSON, schema.FormatCUE}
	for i, format := range formats {
		for _, pattern := range []string{"malformed/*.", "formats/*.", "first/*."} {
			files, err := filepath.Glob("../testdata/" + pattern + format)
			if err != nil {
				f.Fatal(err)
			}
			for _, file := range files {
				content, err := os.ReadFile(file)
				if err != nil {
					f.Fatal(err)
				}
				if len(content) <= int(tight.FileBytes) {
					f.Add(string(content), byte(i))
				}
			}
		}
	}
	f.Fuzz(func(t *testing.T, content string, which byte) {
		l := readText(formats[int(which)%len(formats)], content)
		if l.Err != nil {
			t.Fatal(l.Err)
		}
		if l.Spec == nil && len(l.Problems) == 0 {
			t.Fatal("neither a spec nor a problem")
		}
		lines := strings.Count(content, "\n") + strings.Count(content, "\r") + 1
		for _, p := range l.Problems {
			if p.At.File == "" || p.At.Line < 1 || p.At.Line > lines || p.At.Column < 1 || p.Message == "" {
				t.Errorf("%+v", p)
			}
		}
		if l.Spec == nil {
			return
		}
		text, err := l.Spec.JSON()
		if err != nil {
			t.Fatal(err)
		}
		if len(l.Problems) > 0 {
			return
		}
		if broken := l.Spec.Broken(); len(broken) > 0 {
			t.Errorf("broken without a problem: %v", broken)
		}
		if len(text) > int(tight.FileBytes) { // written out it is longer
			return
		}
		again := readText(schema.FormatJSON, string(text))
		if again.Spec == nil || len(again.Problems) > 0 {
			t.Fatalf("%v, %v once written as JSON:\n%s", again.Err, again.Problems, text)
		}
		if diff := cmp.Diff(l.Spec.Values(), again.Spec.Values()); diff != "" {
			t.Errorf("written and read again (-before +after):\n%s", diff)
		}
	})
}

// TestGarbled swaps, drops and repeats words of the specifications under
// testdata, which comes closer to slips of the pen than random bytes do.
func TestGarbled(t *testing.T) {
	var files []string
	for _, pattern := range []string{"malformed/*.*", "formats/*.*", "fleet/heron/*.cue"} {
		found, err := filepath.Glob("../testdata/" + pattern)
		if err != nil {
			t.Fatal(err)
		}
		files = append(files, found...)
	}
	words := regexp.MustCompile(`\s+|[A-Za-z_0-9.]+|"[^"]*"|.`)
	random := rand.New(rand.NewPCG(1, 2))
	for range 3000 {
		file := files[random.IntN(len(files))]
		format := strings.TrimPrefix(filepath.Ext(file), ".")
		content, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if format == "txt" {
			continue
		}
		text := words.FindAllString(string(content), -1)
		for range 1 + random.IntN(3) {
			i, j := random.IntN(len(text)), random.IntN(len(text))
			switch random.IntN(4) {
			case 0:
				text[i] = ""
			case 1:
				text[i] = text[j]
			case 2:
				text[i] += text[j]
			case 3:
				text[i], text[j] = text[j], text[i]
			}
		}
		garbled := strings.Join(text, "")
		l := schema.Read(t.Context(), schema.Target{Path: schema.Stdin, Format: format},
			schema.Options{Stdin: strings.NewReader(garbled), StdinName: "garbled." + format})
		if l.Err != nil || l.Spec == nil && len(l.Problems) == 0 {
			t.Errorf("error %v, no spec, no problems\n%s", l.Err, garbled)
		}
		seen := map[string]bool{}
		for _, p := range l.Problems {
			if key := p.At.String() + p.Message; seen[key] {
				t.Errorf("reported twice: %s: %s\n%s", p.At, p.Message, garbled)
			} else {
				seen[key] = true
			}
		}
	}
}
