package busbar

import (
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

func busbarHoleWide() *rules.Rule {
	return &rules.Rule{
		ID:     "busbar-hole-wide",
		Family: family,
		Title:  "a bolt hole leaves too little of a bus bar",
		Why: "All current passes beside the hole, and the nut presses on what is left there. A narrow bridge of metal bends under the nut, " +
			"the joint loses its pressure and burns; in a short circuit it is the bridge that melts.",
		Relation: "(w - D) d, the section beside the widest hole, carries no more than 6 A/mm2 of copper or 4 A/mm2 of aluminium, continuously or as r.m.s. over the cycle; " +
			"above policy.torque_above_A the hole is no more than two thirds of the width; the bar's own hole is no more than half of it. " +
			"A hole is hole_mm, or that for the thread of the bar, or for that of the terminal at its end",
		Source: "DIN 43673 keeps holes at or below 46 % of the width; that twice to three times the density of a whole bar is borne over the length of a hole " +
			"follows from the conduction of heat, the limits are common practice",
		Level:    rules.Error,
		Varies:   "warning for a hole of the bar's own between half and two thirds of its width",
		Required: 1,
		Policy:   []string{"policy.lug_hole_clearance_mm", "policy.torque_above_A"},
		Fix:      "use a wider bar, or a smaller bolt",
		Example: rules.Example{Vehicle: "badger", Subject: "b_plus_drive", Edits: []rules.Edit{
			{Path: "busbars.b_plus_drive.width_mm", Value: "12"}}},
		Check: checkHoles,
	}
}

const (
	netCopperA    = 6.0 // A/mm2 beside a hole
	netAluminiumA = 4.0
	holeShare     = 0.5       // of the width
	holeShareMost = 2.0 / 3.0 // beyond which the joint loses its pressure
)

// hole is the bolt hole of a bar.
type hole struct {
	mm    float64
	own   bool // the bar says so itself
	what  string
	path  string // of the value that it rests on
	text  string // the thread, "" where the hole itself is given
	table bool   // wider than the clearance, by DIN 46235
}

// holesOf lists the holes of a bar whose size is known.
func holesOf(p *rules.Pass, b *schema.Busbar) (out []hole) {
	add := func(bolt schema.Bolt, own bool, what, path string) {
		if mm, ok := bolt.ThreadMM(); ok {
			d, table := calc.BoltHoleMM(mm, p.Spec.Policy.LugHoleClearanceMM)
			out = append(out, hole{d, own, what, path, bolt.Thread, table})
		}
	}
	if b.HoleMM.Known {
		return []hole{{mm: b.HoleMM.Value, own: true, what: "hole of " + b.ID, path: b.Path() + ".hole_mm"}}
	}
	for _, end := range []struct{ name, at string }{{"from", b.From}, {"to", b.To}} {
		bolt, thread, _ := b.BoltAt(end.name)
		add(bolt, true, "thread at "+end.name+" of "+b.ID, b.Path()+"."+thread)
		id, terminal, _ := strings.Cut(end.at, ".")
		part := p.Spec.Part(id)
		if x, ok := part.(interface{ Bolts() *schema.Threaded }); ok {
			bolt, thread, _ := x.Bolts().BoltAt(terminal)
			add(bolt, false, "thread of "+end.at, part.Common().Path()+"."+thread)
		}
	}
	return out
}

func checkHoles(p *rules.Pass) {
	bars(p, func(c *rules.Check, l *demand.Demands, b *schema.Busbar) {
		var widest, own *hole
		for _, h := range holesOf(p, b) {
			if widest == nil || h.mm > widest.mm {
				widest = &h
			}
			if h.own && (own == nil || h.mm > own.mm) {
				own = &h
			}
		}
		if widest != nil {
			evalHole(c, l, b, *widest, own)
		}
	})
}

func evalHole(c *rules.Check, l *demand.Demands, b *schema.Busbar, widest hole, own *hole) {
	a, known := l.MeanA(b.ID)
	limits := l.Spec.Policy
	c.Given("w", "width", b.WidthMM, "mm", b.Path()+".width_mm")
	if widest.mm >= b.WidthMM {
		widest.show(c, limits.LugHoleClearanceMM)
		c.Related(widest.path, "the bolt")
		c.Because(overloadedID, b.ID) // a bar that is too thin anyway
		c.Fail("%s: a bolt hole of %s mm in a bar of %s mm leaves nothing of it", b.ID, rules.Figure(widest.mm), rules.Figure(b.WidthMM))
		return
	}
	net, err := circuit.BarOf(b).NetSection(widest.mm)
	if err != nil {
		c.NotChecked(b.Path(), "the section of %s beside its hole cannot be computed: %v", b.ID, err)
		return
	}
	most := netCopperA
	if b.Material == "aluminium" {
		most = netAluminiumA
	}
	carries := known && a > 0
	switch share := widest.mm / b.WidthMM; {
	case carries && a > limits.TorqueAboveA && share > holeShareMost:
		reportShare(c, b, widest, limits, holeShareMost)
	case own != nil && own.mm/b.WidthMM > holeShare && !(carries && a/net.Value > most):
		c.Level(rules.Warning)
		reportShare(c, b, *own, limits, holeShare)
	case !known || len(l.Spec.Modes) == 0:
		c.NotChecked("modes", "the current of %s is not known", b.ID)
	default:
		widest.show(c, limits.LugHoleClearanceMM)
		c.Given("d", "thickness", b.ThicknessMM, "mm", b.Path()+".thickness_mm")
		s := c.Line("S_n", "section beside the hole", net)
		i := c.Solved("I", "current of "+b.ID+", continuous or r.m.s. over the cycle", a, "A", "the highest of all modes")
		limit := c.Standard("J_max", "current density beside a hole, "+b.Material, most, "A/mm2", "common practice")
		j := c.Calc("J", "current density beside the hole", "I / S_n", rules.Term(i)+" / "+rules.Term(s), i/s, "A/mm2")
		c.Related(widest.path, "the bolt")
		if j*l.Required() > limit {
			c.Because(overloadedID, b.ID)
		}
		c.Fix("use a bar at least %s mm wide, or a smaller bolt", rules.Figure(rules.RoundUp(max(widest.mm+i/limit/b.ThicknessMM*l.Required(), widest.mm/holeShare), 1)))
		c.AtMost(rules.Quantity{Value: j, Unit: "A/mm2"}, rules.Quantity{Value: limit, Unit: "A/mm2"},
			"%s: %s mm2 are left beside a hole of %s mm, which carry %s A: %s A/mm2, limit %s A/mm2", b.ID, rules.Figure(s), rules.Figure(widest.mm), rules.Figure(i), rules.Figure(j), rules.Figure(limit))
	}
}

// reportShare holds a hole against a share of the width.
func reportShare(c *rules.Check, b *schema.Busbar, h hole, limits schema.Policy, share float64) {
	h.show(c, limits.LugHoleClearanceMM)
	c.Related(h.path, "the bolt")
	c.Because(overloadedID, b.ID)
	most := share * b.WidthMM
	c.Fix("use a bar at least %s mm wide, or a smaller bolt", rules.Figure(rules.RoundUp(h.mm/holeShare, 1)))
	c.AtMost(millimetres(h.mm), millimetres(most), "%s: a hole of %s mm in a bar of %s mm leaves %s %% of it, limit %s mm", b.ID, rules.Figure(h.mm), rules.Figure(b.WidthMM),
		rules.Figure(100*(1-h.mm/b.WidthMM)), rules.Figure(most))
}

// show adds what a hole rests on to the working.
func (h hole) show(c *rules.Check, clearance float64) {
	if h.text == "" {
		c.Given("D", h.what, h.mm, "mm", h.path)
		return
	}
	c.GivenText("M", h.what, h.text, h.path)
	if h.table {
		c.Standard("D", "hole for "+h.text, h.mm, "mm", "DIN 46235, from memory")
		return
	}
	c.Default("dD", "clearance of the hole", clearance, "mm", "policy.lug_hole_clearance_mm")
	c.Calc("D", "hole for "+h.text, "M + dD", rules.Term(h.mm-clearance)+" + "+rules.Term(clearance), h.mm, "mm")
}
