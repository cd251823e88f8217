// Package solar holds the rules of the solar family: what modules do to their regulator
// and lead in frost and sun, and what the regulator does to the vehicle when the
// battery is gone.
package solar

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/schema"
)

// family is what the rules of this package belong to.
const family = "solar"

// Rules lists the rules of the family.
func Rules() []*rules.Rule {
	return []*rules.Rule{
		voltageHigh(),
		cableOverloaded(),
		stringsUnfused(),
		batteryLost(),
		livePastDisconnect(),
	}
}

// wired lists the solar parts that are connected, by id.
func wired(p *rules.Pass) (out []*schema.Solar) {
	for id, s := range schema.Sorted(p.Spec.Solar) {
		if !s.Spare && p.Circuit.Connected(id+".pos") && p.Circuit.Connected(id+".neg") {
			out = append(out, s)
		}
	}
	return out
}

// openV is the open-circuit voltage of the modules in the coldest air in V, and adds
// its steps to the working.
func openV(c *rules.Check, p *rules.Pass, s *schema.Solar) float64 {
	c.Given("V_oc", "open-circuit voltage of one module at 25 C", s.VocV, "V", s.Path()+".Voc_V")
	k := c.Or("k", "how it follows the temperature", s.PercentPerK, "%/K", s.Path()+".percent_per_K", calc.ModulePercentPerK, "crystalline silicon of any make")
	c.Given("n", "modules in series", float64(s.InSeries), "", s.Path()+".in_series")
	t := c.Given("T", "lowest ambient", p.Spec.Vehicle.AmbientC.Min, "C", "vehicle.ambient_C.min")
	return c.Line("V_cold", "open-circuit voltage of the modules in the cold", calc.OpenVoltage(s.InSeries, s.VocV, k, t))
}
