package connector

import (
	"strconv"
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/schema"
)

func mixedUp() *rules.Rule {
	return &rules.Rule{
		ID:     "connector-mixed-up",
		Family: family,
		Title:  "two connectors fit into each other whose circuits must not be joined",
		Why: "What fits is plugged together sooner or later, in the dark and in the rain: the charger into the lamp's plug, the 48 V pack into the 12 V socket, " +
			"plus onto minus. No label prevents it; a key does.",
		Relation: "connectors of one family and key have the same voltage and polarity at each contact; one whose halves are alike (genderless) has a key of its own wherever another of its family is in the vehicle",
		Source:   "common practice",
		Level:    rules.Error,
		Fix:      "give one of them another key or colour, or use another family",
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
		if k.Genderless && k.Connector.Key == "" {
			c.Fail("%s and %s have halves that are all alike, of family %s and without a key: either half fits into any other", k.ID, x.ID, k.Connector.Series)
			return
		}
		for i := range k.Contacts {
			own, other := k.role(p, i+1), x.role(p, i+1)
			if own != other {
				c.Fail("%s fits into %s (family %s, key %s): contact %d is %s in one and %s in the other", k.ID, x.ID, k.Connector.Series, keyed(k.Connector), i+1, own, other)
				return
			}
		}
	}
	c.Holds(true, "%s fits into nothing that it must not be joined to", k.ID)
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
