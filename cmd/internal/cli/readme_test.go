package cli

import (
	"os"
	"regexp"
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

// shownCommand finds commands where a page shows one to type: at the beginning of
// a line of code, after "-- " or "$(", or at the beginning of a piece of code.
var shownCommand = regexp.MustCompile("(?m)(?:^ *(?:- )?|`|\\$\\()headroom ([a-z]+)")

// Every headroom command that the README shows exists, and it shows each.
func TestReadmeCommandsExist(t *testing.T) {
	shown := map[string]bool{}
	for i, block := range strings.Split(readFile(t, "../../../README.md"), "```") {
		if i%2 == 0 { // prose: code stands between backquotes, and a line may begin with the name
			block = strings.ReplaceAll(block, "\nheadroom ", "\n")
		}
		for _, m := range shownCommand.FindAllStringSubmatch(block, -1) {
			shown[m[1]] = true
		}
	}
	for _, c := range commands() {
		if !shown[c.name] && !c.hidden {
			t.Errorf("README.md does not show headroom %s", c.name)
		}
		delete(shown, c.name)
	}
	delete(shown, "help")
	for word := range shown {
		t.Errorf("README.md shows headroom %s, which does not exist", word)
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
