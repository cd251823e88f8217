package fuse

import (
	"math"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

// passes is the continuous current in A that is possible through a part in the
// direction that begins at a node: the rating of a fuse, the limit of a source,
// the greatest current that a consumer is declared to draw.
func (s *supply) passes(e *circuit.Edge, from circuit.Node) float64 {
	if e.Protects() {
		if s.opensNoOverload(e.Part) {
			return math.Inf(1)
		}
		return s.fuseOf(e.Part).RatedA
	}
	switch e.Kind {
	case circuit.BatteryEdge:
		if from == e.From {
			return 0 // charging
		}
		if own := s.Spec.Batteries[e.Part].InternalFuseA; own.Known {
			return own.Value
		}
		return math.Inf(1)
	case circuit.ConverterOutput:
		if from == e.From {
			return 0
		}
		limit, _ := s.Circuit.ConverterLimitA(e.Part)
		return limit
	case circuit.DiodeEdge:
		if from == e.From {
			return math.Inf(1)
		}
		return 0
	case circuit.ResistorEdge:
		return s.draws(nil, e)
	case circuit.LoadEdge, circuit.ControllerEdge, circuit.ConverterInput, circuit.CoilEdge, circuit.MeterEdge, circuit.EnableEdge:
		if from == e.To {
			return 0
		}
		return s.draws(nil, e)
	}
	return 0
}

// opensNoOverload reports whether a fuse is of partial range.
func (s *supply) opensNoOverload(id string) bool {
	f := s.fuseOf(id)
	l, known := calc.FuseClass(f.Class).Loading()
	return known && l.PartialRange || f.MinBreakingA.Known
}

// explainPasses adds the limit of a part to a working and returns it.
func (s *supply) explainPasses(w *rules.Working, e *circuit.Edge) float64 {
	path := ""
	if part := s.Spec.Part(e.Part); part != nil {
		path = part.Common().Path()
	}
	if e.Protects() {
		return w.Given("I_n", "rated current of "+e.Part, s.fuseOf(e.Part).RatedA, "A", path+".rated_A")
	}
	switch e.Kind {
	case circuit.BatteryEdge:
		return w.Given("I_"+e.Part, "internal fuse of "+e.Part, s.Spec.Batteries[e.Part].InternalFuseA.Value, "A", path+".internal_fuse_A")
	case circuit.ConverterOutput:
		limit, from := s.Circuit.ConverterLimitA(e.Part)
		return w.Given("I_"+e.Part, "current limit of "+e.Part, limit, "A", from)
	}
	return s.draws(w, e)
}

// draws is the greatest continuous current in A that a consumer is declared to
// draw, +Inf where nothing declares it, with its steps in a working that is not
// nil.
func (s *supply) draws(w *rules.Working, e *circuit.Edge) float64 {
	if w == nil {
		w = s.Subject(e.ID, "").Working // not reported
	}
	what := "greatest continuous current of " + e.Part
	switch e.Kind {
	case circuit.ResistorEdge:
		return s.drawsByOhm(w, e, what, s.ohms(w, e))
	case circuit.CoilEdge:
		if t, ok := s.Spec.Timers[e.Part]; ok {
			if t.SupplyMA.Known {
				return milli(w, e.Part, t.SupplyMA.Value, t.Path()+".supply_mA")
			}
			return 0
		}
		coil, path := s.coil(e.Part)
		switch {
		case coil.Drive == "economiser" && coil.HoldA.Known:
			return w.Given("I_"+e.Part, "holding current of "+e.Part, coil.HoldA.Value, "A", path+".hold_A")
		case coil.ResistanceOhm.Known:
			return s.drawsByOhm(w, e, what, w.Given("R", "resistance of the coil of "+e.Part, coil.ResistanceOhm.Value, "Ohm", path+".resistance_Ohm"))
		}
		return math.Inf(1)
	case circuit.ControllerEdge:
		c := s.Spec.Controllers[e.Part]
		if c.BatteryContinuousA.Known {
			return w.Given("I_"+e.Part, "continuous limit of "+e.Part, c.BatteryContinuousA.Value, "A", c.Path()+".battery_continuous_A")
		}
		if c.BatteryPeakA.Known {
			return w.Given("I_"+e.Part, "limit of "+e.Part, c.BatteryPeakA.Value, "A", c.Path()+".battery_peak_A")
		}
		return math.Inf(1)
	case circuit.ConverterInput:
		return s.converterDraws(w, s.Spec.Converters[e.Part])
	case circuit.LoadEdge:
		return s.loadDraws(w, e, s.Spec.Loads[e.Part])
	case circuit.MeterEdge:
		if m := s.Spec.Meters[e.Part]; e.ID == e.Part+".supply" && m.SupplyMA.Known {
			return milli(w, e.Part, m.SupplyMA.Value, m.Path()+".supply_mA")
		}
	case circuit.EnableEdge:
		if c, ok := s.Spec.Controllers[e.Part]; ok && c.EnableMA.Known {
			return milli(w, e.Part, c.EnableMA.Value, c.Path()+".enable_mA")
		}
	}
	return 0 // an input that draws next to nothing
}

func milli(w *rules.Working, id string, mA float64, path string) float64 {
	w.Given("I_in", "input current of "+id, mA, "mA", path)
	return w.Line("I_"+id, "in amperes", calc.Milliamperes("I_in", mA))
}

// ohms is the resistance of a resistor, or of a controller's bleeder.
func (s *supply) ohms(w *rules.Working, e *circuit.Edge) float64 {
	if r, ok := s.Spec.Resistors[e.Part]; ok {
		return w.Given("R", "resistance of "+e.Part, r.ResistanceOhm, "Ohm", r.Path()+".resistance_Ohm")
	}
	c := s.Spec.Controllers[e.Part]
	k := w.Given("R_b", "bleeder of "+e.Part, c.BleedKOhm.Value, "kOhm", c.Path()+".bleed_kOhm")
	return w.Calc("R", "in ohms", "1000 R_b", "1000 * "+rules.Term(k), 1000*k, "Ohm")
}

// drawsByOhm is V / R at the highest working voltage.
func (s *supply) drawsByOhm(w *rules.Working, e *circuit.Edge, what string, ohm float64) float64 {
	v := s.highest(w, e)
	return w.Line("I_"+e.Part, what, calc.OhmicCurrent("V", v, ohm))
}

// highest is the highest working voltage in V at a consumer. Where what
// regeneration adds is not known, it is the voltage without it.
func (s *supply) highest(w *rules.Working, e *circuit.Edge) float64 {
	l := demand.For(s.Pass)
	sources := l.SourcesAt(e.From)
	if e.Kind == circuit.ResistorEdge && len(sources) == 0 {
		sources = l.SourcesAt(e.To)
	}
	v, _ := l.WorkingV(w, sources)
	return v
}

// coil finds the coil of a contactor or relay.
func (s *supply) coil(id string) (*schema.Coil, string) {
	if k, ok := s.Spec.Contactors[id]; ok {
		return &k.Coil, k.Path() + ".coil"
	}
	r := s.Spec.Relays[id]
	return &r.Coil, r.Path() + ".coil"
}

// converterDraws is the input current of a converter at the limit of its
// output and its lowest input voltage.
func (s *supply) converterDraws(w *rules.Working, c *schema.Converter) float64 {
	if c.Input.MaxA.Known {
		return w.Given("I_"+c.ID, "greatest input current of "+c.ID, c.Input.MaxA.Value, "A", c.Path()+".input.max_A")
	}
	limit, from := s.Circuit.ConverterLimitA(c.ID)
	i := w.Given("I_o", "current limit of "+c.ID, limit, "A", from)
	v := w.Given("V_o", "its output voltage", c.Output.NominalV, "V", c.Path()+".output.nominal_V")
	low := w.Given("V_in", "its lowest input voltage", c.Input.MinV, "V", c.Path()+".input.min_V")
	eta := w.Or("eta", "its efficiency", c.EfficiencyPercent, "%", c.Path()+".efficiency_percent", s.Spec.Policy.ConverterEfficiency, "policy.converter_efficiency_percent")
	return w.Line("I_"+c.ID, "greatest input current of "+c.ID, calc.InputCurrent(v, i, eta, "V_in", low))
}

// loadDraws is the greatest continuous current of a load.
func (s *supply) loadDraws(w *rules.Working, e *circuit.Edge, l *schema.Load) float64 {
	what := "greatest continuous current of " + l.ID
	if l.LoadKind == "motor" && l.StallA.Known {
		return w.Given("I_"+l.ID, "stall current of "+l.ID, l.StallA.Value, "A", l.Path()+".stall_A")
	}
	load := calc.Load{Law: calc.LoadKind(l.LoadKind).Law().Linear(),
		PowerW: w.Given("P", "power of "+l.ID, l.PowerW, "W", l.Path()+".power_W"),
		AtV:    w.Given("U", "voltage of that power", l.AtV, "V", l.Path()+".at_V")}
	symbol, v := "U", l.AtV
	switch load.Law {
	case calc.ConstantPower:
		if l.MinV.Known {
			symbol, v = "V_min", w.Given("V_min", "lowest voltage at which it works", l.MinV.Value, "V", l.Path()+".min_V")
		}
	case calc.ConstantResistance:
		symbol, v = "V", s.highest(w, e)
	}
	return w.Line("I_"+l.ID, what, load.Current(symbol, v))
}

// limitOf is the path of the limit that a loop lacks.
func (s *supply) limitOf(way []*circuit.Edge) string {
	for _, e := range way {
		switch e.Kind {
		case circuit.ControllerEdge:
			return "controllers." + e.Part + ".battery_continuous_A"
		case circuit.CoilEdge:
			if s.Spec.Timers[e.Part] != nil {
				continue
			}
			_, path := s.coil(e.Part)
			return path + ".resistance_Ohm"
		}
	}
	return "a fuse or a limit in the circuit"
}
