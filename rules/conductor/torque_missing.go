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
		Title:  "a bolted joint that carries a high current has no tightening torque",
		Why: "A joint tightened by feel is either loose, and burns, or has stretched its brass stud, and loosens. Whoever builds or repairs the vehicle " +
			"needs the torque of each joint, and nobody knows it by heart.",
		Relation: "every stud, bar and part with bolted power terminals that carries more than policy.torque_above_A, continuously or as r.m.s. over the cycle, has torque_Nm",
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
		c.Solved("I", "current of "+j.wire+", continuous or r.m.s. over the cycle", j.a, "A", "the highest of all modes")
		c.Default("I_min", "current above which a joint needs a torque", limit, "A", "policy.torque_above_A")
		if j.bolts.TorqueNm.Known {
			c.Given("M", "tightening torque of "+j.base.ID, j.bolts.TorqueNm.Value, "Nm", j.base.Path()+".torque_Nm")
			c.Holds(true, "%s carries %s A; its torque is %s Nm", j.base.ID, rules.Figure(j.a), rules.Figure(j.bolts.TorqueNm.Value))
			continue
		}
		// A vehicle without torques is one job, not ten.
		if lead == "" {
			lead = j.base.ID
		} else {
			c.Because(torqueMissingID, lead)
		}
		c.Fail("%s carries %s A through bolted terminals; torque_Nm is not given", j.base.ID, rules.Figure(j.a))
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
