package rules

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"sync"

	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

// Run applies the rules to a spec and returns their results by position, then
// by rule and subject. Families run side by side, the rules of one family in
// turn, so that they may share what they find out; the results do not depend
// on that. An error is a fault of a rule, not of the spec, or the cause for which
// the context ended: the run ends within moments of that.
func Run(ctx context.Context, spec *schema.Spec, catalogue []*Rule) ([]Result, error) {
	return RunFor(ctx, Everything(), spec, catalogue)
}

// RunFor is Run for a reader who does not read all of every result.
func RunFor(ctx context.Context, reading Reading, spec *schema.Spec, catalogue []*Rule) ([]Result, error) {
	r := &runner{ctx: ctx, reading: reading, spec: spec, network: circuit.New(spec).Until(ctx), catalogue: catalogue}
	results, err := r.run(reading, r.network)
	if err != nil {
		return results, err
	}
	if err := r.attribute(results); err != nil {
		return results, err
	}
	return r.review(results)
}

// runner is a run of rules over one spec.
type runner struct {
	ctx       context.Context
	reading   Reading // of who reads the results
	spec      *schema.Spec
	network   *circuit.Network
	catalogue []*Rule
}

// review applies the rules that are about the results of the others.
func (r *runner) review(results []Result) ([]Result, error) {
	reviewed := results
	for _, rule := range r.catalogue {
		if rule.Review == nil {
			continue
		}
		p := r.pass(rule, r.network, map[string]any{}, r.reading)
		p.Rules = r.catalogue
		own, err := apply(p, func(p *Pass) { rule.Review(p, results) })
		if err != nil {
			return reviewed, err
		}
		reviewed = append(reviewed, own...)
	}
	if len(reviewed) > len(results) {
		Sort(reviewed)
	}
	return reviewed, nil
}

// attribute makes what would not be found without the culprit of a finding
// follow from that finding. Where a diode shorts a coil, what its current does
// to fuses, switches and voltages is no fault of theirs, and to make them larger
// would be no help. What several culprits bring about together follows from the
// first of them.
func (r *runner) attribute(results []Result) error {
	var causes []Result
	for _, result := range results {
		if result.IsFinding() && result.Culprit != "" && result.Primary == "" {
			causes = append(causes, result)
		}
	}
	// What a battery the wrong way round brings about is no cause of its own.
	slices.SortStableFunc(causes, func(a, b Result) int { return turnedBattery(r.spec, b) - turnedBattery(r.spec, a) })
	for _, cause := range causes {
		if slices.ContainsFunc(results, func(other Result) bool { return other.Key() == cause.Key() && other.Primary != "" }) {
			continue
		}
		if err := r.follow(results, nil, cause); err != nil {
			return err
		}
	}
	if len(causes) < 2 {
		return nil
	}
	return r.follow(results, causes[1:], causes[0])
}

// turnedBattery is 1 for a finding that turns a battery round, else 0.
func turnedBattery(spec *schema.Spec, r Result) int {
	if r.Turned && spec.Batteries[r.Culprit] != nil {
		return 1
	}
	return 0
}

// follow makes what is not found on the network that is mended of a cause, and of
// others beside it, follow from the cause. A part the wrong way round spoils
// what other causes rest on; otherwise a cause stands by itself. What is found on
// a conductor that does not belong there follows from that too.
func (r *runner) follow(results, beside []Result, cause Result) error {
	mended, err := r.run(Reading{}, mend(r.network, slices.Concat(beside, []Result{cause})))
	if err != nil {
		return err
	}
	found, lacking := map[string]int{}, map[string]bool{} // found: the level, for a cause may make a note an error
	for i := range mended {
		m := &mended[i]
		if m.IsFinding() {
			found[m.Key()] = max(found[m.Key()], m.Level.Rank())
		}
		lacking[m.Key()] = lacking[m.Key()] || m.Verdict == NotChecked
	}
	failed := map[string]bool{} // a primary that does not fail is none
	for i := range results {
		failed[results[i].Key()] = failed[results[i].Key()] || results[i].IsFinding()
	}
	for i := range results {
		one := &results[i]
		if one.Verdict == NotChecked && one.Primary == "" && !lacking[one.Key()] { // it needs what it would not need without the cause
			one.Primary = cause.Key()
		}
		stands := one.Culprit != "" && (turnedBattery(r.spec, *one) > 0 || !cause.Turned) || one.Key() == cause.Key()
		misplaced := one.Subject == cause.Culprit && r.spec.Conductor(one.Subject) != nil
		if one.IsFinding() && !failed[one.Primary] && !stands && (misplaced || found[one.Key()] < one.Level.Rank()) {
			one.Primary, one.Fix = cause.Key(), cause.Fix
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
func (r *runner) run(reading Reading, network *circuit.Network) ([]Result, error) {
	var families [][]*Rule
	at := map[string]int{}
	for _, rule := range r.catalogue {
		i, ok := at[rule.Family]
		if !ok {
			i = len(families)
			at[rule.Family] = i
			families = append(families, nil)
		}
		families[i] = append(families[i], rule)
	}
	found := make([][][]Result, len(families)) // by family and rule
	faults := make([]error, len(families))
	var running sync.WaitGroup
	for i, family := range families {
		running.Go(func() {
			found[i], faults[i] = r.runFamily(reading, network, family)
		})
	}
	running.Wait()
	if r.ctx.Err() != nil { // one cause, however many families it stopped
		return nil, context.Cause(r.ctx)
	}
	results := slices.Concat(slices.Concat(found...)...)
	Sort(results)
	return results, errors.Join(faults...)
}

// runFamily applies the rules of a family in turn. Where the workings of findings
// alone are read, few rules have any: the rules run without, and those once more
// with, on what they share anew, since it may hold steps. The results are by rule.
func (r *runner) runFamily(reading Reading, network *circuit.Network, family []*Rule) ([][]Result, error) {
	first := reading
	if reading.Workings == FindingWorkings {
		first.Workings = NoWorkings
	}
	var all [][]Result
	shared, again := map[string]any{}, map[string]any{}
	for _, rule := range family {
		if rule.Check == nil {
			all = append(all, nil)
			continue
		}
		results, err := apply(r.pass(rule, network, shared, first), rule.Check)
		if err == nil && first != reading && slices.ContainsFunc(results, Result.IsFinding) {
			results, err = apply(r.pass(rule, network, again, reading), rule.Check)
		}
		if err != nil {
			return all, err
		}
		all = append(all, results)
	}
	return all, nil
}

// pass is what one rule of the run is handed.
func (r *runner) pass(rule *Rule, network *circuit.Network, shared map[string]any, reading Reading) *Pass {
	return &Pass{Rule: rule, Spec: r.spec, Circuit: network, shared: shared, reading: reading, ctx: r.ctx}
}

// apply runs one rule by its function. A panic of a rule is a fault to report, not a reason to
// lose what the other rules and vehicles have to say.
func apply(p *Pass, check func(*Pass)) (results []Result, err error) {
	rule, spec := p.Rule, p.Spec
	defer func() {
		fault := recover()
		switch {
		case p.ctx.Err() != nil: // whatever else it led to
			err = context.Cause(p.ctx)
		case fault != nil:
			err = fmt.Errorf("internal fault in the rule %s: %v", rule.ID, fault)
		}
	}()
	if path := foundation(spec); path != "" {
		return []Result{{
			Rule: rule.ID, Subject: path, Verdict: NotChecked, Level: rule.Level, Missing: path, At: spec.At(path),
			Message: "every check rests on " + path + ", which holds a mistake",
		}}, nil
	}
	p.report = func(r Result) { results = append(results, r) }
	check(p)
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
	SortBy(results, func(a, b *Result) int {
		if c := ComparePlaces(a, b); c != 0 {
			return c
		}
		if c := cmp.Compare(b.Level.Rank(), a.Level.Rank()); c != 0 {
			return c
		}
		return CompareChecks(a, b)
	})
}

// ComparePlaces orders results by file, line and column.
func ComparePlaces(a, b *Result) int {
	if a.At.File != b.At.File { // most stand in one file, and say so in one string
		return strings.Compare(a.At.File, b.At.File)
	}
	if c := cmp.Compare(a.At.Line, b.At.Line); c != 0 {
		return c
	}
	return cmp.Compare(a.At.Column, b.At.Column)
}

// CompareChecks orders results by rule, subject and message.
func CompareChecks(a, b *Result) int {
	if c := strings.Compare(a.Rule, b.Rule); c != 0 {
		return c
	}
	if c := strings.Compare(a.Subject, b.Subject); c != 0 {
		return c
	}
	return strings.Compare(a.Message, b.Message)
}

// SortBy orders results and keeps the order of equal ones. A result is large, and
// there may be very many: their numbers are sorted, and each is moved once, in place.
func SortBy(results []Result, compare func(a, b *Result) int) {
	order := make([]int, len(results))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(i, j int) int {
		if c := compare(&results[i], &results[j]); c != 0 {
			return c
		}
		return cmp.Compare(i, j)
	})
	for i := range order { // each the begin of a ring of moves, unless it is in place
		first := results[i]
		to := i
		for from := order[to]; from != i; from = order[to] {
			results[to] = results[from]
			order[to], to = to, from
		}
		results[to], order[to] = first, to
	}
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
