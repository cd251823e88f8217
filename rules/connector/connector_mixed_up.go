package connector

import (
	"strconv"
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

func mixedUp() *rules.Rule {
	return &rules.Rule{
		ID:     "connector-mixed-up",
		Family: family,
		Title:  "two connectors fit into each other whose circuits must not be joined",
		Why: "What fits is plugged together sooner or later, in the dark and in the rain: the charger into the lamp's plug, the 48 V pack into the 12 V socket, " +
			"plus onto minus. No label prevents it; a key does.",
		Relation: "connectors of one family and key have the same voltage and polarity at each contact; one whose halves are alike (genderless) shares no family without a key, and no key with another that leads elsewhere; " +
			"and a charging inlet shares it with no connector whose load side has consumers and no battery once it is parted: the charger would feed these alone",
		Source: "common practice",
		Level:  rules.Error,
		Fix:    "give one of them another key or colour, or use another family",
		Example: rules.Example{Vehicle: "mole", Subject: "bar_plug", Edits: []rules.Edit{
			{Path: "connectors.inlet.family", Value: `"S2"`}, {Path: "connectors.inlet.key", Value: `"A"`}}},
		Check: checkMixedUp,
	}
}

func checkMixedUp(p *rules.Pass) {
	all := plugs(p)
	for _, k := range all {
		c := p.Subject(k.ID, k.Path())
		if k.all().Unsound(p, c) {
			continue
		}
		if k.Connector.Series == "" {
			c.NotChecked(k.Path()+".family", "%s: what else it fits into is not given", k.ID)
			continue
		}
		k.evalMixedUp(c, p, all)
	}
}

func (k plug) evalMixedUp(c *rules.Check, p *rules.Pass, all []plug) {
	c.GivenText("family", "what mates with what", k.Connector.Series, k.Path()+".family")
	for _, x := range all {
		if x.ID == k.ID || x.Connector.Series != k.Connector.Series || x.Connector.Key != k.Connector.Key || len(x.Contacts) != len(k.Contacts) {
			continue
		}
		c.Related(x.Path(), "fits into it")
		if what := k.mistake(p, x); what != "" {
			c.Fail("%s", what)
			return
		}
	}
	c.Holds(true, "%s fits into nothing that it must not be joined to", k.ID)
}

// mistake says what goes wrong where a connector is taken for another of its family and key;
// "" where nothing does.
func (k plug) mistake(p *rules.Pass, x plug) string {
	fits := k.ID + " fits into " + x.ID + " (family " + k.Connector.Series + ", key " + keyed(k.Connector) + ")"
	if (k.Genderless || x.Genderless) && (k.Connector.Key == "" || k.elsewhere(p, x)) {
		return fits + ", with halves that are all alike: either half fits into any other"
	}
	for i := range k.Contacts {
		if own, other := k.role(p, i+1), x.role(p, i+1); own != other {
			return fits + ": contact " + strconv.Itoa(i+1) + " is " + own + " in one and " + other + " in the other"
		}
	}
	if k.Use == "inlet" && x.Use != "inlet" && x.loadAlone(p) || x.Use == "inlet" && k.Use != "inlet" && k.loadAlone(p) {
		return fits + ": a charger in the wrong one feeds what is behind it without the battery"
	}
	return ""
}

// elsewhere reports whether metal does not join each contact to that of the other connector.
func (k plug) elsewhere(p *rules.Pass, x plug) bool {
	for i := range k.Contacts {
		n := "." + strconv.Itoa(i+1)
		if !p.Circuit.MetalJoins(p.Circuit.Edge(k.ID+n).From, p.Circuit.Edge(x.ID+n).From) {
			return true
		}
	}
	return false
}

// loadAlone reports whether the load side of the connector has consumers and, once it is
// parted, no battery.
func (k plug) loadAlone(p *rules.Pass) bool {
	var ends []circuit.Node
	for _, e := range k.power {
		ends = append(ends, e.To)
	}
	left := p.Circuit.Reach(circuit.Without(circuit.AllClosed, k.all()...), ends...)
	consumers := false
	for _, e := range p.Circuit.Edges {
		both := left.Has(e.From) && left.Has(e.To)
		switch e.Kind {
		case circuit.BatteryEdge:
			if both {
				return false
			}
		case circuit.ControllerEdge, circuit.ConverterInput, circuit.LoadEdge:
			consumers = consumers || both
		}
	}
	return consumers
}

func keyed(k *schema.Connector) string {
	if k.Key == "" {
		return "none"
	}
	return k.Key
}

// role says what a contact is joined to, counted from 1: the poles of which voltages.
func (k plug) role(p *rules.Pass, number int) string {
	e := p.Circuit.Edge(k.ID + "." + strconv.Itoa(number))
	var poles []string
	add := func(pole string) {
		for _, x := range poles {
			if x == pole {
				return
			}
		}
		poles = append(poles, pole)
	}
	for _, s := range p.Circuit.Sources() {
		if s.Role == "charger" {
			continue
		}
		volt := rules.Figure(max(s.MaxV, s.StringV))
		if p.Circuit.MetalJoins(e.From, s.Pos) {
			add("+" + volt + " V")
		}
		if p.Circuit.MetalJoins(e.From, s.Neg) {
			add("- of " + volt + " V")
		}
	}
	if len(poles) == 0 {
		return "without a source"
	}
	return strings.Join(poles, " and ")
}
