package cli

import (
	"flag"
	"os"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/testscript"

	"example.org/headroom/rules"
	"example.org/headroom/rules/waiver"
	"example.org/headroom/schema"
)

var update = flag.Bool("update", false, "rewrite the expected output of the scripts")

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){
		// The command as people run it.
		"headroom": func() { os.Exit(Default().Main(os.Args[1:])) },
		// The same with the few rules below, so that the scripts on the command
		// line stand still when the catalogue grows.
		"sample": func() {
			c := Default()
			c.Rules = sampleRules()
			c.Build = Build{Version: "v1.2.3", Module: "example.org/headroom"}
			c.Bound.Time = time.Second
			os.Exit(c.Main(os.Args[1:]))
		},
	})
}

func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir:                 "testdata/script",
		UpdateScripts:       *update,
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
	})
}

// sampleRules are rules of every kind of outcome: with a headroom, yes or no,
// not checked, and one that follows from another.
func sampleRules() []*rules.Rule {
	list := []*rules.Rule{
		{
			ID: "fuse-above-limit", Family: "fuse", Title: "a fuse is above 100 A", Level: rules.Error, Required: 1,
			Why: "Invented for the test.", Relation: "I_n <= 100 A", Source: "common practice", Fix: "use a smaller fuse",
			Policy: []string{"policy.terminal_max_C"},
			Check:  checkSampleLimit,
		},
		{
			ID: "fuse-voltage", Family: "fuse", Title: "a fuse lacks its DC voltage", Level: rules.Warning,
			Why: "Invented for the test.", Relation: "rated_V_dc is above 0", Source: "common practice", Fix: "read it off the fuse",
			Check: func(p *rules.Pass) {
				for id, f := range schema.Sorted(p.Spec.Fuses) {
					c := p.Subject(id, f.Path())
					if !f.RatedVdc.Known {
						c.NotChecked(f.Path()+".rated_V_dc", "the DC voltage of %s is not known", id)
						continue
					}
					c.Holds(true, "%s has a DC voltage", id)
				}
			},
		},
		{
			ID: "fuse-name", Family: "fuse", Title: "a fuse is too large and has a short name", Level: rules.Note,
			Why: "Invented for the test.", Relation: "none", Source: "common practice", Fix: "give it a longer name",
			Check: func(p *rules.Pass) {
				for id, f := range schema.Sorted(p.Spec.Fuses) {
					if f.RatedA > 100 {
						p.Subject(id, f.Path()).Because("fuse-above-limit", id).Fail("the name %s is short", id)
					}
				}
			},
		},
	}
	for _, doc := range schema.Rules() {
		list = append(list, &rules.Rule{
			ID: doc.ID, Family: "spec", Title: doc.Title, Why: doc.Why, Level: rules.Error, Source: "the specification format", Fix: doc.Fix,
		})
	}
	return append(list, waiver.Rules()...)
}

func checkSampleLimit(p *rules.Pass) {
	for id, f := range schema.Sorted(p.Spec.Fuses) {
		c := p.Subject(id, f.Path()).In("", "any")
		n := c.Given("I_n", "rated current of "+id, f.RatedA, "A", f.Path()+".rated_A")
		limit := c.Calc("I_max", "limit of the test", "2 * 50", "2 * 50", 100, "A")
		c.AtMost(rules.Quantity{Value: n, Unit: "A"}, rules.Quantity{Value: limit, Unit: "A"}, "fuse %s of %g A is held against 100 A", id, n)
	}
}
