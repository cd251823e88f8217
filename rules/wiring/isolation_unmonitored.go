package wiring

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/circuit"
)

func isolationUnmonitored() *rules.Rule {
	return &rules.Rule{
		ID:     "isolation-unmonitored",
		Family: family,
		Title:  "above 60 V nothing finds the first isolation fault",
		Why: "In a network that is isolated from the metalwork the first chafed cable does nothing at all: nobody notices it. The second, at the other pole, is a short " +
			"circuit through the frame, or a shock to whoever touches it. Only a monitor, or a measurement now and then, tells that there was a first.",
		Relation: "isolation_monitor is true for every string of traction batteries above 60 V: a device watches the isolation, or points are provided at which it is measured",
		Source:   "ISO 6469-3 and UN R100 (isolation resistance of voltage class B); watching it: common practice",
		Level:    rules.Note,
		Fix:      "fit an isolation monitor, or bring both poles out to touch-safe points, measure the isolation against the chassis every year, and set isolation_monitor: true",
		Example: rules.Example{Vehicle: "heron", Subject: "pack", Edits: []rules.Edit{
			{Path: "vehicle.isolation_monitor", Value: "false"}}},
		Check: checkIsolationUnmonitored,
	}
}

func checkIsolationUnmonitored(p *rules.Pass) {
	for _, s := range p.Circuit.Strings() {
		if s[0].Role != "traction" {
			continue
		}
		c := p.Subject(s[0].ID, s[0].Path)
		v := c.Solved("V_max", "highest voltage of "+s.Name(), s.V(p.Spec, circuit.Highest), "V", "batteries full")
		limit := c.Standard("V_A", "highest working voltage of voltage class A", calc.ClassALimitV, "V", "ISO 6469-3, UN R100, UN R136")
		switch {
		case v <= limit:
			c.Holds(true, "%s: %s V are of voltage class A", s.Name(), rules.Figure(v))
		case p.Spec.Vehicle.IsolationMonitor:
			c.AsDeclared("vehicle.isolation_monitor", "the isolation of "+s.Name()+" is watched, or measured at points provided")
			c.Holds(true, "%s: its isolation is watched or measured", s.Name())
		default:
			c.Related("vehicle.isolation_monitor", "no monitor and no point to measure is declared")
			c.Fail("%s: %s V and isolated; nothing finds the first isolation fault", s.Name(), rules.Figure(v))
		}
	}
}
