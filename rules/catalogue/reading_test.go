package catalogue_test

import (
	"context"
	"path/filepath"
	"testing"

	"github.com/google/go-cmp/cmp"

	"example.org/headroom/rules"
	"example.org/headroom/rules/catalogue"
	"example.org/headroom/rules/ruletest"
	"example.org/headroom/schema"
)

// TestWhatNobodyReadsChangesNothing holds that a result is the same whether its
// working, or what a passed check says, is made or not: on whole vehicles, sound and
// with mistakes, and each rule by itself on its example.
func TestWhatNobodyReadsChangesNothing(t *testing.T) {
	t.Parallel()
	all := catalogue.All()
	for _, folder := range []string{"fleet", "fleet-mistakes"} {
		for _, vehicle := range []string{"heron", "badger", "mole"} {
			sameForAllReaders(t, folder+"/"+vehicle, ruletest.Load(t, filepath.Join(ruletest.Fleet(), "..", folder, vehicle)), all, rules.Reading{}, rules.Reading{Passes: true}, rules.Reading{Workings: rules.FindingWorkings})
		}
	}
	for _, rule := range all {
		if rule.Check != nil && rule.Example.Vehicle != "" {
			sameForAllReaders(t, "the example of "+rule.ID, ruletest.Edited(t, rule.Example.Vehicle, rule.Example.Edits), []*rules.Rule{rule}, rules.Reading{})
		}
	}
}

// sameForAllReaders runs the rules for several readers and compares the results
// with those for somebody who reads everything.
func sameForAllReaders(t *testing.T, name string, spec *schema.Spec, catalogue []*rules.Rule, readings ...rules.Reading) {
	t.Helper()
	whole, err := rules.Run(context.Background(), spec, catalogue)
	if err != nil {
		t.Fatal(err)
	}
	for _, reading := range readings {
		got, err := rules.RunFor(context.Background(), reading, spec, catalogue)
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(readBy(reading, whole), readBy(reading, got)); diff != "" {
			t.Errorf("%s: a result differs for a reader of %+v; a rule must not look at the steps of its working, and what a family shares must not hold any but by way of Steps and Add (-all of it +what is read):\n%s", name, reading, diff)
		}
	}
}

// readBy is what a reader reads of results. Those of one check in one place stand in
// no order where their messages are not made.
func readBy(reading rules.Reading, results []rules.Result) map[string][]rules.Result {
	read := map[string][]rules.Result{}
	for _, r := range results {
		passed := r.Verdict == rules.Passed
		if passed && !reading.Passes {
			r.Message, r.Fix, r.Related = "", "", nil
		}
		if !r.IsFinding() || reading.Workings == rules.NoWorkings {
			r.Working = nil
		}
		read[r.Key()] = append(read[r.Key()], r)
	}
	return read
}
