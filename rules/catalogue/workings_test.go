package catalogue_test

import (
	"path/filepath"
	"strings"
	"testing"

	"example.org/headroom/rules/internal/calculator"
	"example.org/headroom/rules/ruletest"
)

// A reader with a calculator comes to every value of a working from the numbers
// that are printed before it.
func TestWorkingsAddUp(t *testing.T) {
	paths, err := filepath.Glob(filepath.Join(ruletest.Fleet(), "..", "sound", "*.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	for _, v := range []string{"heron", "badger", "mole"} {
		paths = append(paths, filepath.Join(ruletest.Fleet(), v))
	}
	followed := 0
	for _, path := range paths {
		for _, r := range soundResults(t, path) {
			for _, s := range r.Working {
				if s.Numbers == "" || strings.Contains(s.Numbers, " A for ") {
					continue // nothing to calculate, or a cycle, which its formula steps through
				}
				followed++
				if err := calculator.Follow(s.Numbers, s.Value); err != nil {
					t.Errorf("%s: %s: %s = %v", filepath.Base(path), r.Key(), s.Symbol, err)
				}
			}
		}
	}
	if followed < 1000 {
		t.Errorf("followed %d steps only", followed)
	}
}
