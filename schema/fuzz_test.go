package schema_test

import (
	"context"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
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
