package rules

import (
	"context"

	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

// Rule is a check declared as data plus one function. Its documentation is
// what explain, the rules list and SARIF show.
type Rule struct {
	ID       string   // kebab-case, names the thing and what is wrong; never changes
	Family   string   // fuse, converter, contactor, circuit, spec, ...
	Title    string   // one line: what is wrong, no full stop
	Why      string   // what goes wrong in the world
	Relation string   // the relation that must hold, in symbols and words
	Source   string   // standard and clause, handbook, or "common practice"
	Level    Level    // default level
	Varies   string   // when a finding has another level, such as "note off the road"; "" if it never has
	Required float64  // default required headroom; 0 for a yes-or-no check
	Policy   []string // the policy values that tune it, such as "policy.terminal_max_C"
	// Vital names the fields without which nobody can vouch for the subject, without
	// the ids: "fuses.breaking_A_dc", "contactors.contact.make_A". A check that is not
	// made for want of one is no gap but a finding of its own; what else a check may
	// lack only refines it.
	Vital   []string
	Untuned bool   // the policy does not set its level: it is about the policy
	Fix     string // what to do, in general
	Example Example
	// Check applies the rule. It reports one result for each subject through
	// the Pass. Rules of the schema layer have none, for the loader applies them,
	// nor have those about waivers, which are applied to the results of the others.
	Check func(*Pass)
	// Review applies a rule that is about the results of the others, once those are
	// all there: it reports results of its own through the Pass, and may turn what was
	// not checked into what nobody can vouch for.
	Review func(*Pass, []Result)
}

// Example is an edit of a sound demo vehicle that makes the rule fire. A test
// carries it out.
type Example struct {
	Vehicle string // directory under testdata/fleet
	Edits   []Edit
	Subject string // the subject that the rule then names
	// Text is the mistake as it stands in a file: the form for rules of the
	// schema layer, whose examples need no vehicle.
	Text string
}

// Edit sets, or deletes, the value of one path of a specification. Value is
// JSON; empty deletes.
type Edit struct {
	Path  string
	Value string
}

// Pass gives a rule the spec and its circuit, and takes its results.
type Pass struct {
	Rule    *Rule
	Spec    *schema.Spec
	Circuit *circuit.Network
	Rules   []*Rule // of the run
	report  func(Result)
	shared  map[string]any // see Shared
	reading Reading
	ctx     context.Context // ends the pass; see proceed
}

// NewPass returns a Pass for a rule that is about results rather than the
// circuit, such as those of waivers; report takes what the rule reports.
func NewPass(rule *Rule, spec *schema.Spec, report func(Result)) *Pass {
	return &Pass{Rule: rule, Spec: spec, report: report, shared: map[string]any{}, reading: Everything(), ctx: context.Background()}
}
