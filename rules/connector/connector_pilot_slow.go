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
		Relation: "lead_mm / 0.5 m/s >= release time of each contactor that the pilot opens: 12 ms with a clamping suppression, 100 ms with a plain diode, between the two " +
			"with parts of its own across the coil. A two-stage lever or a tool holds the hand back",
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

// release is how long a contactor takes to open, ms, and the path of what that depends
// on: between two bounds where parts of its own stand across its coil.
type release struct {
	by, path    string
	least, most float64
}

// slowest is the slowest contactor that the pilots open; "" by none. Missing is the path
// of a suppression that is not given, and whose.
func (k plug) slowest(p *rules.Pass) (worst release, missing string) {
	for _, x := range p.Circuit.PilotedBy(k.pilot) {
		contactor, ok := p.Spec.Contactors[x.ID]
		if !ok {
			continue
		}
		r := release{x.ID, contactor.Path() + ".coil.suppression", calc.ClampedReleaseMS, calc.ClampedReleaseMS}
		switch contactor.Coil.Suppression {
		case "":
			return r, r.path
		case "diode":
			r.least, r.most = calc.DiodeReleaseMS, calc.DiodeReleaseMS
		case "external":
			r.most = calc.DiodeReleaseMS
		}
		if r.least > worst.least || r.least == worst.least && r.most > worst.most {
			worst = r
		}
	}
	return worst, ""
}

func (k plug) evalPilotSlow(c *rules.Check, p *rules.Pass) {
	slow, missing := k.slowest(p)
	switch {
	case missing != "":
		c.NotChecked(missing, "%s: how fast %s opens depends on the suppression of its coil, which is not given", k.ID, slow.by)
	case slow.by == "":
		c.Holds(true, "%s: its pilot contacts open no contactor by themselves", k.ID)
	case k.Lock == "tool" || k.TwoStage:
		c.Holds(true, "%s: a lever or a tool leaves %s the time to open", k.ID, slow.by)
	case !k.Pilot.LeadMM.Known:
		c.NotChecked(k.Path()+".pilot.lead_mm", "%s: how far its pilot contacts part before the others is not given", k.ID)
	default:
		k.comparePilot(c, slow)
	}
}

// comparePilot holds the time between the contacts against that of a contactor.
func (k plug) comparePilot(c *rules.Check, slow release) {
	lead := c.Given("s", "how far the pilot contacts part before the others", k.Pilot.LeadMM.Value, "mm", k.Path()+".pilot.lead_mm")
	speed := c.Default("v", "speed of a hand", calc.PullSpeed, "m/s", "common practice")
	l, err := calc.LeadTime(lead, speed)
	if err != nil {
		c.NotChecked(k.Path()+".pilot.lead_mm", "%s: %v", k.ID, err)
		return
	}
	t, takes := c.Line("t", "time between them", l), slow.least
	if t >= slow.least && slow.least < slow.most {
		if takes = slow.most; t < takes {
			c.NotChecked(slow.path, "%s: its pilot contacts part %s ms before the others; how fast %s opens depends on the parts across its coil, %s to %s ms", k.ID,
				rules.Figure(t), slow.by, rules.Figure(slow.least), rules.Figure(slow.most))
			return
		}
	}
	ms := c.Default("t_r", "release time of "+slow.by+" with its suppression", takes, "ms", "common practice")
	c.Related(slow.path, "the suppression that sets how fast it opens")
	c.AtLeast(rules.Quantity{Value: ms, Unit: "ms"}, rules.Quantity{Value: t, Unit: "ms"}, "%s: its pilot contacts part %s ms before the others, %s takes %s ms to open",
		k.ID, rules.Figure(t), slow.by, rules.Figure(ms))
}
