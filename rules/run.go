package rules

import (
	"cmp"
	"slices"

	"example.org/headroom/rules/circuit"
	"example.org/headroom/schema"
)

// Run applies the rules to a spec and returns their results by position, then
// by rule and subject.
func Run(spec *schema.Spec, catalogue []*Rule) []Result {
	var results []Result
	network := circuit.New(spec)
	for _, rule := range catalogue {
		if rule.Check == nil {
			continue
		}
		rule.Check(&Pass{Rule: rule, Spec: spec, Circuit: network, report: func(r Result) {
			results = append(results, r)
		}})
	}
	Sort(results)
	return results
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
