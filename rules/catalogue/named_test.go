package catalogue_test

import (
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"example.org/headroom/rules/catalogue"
	"example.org/headroom/rules/ruletest"
)

// hyphened finds words in the form of a rule's id.
var hyphened = regexp.MustCompile(`(?:^|[^A-Za-z0-9_./-])([a-z]+(?:-[a-z]+)+)\b`)

// notRules are words in that form that are meant to be no rule.
func notRules() []string {
	return []string{
		"load-off",       // a value of batteries.bms.wake
		"load-drop-hihg", // the example of a waiver of a misspelt rule
	}
}

// A message, a fix, a page and a comment name no rule that does not exist: what
// begins as ids do and is as long, or ends as they do as well, must be one.
func TestEveryRuleThatIsNamedExists(t *testing.T) {
	ids, begins, ends := map[string]bool{}, map[string]bool{}, map[string]bool{}
	for _, rule := range catalogue.All() {
		words := strings.Split(rule.ID, "-")
		ids[rule.ID], begins[words[0]], ends[words[len(words)-1]] = true, true, true
	}
	looksLikeOne := func(word string) bool {
		words := strings.Split(word, "-")
		return begins[words[0]] && (len(words) > 2 || ends[words[len(words)-1]])
	}
	root, named := filepath.Join(ruletest.Fleet(), "..", ".."), 0
	err := filepath.WalkDir(root, func(path string, entry fs.DirEntry, err error) error {
		switch name := entry.Name(); {
		case err != nil:
			return err
		case entry.IsDir() && (name == "testdata" || strings.HasPrefix(name, ".") && name != ".."):
			return fs.SkipDir
		case entry.IsDir() || strings.HasSuffix(name, "_test.go"):
			return nil
		case !slices.Contains([]string{".go", ".cue", ".md", ".sh", ".yml"}, filepath.Ext(name)):
			return nil
		}
		text, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		for _, m := range hyphened.FindAllStringSubmatch(string(text), -1) {
			switch word := m[1]; {
			case ids[word]:
				named++
			case looksLikeOne(word) && !slices.Contains(notRules(), word):
				t.Errorf("%s names %s, which is no rule", path, word)
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if named < 500 {
		t.Errorf("only %d rules are named", named)
	}
}
