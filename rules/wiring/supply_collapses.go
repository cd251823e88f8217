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
		Title:  "the supply cannot hold its voltage at the power that a mode asks for",
		Why: "A consumer of constant power draws more current as its voltage falls. Beyond V^2/4R no current is enough: " +
			"the voltage falls until something switches off, on the hill, with an empty and cold pack.",
		Relation: "P <= policy.collapse_fraction * V_min^2 / (4 R_max), R_max being the battery's greatest resistance and the way to the consumer",
		Source:   "circuit theory (maximum power transfer); the margin is common practice",
		Level:    rules.Error,
		Varies:   "warning above the share of policy.collapse_fraction, error where the voltage falls",
		Policy:   []string{"policy.collapse_fraction", "policy.battery_resistance_max_factor"},
		Fix:      "reduce the power of the mode, or lower the resistance of battery and cables",
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
			c.Holds(true, "no mode asks %s for a power", id)
		default:
			judgeCollapse(c, p, id, mode, watts)
		}
	}
}

// heaviest finds the mode that asks most power of a controller; a current is
// taken at the lowest voltage that feeds it.
func heaviest(p *rules.Pass, id string) (mode string, watts float64) {
	for m, spec := range schema.Sorted(p.Spec.Modes) {
		d := spec.Draw[id]
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

// judgeCollapse compares the power with the most that the source can give at
// the consumer, pack empty and cold, copper hot.
func judgeCollapse(c *rules.Check, p *rules.Pass, id, mode string, watts float64) {
	e := p.Circuit.Edge(id)
	if missing, ok := p.Circuit.ResistanceKnown(e.From); !ok {
		c.NotChecked(missing, "how far the supply of %s can be loaded depends on the battery's resistance", id)
		return
	}
	hot := p.Spec.Policy.TerminalMaxC
	state := demand.Weak(mode).WithCopper(hot)
	s := p.Circuit.Solve(state)
	fault, ok := p.Circuit.Fault(e.From, e.To, circuit.FaultCase{HotC: hot})
	if !ok || fault.LoopOhm <= 0 || fault.OpenV <= 0 {
		c.NotChecked("a source for "+id, "no source feeds %s when everything is closed", id)
		return
	}
	c.In(mode, state.String())
	asked := workAsked(c, p, id, mode, watts)
	v := c.Solved("V_min", "open-circuit voltage at "+id, fault.OpenV, "V", "pack empty")
	demand.WorkResistance(p, c.Working, p.Circuit.StringsFeeding(id), circuit.Greatest)
	r := c.Solved("R_max", "resistance of battery and conductors to "+id, 1000*fault.LoopOhm, "mOhm", "greatest battery resistance, copper at "+rules.Figure(hot)+" C")
	most, err := calc.CollapsePower(v, fault.LoopOhm)
	if err != nil {
		c.NotChecked("a source for "+id, "the limit of the supply of %s cannot be computed: %v", id, err)
		return
	}
	c.Calc("P_max", "most that can be drawn", "V_min^2 / (4 R_max)", rules.Term(v)+"^2 / (4 * "+rules.Term(r)+" / 1000)", most, "W")
	share := c.Default("f", "share of it that may be used", p.Spec.Policy.CollapseFraction, "", "policy.collapse_fraction")
	limit := c.Calc("P_lim", "power allowed", "f P_max", rules.Term(share)+" * "+rules.Term(most), share*most, "W")
	watts = capped(c, p.Spec.Controllers[id], asked, v, fault.LoopOhm)
	falls := slices.Contains(s.Collapsed, id)
	if falls && watts <= most {
		min := p.Spec.Controllers[id].MinV
		if !p.Spec.Modes[mode].Draw[id].CurrentA.Known {
			c.Given("V_min,c", "lowest voltage of "+id, min, "V", p.Spec.Controllers[id].Path()+".min_V")
		}
		c.Fix("reduce the power of the mode, lower the resistance of battery and cables, or set the controller's current limit lower")
		c.Fail("%s W in mode %s pull the supply of %s below its lowest voltage of %s V with the pack empty and cold: it switches off",
			rules.Figure(watts), mode, id, rules.Figure(min))
		return
	}
	if falls {
		c.Fail("the supply of %s collapses in mode %s: %s W is asked for, %s W is the most it can give with the pack empty and cold",
			id, mode, rules.Figure(watts), rules.Figure(most))
		return
	}
	if watts <= most {
		c.Level(rules.Warning)
	}
	c.Required(1)
	c.AtMost(rules.Quantity{Value: watts, Unit: "W"}, rules.Quantity{Value: limit, Unit: "W"},
		"%s asks %s W in mode %s; with the pack empty and cold its supply can give %s W, of which %s W may be used",
		id, rules.Figure(watts), mode, rules.Figure(most), rules.Figure(limit))
}

// workAsked adds the power that a mode asks of a controller to the working; a
// current counts at the lowest voltage at which the controller works.
func workAsked(c *rules.Check, p *rules.Pass, id, mode string, watts float64) float64 {
	path, controller := "modes."+mode+".draw."+id, p.Spec.Controllers[id]
	draw := p.Spec.Modes[mode].Draw[id]
	if !draw.CurrentA.Known {
		return c.Given("P", "power asked in mode "+mode, watts, "W", path+".power_W")
	}
	i := c.Given("I", "current asked in mode "+mode, draw.CurrentA.Value, "A", path+".current_A")
	v := c.Given("V_min,c", "lowest voltage of "+id, controller.MinV, "V", controller.Path()+".min_V")
	return c.Calc("P", "power asked, at the least", "I V_min,c", rules.Term(i)+" * "+rules.Term(v), watts, "W")
}

// capped is the power that a controller really takes when its battery-side
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
