package rules

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"sync"

	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

// Run applies the rules to a spec and returns their results by position, then
// by rule and subject. Families run side by side, the rules of one family in
// turn, so that they may share what they find out; the results do not depend
// on that. An error is a fault of a rule, not of the spec.
func Run(spec *schema.Spec, catalogue []*Rule) ([]Result, error) {
	network := circuit.New(spec)
	results, err := run(spec, network, catalogue)
	if err != nil {
		return results, err
	}
	return results, attribute(results, spec, network, catalogue)
}

// attribute makes what would not be found without the culprit of a finding
// follow from that finding. Where a diode shorts a coil, what its current does
// to fuses, switches and voltages is no fault of theirs, and to make them larger
// would be no help. What several culprits bring about together follows from the
// first of them.
func attribute(results []Result, spec *schema.Spec, network *circuit.Network, catalogue []*Rule) error {
	var causes []Result
	for _, r := range results {
		if r.IsFinding() && r.Culprit != "" && r.Primary == "" {
			causes = append(causes, r)
		}
	}
	for _, cause := range causes {
		if err := follow(results, nil, cause, spec, network, catalogue); err != nil {
			return err
		}
	}
	if len(causes) < 2 {
		return nil
	}
	return follow(results, causes[1:], causes[0], spec, network, catalogue)
}

// follow makes what is not found on the network that is mended of a cause, and of
// others beside it, follow from the cause. A battery the wrong way round spoils
// what other causes rest on; otherwise a cause stands by itself. What is found on
// a conductor that does not belong there follows from that too.
func follow(results, beside []Result, cause Result, spec *schema.Spec, network *circuit.Network, catalogue []*Rule) error {
	mended, err := run(spec, mend(network, slices.Concat(beside, []Result{cause})), catalogue)
	if err != nil {
		return err
	}
	found := map[string]bool{}
	for _, r := range mended {
		found[r.Key()] = found[r.Key()] || r.IsFinding()
	}
	for i := range results {
		r := &results[i]
		stands := r.Culprit != "" && (r.Turned || !cause.Turned)
		misplaced := r.Subject == cause.Culprit && spec.Conductor(r.Subject) != nil
		if r.IsFinding() && r.Primary == "" && !stands && (misplaced || !found[r.Key()]) {
			r.Primary, r.Fix = cause.Key(), cause.Fix
		}
	}
	return nil
}

// mend returns the network without what the causes name, or with that the other
// way round.
func mend(network *circuit.Network, causes []Result) *circuit.Network {
	var out, turned []string
	for _, cause := range causes {
		if cause.Turned {
			turned = append(turned, cause.Culprit)
		} else {
			out = append(out, cause.Culprit)
		}
	}
	return network.Mended(out, turned)
}

// run applies the rules to a network of a spec.
func run(spec *schema.Spec, network *circuit.Network, catalogue []*Rule) ([]Result, error) {
	var families [][]*Rule
	at := map[string]int{}
	for _, rule := range catalogue {
		i, ok := at[rule.Family]
		if !ok {
			i = len(families)
			at[rule.Family] = i
			families = append(families, nil)
		}
		families[i] = append(families[i], rule)
	}
	found := make([][]Result, len(families))
	faults := make([]error, len(families))
	var running sync.WaitGroup
	for i, family := range families {
		running.Go(func() {
			shared := map[string]any{}
			for _, rule := range family {
				results, err := apply(rule, spec, network, shared)
				if err != nil {
					faults[i] = err
					return
				}
				found[i] = append(found[i], results...)
			}
		})
	}
	running.Wait()
	results := slices.Concat(found...)
	Sort(results)
	return results, errors.Join(faults...)
}

// apply runs one rule. A panic of a rule is a fault to report, not a reason to
// lose what the other rules and vehicles have to say.
func apply(rule *Rule, spec *schema.Spec, network *circuit.Network, shared map[string]any) (results []Result, err error) {
	if rule.Check == nil {
		return nil, nil
	}
	defer func() {
		if fault := recover(); fault != nil {
			err = fmt.Errorf("internal fault in the rule %s: %v", rule.ID, fault)
		}
	}()
	if path := foundation(spec); path != "" {
		return []Result{{
			Rule: rule.ID, Subject: path, Verdict: NotChecked, Level: rule.Level, Missing: path, At: spec.At(path),
			Message: "every check rests on " + path + ", which holds a mistake",
		}}, nil
	}
	rule.Check(&Pass{Rule: rule, Spec: spec, Circuit: network, shared: shared, report: func(r Result) {
		results = append(results, r)
	}})
	return results, nil
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
