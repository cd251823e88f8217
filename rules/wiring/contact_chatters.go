package wiring

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

func contactChatters() *rules.Rule {
	return &rules.Rule{
		ID:     "contact-chatters",
		Family: family,
		Title:  "a contactor, relay or converter chatters: closing removes its own supply",
		Why: "A coil that is fed through its own break contact, or from a supply that its contact pulls down, closes and opens many times a second. " +
			"Contacts that chatter under load weld. A converter that starts on a supply too weak for it starts and stops in the same way.",
		Relation: "in every mode, starting from open and from closed, all contacts and converters settle in one state",
		Source:   "circuit theory",
		Level:    rules.Error,
		Fix:      "feed the coil from a point whose voltage its own contact does not change",
		Example: rules.Example{Vehicle: "heron", Subject: "soft_relay", Edits: []rules.Edit{
			// The relay's coil is fed through its own break contact.
			{Path: "relays.soft_relay.form", Value: `"nc"`},
			{Path: "wires.w_soft_fuse.to", Value: `"soft.a"`},
			{Path: "wires.w_soft_relay.from", Value: `"main_contactor.coil_pos"`},
			{Path: "wires.w_soft_relay.to", Value: `"soft_relay.common"`},
			{Path: "wires.w_coil_relay.from", Value: `"soft_relay.nc"`}}},
		Check: checkContactChatter,
	}
}

// startsAndStops is what a converter does that chatters.
const startsAndStops = "keeps starting and stopping"

func checkContactChatter(p *rules.Pass) {
	chattering := map[string]circuit.Case{}
	for _, mode := range p.Circuit.States() {
		for _, start := range []circuit.Start{circuit.FromOpen, circuit.FromClosed} {
			k := circuit.Case{Mode: mode, Start: start}
			for _, id := range p.Circuit.Solve(k).Chatter {
				if _, seen := chattering[id]; !seen {
					chattering[id] = k
				}
			}
		}
	}
	for id, part := range p.Spec.Parts() {
		terminal, does := "", "keeps closing and opening"
		switch part.(type) {
		case *schema.Contactor, *schema.Relay:
			terminal = id + ".coil_pos"
		case *schema.Timer:
			terminal = id + ".pos"
		case *schema.Converter:
			terminal, does = id+".in_pos", startsAndStops
		}
		if terminal != "" && !part.Common().Spare {
			c := p.Subject(id, part.Common().Path())
			if p.Unsound(c, terminal) {
				continue
			}
			if k, bad := chattering[id]; bad {
				if does == startsAndStops {
					c.Fix("lower the resistance of the feed of %s, or its load, so that its supply holds when it starts", id)
				}
				c.In(k.Mode, k.String()).Fail("%s chatters in mode %s: it %s", id, k.Mode, does)
				continue
			}
			c.Holds(true, "%s does not chatter in any mode", id)
		}
	}
}
