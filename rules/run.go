package rules

import (
	"cmp"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"

	"example.org/headroom/rules/circuit"
	"example.org/headroom/schema"
)

// Run applies the rules to a spec and returns their results by position, then
// by rule and subject. The rules run side by side; the order of the results
// does not depend on that.
func Run(spec *schema.Spec, catalogue []*Rule) []Result {
	network := circuit.New(spec)
	byRule := make([][]Result, len(catalogue))
	var next atomic.Int64
	var workers sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), len(catalogue)) {
		workers.Go(func() {
			for {
				i := int(next.Add(1)) - 1
				if i >= len(catalogue) {
					return
				}
				byRule[i] = apply(catalogue[i], spec, network)
			}
		})
	}
	workers.Wait()
	results := slices.Concat(byRule...)
	Sort(results)
	return results
}

// apply runs one rule.
func apply(rule *Rule, spec *schema.Spec, network *circuit.Network) []Result {
	if rule.Check == nil {
		return nil
	}
	var results []Result
	if path := foundation(spec); path != "" {
		return []Result{{
			Rule: rule.ID, Subject: path, Verdict: NotChecked, Level: rule.Level, Missing: path, At: spec.At(path),
			Message: "every check rests on " + path + ", which holds a mistake",
		}}
	}
	rule.Check(&Pass{Rule: rule, Spec: spec, Circuit: network, report: func(r Result) {
		results = append(results, r)
	}})
	return results
}

// foundation returns the part of a spec that every check rests on and that
// holds a mistake; "" if there is none.
func foundation(spec *schema.Spec) string {
	for _, path := range spec.Broken() {
		if path == "vehicle" || path == "policy" {
			return path
		}
	}
	return ""
}

// Sort orders results by position, then by level, rule and subject.
func Sort(results []Result) {
	slices.SortStableFunc(results, func(a, b Result) int {
		return cmp.Or(
			cmp.Compare(a.At.File, b.At.File),
			cmp.Compare(a.At.Line, b.At.Line),
			cmp.Compare(a.At.Column, b.At.Column),
			cmp.Compare(b.Level.Rank(), a.Level.Rank()),
			cmp.Compare(a.Rule, b.Rule),
			cmp.Compare(a.Subject, b.Subject),
			cmp.Compare(a.Message, b.Message),
		)
	})
}

// FromProblems turns what the schema layer found into findings.
func FromProblems(problems []schema.Problem) []Result {
	results := make([]Result, len(problems))
	for i, p := range problems {
		results[i] = Result{
			Rule: p.Rule, Subject: p.Path, Verdict: Failed, Level: Error,
			Message: p.Message, Fix: p.Fix, At: p.At, Related: p.Related,
		}
	}
	return results
}
