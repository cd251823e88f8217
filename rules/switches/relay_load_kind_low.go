package switches

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

func relayLoadKindLow() *rules.Rule {
	return &rules.Rule{
		ID:     "relay-load-kind-low",
		Family: family,
		Title:  "the contact of a relay is too small for the kind of load that it switches",
		Why: "The current printed on a relay is for resistive loads. Filament lamps weld its contacts when they close, motors and coils " +
			"burn them when they open; a welded relay leaves the pump or the lamp on.",
		Relation: "sum over the kinds of i / I <= 1, with I policy.contact_lamp_percent, contact_motor_percent or contact_inductive_percent of carry_A, " +
			"and carry_A for everything else",
		Source:   "relay application notes for the shares (inductive loads and motors from memory); adding up shares is common practice",
		Level:    rules.Warning,
		Varies:   "error where the contact's own rating for the kind of load is exceeded, not a share of carry_A that stands in for it, and for what cuts off the coil of a contactor or an enable input: welded, it no longer does",
		Required: 1,
		Policy:   []string{"policy.contact_lamp_percent", "policy.contact_motor_percent", "policy.contact_inductive_percent"},
		Vital:    []string{"relays.contact.carry_A"},
		Fix:      "use a relay with a higher rating, or one rated for the kind of load",
		Example: rules.Example{Vehicle: "heron", Subject: "fan_relay", Edits: []rules.Edit{
			{Path: "loads.fan", Value: `{"kind": "motor", "power_W": 26, "at_V": 13, "min_V": 9, "max_V": 15}`},
			{Path: "relays.fan_relay", Value: `{"contact": {"carry_A": 5, "rated_V_dc": 28}, "coil": {"nominal_V": 12, "resistance_Ohm": 90}}`},
			{Path: "wires.w_fan_1", Value: `{"from": "usb_fuse.b", "to": "fan_relay.common", "size": "1.5 mm2", "length_m": 0.1}`},
			{Path: "wires.w_fan_2", Value: `{"from": "fan_relay.no", "to": "fan.pos", "size": "1.5 mm2", "length_m": 0.1}`},
			{Path: "wires.w_fan_3", Value: `{"from": "fan.neg", "to": "returns_a.stud", "size": "1.5 mm2", "length_m": 0.1}`},
			{Path: "wires.w_fan_4", Value: `{"from": "key.house_b", "to": "fan_relay.coil_pos", "size": "1.5 mm2", "length_m": 0.1}`},
			{Path: "wires.w_fan_5", Value: `{"from": "fan_relay.coil_neg", "to": "returns_a.stud", "size": "1.5 mm2", "length_m": 0.1}`},
			{Path: "modes.cruise.on", Value: `["ready_lamp", "display", "usb", "fan"]`}}},
		Check: checkRelayKind,
	}
}

func checkRelayKind(p *rules.Pass) {
	for id, r := range schema.Sorted(p.Spec.Relays) {
		if r.Spare {
			continue
		}
		for _, throw := range []string{"no", "nc"} {
			e := p.Circuit.Edge(id + "." + throw)
			if e == nil || !p.Circuit.Connected(id+"."+throw) || !p.Circuit.Connected(id+".common") {
				continue
			}
			subject := id
			if r.Form == "changeover" {
				subject = e.ID
			}
			c, set := p.Subject(subject, r.Path()), demand.Element{e}
			graver(c, p, r.ID)
			if set.Unsound(p, c) {
				continue
			}
			path := func(field string) string { return r.Path() + ".contact." + field }
			evalKinds(c, p, subject, set, r.Contact.CarryA, limitsOf(p, r.Contact.CarryA, [inductive + 1]schema.Number{}, path))
		}
	}
}
