package converter

import (
	"fmt"
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

func lampInrush() *rules.Rule {
	return &rules.Rule{
		ID:     "converter-lamp-inrush",
		Family: family,
		Title:  "cold filament lamps draw more than the converter's current limit",
		Why: "A cold filament draws some ten times its current for about ten milliseconds. A battery supplies that easily; a converter alone " +
			"goes into current limit. One that hiccups may never light the lamp; with any of them the voltage dips, and electronics on the network restart.",
		Relation: "without an auxiliary battery: 10 * current of the lamps of one switch + current of everything else <= limit_A",
		Source:   "relay and switch application notes: 10 to 14 times, the lowest is used; lamps light one switch at a time (common practice)",
		Level:    rules.Warning,
		Varies:   "note off the road, and where the converter holds its limiting current", Required: 1,
		Policy: []string{"policy.converter_limit_factor"},
		Fix:    "use LED lamps, switch the lamps in smaller groups, or put an auxiliary battery on the network",
		Example: rules.Example{Vehicle: "mole", Subject: "converter", Edits: []rules.Edit{
			{Path: "loads.work_left.kind", Value: `"filament"`}}},
		Check: checkLampInrush,
	}
}

func checkLampInrush(p *rules.Pass) {
	for _, v := range wired(p) {
		c := p.Subject(v.ID, v.Path())
		if p.Unsound(c, v.ID+".in_pos", v.ID+".out_pos") {
			continue
		}
		all, err := budgets(p, v)
		switch {
		case err != nil && unsettled(c, err):
		case len(all) == 0:
			c.NotChecked("a mode in which "+v.ID+" runs", "%s runs in no mode, so it is not known what it feeds", v.ID)
		default:
			checkGroups(c, p, v, all)
		}
	}
}

// lighting is the moment at which one group of cold lamps is switched on.
type lighting struct {
	budget *budget
	lamps  []consumer
	groupA float64
	totalA float64
}

func checkGroups(c *rules.Check, p *rules.Pass, v *schema.Converter, all []budget) {
	var worst *lighting
	least, _ := calc.FilamentInrush()
	for i := range all {
		for _, l := range groups(p, &all[i], least.Value) {
			if worst == nil || l.totalA > worst.totalA {
				worst = l
			}
		}
	}
	switch {
	case len(all[0].aux) > 0:
		c.Holds(true, "the auxiliary battery %s supplies the lamp inrush on the network of %s", all[0].aux[0].ID, v.ID)
		return
	case worst == nil:
		c.Holds(true, "%s feeds no filament lamp", v.ID)
		return
	}
	b := worst.budget
	var names, terms []string
	whole := b.show(c, false)
	for _, k := range worst.lamps {
		names = append(names, k.id)
		terms = append(terms, rules.Figure(k.fullA))
	}
	group := c.Calc("I_g", "lamps switched on together", "sum of I of "+strings.Join(names, ", "), strings.Join(terms, " + "), worst.groupA, "A")
	factor := c.Line("k", "inrush of a cold filament over its steady current", least)
	rest := c.Calc("I_r", "everything else on in mode "+b.mode, "I - I_g", rules.Term(whole)+" - "+rules.Term(group), whole-group, "A")
	demand := c.Calc("I_s", "current at the moment of switching", "k I_g + I_r",
		fmt.Sprintf("%s * %s + %s", rules.Term(factor), rules.Term(group), rules.Term(rest)), worst.totalA, "A")
	limit, from := p.Circuit.ConverterLimitA(v.ID)
	c.Default("I_lim", "current limit of "+v.ID, limit, "A", from)
	c.In(b.mode, "converter running, no auxiliary battery")
	behaviour := "at its limit the voltage collapses"
	switch {
	case v.Output.AtLimit == "constant-current":
		behaviour = "it holds that current and lets the voltage dip until the filament is hot"
		c.Level(rules.Note)
	case !p.Spec.Vehicle.OnRoad():
		c.Level(rules.Note)
	case v.Output.AtLimit != "":
		behaviour = "its limit acts as " + v.Output.AtLimit
	}
	c.AtMost(rules.Amperes(demand), rules.Amperes(limit), "%s: %s A for about 10 ms when switching on %s, limit %s A; %s",
		v.ID, rules.Figure(demand), rules.And(names), rules.Figure(limit), behaviour)
}

// groups lists, for each switch, the lamps that it lights together.
func groups(p *rules.Pass, b *budget, factor float64) []*lighting {
	s, out := idle(p.Circuit, b.mode), p.Circuit.Edge(b.converter.ID+".out")
	tree := p.Circuit.Tree(s.Feeding(true), out.From)
	var order []string
	bySwitch := map[string]*lighting{}
	for _, k := range b.consumers {
		if !k.lamp {
			continue
		}
		way, _ := tree.Back(p.Circuit.Edge(k.id).From)
		key := firstSwitch(way)
		if bySwitch[key] == nil {
			bySwitch[key] = &lighting{budget: b}
			order = append(order, key)
		}
		g := bySwitch[key]
		g.lamps = append(g.lamps, k)
		g.groupA += b.moreA(k.fullA)
	}
	list := make([]*lighting, len(order))
	for i, key := range order {
		list[i] = bySwitch[key]
		list[i].totalA = b.fullA() + (factor-1)*list[i].groupA
	}
	return list
}

// firstSwitch is the switch or contact next to a lamp on its way back to the
// converter; all lamps without one light together.
func firstSwitch(way []*circuit.Edge) string {
	for _, e := range way {
		if e.Kind == circuit.SwitchEdge || e.Kind == circuit.ContactEdge {
			return e.ID
		}
	}
	return ""
}
