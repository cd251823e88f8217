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
		Relation: "every stud, bar and part with bolted power terminals that carries more than policy.torque_above_A, continuously or as r.m.s. over the cycle, has torque_Nm, " +
			"for all its terminals or for that one",
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

// joint is a bolted part, and the greatest current at those of its terminals that
// decide: without a torque if there are such, else of all.
type joint struct {
	base     *schema.Base
	a        float64
	wire     string // the conductor that brings it
	torque   schema.Number
	path     string // of the torque
	terminal string // "" where one torque stands for all
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
		if j.torque.Known {
			c.Given("M", "tightening torque of "+j.base.ID, j.torque.Value, "Nm", j.path)
			c.Holds(true, "%s carries %s A; its torque is %s Nm", j.base.ID, rules.Figure(j.a), rules.Figure(j.torque.Value))
			continue
		}
		// A vehicle without torques is one job, not ten.
		if lead == "" {
			lead = j.base.ID
		} else {
			c.Because(torqueMissingID, lead)
		}
		if j.terminal != "" {
			c.Fail("%s carries %s A through its terminal %s, of which no torque_Nm is given", j.base.ID, rules.Figure(j.a), j.terminal)
			continue
		}
		c.Fail("%s carries %s A through bolted terminals; torque_Nm is not given", j.base.ID, rules.Figure(j.a))
	}
}

// arriving is the greatest mean current that a conductor brings to a terminal.
type arriving struct {
	a    float64
	wire string
}

// joints lists the bolted parts and bars, with the greatest mean current that a
// conductor brings to each.
func joints(p *rules.Pass, l *demand.Demands) (out []joint) {
	most := map[string]map[string]arriving{} // by part and terminal
	for id, conductor := range p.Spec.Conductors() {
		a, known := l.MeanA(id)
		if !known || conductor.Spare {
			continue
		}
		for _, end := range []string{conductor.From, conductor.To} {
			part, terminal, _ := strings.Cut(end, ".")
			if most[part] == nil {
				most[part] = map[string]arriving{}
			}
			if a > most[part][terminal].a {
				most[part][terminal] = arriving{a, id}
			}
		}
	}
	for id, part := range p.Spec.Parts() {
		if bolts := boltsOf(part); bolts != nil && !part.Common().Spare {
			out = append(out, jointOf(part.Common(), bolts, most[id], l.Spec.Policy.TorqueAboveA)...)
		}
	}
	for id, b := range schema.Sorted(p.Spec.Busbars) {
		if a, known := l.MeanA(id); known && !b.Spare {
			ends := map[string]arriving{"from": {a, id}, "to": {a, id}}
			out = append(out, jointOf(&b.Base, b.Bolts(), ends, l.Spec.Policy.TorqueAboveA)...)
		}
	}
	return out
}

// jointOf picks of the terminals of a part the one to speak of; none without current.
func jointOf(base *schema.Base, bolts *schema.Threaded, at map[string]arriving, limit float64) []joint {
	var worst joint
	for terminal, k := range schema.Sorted(at) {
		bolt, _, field := bolts.BoltAt(terminal)
		j := joint{base: base, a: k.a, wire: k.wire, torque: bolt.TorqueNm, path: base.Path() + "." + field}
		if len(bolts.ByTerminal) > 0 {
			j.terminal = terminal
		}
		lacks, worstLacks := k.a > limit && !j.torque.Known, worst.a > limit && !worst.torque.Known
		if k.a > 0 && (worst.base == nil || lacks && !worstLacks || lacks == worstLacks && k.a > worst.a) {
			worst = j
		}
	}
	if worst.base == nil {
		return nil
	}
	return []joint{worst}
}
