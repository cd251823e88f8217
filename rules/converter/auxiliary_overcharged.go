package converter

import (
	"fmt"
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/circuit"
)

const auxiliaryOverchargedID = "auxiliary-overcharged"

func auxiliaryOvercharged() *rules.Rule {
	return &rules.Rule{
		ID:     auxiliaryOverchargedID,
		Family: family,
		Title:  "a converter holds a battery above what its cells withstand",
		Why: "A converter with a battery at its output is that battery's charger, day and night. A setting for lead-acid on four lithium cells, or 13.8 V on three, " +
			"overcharges every cell until one vents or burns. A sealed lead-acid battery at a fixed voltage in the heat draws ever more current and dries out.",
		Relation: "V_out, at its tolerance, <= the battery's max_V, and <= cells in series * the most that a cell of its chemistry withstands at any time; " +
			"of sealed lead-acid above 35 C also <= cells * (float voltage - 3 mV/K (T - 25 C))",
		Source:   "data sheet of the battery; ends of charge of the cell chemistries; voltages and temperature of lead-acid are common practice, from memory",
		Level:    rules.Error,
		Varies:   "warning for a sealed lead-acid battery that is too high only in the heat",
		Required: 1,
		Policy:   []string{"policy.required.auxiliary-overcharged"},
		Fix:      "set the converter to the float voltage of the battery, or use a battery that fits it",
		Example: rules.Example{Vehicle: "heron", Subject: "aux", Edits: []rules.Edit{
			{Path: "converters.converter.output.nominal_V", Value: "15.2"}}},
		Check: checkOvercharged,
	}
}

func checkOvercharged(p *rules.Pass) {
	for _, f := range floats(p) {
		first := f.SeriesString[0]
		c := p.Subject(f.Name(), first.Path)
		if p.Unsound(c, first.ID+".neg", f.SeriesString[len(f.SeriesString)-1].ID+".pos") {
			continue
		}
		worst := f.by[0]
		for _, r := range f.by[1:] {
			if f.mostV(p, r) > f.mostV(p, worst) {
				worst = r
			}
		}
		f.checkOvercharged(c, p, worst)
	}
}

// mostV is the most that a regulator holds at the string, in V.
func (f floating) mostV(p *rules.Pass, r regulator) float64 {
	return f.setting(p.Subject("", ""), p, r, 1)
}

func (f floating) checkOvercharged(c *rules.Check, p *rules.Pass, r regulator) {
	c.Related(r.setPath, "what charges it")
	c.Culprit(r.id)
	v := f.setting(c, p, r, 1)
	limit := f.fullV(c, p)
	n, window, known := f.cells(c, p)
	if known {
		most := float64(n) * window.NeverV
		c.Standard("V_cell", "the most that a cell withstands", window.NeverV, "V", "published cell data; lead-acid common practice")
		c.Calc("V_cells", "the most that its cells withstand", "n V_cell", fmt.Sprintf("%d * %s", n, rules.Term(window.NeverV)), most, "V")
		limit = min(limit, most)
	}
	low, high := f.floatRange(p)
	if low > 0 {
		c.Fix("set %s to %s to %s V, the float voltage of %s, or use a battery that fits it", r.id, rules.Figure(low), rules.Figure(high), f.Name())
	}
	if known && v*p.Required() <= limit && f.hot(c, p, r, v, n, window) {
		return
	}
	perCell := ""
	if known {
		perCell = fmt.Sprintf(" (%s V per cell)", rules.Figure(v/float64(n)))
	}
	c.AtMost(rules.Volts(v), rules.Volts(limit), "%s: %s holds it at up to %s V%s, limit %s V", f.Name(), r.id, rules.Figure(v), perCell, rules.Figure(limit))
}

// fullV is the end of charge of the string in V, as its data sheets state it.
func (f floating) fullV(c *rules.Check, p *rules.Pass) float64 {
	var terms []string
	for _, b := range f.SeriesString {
		terms = append(terms, rules.Term(c.Given("V_"+b.ID, "end of charge of "+b.ID, b.MaxV, "V", b.Path+".max_V")))
	}
	sum := f.V(p.Spec, circuit.Highest)
	if len(terms) > 1 {
		c.Calc("V_full", "batteries in series", "sum of V_max", strings.Join(terms, " + "), sum, "V")
	}
	return sum
}

// floatRange is what a regulator should be set to, in V and to a tenth; 0 where the
// cells are not known.
func (f floating) floatRange(p *rules.Pass) (low, high float64) {
	n, w, ok := f.cells(nil, p)
	if !ok {
		return 0, 0
	}
	high = min(rules.RoundDown(float64(n)*w.FloatMaxV, 0.1), f.V(p.Spec, circuit.Highest))
	return min(rules.RoundUp(float64(n)*w.FloatMinV, 0.1), high), high
}

// hot checks a lead-acid battery at its float voltage in the heat, and says whether it
// reported that.
func (f floating) hot(c *rules.Check, p *rules.Pass, r regulator, v float64, n int, w calc.ChargeWindow) bool {
	air := f.hottest(p, r)
	kind := construction(p, f)
	if w.MVPerK == 0 || kind == "flooded" || air.C() <= calc.SealedHotC {
		return false
	}
	float := calc.AtBattery(n, w.FloatMaxV, w.MVPerK, air.C())
	trial := v + r.compMVPerK.Or(0)/1000*(air.C()-25)
	fails := trial*p.Required() > float.Value*(1+1e-9)
	if !fails && kind == "" {
		return false
	}
	battery := f.SeriesString[0]
	if kind == "" {
		c.NotChecked(battery.Path+".lead_acid", "%s: %s V at %s C is above its float voltage of %s V there, which a sealed battery does not withstand; whether it is sealed is not stated",
			f.Name(), rules.Figure(trial), rules.Figure(air.C()), rules.Figure(float.Value))
		return true
	}
	c.GivenText("kind", "construction of "+battery.ID, kind, battery.Path+".lead_acid")
	t := air.Explain(c.Working)
	at := r.atTemperature(c, v, t)
	c.Standard("V_float", "highest float voltage of a cell at 25 C", w.FloatMaxV, "V", "common practice")
	c.Standard("k", "how it follows the temperature", w.MVPerK, "mV/K", "public charging guides")
	limit := c.Line("V_hot", "highest float voltage in the heat", float)
	c.Level(rules.Warning)
	c.Fix("use a converter with a temperature sensor on the battery (compensation_mV_per_K of %s), or mount the battery where the air is at most %s C", rules.Figure(float64(n)*w.MVPerK), rules.Figure(calc.SealedHotC))
	c.AtMost(rules.Volts(at), rules.Volts(limit), "%s: %s holds it at %s V in air of %s C, float voltage %s V there; a sealed battery overheats", f.Name(), r.id,
		rules.Figure(at), rules.Figure(t), rules.Figure(limit))
	return true
}
