package cli

import (
	"os"
	"strings"
	"testing"
)

// The README's first specification is the file that it names, word for word.
func TestReadmeShowsTheFirstSpecification(t *testing.T) {
	readme := readFile(t, "../../../README.md")
	_, rest, ok := strings.Cut(readme, "```yaml\n")
	shown, _, closed := strings.Cut(rest, "```\n")
	if !ok || !closed {
		t.Fatal("README.md has no yaml block")
	}
	if shown != readFile(t, "../../../testdata/first/first.yaml") {
		t.Error("the yaml block of README.md differs from testdata/first/first.yaml")
	}
}

func readFile(t *testing.T, path string) string {
	t.Helper()
	b, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}
