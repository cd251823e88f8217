package conductor

import (
	"slices"
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

func lugHoleMismatch() *rules.Rule {
	return &rules.Rule{
		ID:     "lug-hole-mismatch",
		Family: family,
		Title:  "the hole of a lug does not fit the bolt",
		Why: "Current passes through a lug where the bolt presses on it, in a ring around the hole. With a hole two sizes too large there is little ring left: " +
			"the joint runs hot, loosens, and runs hotter. With one as wide as the nut there is none. One too small is filed open, with the same result.",
		Relation: "thread <= hole <= thread + policy.lug_hole_clearance_mm, or the hole that DIN 46235 gives that thread if that is larger (M12: 13 mm, M16: 17 mm), " +
			"at each end whose thread is given; no ring is left where the hole is as wide as the face of the nut (M8: 13 mm). A wire without the hole of its lugs is not checked",
		Source: "DIN 46235 and ISO 4032, from memory; small-craft practice",
		Level:  rules.Warning,
		Varies: "above policy.torque_above_A: error where the nut finds no ring to press on, else warning; up to it: warning and note",
		Policy: []string{"policy.lug_hole_clearance_mm", "policy.torque_above_A"},
		Fix:    "use a lug of that bolt size",
		Example: rules.Example{Vehicle: "heron", Subject: "w_isolator_plus", Edits: []rules.Edit{
			{Path: "wires.w_isolator_plus.lug_hole_mm", Value: "12.8"}}},
		Check: checkLugs,
	}
}

// lug is one end of a wire: the hole, and what it is bolted to.
type lug struct {
	hole     schema.Number
	holePath string
	end      string // the terminal
	part     schema.Part
	bolt     schema.Bolt
	boltPath string
}

func checkLugs(p *rules.Pass) {
	l := demand.For(p)
	wires(p, func(c *rules.Check, w *schema.Wire) {
		if lugs := lugsOf(p, w); len(lugs) > 0 {
			evalLugs(c, p, l, w, lugs)
		}
	})
}

// lugsOf lists the ends of a wire of which the hole is known and which are bolted.
func lugsOf(p *rules.Pass, w *schema.Wire) (out []lug) {
	for _, x := range []struct {
		end   string
		own   schema.Number
		field string
	}{{w.From, w.LugHoleFromMM, ".lug_hole_from_mm"}, {w.To, w.LugHoleToMM, ".lug_hole_to_mm"}} {
		k := lug{hole: x.own, holePath: w.Path() + x.field, end: x.end}
		if !x.own.Known {
			k.hole, k.holePath = w.LugHoleMM, w.Path()+".lug_hole_mm"
		}
		id, terminal, _ := strings.Cut(x.end, ".")
		k.part = p.Spec.Part(id)
		bolts := boltsOf(k.part)
		if !k.hole.Known || bolts == nil {
			continue
		}
		var field string
		k.bolt, field, _ = bolts.BoltAt(terminal)
		k.boltPath = k.part.Common().Path() + "." + field
		out = append(out, k)
	}
	return out
}

func evalLugs(c *rules.Check, p *rules.Pass, l *demand.Demands, w *schema.Wire, lugs []lug) {
	clearance := p.Spec.Policy.LugHoleClearanceMM
	var fits, missing *lug
	for _, k := range lugs {
		thread, ok := k.bolt.ThreadMM()
		if !ok {
			missing = &k
			continue
		}
		hole := c.Given("D", "hole of the lug of "+w.ID+" at "+k.end, k.hole.Value, "mm", k.holePath)
		c.GivenText("M", "thread of "+k.end, k.bolt.Thread, k.boltPath)
		most, byTable := calc.BoltHoleMM(thread, clearance)
		c.Default("dD", "permitted clearance of the hole", clearance, "mm", "policy.lug_hole_clearance_mm")
		if byTable {
			c.Standard("D_max", "hole for "+k.bolt.Thread, most, "mm", "DIN 46235, from memory")
		} else {
			c.Calc("D_max", "widest hole for "+k.bolt.Thread, "M + dD", rules.Term(thread)+" + "+rules.Term(clearance), most, "mm")
		}
		if hole >= thread && hole <= most*(1+1e-9) {
			fits = &k
			continue
		}
		ringless := hole >= calc.BearingMM(thread)
		says := ""
		if ringless {
			face := c.Standard("D_nut", "face of the nut "+k.bolt.Thread, calc.BearingMM(thread), "mm", "ISO 4032, from memory")
			says = ", and the nut of " + rules.Figure(face) + " mm has nothing to press on"
		}
		c.Level(lugLevel(c, l, w, ringless))
		c.Related(k.part.Common().Path(), "the bolt")
		c.Fix("use a lug for %s, with a hole of %s to %s mm", k.bolt.Thread, rules.Figure(thread), rules.Figure(most))
		c.Fail("%s: lug hole %s mm; the %s bolt of %s needs %s to %s mm%s", w.ID, rules.Figure(hole), k.bolt.Thread, k.end, rules.Figure(thread), rules.Figure(most), says)
		return
	}
	if fits == nil && missing != nil {
		c.NotChecked(missing.part.Common().Path()+".thread", "%s: lug hole %s mm; the thread of its terminals is not given", w.ID, rules.Figure(missing.hole.Value))
		return
	}
	c.Holds(true, "%s: lug hole %s mm fits the bolt of %s", w.ID, rules.Figure(fits.hole.Value), fits.end)
}

// lugLevel is how grave a lug that does not fit is, by what it carries.
func lugLevel(c *rules.Check, l *demand.Demands, w *schema.Wire, ringless bool) rules.Level {
	a, known := l.MeanA(w.ID)
	if known && a > 0 {
		c.Solved("I", "current of "+w.ID+", continuous or r.m.s. over the cycle", a, "A", "the highest of all modes")
		c.Default("I_min", "current above which a joint must be right", l.Spec.Policy.TorqueAboveA, "A", "policy.torque_above_A")
	}
	switch high := known && a > l.Spec.Policy.TorqueAboveA; {
	case high && ringless:
		return rules.Error
	case high || ringless:
		return rules.Warning
	}
	return rules.Note
}

// boltsOf is how a part's power terminals are bolted, nil for one without: fuses
// that are plugged into a holder have no bolts of their own, nor has a pack on a plug.
func boltsOf(part any) *schema.Threaded {
	b, ok := part.(interface{ Bolts() *schema.Threaded })
	if !ok {
		return nil
	}
	bolts := b.Bolts()
	plugged := false
	switch part := part.(type) {
	case *schema.Fuse:
		plugged = part.Holder != nil || slices.Contains([]string{"blade", "blade-high-current", "glass", "rewirable"}, part.Class)
	case *schema.Battery:
		plugged = part.Pluggable
	}
	if plugged && bolts.Thread == "" && !bolts.TorqueNm.Known && len(bolts.ByTerminal) == 0 {
		return nil
	}
	return bolts
}
