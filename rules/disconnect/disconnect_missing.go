package disconnect

import (
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

func disconnectMissing() *rules.Rule {
	return &rules.Rule{
		ID:     "disconnect-missing",
		Family: family,
		Title:  "a traction battery has no hand-operated disconnect",
		Why: "Without a disconnect all work on the vehicle is done on live studs, and in a fire or after a crash nobody can make it dead: " +
			"a contactor that has welded stays closed, whatever the key does.",
		Relation: "a disconnect, a circuit breaker before everything that is stated to isolate, a connector of the battery that a hand parts without a tool and under load (by its breaking capacity " +
			"or its pilot contacts), or a plug (a connector, or pluggable: true) where contactors with a breaking capacity cut off every controller, converter and load, " +
			"so that it is pulled without current, is between a traction battery and what it feeds; " +
			"what bypasses it is another finding, disconnect-leaves-live",
		Source: "common practice; UN R100 and R136 say how a service disconnect is to be made (from memory)",
		Level:  rules.Error,
		Fix:    "put a disconnect rated for the pack's voltage next to the battery, before everything that it feeds",
		Example: rules.Example{Vehicle: "mole", Subject: "pack", Edits: []rules.Edit{
			{Path: "wires.w_fuse_isolator.to", Value: `"plus.stud"`}}},
		Check: checkMissing,
	}
}

func checkMissing(p *rules.Pass) {
	for _, s := range p.Circuit.Strings() {
		if s[0].Role != "traction" {
			continue
		}
		b := p.Spec.Batteries[s[0].ID]
		c := p.Subject(b.ID, b.Path())
		if p.Unsound(c, b.ID+".pos", b.ID+".neg") {
			continue
		}
		evalMissing(c, p, s)
	}
}

func evalMissing(c *rules.Check, p *rules.Pass, s circuit.SeriesString) {
	switch by, feeds := separators(p, s); {
	case !feeds:
		c.NotChecked("something that "+s.Name()+" feeds", "%s: no consumer is connected to both its poles", s.Name())
	case len(by) == 0 && (separatingPlug(p, s) != nil || pluggable(p, s) != nil):
		evalPlug(c, p, s)
	case len(by) == 0:
		if id, around := passedBy(p, s); id != "" {
			c.Related(p.Spec.Part(id).Common().Path(), "the disconnect")
			c.Fix("%s bypasses %s: remove one of its conductors, or connect it behind %s", around, id, id)
			c.Fail("%s: %s bypasses %s, so that nothing separates it from what it feeds", s.Name(), around, id)
			return
		}
		c.Fail("%s: no disconnect separates it from what it feeds", s.Name())
	default:
		c.Holds(true, "%s is disconnected by %s", s.Name(), strings.Join(by, ", "))
	}
}

// passedBy finds a disconnect of a string that conductors lead around, and
// names them.
func passedBy(p *rules.Pass, s circuit.SeriesString) (id, around string) {
	for id, d := range schema.Sorted(p.Spec.Disconnects) {
		if d.Spare {
			continue
		}
		for _, pole := range p.Circuit.EdgesOf(id) {
			if !p.Circuit.SameNetwork(pole.From, s.Pos()) {
				continue
			}
			var names []string
			bare := true
			for _, e := range p.Circuit.Bypass(pole.ID) {
				bare = bare && e.Conducts() && e.Kind != circuit.ContactEdge
				if e.IsConductor() {
					names = append(names, e.ID)
				}
			}
			if bare && len(names) > 0 {
				return id, strings.Join(names, " - ")
			}
		}
	}
	return "", ""
}
