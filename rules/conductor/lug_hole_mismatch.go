package conductor

import (
	"slices"
	"strconv"
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/schema"
)

func lugHoleMismatch() *rules.Rule {
	return &rules.Rule{
		ID:     "lug-hole-mismatch",
		Family: family,
		Title:  "the hole of a lug does not fit the bolt",
		Why: "Current passes through a lug where the bolt presses on it, in a ring around the hole. With a hole two sizes too large there is little ring left: " +
			"the joint runs hot, loosens, and runs hotter. One too small is filed open, with the same result.",
		Relation: "thread <= lug_hole_mm <= thread + policy.lug_hole_clearance_mm, or the hole that DIN 46235 gives that thread if that is larger (M12: 13 mm, M16: 17 mm), " +
			"at each end whose thread is given. A wire without lug_hole_mm is not checked",
		Source:   "DIN 46235, from memory; small-craft practice",
		Level:    rules.Note,
		Required: 0,
		Policy:   []string{"policy.lug_hole_clearance_mm"},
		Fix:      "use a lug of that bolt size",
		Example: rules.Example{Vehicle: "heron", Subject: "w_isolator_plus", Edits: []rules.Edit{
			{Path: "wires.w_isolator_plus.lug_hole_mm", Value: "12.8"}}},
		Check: checkLugs,
	}
}

// lugHoleMM is the hole of a lug by thread in mm. Source: DIN 46235, from memory.
func lugHoleMM(thread float64) float64 {
	switch thread {
	case 12:
		return 13
	case 16:
		return 17
	}
	return 0
}

func checkLugs(p *rules.Pass) {
	wires(p, func(c *rules.Check, w *schema.Wire) {
		if w.LugHoleMM.Known {
			evalLug(c, p, w)
		}
	})
}

func evalLug(c *rules.Check, p *rules.Pass, w *schema.Wire) {
	hole := c.Given("D", "hole of the lugs of "+w.ID, w.LugHoleMM.Value, "mm", w.Path()+".lug_hole_mm")
	clearance := p.Spec.Policy.LugHoleClearanceMM
	checked, missing := "", ""
	for _, end := range []string{w.From, w.To} {
		id, _, _ := strings.Cut(end, ".")
		part := p.Spec.Part(id)
		bolts := boltsOf(part)
		if bolts == nil {
			continue // no bolted terminal
		}
		thread, ok := threadMM(bolts.Thread)
		if !ok {
			missing = part.Common().Path() + ".thread"
			continue
		}
		c.GivenText("M", "thread of "+end, bolts.Thread, part.Common().Path()+".thread")
		most := max(thread+clearance, lugHoleMM(thread))
		c.Default("dD", "permitted clearance of the hole", clearance, "mm", "policy.lug_hole_clearance_mm")
		if m := lugHoleMM(thread); m > thread+clearance {
			c.Standard("D_max", "hole for "+bolts.Thread, m, "mm", "DIN 46235, from memory")
		} else {
			c.Calc("D_max", "widest hole for "+bolts.Thread, "M + dD", rules.Term(thread)+" + "+rules.Term(clearance), most, "mm")
		}
		if hole < thread || hole > most*(1+1e-9) {
			c.Related(part.Common().Path(), "the bolt")
			c.Fix("use a lug for %s, with a hole of %s to %s mm", bolts.Thread, rules.Figure(thread), rules.Figure(most))
			c.Fail("%s: lug hole %s mm; the %s bolt of %s needs %s to %s mm", w.ID, rules.Figure(hole), bolts.Thread, end, rules.Figure(thread), rules.Figure(most))
			return
		}
		checked = end
	}
	if checked == "" && missing != "" {
		c.NotChecked(missing, "%s: lug hole %s mm; the thread of its terminals is not given", w.ID, rules.Figure(hole))
		return
	}
	if checked == "" {
		return // neither end is bolted
	}
	c.Holds(true, "%s: lug hole %s mm fits the bolt of %s", w.ID, rules.Figure(hole), checked)
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
	if plugged && bolts.Thread == "" && !bolts.TorqueNm.Known {
		return nil
	}
	return bolts
}

// threadMM is the diameter of a thread such as M8 in mm.
func threadMM(thread string) (float64, bool) {
	v, err := strconv.ParseFloat(strings.TrimPrefix(thread, "M"), 64)
	return v, err == nil
}
