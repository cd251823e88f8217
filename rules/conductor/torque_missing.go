package conductor

import (
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

const torqueMissingID = "torque-missing"

func torqueMissing() *rules.Rule {
	return &rules.Rule{
		ID:     torqueMissingID,
		Family: family,
		Title:  "a bolted joint of a large current has no tightening torque on record",
		Why: "A joint tightened by feel is either loose, and burns, or has stretched its brass stud, and loosens. Whoever builds or repairs the vehicle " +
			"needs one number at each joint, and nobody remembers it at the bench.",
		Relation: "every part with bolted power terminals, stud and bar that carries more than policy.torque_above_A continuously, or in the mean of the cycle, states torque_Nm",
		Source:   "workshop practice; DIN 43673 for bars",
		Level:    rules.Note,
		Required: 0,
		Policy:   []string{"policy.torque_above_A"},
		Fix:      "copy torque_Nm from the part's data sheet into its entry",
		Example: rules.Example{Vehicle: "heron", Subject: "plus", Edits: []rules.Edit{
			{Path: "studs.plus.torque_Nm", Value: ""}}},
		Check: checkTorques,
	}
}

// joint is a bolted part and the greatest current at its terminals.
type joint struct {
	base  *schema.Base
	bolts *schema.Threaded
	a     float64
	wire  string // the conductor that brings it
}

func checkTorques(p *rules.Pass) {
	l := demand.For(p)
	limit := p.Spec.Policy.TorqueAboveA
	lead := ""
	for _, j := range joints(p, l) {
		if j.a <= limit {
			continue
		}
		c := p.Subject(j.base.ID, j.base.Path())
		c.Solved("I", "current of "+j.wire+", continuously or in the mean of the cycle", j.a, "A", "the greatest over the modes")
		c.Default("I_min", "current above which a joint states its torque", limit, "A", "policy.torque_above_A")
		if j.bolts.TorqueNm.Known {
			c.Given("M", "tightening torque of "+j.base.ID, j.bolts.TorqueNm.Value, "Nm", j.base.Path()+".torque_Nm")
			c.Holds(true, "%s carries %s A and states %s Nm", j.base.ID, rules.Figure(j.a), rules.Figure(j.bolts.TorqueNm.Value))
			continue
		}
		// A vehicle without torques is one piece of work at the desk, not ten.
		if lead == "" {
			lead = j.base.ID
		} else {
			c.Because(torqueMissingID, lead)
		}
		c.Fail("%s carries %s A at bolted terminals and states no torque_Nm", j.base.ID, rules.Figure(j.a))
	}
}

// joints lists the bolted parts and bars, with the greatest mean current that a
// conductor brings to each.
func joints(p *rules.Pass, l *demand.Demands) (out []joint) {
	most := map[string]joint{} // by part
	for id, conductor := range p.Spec.Conductors() {
		a, known := l.MeanA(id)
		if !known || conductor.Spare {
			continue
		}
		for _, end := range []string{conductor.From, conductor.To} {
			part, _, _ := strings.Cut(end, ".")
			if a > most[part].a {
				most[part] = joint{a: a, wire: id}
			}
		}
	}
	add := func(base *schema.Base, bolts *schema.Threaded, j joint) {
		if !base.Spare && j.a > 0 {
			out = append(out, joint{base, bolts, j.a, j.wire})
		}
	}
	for id, part := range p.Spec.Parts() {
		if bolts := boltsOf(part); bolts != nil {
			add(part.Common(), bolts, most[id])
		}
	}
	for id, b := range schema.Sorted(p.Spec.Busbars) {
		if a, known := l.MeanA(id); known {
			add(&b.Base, b.Bolts(), joint{a: a, wire: id})
		}
	}
	return out
}
