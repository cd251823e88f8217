package rules

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"strings"

	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

// Subject starts the result of the rule for one subject, whose place in the
// spec is that of path. The check is not reported until one of its verdicts is
// given.
func (p *Pass) Subject(subject, path string) *Check {
	p.proceed()
	return &Check{
		Working: &Working{spec: p.Spec, unread: p.reading.Workings == NoWorkings},
		pass:    p,
		path:    path,
		result: Result{
			Rule:     p.Rule.ID,
			Subject:  subject,
			Level:    p.level(),
			Required: p.Required(),
			At:       p.Spec.At(path),
		},
	}
}

// proceed ends the pass once the context of the run has ended.
func (p *Pass) proceed() {
	if p.ctx.Err() != nil {
		panic(circuit.Stopped{Err: context.Cause(p.ctx)})
	}
}

// level is the rule's level as the policy has it.
func (p *Pass) level() Level {
	if l, ok := p.Spec.Policy.Levels[p.Rule.ID]; ok && !p.Rule.Untuned {
		return Level(l)
	}
	return p.Rule.Level
}

// Required is the headroom that passes, as the policy has it.
func (p *Pass) Required() float64 {
	if r, ok := p.Spec.Policy.Required[p.Rule.ID]; ok {
		return r
	}
	return p.Rule.Required
}

// Check is the result of a rule on one subject in the making.
type Check struct {
	*Working
	pass    *Pass
	path    string
	result  Result
	fix     func() string // nil for that of the rule
	related []relatedPath
}

// relatedPath is a path of the spec that has to do with a result.
type relatedPath struct{ path, note string }

// In says in which mode and corner the check is.
func (c *Check) In(mode, corner string) *Check {
	c.result.Mode, c.result.Corner = mode, corner
	return c
}

// Required sets the headroom that passes where a yes-or-no rule has a subject
// that is measured; the policy's choice stands.
func (c *Check) Required(headroom float64) *Check {
	if _, ok := c.pass.Spec.Policy.Required[c.pass.Rule.ID]; !ok {
		c.result.Required = headroom
	}
	return c
}

// Level sets the level of this subject's finding where it differs from the
// rule's; the policy's choice stands.
func (c *Check) Level(l Level) *Check {
	if _, ok := c.pass.Spec.Policy.Levels[c.pass.Rule.ID]; !ok || c.pass.Rule.Untuned {
		c.result.Level = l
	}
	return c
}

// Related adds another place that has to do with the result: that of a path of
// the spec, and what it has to do with it.
func (c *Check) Related(path, note string) *Check {
	c.related = append(c.related, relatedPath{path, note})
	return c
}

// Because names a graver finding that this one follows from, by rule and subject.
func (c *Check) Because(rule, subject string) *Check {
	c.result.Primary = rule + "/" + subject
	return c
}

// Culprit names a part, or an element of one such as "k1.coil", that brings this
// finding about and spoils others: what would not be found if it carried nothing
// follows from this one.
func (c *Check) Culprit(id string) *Check {
	c.result.Culprit, c.result.Turned = id, false
	return c
}

// Turned names a battery, or a part that takes or gives power, that is connected the wrong way round and spoils others:
// what would not be found with it the right way round follows from this finding.
func (c *Check) Turned(part string) *Check {
	c.result.Culprit, c.result.Turned = part, true
	return c
}

// AsDeclared says that the result rests on a bare yes of the spec, such as an interlock
// that nothing in the circuit shows: path is that value's, and what says what is
// believed. If the check passes, it passes as declared.
func (c *Check) AsDeclared(path, what string) *Check {
	c.result.Declared = append(c.result.Declared, Declaration{Path: path, What: what})
	return c
}

// Fix says what to do about the finding.
func (c *Check) Fix(format string, args ...any) *Check {
	c.fix = func() string { return fmt.Sprintf(format, args...) }
	return c
}

// AtMost reports demand against capability: headroom is capability over
// demand, and passes when it is at least what is required. The message says
// what a reader should know in either case.
func (c *Check) AtMost(demand, capability Quantity, format string, args ...any) {
	c.compare(demand, capability, ratio(capability.Value, demand.Value), format, args...)
}

// AtLeast reports a demand that must reach a threshold: headroom is what there
// is over what is needed. Demand is the need, capability what there is.
func (c *Check) AtLeast(need, available Quantity, format string, args ...any) {
	c.compare(need, available, ratio(available.Value, need.Value), format, args...)
}

// Below reports something that must stay below a threshold, such as a coil's
// voltage below its release voltage; headroom is threshold over value.
func (c *Check) Below(value, threshold Quantity, format string, args ...any) {
	c.compare(value, threshold, ratio(threshold.Value, value.Value), format, args...)
}

// boundless is the headroom of a demand of nothing.
const boundless = 1e6

func ratio(capability, demand float64) float64 {
	if demand <= 0 || capability/demand > boundless {
		return boundless
	}
	return capability / demand
}

func (c *Check) compare(demand, capability Quantity, headroom float64, format string, args ...any) {
	if missing := uncomputed(demand, capability, headroom); missing != "" {
		c.NotChecked(c.path, "%s: %s cannot be computed: one of the values that it rests on is far smaller or larger than any real one; see the working", c.result.Subject, missing)
		return
	}
	c.result.Demand, c.result.Capability, c.result.Headroom = demand, capability, headroom
	// The last digits of a double are not an engineering difference.
	const rounding = 1e-9
	c.report(headroom >= c.result.Required*(1-rounding), format, args...)
}

// uncomputed names what of a comparison is no number that a reader can use; "" if all is
// well. A rule says itself what the specification does not give; here it is the arithmetic
// that came to nothing, from values that no real part has.
func uncomputed(demand, capability Quantity, headroom float64) string {
	none := func(x float64) bool { return math.IsNaN(x) || math.IsInf(x, -1) }
	switch {
	case none(demand.Value):
		return "the demand"
	case none(capability.Value):
		return "the capability"
	case none(headroom), math.IsInf(demand.Value, 1) && math.IsInf(capability.Value, 1):
		return "the headroom"
	}
	return ""
}

// Holds reports a yes-or-no check.
func (c *Check) Holds(ok bool, format string, args ...any) {
	c.result.Required = 0
	c.report(ok, format, args...)
}

// Fail reports a finding that no number measures.
func (c *Check) Fail(format string, args ...any) { c.Holds(false, format, args...) }

// NotChecked reports that the check needs something that the spec does not
// give; missing is the path of it, or says what is missing.
func (c *Check) NotChecked(missing, format string, args ...any) {
	c.result.Verdict = NotChecked
	c.result.Missing = missing
	c.finish(format, args...)
}

func (c *Check) report(ok bool, format string, args ...any) {
	switch {
	case !ok:
		c.result.Verdict = Failed
	case len(c.result.Declared) > 0:
		c.result.Verdict = AsDeclared
	default:
		c.result.Verdict = Passed
	}
	c.finish(format, args...)
}

// finish hands the result in, with what somebody reads of it.
func (c *Check) finish(format string, args ...any) {
	if c.result.Verdict != AsDeclared {
		c.result.Declared = nil // what is believed is of no matter to it
	}
	if c.result.Verdict != Passed || c.pass.reading.Passes {
		c.result.Message = fmt.Sprintf(format, args...)
		if h := c.result.Headroom; c.result.Verdict == Failed && h >= 1 && c.result.Required > 0 {
			// Without this the sentence reads as if all were well.
			c.result.Message += fmt.Sprintf("; headroom %.2f, required %s", math.Floor(100*h)/100, Figure(c.result.Required))
		}
		c.result.Fix = c.pass.Rule.Fix
		if c.fix != nil {
			c.result.Fix = cmp.Or(c.fix(), c.result.Fix)
		}
		for _, r := range c.related {
			c.result.Related = append(c.result.Related, schema.Place{Position: c.pass.Spec.At(r.path), Note: r.note})
		}
		c.shared()
	}
	if !c.unread {
		c.result.Working = c.Steps()
	}
	c.pass.report(c.result)
}

// BrokenConductors returns the path of a wire or bus bar that holds a mistake,
// so that it is not known what it connects; "" if there is none.
func (p *Pass) BrokenConductors() string {
	for _, path := range p.Spec.Broken() {
		if strings.HasPrefix(path, "wires.") || strings.HasPrefix(path, "busbars.") {
			return path
		}
	}
	return ""
}

// Unsound reports a check as not made when one of the terminals belongs to a
// network that holds a part with a mistake, and says whether it did.
func (p *Pass) Unsound(c *Check, terminals ...string) bool {
	for _, t := range terminals {
		v, ok := p.Circuit.Node(t)
		if !ok {
			continue
		}
		if path := p.Circuit.Tainted(v); path != "" {
			c.NotChecked(path, "the circuit of %s cannot be computed: %s holds a mistake", t, path)
			return true
		}
	}
	return false
}

// Unsettled reports a check as not made when it needs a solution that could not be
// found, or one that for one of the edges is only one of the states between which
// something switches; and says whether it did.
func (c *Check) Unsettled(s *circuit.Solution, edges ...string) bool {
	mode := s.Case.Mode
	switch {
	case s.Failed != "":
		c.NotChecked("a solution of mode "+mode, "the circuit of mode %s could not be solved: %s", mode, s.Failed)
	case s.Restless(edges...):
		c.Because("contact-chatters", s.Chatter[0])
		c.NotChecked("a circuit that settles in mode "+mode, "the circuit does not settle in mode %s: %s; its currents and voltages are not checked",
			mode, c.pass.switching(s.Chatter))
	default:
		return false
	}
	return true
}

// switching says what keeps a circuit from settling, each by its kind.
func (p *Pass) switching(ids []string) string {
	said := make([]string, len(ids))
	for i, id := range ids {
		switch p.Spec.Part(id).(type) {
		case *schema.Relay:
			said[i] = "relay " + id + " switches itself on and off"
		case *schema.Timer:
			said[i] = "timer " + id + " switches itself on and off"
		case *schema.Contactor:
			said[i] = "contactor " + id + " switches itself on and off"
		case *schema.Converter:
			said[i] = "converter " + id + " starts and stops"
		default:
			said[i] = id + " switches itself on and off"
		}
	}
	return strings.Join(said, ", ")
}

// shared adds the places in shared packages that set what the check is about:
// the subject itself, or the numbers of it that the working uses.
func (c *Check) shared() {
	paths := []string{c.path}
	for _, step := range c.Steps() {
		if step.Origin.Kind == FromSpec && strings.HasPrefix(step.Origin.Path, c.path+".") {
			paths = append(paths, step.Origin.Path)
		}
	}
	seen := map[schema.Position]bool{c.result.At: true}
	for _, path := range paths {
		at, ok := c.pass.Spec.Shared(path)
		if line := (schema.Position{File: at.File, Line: at.Line}); ok && !seen[line] && !seen[at] {
			seen[line] = true
			c.result.Related = append(c.result.Related, schema.Place{Position: at, Note: "in a shared package: " + path[strings.LastIndexByte(path, '.')+1:]})
		}
	}
}
