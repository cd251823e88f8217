package engine

import (
	"fmt"
	"os"
	"regexp"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"example.org/headroom/schema"
)

// The bounds of the security page are those of the code.
func TestSecurityPageBounds(t *testing.T) {
	page, err := os.ReadFile("../../../.github/SECURITY.md")
	if err != nil {
		t.Fatal(err)
	}
	l, b := schema.DefaultLimits(), DefaultBound()
	each := b.runTime(1001) - b.runTime(1000)
	want := [][2]string{
		{"a file", fmt.Sprintf("%d MiB", l.FileBytes>>20)},
		{"values within each other", fmt.Sprintf("%d deep", l.Depth)},
		{"values in a file", fmt.Sprint(l.Values)},
		{"parts, conductors and modes of a vehicle", fmt.Sprint(l.Entities)},
		{"mistakes that are kept of a vehicle", fmt.Sprint(l.Mistakes)},
		{"a vehicle: processor time", b.Time.String()},
		{"a vehicle: memory in use", fmt.Sprintf("%d MiB", b.Memory>>20)},
		{"a run: processor time", fmt.Sprintf("%s and %s for each vehicle", b.runTime(0), each)},
	}
	var got [][2]string
	for _, row := range regexp.MustCompile(`(?m)^\| ([^|]+) \| ([^|]+) \|.*\|$`).FindAllStringSubmatch(string(page), -1) {
		if row[1] != "what" && !strings.HasPrefix(row[1], "-") {
			got = append(got, [2]string{row[1], row[2]})
		}
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("the table of .github/SECURITY.md (-code +page):\n%s", diff)
	}
}
