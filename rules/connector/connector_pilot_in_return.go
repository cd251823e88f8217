package connector

import (
	"example.org/headroom/rules"
	"example.org/headroom/schema"
)

func pilotInReturn() *rules.Rule {
	return &rules.Rule{
		ID:     "connector-pilot-in-return",
		Family: family,
		Title:  "the pilot contacts of a connector are in the return of the coil that they open",
		Why: "A loop of the low side runs through the connector. One chafed spot of it against the metalwork, which is the negative side of that network, closes it for ever, and the " +
			"contactor stays in with the connector parted; in the feed the same chafe blows the fuse.",
		Relation: "where chassis is house-negative and the coil's network is on it: pilot contacts cut the coil off from the positive side, not only from the negative one",
		Source:   "rules of student competitions for vehicles above 60 V, EV.7.8.3; common practice",
		Level:    rules.Warning,
		Fix:      "lead the feed of the coil through the pilot contacts, and its return straight home",
		Example: rules.Example{Vehicle: "heron", Subject: "pack_plug", Edits: []rules.Edit{
			{Path: "connectors.pack_plug", Value: pilotPlug},
			{Path: "wires.w_pack_fuse.to", Value: `"pack_plug.a1"`},
			{Path: "wires.w_plug", Value: `{"from": "pack_plug.b1", "to": "main.a", "size": "50 mm2", "length_m": 0.1, "insulation": {"max_C": 105, "rated_V": 600}}`},
			{Path: "wires.w_coil_ret.to", Value: `"pack_plug.a2"`},
			{Path: "wires.w_coil_on", Value: `{"from": "pack_plug.b2", "to": "returns_a.stud", "size": "1.5 mm2", "length_m": 0.6, "insulation": {"max_C": 105, "rated_V": 600}}`}}},
		Check: checkPilotInReturn,
	}
}

// pilotPlug is the connector of examples whose second contact is its pilot.
const pilotPlug = `{"use": "battery", "contacts": [{"carry_A": 200, "rated_V_dc": 100}, {"carry_A": 5, "rated_V_dc": 100}], "breaks": "none", "lock": "latch",
	"unmated": {"a": "ipxxb", "b": "ipxxb"}, "pilot": {"contacts": [2], "lead_mm": 3}}`

func checkPilotInReturn(p *rules.Pass) {
	for _, k := range plugs(p) {
		if len(k.pilot) == 0 {
			continue
		}
		c := p.Subject(k.ID, k.Path())
		if k.pilot.Unsound(p, c) {
			continue
		}
		low := ""
		for _, x := range p.Circuit.PilotedBy(k.pilot) {
			if x.InReturn && onChassis(p, x.ID) {
				low = x.ID
			}
		}
		if low == "" {
			c.Holds(true, "%s: no chafe through to the chassis closes what its pilot contacts open", k.ID)
			continue
		}
		c.Related(p.Spec.Part(low).Common().Path(), "its coil")
		c.Fail("%s: its pilot contacts are in the return of the coil of %s; a return that chafes through to the chassis keeps it closed", k.ID, low)
	}
}

// onChassis reports whether the metalwork is the negative side of the network of a coil.
func onChassis(p *rules.Pass, part string) bool {
	chassis, ok := p.Circuit.Node(schema.Chassis)
	coil := p.Circuit.Edge(part + ".coil")
	return ok && p.Spec.Vehicle.Chassis == "house-negative" && coil != nil && p.Circuit.SameNetwork(coil.To, chassis)
}
