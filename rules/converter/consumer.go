package converter

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/schema"
)

// consumer is one thing that a converter's output supplies, and the current
// that it draws at the converter's voltage.
type consumer struct {
	id     string
	what   string
	fullA  float64 // while it is on
	share  float64 // of the time that it is on, 0 to 1
	startA float64 // what it draws beyond fullA while it starts
	onS    schema.Number
	path   string // of the part
	lamp   bool   // it is a cold filament when switched on

	inputs   []input
	line     *calc.Line // that gives fullA; nil where the input is the current itself
	solved   string     // set when the current is taken from the solved circuit: in which case
	missing  string     // path of the value without which its current is not known
	flashing bool
}

// input is a number of the spec that a consumer's current is computed from.
type input struct {
	symbol, what string
	value        float64
	unit, path   string
}

// meanA is its current averaged over the time of use.
func (k *consumer) meanA() float64 { return k.fullA * k.share }

// flashS is the longest time for which a flashing lamp is on: 60 flashes a
// minute are the fewest that UN R6 allows, on for at most 80 % of the period
// (the latter from memory).
const flashS = 0.8

// longestS is how long it stays on in one go, if that is known: forever (not
// known to be shorter) for one without duty and without on_s.
func (k *consumer) longestS() (seconds float64, known bool) {
	switch {
	case k.onS.Known:
		return k.onS.Value, true
	case k.flashing:
		return flashS, true
	}
	return 0, false
}

// ofLoad is a load's current at the voltage v of the network.
func ofLoad(l *schema.Load, v float64) consumer {
	load := calc.Load{Law: calc.LoadKind(l.LoadKind).Law(), PowerW: l.PowerW, AtV: l.AtV}
	in := load.Current("V_out", v)
	k := consumer{id: l.ID, what: l.ID, path: l.Path(), share: l.DutyPercent / 100, onS: l.OnS, lamp: load.Law == calc.Filament,
		fullA: in.Value, line: &in}
	k.inputs = []input{{"P_" + l.ID, "power of " + l.ID, l.PowerW, "W", l.Path() + ".power_W"}}
	if load.Law != calc.ConstantPower {
		k.inputs = append(k.inputs, input{"U_" + l.ID, "voltage at which that power holds", l.AtV, "V", l.Path() + ".at_V"})
	}
	if load.Law == calc.ConstantCurrent {
		k.startA = max(0, l.StallA.Or(0)-k.fullA)
	}
	k.flashing = (l.LoadKind == "led" || k.lamp) && l.DutyPercent < 100 && !l.OnS.Known
	return k
}

// ofCoil is the current of a coil that has operated, and what it draws more
// while it pulls in. A cold coil draws up to a tenth more than at 20 C, which
// does not last.
func ofCoil(id, path string, c *schema.Coil, v float64) consumer {
	k := consumer{id: id + ".coil", what: "coil of " + id, path: path, share: 1}
	path += ".coil."
	switch {
	case c.Drive == "economiser" && c.HoldA.Known:
		k.fullA = c.HoldA.Value
		k.inputs = []input{{"I_" + k.id, "holding current of " + id, c.HoldA.Value, "A", path + "hold_A"}}
		k.startA = max(0, c.PickupA.Or(0)-c.HoldA.Value)
	case c.Drive == "economiser":
		k.missing = path + "hold_A"
	case c.ResistanceOhm.Known:
		in := calc.OhmicCurrent("V_out", v, c.ResistanceOhm.Value)
		k.fullA, k.line = in.Value, &in
		k.inputs = []input{{"R_" + id, "resistance of the coil of " + id, c.ResistanceOhm.Value, "Ohm", path + "resistance_Ohm"}}
	default:
		k.missing = path + "resistance_Ohm"
	}
	return k
}

// ofMilliamperes is a consumer whose current is declared as such.
func ofMilliamperes(id, what, path, field string, mA float64) consumer {
	in := calc.Milliamperes("i", mA)
	return consumer{id: id, what: what, path: path, share: 1, fullA: in.Value, line: &in,
		inputs: []input{{"i_" + id, "current of " + what, mA, "mA", path + "." + field}}}
}

// ofResistor is a power resistor across the network.
func ofResistor(r *schema.Resistor, v float64) consumer {
	in := calc.OhmicCurrent("V_out", v, r.ResistanceOhm)
	return consumer{id: r.ID, what: r.ID, path: r.Path(), share: 1, fullA: in.Value, line: &in,
		inputs: []input{{"R_" + r.ID, "resistance of " + r.ID, r.ResistanceOhm, "Ohm", r.Path() + ".resistance_Ohm"}}}
}

// ofBattery is the charging current that a floating battery draws.
func ofBattery(b *schema.Battery) consumer {
	return consumer{id: b.ID, what: b.ID + ", floating", path: b.Path(), share: 1, fullA: b.FloatA.Value,
		inputs: []input{{"I_" + b.ID, "float current of " + b.ID, b.FloatA.Value, "A", b.Path() + ".float_A"}}}
}

// ofConverter is a converter that is fed from the network.
func ofConverter(p *rules.Pass, c *schema.Converter, outputA, v float64) consumer {
	efficiency := c.EfficiencyPercent.Or(p.Spec.Policy.ConverterEfficiency)
	in := calc.InputCurrent(c.Output.NominalV, outputA, efficiency, "V_out", v)
	return consumer{id: c.ID, what: "input of " + c.ID, path: c.Path(), share: 1, fullA: in.Value, line: &in,
		inputs: []input{{"eta", "efficiency of " + c.ID, efficiency, "%", c.Path() + ".efficiency_percent"}}}
}

// show adds the consumer's current to a working; mean adds its average too.
func (k *consumer) show(c *rules.Check, mean bool) {
	if k.solved != "" {
		c.Solved("I_"+k.id, k.what, k.fullA, "A", k.solved)
		return
	}
	for _, in := range k.inputs {
		c.Given(in.symbol, in.what, in.value, in.unit, in.path)
	}
	if k.line != nil {
		c.Line("I_"+k.id, "current of "+k.what, *k.line)
	}
	if mean && k.share < 1 {
		d := c.Given("d_"+k.id, "share of the time that "+k.id+" is on", 100*k.share, "%", k.path+".duty_percent")
		c.Calc("I_"+k.id+"_mean", "mean current of "+k.id, "d I", rules.Term(d)+"/100 * "+rules.Term(k.fullA), k.meanA(), "A")
	}
}
