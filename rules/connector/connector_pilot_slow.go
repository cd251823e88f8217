package connector

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
)

func pilotSlow() *rules.Rule {
	return &rules.Rule{
		ID:     "connector-pilot-slow",
		Family: family,
		Title:  "the pilot contacts of a connector part too shortly before the power contacts",
		Why: "The pilot opens the contactor, but the contactor takes its time. Pulled with a jerk the power contacts part while it is still closed, and draw the arc " +
			"that the pilot was to prevent.",
		Relation: "lead_mm / 0.5 m/s >= release time of each contactor that the pilot opens: 12 ms with a clamping suppression, 100 ms with a plain diode. A two-stage lever or a tool holds the hand back",
		Source:   "speed of the hand and release times from common practice; kinematics",
		Level:    rules.Error,
		Required: 1,
		Vital:    []string{"connectors.pilot", "contactors.coil.suppression"},
		Fix:      "use a connector whose lever opens the pilot in a first stage (two_stage), or a suppression of the coil that clamps at a higher voltage",
		Example: rules.Example{Vehicle: "mole", Subject: "pack_plug", Edits: []rules.Edit{
			{Path: "connectors.pack_plug", Value: pilotPlug},
			{Path: "wires.w_pack_fuse.to", Value: `"pack_plug.a1"`},
			{Path: "wires.w_plug", Value: `{"from": "pack_plug.b1", "to": "main.a", "size": "70 mm2", "length_m": 0.1, "insulation": {"max_C": 105, "rated_V": 600}}`},
			{Path: "wires.w_coil.to", Value: `"pack_plug.a2"`},
			{Path: "wires.w_coil_on", Value: `{"from": "pack_plug.b2", "to": "main_contactor.coil_pos", "size": "1.5 mm2", "length_m": 0.6, "insulation": {"max_C": 105, "rated_V": 600}}`}}},
		Check: checkPilotSlow,
	}
}

func checkPilotSlow(p *rules.Pass) {
	for _, k := range plugs(p) {
		if len(k.pilot) == 0 {
			continue
		}
		c := p.Subject(k.ID, k.Path())
		if !k.pilot.Unsound(p, c) {
			k.evalPilotSlow(c, p)
		}
	}
}

func (k plug) evalPilotSlow(c *rules.Check, p *rules.Pass) {
	slowest, by, path := 0.0, "", ""
	for _, x := range p.Circuit.PilotedBy(k.pilot) {
		contactor, ok := p.Spec.Contactors[x.ID]
		if !ok {
			continue
		}
		at, ms := contactor.Path()+".coil.suppression", 0.0
		switch contactor.Coil.Suppression {
		case "":
			c.NotChecked(at, "%s: how fast %s opens depends on the suppression of its coil, which is not given", k.ID, x.ID)
			return
		case "diode", "external":
			ms = calc.DiodeReleaseMS
		default:
			ms = calc.ClampedReleaseMS
		}
		if ms > slowest {
			slowest, by, path = ms, x.ID, at
		}
	}
	switch {
	case by == "":
		c.Holds(true, "%s: its pilot contacts open no contactor by themselves", k.ID)
	case k.Lock == "tool" || k.TwoStage:
		c.Holds(true, "%s: a lever or a tool leaves %s the time to open", k.ID, by)
	case !k.Pilot.LeadMM.Known:
		c.NotChecked(k.Path()+".pilot.lead_mm", "%s: how far its pilot contacts part before the others is not given", k.ID)
	default:
		lead := c.Given("s", "how far the pilot contacts part before the others", k.Pilot.LeadMM.Value, "mm", k.Path()+".pilot.lead_mm")
		speed := c.Default("v", "speed of a hand", calc.PullSpeed, "m/s", "common practice")
		l, err := calc.LeadTime(lead, speed)
		if err != nil {
			c.NotChecked(k.Path()+".pilot.lead_mm", "%s: %v", k.ID, err)
			return
		}
		t := c.Line("t", "time between them", l)
		release := c.Default("t_r", "release time of "+by+" with its suppression", slowest, "ms", "common practice")
		c.Related(path, "the suppression that sets how fast it opens")
		c.AtLeast(rules.Quantity{Value: release, Unit: "ms"}, rules.Quantity{Value: t, Unit: "ms"}, "%s: its pilot contacts part %s ms before the others, %s takes %s ms to open",
			k.ID, rules.Figure(t), by, rules.Figure(release))
	}
}
