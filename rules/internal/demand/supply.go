package demand

import (
	"fmt"
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

// StringVoltage is the highest voltage of a source, or of the string in which a
// battery stands, in V, and adds its steps to the working as V_max.
func StringVoltage(w *rules.Working, n *circuit.Network, s circuit.Source) float64 {
	list := n.StringOf(s)
	if len(list) == 1 {
		return w.Given("V_max", "highest voltage of "+s.ID, s.MaxV, "V", outputPath(s))
	}
	var terms []string
	for _, b := range list {
		terms = append(terms, rules.Term(w.Given("V_"+b.ID, "highest voltage of "+b.ID, b.MaxV, "V", b.Path+".max_V")))
	}
	return w.Calc("V_max", "highest voltage of the batteries in series", "sum", strings.Join(terms, " + "), s.StringV, "V")
}

// ThroughResistor is the greatest current in A that a source, or the string in which
// it stands, drives through a resistor, and adds its steps to the working.
func ThroughResistor(w *rules.Working, n *circuit.Network, s circuit.Source, r *schema.Resistor, symbol, what string) float64 {
	v := StringVoltage(w, n, s)
	ohm := w.Given("R", "resistance of "+r.ID, r.ResistanceOhm, "Ohm", r.Path()+".resistance_Ohm")
	return w.Line(symbol, what, calc.OhmicCurrent("V_max", v, ohm))
}

// HighestVoltage is the highest working voltage in V of a place that the
// sources feed, and adds its steps to the working: the end of charge of a
// battery or of its string, a charger's or converter's output, or what
// regeneration adds to a full battery. Where that addition cannot be reckoned
// the voltage without it is returned with a *rules.Missing. Source: ISO 6469-3
// (working voltage).
func HighestVoltage(p *rules.Pass, w *rules.Working, sources []circuit.Source) (volts float64, err error) {
	var parts []string
	seen := map[string]bool{}
	for _, s := range sources {
		var v float64
		if s.IsBattery() {
			v = EndOfCharge(p, w, p.Circuit.StringOf(s), seen)
			raised, e := regenerationVoltage(p, w, s, v, seen)
			if e != nil {
				err = e
			}
			v = max(v, raised)
		} else if !seen[s.ID] && !p.Circuit.Out(s.ID) {
			seen[s.ID] = true
			v = w.Given("V_"+s.ID, "highest output of "+s.ID, s.MaxV, "V", outputPath(s))
		}
		if v > 0 {
			parts = append(parts, rules.Term(v))
		}
		volts = max(volts, v)
	}
	if len(parts) > 1 {
		w.Calc("V_w", "highest working voltage", "the highest of these", "max("+strings.Join(parts, ", ")+")", volts, "V")
	}
	return volts, err
}

// outputPath is the path of the voltage of a converter or charger.
func outputPath(s circuit.Source) string {
	switch {
	case s.Role == "converter":
		return s.Path + ".output.nominal_V"
	case strings.HasPrefix(s.Path, "solar."):
		return s.Path + ".regulator.output_V"
	}
	return s.Path + ".max_V"
}

// EndOfCharge is the voltage of a string of full batteries in V, and adds its
// steps to the working but for the batteries that were seen before.
func EndOfCharge(p *rules.Pass, w *rules.Working, list []circuit.Source, seen map[string]bool) float64 {
	var sum float64
	var numbers []string
	for _, s := range list {
		b := p.Spec.Batteries[s.ID]
		if !seen[s.ID] {
			seen[s.ID] = true
			w.Given("V_"+s.ID, "end of charge of "+s.ID, b.MaxV, "V", b.Path()+".max_V")
		}
		sum += b.MaxV
		numbers = append(numbers, rules.Term(b.MaxV))
	}
	if len(list) > 1 {
		w.Calc("V_string", "batteries in series", "sum of V_max", strings.Join(numbers, " + "), sum, "V")
	}
	return sum
}

// regenerationVoltage is what the strongest regeneration raises a full battery
// to: V_max + I R.
func regenerationVoltage(p *rules.Pass, w *rules.Working, s circuit.Source, full float64, seen map[string]bool) (float64, error) {
	var most float64 // of all controllers of the network: they may brake at once
	var from []string
	for id, c := range schema.Sorted(p.Spec.Controllers) {
		if v, ok := p.Circuit.Node(id + ".pos"); ok && s.Role == "traction" && p.Circuit.SameNetwork(v, s.Pos) && c.RegenA.Or(0) > 0 {
			most, from = most+c.RegenA.Value, append(from, id)
		}
	}
	if most == 0 || seen["regeneration of "+s.ID] {
		return full, nil
	}
	seen["regeneration of "+s.ID] = true
	list := p.Circuit.StringOf(s)
	for _, b := range list {
		if _, known := p.Circuit.BatteryResistance(p.Spec.Batteries[b.ID], circuit.Typical); !known {
			return full, &rules.Missing{Path: b.Path + ".resistance_mOhm", What: "what regeneration adds to the voltage of a full battery"}
		}
	}
	var each, terms []string
	for _, id := range from {
		symbol := "I_regen"
		if len(from) > 1 {
			symbol = "I_" + id
		}
		each = append(each, rules.Term(w.Given(symbol, "regeneration of "+id, p.Spec.Controllers[id].RegenA.Value, "A", "controllers."+id+".regen_A")))
	}
	if len(from) > 1 {
		w.Calc("I_regen", "regeneration of all of them together", "sum", strings.Join(each, " + "), most, "A")
	}
	var ohm float64
	for _, b := range list {
		r, _ := BatteryResistance(p, w, b.ID, circuit.Typical) // known, as was seen above
		ohm += r
		terms = append(terms, rules.Term(1000*r))
	}
	if len(list) > 1 {
		w.Calc("R_b", "batteries in series", "sum of R_b", strings.Join(terms, " + "), 1000*ohm, "mOhm")
	}
	return w.Calc("V_regen", "full battery under regeneration", "V_max + I_regen R_b",
		fmt.Sprintf("%s + %s * %s/1000", rules.Term(full), rules.Term(most), rules.Term(1000*ohm)), full+most*ohm, "V"), nil
}

// BatteryResistance is a battery's internal resistance in Ohm at a bound, with
// the steps that lead to it. The error is a *rules.Missing when the spec gives neither
// a resistance nor a short-circuit current.
func BatteryResistance(p *rules.Pass, w *rules.Working, id string, bound circuit.Bound) (float64, error) {
	return batteryResistance(p, w, id, bound, "")
}

// batteryResistance is that in a mode, as cold as that is; "" for the whole range.
func batteryResistance(p *rules.Pass, w *rules.Working, id string, bound circuit.Bound, mode string) (float64, error) {
	b := p.Spec.Batteries[id]
	ohm, known := p.Circuit.BatteryResistanceIn(mode, b, bound)
	if !known {
		return 0, &rules.Missing{Path: b.Path() + ".resistance_mOhm", What: "the internal resistance of " + id}
	}
	r, policy := b.ResistanceMOhm, p.Spec.Policy
	switch {
	case bound == circuit.Typical:
		explainTypical(p, w, b)
	case bound == circuit.Least && b.ShortCircuitA.Known:
		i := w.Given("I_sc", "short-circuit current of "+id, b.ShortCircuitA.Value, "A", b.Path()+".short_circuit_A")
		w.Calc("R_b,min", "lowest resistance of "+id+" (warm, new, full)", "V_max / I_sc", "1000 * "+rules.Term(b.MaxV)+" / "+rules.Term(i), 1000*ohm, "mOhm")
	case bound == circuit.Least:
		explainBound(p, w, b, r.Min, "min", "lowest resistance of "+id+" (warm, new, full)", policy.BatteryResistanceMin, "policy.battery_resistance_min_factor")
	default:
		explainGreatest(p, w, b, bound, mode)
	}
	return ohm, nil
}

// explainGreatest adds the greatest resistance of a battery: as declared; by the cold
// where its chemistry tells what that does to it; else by the factor of the policy.
func explainGreatest(p *rules.Pass, w *rules.Working, b *schema.Battery, bound circuit.Bound, mode string) {
	policy := p.Spec.Policy.BatteryResistanceMax
	cold := p.Circuit.BatteryCold(mode, b, bound)
	if b.ResistanceMOhm.Max.Known || !cold.Known || cold.Factor.Value <= policy {
		explainBound(p, w, b, b.ResistanceMOhm.Max, "max", "highest resistance of "+b.ID+" (cold, aged, nearly empty)", policy, "policy.battery_resistance_max_factor")
		return
	}
	typical := explainTypical(p, w, b)
	w.Given("T_b", "lowest temperature of the cells of "+b.ID, cold.C, "C", cold.Path)
	factor := w.Line("f_T", "resistance of "+b.Chemistry+" cells there over that at 25 C (points by common practice)", cold.Factor)
	w.Calc("R_b,max", "highest resistance of "+b.ID+" (cold)", "f_T R_b", rules.Term(factor)+" * "+rules.Term(typical), factor*typical, "mOhm")
}

// ExplainResistance adds to a working how the internal resistance of each battery of
// some strings comes about in a case, so that a factor assumed for it is named
// where a voltage under load rests on it. Batteries whose resistance is not known
// are left out.
func ExplainResistance(p *rules.Pass, w *rules.Working, list []circuit.SeriesString, at circuit.Case) {
	for _, s := range list {
		for _, b := range s {
			_, _ = batteryResistance(p, w, b.ID, at.Resistance, at.Mode) // it adds nothing then
		}
	}
}

// explainBound adds the least or greatest resistance of a battery: as declared, or
// by its factor over the typical one.
func explainBound(p *rules.Pass, w *rules.Working, b *schema.Battery, declared schema.Number, end, what string, factor float64, policy string) {
	if declared.Known {
		w.Given("R_b,"+end, what, declared.Value, "mOhm", b.Path()+".resistance_mOhm."+end)
		return
	}
	typical := explainTypical(p, w, b)
	f := w.Default("f_R", "that resistance over the typical one", factor, "", policy)
	w.Calc("R_b,"+end, what, "f_R R_b", rules.Term(f)+" * "+rules.Term(typical), f*typical, "mOhm")
}

// explainTypical adds the typical resistance of a battery in mOhm: as declared, or
// from what else the spec gives.
func explainTypical(p *rules.Pass, w *rules.Working, b *schema.Battery) float64 {
	ohm, _ := p.Circuit.BatteryResistance(b, circuit.Typical) // known: the callers saw to it
	r, typical := b.ResistanceMOhm, 1000*ohm
	path, what := b.Path()+".resistance_mOhm", "typical resistance of "+b.ID
	least, most := p.Spec.Policy.BatteryResistanceMin, p.Spec.Policy.BatteryResistanceMax
	switch {
	case r.Typ.Known && p.Spec.Given(path+".typ"):
		return w.Given("R_b", what, typical, "mOhm", path+".typ")
	case r.Typ.Known: // a plain number sets the typical value alone
		return w.Given("R_b", what, typical, "mOhm", path)
	case r.Min.Known && r.Max.Known:
		return w.Derived("R_b", what+", middle of its range", "", "("+rules.Term(r.Min.Value)+" + "+rules.Term(r.Max.Value)+") / 2", typical, "mOhm", path)
	case r.Min.Known:
		return w.Derived("R_b", what+", from the lowest by policy.battery_resistance_min_factor", "", rules.Term(r.Min.Value)+" / "+rules.Term(least), typical, "mOhm", path+".min")
	case r.Max.Known:
		return w.Derived("R_b", what+", from the highest by policy.battery_resistance_max_factor", "", rules.Term(r.Max.Value)+" / "+rules.Term(most), typical, "mOhm", path+".max")
	}
	return w.Derived("R_b", what+", from the short-circuit current by policy.battery_resistance_min_factor", "V_max / I_sc / f_R",
		"1000 * "+rules.Term(b.MaxV)+" / "+rules.Term(b.ShortCircuitA.Value)+" / "+rules.Term(least), typical, "mOhm", b.Path()+".short_circuit_A")
}
