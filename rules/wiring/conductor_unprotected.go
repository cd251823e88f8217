package wiring

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/capacity"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
)

func conductorUnprotected() *rules.Rule {
	return &rules.Rule{
		ID:     "conductor-unprotected",
		Family: family,
		Title:  "a conductor has no overcurrent protection within the allowed length",
		Why: "Nothing interrupts a short circuit of a conductor between a battery and its first fuse. " +
			"Pinched or chafed through, it burns until it parts, and sets fire to what it touches.",
		Relation: "for every source, the fault loop through the conductor contains a fuse, in either pole; where one pole is connected to the chassis, in the other; or the unfused length from the source " +
			"is at most 0.178 m, 1.016 m sheathed, on a boat 1.829 m sheathed from the battery's terminal; or a series resistor " +
			"limits the current to the conductor's ampacity. Sources that limit their own current are checked by limited-source-unprotected. Links between the batteries of a string count as part of the pack; " +
			"sense leads of a shunt are checked by sense-lead-unfused",
		Source:   "33 CFR 183.455 (0.178 and 1.016 m), ABYC E-11 (1.829 m, small craft); for other vehicles 0.178 and 1.016 m are common practice. Series resistors: IEC 60364-4-43, 436",
		Level:    rules.Error,
		Required: 1,
		Policy:   []string{"policy.fuse_distance_m", "policy.fuse_distance_sheathed_m", "policy.fuse_distance_at_battery_m"},
		Vital:    []string{"wires.insulation", "fuses.opening", "batteries.resistance_mOhm", "batteries.short_circuit_A"},
		Fix:      "fit a fuse at the source end of the conductor, or shorten or sheathe the unfused run",
		Example: rules.Example{Vehicle: "heron", Subject: "w_pack_fuse",
			Edits: []rules.Edit{{Path: "wires.w_pack_fuse.length_m", Value: "2.4"}}},
		Check: checkConductorUnprotected,
	}
}

func checkConductorUnprotected(p *rules.Pass) {
	guards := p.Circuit.Guards()
	sense := capacity.LeftToSense(p)
	first := firstExposed(guards, sense)
	for id, conductor := range p.Spec.Conductors() {
		if sense[id] {
			continue // left to sense-lead-unfused
		}
		c := p.Subject(id, conductor.Path())
		if p.Unsound(c, conductor.From) {
			continue
		}
		all := guards[id]
		if len(all) == 0 {
			c.Holds(true, "no source can drive a fault current through %s", id)
			continue
		}
		if p.Circuit.IsStringLink(p.Circuit.Edge(id)) {
			c.Holds(true, "%s links two batteries of a string and counts as part of the pack", id)
			continue
		}
		worst := slices.MinFunc(all, func(a, b circuit.Guard) int { return cmp.Compare(safety(a), safety(b)) })
		if lead := first[worst.Source.ID]; safety(worst) == exposed && lead != id {
			c.Because("conductor-unprotected", lead)
		} else if fuse := earthedFuse(p, worst); safety(worst) == exposed && fuse != "" {
			c.Because("fuse-in-earthed-pole", fuse)
		}
		if safety(worst) == exposed && first[worst.Source.ID] == id {
			if consumer := fedBare(p, guards, worst.Source.ID); consumer != "" {
				c.Related(worst.Source.Path, "feeds "+consumer+" without a fuse")
				evalExposed(c, p, worst, fmt.Sprintf("%s has no main fuse and feeds %s without one: ", worst.Source.ID, consumer))
				continue
			}
		}
		evalGuard(c, p, worst)
	}
}

// earthedFuse names a fuse that is in the other pole of a guard's source, where the
// chassis passes it by; "" if none is.
func earthedFuse(p *rules.Pass, g circuit.Guard) string {
	for _, f := range p.Circuit.EarthedFuses() {
		if f.Source.ID == g.Source.ID && f.Side != g.Side {
			return f.Fuse.Part
		}
	}
	return ""
}

// fedBare names the first consumer that a battery feeds with no fuse in the
// loop, controllers before others; "" if there is none.
func fedBare(p *rules.Pass, guards map[string][]circuit.Guard, battery string) string {
	bare := map[circuit.Node]bool{}
	for _, all := range guards {
		for _, g := range all {
			if g.Source.ID == battery && safety(g) == exposed {
				bare[g.Far] = true
			}
		}
	}
	for _, kind := range []circuit.Kind{circuit.ControllerEdge, circuit.ConverterInput, circuit.LoadEdge} {
		for _, e := range p.Circuit.Edges {
			if e.Kind == kind && (bare[e.From] || bare[e.To]) {
				return e.Part
			}
		}
	}
	return ""
}

// How a conductor is protected against a source, worst first.
const (
	exposed = iota
	limited
	nearby
	fused
)

// safety ranks a guard.
func safety(g circuit.Guard) int {
	switch {
	case g.Inside.Breaks() || len(g.Fuses) > 0 && !g.Exposed:
		return fused
	case g.Exposed && g.Source.LimitA > 0, g.Resistor != "":
		return limited
	case g.Exposed && !g.WithinDistance():
		return exposed
	case g.Exposed:
		return nearby
	}
	return fused
}

// firstExposed finds, for each source, the exposed conductor nearest to it:
// the one whose fuse would protect the others too. Some are left out.
func firstExposed(guards map[string][]circuit.Guard, without map[string]bool) map[string]string {
	type lead struct {
		id     string
		meters float64
	}
	nearest := map[string]lead{}
	for id, all := range guards {
		for _, g := range all {
			if safety(g) != exposed || without[id] {
				continue
			}
			old, ok := nearest[g.Source.ID]
			if !ok || g.UnfusedM < old.meters || g.UnfusedM == old.meters && id < old.id {
				nearest[g.Source.ID] = lead{id, g.UnfusedM}
			}
		}
	}
	out := map[string]string{}
	for source, l := range nearest {
		out[source] = l.id
	}
	return out
}

// evalGuard gives the verdict on a conductor against its worst source.
func evalGuard(c *rules.Check, p *rules.Pass, g circuit.Guard) {
	switch safety(g) {
	case fused:
		by := g.Fuse()
		if by == "" && g.Inside.Breaks() {
			by = "the internal fuse of " + g.Inside.Batteries[0]
			if g.Inside.Together {
				by = "the internal fuses of " + rules.And(g.Inside.Batteries)
			}
		}
		if by == "" {
			c.Holds(true, "%s has a fuse in every fault loop from %s", g.Conductor, g.Source.ID)
			return
		}
		c.Holds(true, "%s is protected by %s against %s", g.Conductor, by, g.Source.ID)
	case limited:
		if g.Resistor == "" {
			c.Holds(true, "%s is fed by %s, which limits its own current to %s A; limited-source-unprotected compares that with the ampacity",
				g.Conductor, g.Source.ID, rules.Figure(g.Source.LimitA))
			return
		}
		evalLimited(c, p, g)
	default:
		evalExposed(c, p, g, "")
	}
}

// evalExposed compares the unfused run to the far end of a conductor with what
// is allowed. The beginning of the message may say more about the source.
func evalExposed(c *rules.Check, p *rules.Pass, g circuit.Guard, begin string) {
	c.Solved("l", "unfused length from "+g.Source.ID+" to the far end of "+g.Conductor, g.UnfusedM, "m", "shortest path along the conductors")
	allowed := c.Default("l_max", "length allowed without a fuse", g.AllowedM, "m", distancePolicy(p, g.AllowedM))
	what := "fit the main fuse of " + g.Source.ID + " at"
	if fuse := p.Circuit.FuseAt(g.Far); fuse != "" {
		what = "move " + fuse + " to"
	} else if begin == "" && hasFuse(p, g) {
		what = branchFuse(p, g)
	}
	c.Fix("%s %s, within %s m of it along the conductor, or shorten the unfused run", what, pole(g), rules.Figure(rules.RoundDown(allowed/p.Required(), 0.001)))
	c.AtMost(rules.Quantity{Value: g.UnfusedM, Unit: "m"}, rules.Quantity{Value: allowed, Unit: "m"},
		"%s%s has no fuse for %s m from %s, allowed %s m",
		begin, g.Conductor, rules.Figure(g.UnfusedM), g.Source.ID, rules.Figure(allowed))
}

// hasFuse reports whether a fuse protects other conductors on the side of a source to
// which one is tied: what lacks a fuse is then a branch from before it.
func hasFuse(p *rules.Pass, g circuit.Guard) bool {
	for _, all := range p.Circuit.Guards() {
		for _, x := range all {
			if x.Source.ID == g.Source.ID && x.Side == g.Side && len(x.Fuses) > 0 {
				return true
			}
		}
	}
	return false
}

// branchFuse asks for the fuse of a branch, of no more than its conductor carries.
func branchFuse(p *rules.Pass, g circuit.Guard) string {
	rated, err := capacity.Derated(p, p.Subject(g.Conductor, "").Working, g.Conductor)
	if err != nil {
		return "fit a fuse for " + g.Conductor + " at"
	}
	a, ok := calc.NextRatingDown(calc.ClassBlade, rated.IzA)
	if !ok || rated.IzA >= 2*a {
		return "fit a fuse for " + g.Conductor + " at"
	}
	return fmt.Sprintf("fit a fuse of at most %s A for %s at", rules.Figure(a), g.Conductor)
}

// pole is the terminal of a battery that a conductor is tied to.
func pole(g circuit.Guard) string {
	if g.Side == circuit.Negative {
		return g.Source.ID + ".neg"
	}
	return g.Source.ID + ".pos"
}

// distancePolicy names the policy value that an allowed length comes from.
func distancePolicy(p *rules.Pass, allowed float64) string {
	switch policy := p.Spec.Policy; allowed {
	case policy.FuseDistanceM:
		return "policy.fuse_distance_m"
	case policy.FuseDistanceSheathedM:
		return "policy.fuse_distance_sheathed_m"
	}
	return "policy.fuse_distance_at_battery_m"
}

// evalLimited compares the current through a resistor with the ampacity of the
// conductor.
func evalLimited(c *rules.Check, p *rules.Pass, g circuit.Guard) {
	amperes := demand.ThroughResistor(c.Working, p.Circuit, g.Source, p.Spec.Resistors[g.Resistor], "I", "greatest current through the resistor")
	what := "behind " + g.Resistor
	conductor, err := capacity.RateConductor(p, c.Working, g.Conductor)
	if missing := (*rules.Missing)(nil); errors.As(err, &missing) {
		c.NotChecked(missing.Path, "%s has no fuse %s, up to %s A; its ampacity is not known", g.Conductor, what, rules.Figure(amperes))
		return
	}
	if err != nil {
		c.NotChecked(g.Conductor, "the ampacity of %s cannot be computed: %v", g.Conductor, err)
		return
	}
	iz := math.Max(conductor.IzA, 0)
	c.Fix("fit a fuse of at most %s A at the end of %s nearest %s, or use a conductor with an ampacity of at least %s A",
		rules.Figure(rules.RoundDown(iz, 1)), g.Conductor, g.Source.ID, rules.Figure(rules.RoundUp(p.Required()*amperes, 1)))
	c.AtMost(rules.Quantity{Value: amperes, Unit: "A"}, rules.Quantity{Value: iz, Unit: "A"},
		"%s has no fuse %s, up to %s A, ampacity %s A", g.Conductor, what, rules.Figure(amperes), rules.Figure(iz))
}
