package contactor

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/capacity"
	"example.org/headroom/rules/internal/circuit"
)

// againstV is the voltage in V that comes to stand across the contacts as they open while
// a controller feeds back: what it charges its own side to, less what the empty pack
// holds on the other; 0 where no controller does, with the id of the one that does. It
// adds its steps to the working where this is more than a voltage. A controller that
// states no lower limit feeds back up to what it withstands.
func (d device) againstV(p *rules.Pass, w *rules.Working, aboveV float64) (v float64, by string) {
	for _, id := range d.controllers(p) {
		k := p.Spec.Controllers[id]
		a, path := capacity.Regeneration(p.Spec, k)
		strings := p.Circuit.StringsFeeding(id)
		if a == 0 || len(strings) == 0 {
			continue
		}
		steps := p.Subject(d.id, d.base.Path()).Working
		var bus float64
		rate, err := calc.SurgeRate(a, k.CapacitanceUF.Or(0))
		if k.OvervoltageV.Known && k.OvervoltageUs.Known && err == nil {
			steps.Given("I_regen", "current fed back by "+id, a, "A", path)
			steps.Given("C", "capacitance of "+id, k.CapacitanceUF.Value, "uF", k.Path()+".capacitance_uF")
			rise := steps.Line("dV/dt", "rise of the voltage behind the open contact", rate)
			off := steps.Given("V_off", "voltage above which "+id+" stops feeding back", k.OvervoltageV.Value, "V", k.Path()+".overvoltage_V")
			us := steps.Given("t_off", "time until it has", k.OvervoltageUs.Value, "us", k.Path()+".overvoltage_reaction_us")
			bus = steps.Calc("V_bus", "voltage behind the contact", "V_off + dV/dt t_off", rules.Term(off)+" + "+rules.Term(rise)+" * "+rules.Term(us)+" / 1000", off+rise*us/1000, "V")
		} else {
			bus = steps.Given("V_bus", "voltage behind the contact, up to which "+id+" may feed back, which states no lower one", k.MaxV, "V", k.Path()+".max_V")
		}
		pack := strings[0].V(p.Spec, circuit.Lowest)
		for _, s := range strings[1:] {
			pack = min(pack, s.V(p.Spec, circuit.Lowest))
		}
		steps.Solved("V_pack", "voltage of the empty pack on the other side", pack, "V", "sum of min_V of its batteries")
		across := steps.Calc("V_open", "voltage across the contact as it opens while "+id+" feeds back", "V_bus - V_pack", rules.Term(bus)+" - "+rules.Term(pack), bus-pack, "V")
		if across > max(v, aboveV) {
			v, by = across, id
			w.Add(steps.Steps()...)
		}
	}
	return v, by
}
