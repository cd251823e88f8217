package catalogue_test

import (
	"fmt"
	"os"
	"testing"
	"strings"

	"github.com/rogpeppe/go-internal/txtar"
	"example.org/headroom/rules"
	"example.org/headroom/rules/catalogue"
	"example.org/headroom/rules/ruletest"
)

func TestZZShow(t *testing.T) {
	f := os.Getenv("SHOW")
	a, err := txtar.ParseFile(f)
	if err != nil { t.Skip() }
	parts := map[string]string{}
	for _, f := range a.Files { parts[f.Name] = string(f.Data) }
	for _, r := range ruletest.Run(t, caseVehicle(t, parts), catalogue.All()) {
		if r.IsFinding() && (r.Level != rules.Note || os.Getenv("NOTES") != "") || os.Getenv("MORE") != "" && strings.Contains(r.Rule+" "+r.Subject, os.Getenv("MORE")) || r.Verdict == rules.CannotVouch {
			fmt.Printf("%s %s %s/%s: %s | fix %s | because %s | missing %s\n", r.Verdict, r.Level, r.Rule, r.Subject, r.Message, r.Fix, r.Primary, r.Missing)
		}
	}
}
