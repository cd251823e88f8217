package contactor

import (
	"math"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
)

func coilNominalMismatch() *rules.Rule {
	return &rules.Rule{
		ID:     "coil-nominal-mismatch",
		Family: family,
		Title:  "a coil's nominal voltage does not match its circuit",
		Why: "A 24 V coil on a 12 V circuit never pulls in; a 12 V coil on a 24 V circuit draws four times its power and burns out " +
			"within minutes. The two contactors look the same and differ in one digit of the order number.",
		Relation: "the nominal voltage of the feeding network is within 25 % of the coil's, or between the coil's operate and highest voltage",
		Source:   "common practice",
		Level:    rules.Error,
		Fix:      "order the coil for the voltage of the circuit that feeds it",
		Example: rules.Example{Vehicle: "heron", Subject: "main_contactor", Edits: []rules.Edit{
			{Path: "contactors.main_contactor.coil.nominal_V", Value: "24"},
			{Path: "contactors.main_contactor.coil.operate_V", Value: "18"},
			{Path: "contactors.main_contactor.coil.max_V", Value: "30"}}},
		Check: checkNominal,
	}
}

// nominalTolerance is how far the nominal voltage of a coil may be from that of
// its circuit (common practice): a running 12 V converter supplies 13.8 V, 15 %
// more than 12 V.
const nominalTolerance = 0.25

func checkNominal(p *rules.Pass) {
	for _, d := range devices(p) {
		c, ok := onCoil(p, d)
		if !ok {
			continue
		}
		supply, from, ok := d.nominalSupply(p)
		if !ok {
			c.NotChecked("a mode that energises "+d.id, "coil of %s: no mode energises it", d.id)
			continue
		}
		c.Given("V_n", "nominal voltage of the coil", d.coil.NominalV, "V", d.coilPath("nominal_V"))
		if from.path == "" {
			c.Solved("V_s", "voltage at the coil", supply, "V", "nominal supplies, mode "+from.mode)
		} else {
			c.Given("V_s", "nominal voltage of "+from.source, supply, "V", from.path)
		}
		off := c.Calc("d", "deviation", "V_s / V_n - 1", rules.Term(supply)+" / "+rules.Term(d.coil.NominalV)+" - 1", supply/d.coil.NominalV-1, "")
		c.Culprit(d.coilID()) // what its current does to fuses and poles is no fault of theirs
		c.Fix("use a coil rated %s V nominal", rules.Figure(usualNominal(supply)))
		c.Holds(!d.mismatched(supply), "coil of %s: rated %s V nominal, fed from %s at %s V nominal (%+.0f %%)",
			d.id, rules.Figure(d.coil.NominalV), from.source, rules.Figure(supply), 100*off)
	}
}

// usualNominal is the voltage that coils for a supply are named by: those on sale
// are for multiples of 6 V and 12 V (common practice).
func usualNominal(supply float64) float64 {
	usual := []float64{6, 12, 24, 36, 48, 60, 72, 80, 96, 110, 120, 144}
	best, least := supply, nominalTolerance
	for _, v := range usual {
		if off := math.Abs(supply/v - 1); off < least {
			best, least = v, off
		}
	}
	return best
}

// mismatched compares a coil with its supply. A coil with a wide range, as
// those with electronics have, is right anywhere within it.
func (d device) mismatched(supply float64) bool {
	if math.Abs(supply/d.coil.NominalV-1) <= nominalTolerance {
		return false
	}
	inRange := d.coil.OperateV.Known && d.coil.MaxV.Known && d.coil.OperateV.Value <= supply && supply <= d.coil.MaxV.Value
	return !inRange
}

// nominalMismatch reports whether the coil is rated for another voltage.
func (d device) nominalMismatch(p *rules.Pass) bool {
	supply, _, ok := d.nominalSupply(p)
	return ok && d.mismatched(supply)
}

// origin says where a coil's nominal supply was read.
type origin struct{ mode, source, path string }

// nominalSupply is the nominal voltage that a coil is meant to have: that of its
// source, or behind a dropper resistor what the resistor leaves.
func (d device) nominalSupply(p *rules.Pass) (v float64, from origin, ok bool) {
	feeds := d.feeds(p)
	if len(feeds) == 0 {
		return 0, origin{}, false
	}
	f := feeds[0]
	from = origin{mode: f.mode, source: f.source.ID}
	if f.dropper() != "" {
		s := p.Circuit.Solve(circuit.Case{Mode: f.mode, Start: circuit.FromOpen, NoDraw: true, Waiting: d.id})
		return d.coilV(s), from, s.Settled(d.coilID())
	}
	switch id := f.source.ID; {
	case f.source.Role == "converter":
		from.path = f.source.Path + ".output.nominal_V"
		return p.Spec.Converters[id].Output.NominalV, from, true
	case f.source.Role == "charger":
		from.path = f.source.Path + ".max_V"
		return f.source.MaxV, from, true
	}
	return d.nominalBattery(p, f, from)
}

// nominalBattery adds up the nominal voltages of the batteries of a feed, which
// may be a string in series.
func (d device) nominalBattery(p *rules.Pass, f feed, from origin) (float64, origin, bool) {
	v := p.Spec.Batteries[f.source.ID].NominalV
	from.path = f.source.Path + ".nominal_V"
	for _, e := range f.path {
		if e.Kind == circuit.BatteryEdge {
			v += p.Spec.Batteries[e.Part].NominalV
		}
	}
	return v, from, true
}
