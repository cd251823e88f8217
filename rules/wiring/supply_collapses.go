package wiring

import (
	"slices"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

func supplyCollapses() *rules.Rule {
	return &rules.Rule{
		ID:     "supply-collapses",
		Family: family,
		Title:  "the supply voltage collapses at the power that a mode draws",
		Why: "A consumer of constant power draws more current as its voltage falls. Beyond V^2/4R no current is enough: " +
			"the voltage falls until something switches off, on the hill, with an empty and cold pack.",
		Relation: "P <= policy.collapse_fraction * V_min^2 / (4 R_max), with R_max the greatest resistance of the battery and of the conductors to the consumer",
		Source:   "circuit theory (maximum power transfer); the margin is common practice",
		Level:    rules.Error,
		Varies:   "warning above policy.collapse_fraction of the limit, error where the voltage collapses",
		Policy:   []string{"policy.collapse_fraction", "policy.battery_resistance_max_factor"},
		Vital:    []string{"batteries.resistance_mOhm", "batteries.short_circuit_A"},
		Fix:      "reduce the power drawn in the mode, or lower the resistance of battery and cables",
		Example: rules.Example{Vehicle: "heron", Subject: "drive", Edits: []rules.Edit{
			{Path: "batteries.pack.resistance_mOhm", Value: `{"min": 60, "typ": 120, "max": 240}`}}},
		Check: checkSupplyCollapses,
	}
}

func checkSupplyCollapses(p *rules.Pass) {
	for id, controller := range schema.Sorted(p.Spec.Controllers) {
		if controller.Spare {
			continue
		}
		mode, watts := heaviest(p, id)
		c := p.Subject(id, controller.Path())
		switch {
		case p.Unsound(c, id+".pos", id+".neg"):
		case mode == "":
			c.Holds(true, "%s draws no power in any mode", id)
		default:
			evalCollapse(c, p, id, mode, watts)
		}
	}
}

// heaviest finds the mode in which a controller draws most power; a current
// counts at the lowest voltage at which the controller works.
func heaviest(p *rules.Pass, id string) (mode string, watts float64) {
	for _, m := range p.Circuit.States() {
		d := p.Circuit.Mode(m).Draw[id]
		if d == nil {
			continue
		}
		w := d.PowerW.Or(0)
		if d.CurrentA.Known {
			w = d.CurrentA.Value * p.Spec.Controllers[id].MinV
		}
		if w > watts {
			mode, watts = m, w
		}
	}
	return mode, watts
}

// evalCollapse compares the power with the most that the source can supply at
// the consumer, pack empty and cold, copper hot.
func evalCollapse(c *rules.Check, p *rules.Pass, id, mode string, watts float64) {
	e := p.Circuit.Edge(id)
	if missing, ok := p.Circuit.ResistanceKnown(e.From); !ok {
		c.NotChecked(missing, "%s: the power that its supply can deliver depends on the battery's resistance, which is not declared", id)
		return
	}
	hot := p.Spec.Policy.TerminalMaxC
	state := demand.Weak(mode).WithCopper(hot)
	s := p.Circuit.Solve(state)
	fault, ok := p.Circuit.Fault(e.From, e.To, circuit.FaultCase{HotC: hot, UnderLoad: true})
	if !ok || fault.LoopOhm <= 0 || fault.OpenV <= 0 {
		c.NotChecked("a source for "+id, "%s is fed by no source, even with every contact closed", id)
		return
	}
	c.In(mode, state.String())
	drawn := explainDrawn(c, p, id, mode, watts)
	v := c.Solved("V_min", "open-circuit voltage at "+id, fault.OpenV, "V", "pack empty")
	demand.ExplainResistance(p, c.Working, p.Circuit.StringsFeeding(id), state)
	c.Solved("R_max", "resistance of battery and conductors to "+id, 1000*fault.LoopOhm, "mOhm", "greatest battery resistance, copper at "+rules.Figure(hot)+" C")
	greatest, err := calc.CollapsePower(v, fault.LoopOhm)
	if err != nil {
		c.NotChecked("a source for "+id, "%s: the power that its supply can deliver cannot be computed: %v", id, err)
		return
	}
	most := c.Line("P_max", "greatest power that the supply can deliver", greatest)
	share := c.Default("f", "share of it that is allowed", p.Spec.Policy.CollapseFraction, "", "policy.collapse_fraction")
	limit := c.Calc("P_lim", "power allowed", "f P_max", rules.Term(share)+" * "+rules.Term(most), share*most, "W")
	watts = capped(c, p.Spec.Controllers[id], drawn, v, fault.LoopOhm)
	c.Fix("reduce the power of %s in mode %s to at most %s kW, or lower the resistance of battery and cables", id, mode, kilo(rules.RoundDown(limit, 10)))
	falls := slices.Contains(s.Collapsed, id)
	if falls && watts <= most {
		min := p.Spec.Controllers[id].MinV
		if !p.Circuit.Mode(mode).Draw[id].CurrentA.Known {
			c.Given("V_min,c", "lowest voltage of "+id, min, "V", p.Spec.Controllers[id].Path()+".min_V")
		}
		if idle := p.Circuit.Solve(state.Off(id)); idle.Failed == "" {
			// What is left beside the other consumers above that voltage.
			if amps := (idle.V(e.From) - idle.V(e.To) - min) / fault.LoopOhm; amps > 1 {
				c.Fix("reduce what %s draws in mode %s to at most %s kW (battery-side limit %s A), or lower the resistance of battery and cables",
					id, mode, kilo(rules.RoundDown(min*amps, 100)), rules.Figure(rules.RoundDown(amps, 1)))
			} else {
				c.Fix("use a controller with a lower min_V for %s, or a battery that stays above %s V when empty: it works on that battery at no power", id, rules.Figure(min))
			}
		}
		c.Fail("%s: %s kW in mode %s pulls its supply below its lowest voltage of %s V with the pack empty and cold; it switches off",
			id, kilo(watts), mode, rules.Figure(min))
		return
	}
	if falls {
		c.Fail("%s: its supply collapses at %s kW in mode %s, it can deliver %s kW with the pack empty and cold",
			id, kilo(watts), mode, kilo(most))
		return
	}
	if watts <= most {
		c.Level(rules.Warning)
	}
	c.Required(1)
	c.AtMost(rules.Quantity{Value: watts, Unit: "W"}, rules.Quantity{Value: limit, Unit: "W"},
		"%s: %s kW in mode %s, allowed %s kW of the %s kW that its supply can deliver with the pack empty and cold",
		id, kilo(watts), mode, kilo(limit), kilo(most))
}

// kilo renders a power in W for a message in kW.
func kilo(watts float64) string { return rules.Figure(watts / 1000) }

// explainDrawn adds the power that a controller draws in a mode to the working; a
// current counts at the lowest voltage at which the controller works.
func explainDrawn(c *rules.Check, p *rules.Pass, id, mode string, watts float64) float64 {
	path, controller := "modes."+mode+".draw."+id, p.Spec.Controllers[id]
	draw := p.Circuit.Mode(mode).Draw[id]
	if !draw.CurrentA.Known {
		return c.Given("P", "power drawn in mode "+mode, watts, "W", path+".power_W")
	}
	i := c.Given("I", "current drawn in mode "+mode, draw.CurrentA.Value, "A", path+".current_A")
	v := c.Given("V_min,c", "lowest voltage of "+id, controller.MinV, "V", controller.Path()+".min_V")
	return c.Calc("P", "power drawn, at the lowest voltage", "I V_min,c", rules.Term(i)+" * "+rules.Term(v), watts, "W")
}

// capped is the power that a controller really draws when its battery-side
// current limit comes first.
func capped(c *rules.Check, controller *schema.Controller, watts, volts, ohm float64) float64 {
	limit := controller.BatteryPeakA
	if !limit.Known {
		return watts
	}
	most := limit.Value * (volts - limit.Value*ohm)
	if most <= 0 || most >= watts {
		return watts
	}
	c.Given("I_cap", "battery-side current limit of "+controller.ID, limit.Value, "A", controller.Path()+".battery_peak_A")
	return c.Calc("P_cap", "power at that limit", "I_cap (V_min - I_cap R_max)",
		rules.Term(limit.Value)+" * ("+rules.Term(volts)+" - "+rules.Term(limit.Value)+" * "+rules.Term(1000*ohm)+" / 1000)", most, "W")
}
