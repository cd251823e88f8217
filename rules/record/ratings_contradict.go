package record

import (
	"strconv"
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/schema"
)

func ratingsContradict() *rules.Rule {
	return &rules.Rule{
		ID:     "ratings-contradict",
		Family: family,
		Title:  "two ratings of one part cannot both be true",
		Why: "Two numbers of one datasheet are linked by physics. If they disagree, one of them was copied from another part, " +
			"and every check that uses it is wrong without any sign of it.",
		Relation: "coil: pickup_A = nominal_V / resistance_Ohm; battery: short_circuit_A = max_V / R_min; fuse: I^2t at the end of its curve = its declared I^2t, " +
			"and it does not open below its rating; contact: short-time currents above carry_A, breaking points within rated_V_dc; converter: input power covers its output; " +
			"creepage is at least clearance; each with the tolerance of its formula",
		Source: "Ohm's law; IEC 60269-1 (I^2t and gates, from memory); IEC 60664-1 (creepage not below clearance); common practice for the tolerances",
		Level:  rules.Warning,
		Varies: "error where a battery states less short-circuit current than its resistance gives: breaking capacities are held against it",
		Fix:    "compare both values with the datasheet",
		Example: rules.Example{Vehicle: "heron", Subject: "main", Edits: []rules.Edit{
			{Path: "fuses.main.melting_I2t_A2s", Value: "900000"}, {Path: "fuses.main.total_I2t_A2s", Value: "950000"}}},
		Check: checkContradict,
	}
}

func checkContradict(p *rules.Pass) {
	for id, part := range p.Spec.Parts() {
		if !part.Common().Spare {
			evalClaims(p, id, part.Common(), claims(p.Spec, part))
		}
	}
	for id, w := range schema.Sorted(p.Spec.Wires) {
		evalClaims(p, id, &w.Base, wireClaims(w))
	}
	for id, b := range schema.Sorted(p.Spec.Busbars) {
		evalClaims(p, id, &b.Base, busbarClaims(b))
	}
}

// claim is a declared value that others of the same part bound.
type claim struct {
	path, what  string // of the stated value
	value       float64
	unit        string
	bound       string // what bounds it, in words
	formula     string // of the bound; "" where it is a stated value too
	numbers     string
	other       float64
	least, most float64 // the stated value over the bound; 0 stands for no limit
	grave       bool    // an error where it is below the least: checks of what may burn rest on it
	follows     string  // a rule that finds the same of the part and more
}

func (c claim) holds() bool {
	const rounding = 1e-9
	return (c.least == 0 || c.value >= c.least*c.other*(1-rounding)) && (c.most == 0 || c.value <= c.most*c.other*(1+rounding))
}

// allowed says between which values the declared one may be.
func (c claim) allowed() string {
	switch {
	case c.most == 0:
		return "at least " + rules.Figure(c.least*c.other) + " " + c.unit
	case c.least == 0:
		return "at most " + rules.Figure(c.most*c.other) + " " + c.unit
	}
	return rules.Figure(c.least*c.other) + " to " + rules.Figure(c.most*c.other) + " " + c.unit
}

// evalClaims reports one result for a part whose values bound each other.
func evalClaims(p *rules.Pass, id string, base *schema.Base, list []claim) {
	if len(list) == 0 {
		return
	}
	c := p.Subject(id, base.Path())
	var wrong []string
	for _, x := range list {
		c.Given(symbolOf(x.path), x.what, x.value, x.unit, x.path)
		if x.formula != "" {
			c.Calc("bound", x.bound, x.formula, x.numbers, x.other, x.unit)
		}
		if !x.holds() {
			wrong = append(wrong, x.path[len(base.Path())+1:]+" is "+rules.Figure(x.value)+" "+x.unit+", but "+x.bound+" requires "+x.allowed())
			c.Related(x.path, "the value is here")
			if x.grave && x.value < x.least*x.other {
				c.Level(rules.Error)
			}
		}
	}
	if len(wrong) == 1 && !list[0].holds() && list[0].follows != "" {
		c.Because(list[0].follows, id)
	}
	c.Holds(len(wrong) == 0, "%s", sentence(id, wrong))
}

func sentence(id string, wrong []string) string {
	if len(wrong) == 0 {
		return id + ": its ratings agree with each other"
	}
	return id + ": " + strings.Join(wrong, "; ")
}

// symbolOf is the last part of a path: the field's name.
func symbolOf(path string) string { return path[strings.LastIndexByte(path, '.')+1:] }

// claims lists the claims of a part.
func claims(s *schema.Spec, part schema.Part) []claim {
	switch x := part.(type) {
	case *schema.Battery:
		return batteryClaims(x)
	case *schema.Fuse:
		return fuseClaims(x)
	case *schema.Disconnect:
		return contactClaims(&x.Contact, x.Path())
	case *schema.Contactor:
		return append(contactClaims(&x.Contact, x.Path()+".contact"), coilClaims(&x.Coil, x.Path()+".coil")...)
	case *schema.Relay:
		return append(contactClaims(&x.Contact, x.Path()+".contact"), coilClaims(&x.Coil, x.Path()+".coil")...)
	case *schema.Timer:
		return contactClaims(&x.Contact, x.Path()+".contact")
	case *schema.Converter:
		return converterClaims(s, x)
	case *schema.Load:
		return loadClaims(x)
	case *schema.Stud:
		return spacingClaims(x.Path(), x.ClearanceMM, x.CreepageMM)
	}
	return nil
}

// A stated short-circuit current is that of the first milliseconds, a stated
// resistance often that of ten seconds: 40 to 60 % of it is ohmic (common
// practice). Beyond a factor of 2.5 the two are of different batteries. Below what the
// resistance gives it cannot be, but that it may be stated at the nominal voltage.
const (
	pulseOverOhmic  = 2.5
	nominalOverFull = 0.85
)

func batteryClaims(b *schema.Battery) []claim {
	r, what := b.ResistanceMOhm.Min, "the lowest resistance"
	if !r.Known {
		r, what = b.ResistanceMOhm.Typ, "the typical resistance"
	}
	if !b.ShortCircuitA.Known || !r.Known {
		return nil
	}
	return []claim{{path: b.Path() + ".short_circuit_A", what: "declared short-circuit current", value: b.ShortCircuitA.Value, unit: "A",
		bound: what, formula: "1000 max_V / R", numbers: "1000 * " + rules.Figure(b.MaxV) + " / " + rules.Figure(r.Value), other: 1000 * b.MaxV / r.Value,
		least: nominalOverFull, most: pulseOverOhmic, grave: true}}
}

func fuseClaims(f *schema.Fuse) []claim {
	if f.Opening == nil {
		return nil
	}
	var out []claim
	if n := len(f.Opening.Min); n > 0 {
		first, last := f.Opening.Min[0], f.Opening.Min[n-1]
		out = append(out, claim{path: f.Path() + ".opening.min.0.current_A", what: "lowest current at which it may open", value: first.CurrentA, unit: "A",
			bound: "rated_A", other: f.RatedA, least: 1, follows: "fuse-curve-unlike-rating"})
		if f.MeltingI2t.Known {
			out = append(out, integralClaim(f.Path()+".melting_I2t_A2s", "melting integral", f.MeltingI2t.Value, last, "the end of opening.min"))
		}
	}
	if n := len(f.Opening.Max); n > 0 && f.TotalI2t.Known {
		out = append(out, integralClaim(f.Path()+".total_I2t_A2s", "total integral", f.TotalI2t.Value, f.Opening.Max[n-1], "the end of opening.max"))
	}
	return out
}

// integralClaim holds a heating integral against a curve's last point: it falls
// with rising current to its adiabatic value, so it is not above that of the
// point but for reading error, and no small part of it.
func integralClaim(path, what string, value float64, last schema.CurrentTime, bound string) claim {
	return claim{path: path, what: what, value: value, unit: "A2s", bound: bound,
		formula: "I^2 t", numbers: rules.Figure(last.CurrentA) + "^2 * " + rules.Figure(last.S), other: last.CurrentA * last.CurrentA * last.S,
		least: 0.02, most: 1.5}
}

func contactClaims(c *schema.Contact, path string) []claim {
	var out []claim
	for i, r := range c.ShortTime {
		if c.CarryA.Known {
			out = append(out, claim{path: path + ".short_time." + strconv.Itoa(i) + ".A", what: "short-time current", value: r.A, unit: "A",
				bound: "carry_A", other: c.CarryA.Value, least: 1})
		}
	}
	for i, r := range c.Break {
		if c.RatedVdc.Known {
			out = append(out, claim{path: path + ".break." + strconv.Itoa(i) + ".V", what: "voltage at which it interrupts", value: r.V, unit: "V",
				bound: "rated_V_dc", other: c.RatedVdc.Value, most: 1})
		}
	}
	return out
}

func coilClaims(c *schema.Coil, path string) []claim {
	var out []claim
	if c.PickupA.Known && c.ResistanceOhm.Known {
		out = append(out, claim{path: path + ".pickup_A", what: "pick-up current", value: c.PickupA.Value, unit: "A",
			bound: "the coil's resistance", formula: "nominal_V / R", numbers: rules.Figure(c.NominalV) + " / " + rules.Figure(c.ResistanceOhm.Value),
			other: c.NominalV / c.ResistanceOhm.Value, least: 0.7, most: 1.4})
	}
	// A plain diode holds the coil at its forward voltage, whatever its size.
	const diodeV = 3
	if c.ClampV.Known && c.Suppression == "diode" {
		out = append(out, claim{path: path + ".clamp_V", what: "clamping voltage", value: c.ClampV.Value, unit: "V",
			bound: "a plain diode (suppression: diode)", other: diodeV, most: 1})
	}
	return out
}

func converterClaims(s *schema.Spec, c *schema.Converter) []claim {
	if !c.Input.MaxA.Known {
		return nil
	}
	efficiency := c.EfficiencyPercent.Or(s.Policy.ConverterEfficiency)
	least := calc.InputCurrent(c.Output.NominalV, c.Output.ContinuousA, efficiency, "V_in,max", c.Input.MaxV)
	return []claim{{path: c.Path() + ".input.max_A", what: "highest input current", value: c.Input.MaxA.Value, unit: "A",
		bound: "its continuous output at the highest input voltage", formula: least.Formula(), numbers: least.Numbers(), other: least.Value, least: 0.95}}
}

func loadClaims(l *schema.Load) []claim {
	if !l.StallA.Known {
		return nil
	}
	return []claim{{path: l.Path() + ".stall_A", what: "current at stall", value: l.StallA.Value, unit: "A",
		bound: "the running current", formula: "power_W / at_V", numbers: rules.Figure(l.PowerW) + " / " + rules.Figure(l.AtV), other: calc.Load{PowerW: l.PowerW, AtV: l.AtV}.RatedA(), least: 1}}
}

// insulationC is the highest conductor temperature in C that a kind of
// insulation is made for (common practice: the best compounds on sale).
func insulationC(material string) float64 {
	switch material {
	case "PVC":
		return 105
	case "XLPE", "EPR":
		return 150
	}
	return 250
}

func wireClaims(w *schema.Wire) []claim {
	in, path := w.Insulation, w.Path()+".insulation"
	var out []claim
	if in.MaxC.Known && in.Material != "" {
		out = append(out, claim{path: path + ".max_C", what: "highest conductor temperature", value: in.MaxC.Value, unit: "C",
			bound: "insulation of " + in.Material, other: insulationC(in.Material), most: 1})
	}
	if in.MaxC.Known && in.ShortTimeC.Known {
		out = append(out, claim{path: path + ".short_time_C", what: "temperature in a short circuit", value: in.ShortTimeC.Value, unit: "C",
			bound: "insulation.max_C", other: in.MaxC.Value, least: 1})
	}
	return out
}

func busbarClaims(b *schema.Busbar) []claim {
	out := append([]claim{{path: b.Path() + ".thickness_mm", what: "thickness", value: b.ThicknessMM, unit: "mm", bound: "width_mm", other: b.WidthMM, most: 1}},
		spacingClaims(b.Path(), b.ClearanceMM, b.CreepageMM)...)
	if b.SpacingMM.Known && b.ClearanceMM.Known {
		out = append(out, claim{path: b.Path() + ".clearance_mm", what: "clearance", value: b.ClearanceMM.Value, unit: "mm",
			bound: "spacing_mm (centre to centre)", other: b.SpacingMM.Value, most: 1})
	}
	return out
}

func spacingClaims(path string, clearance, creepage schema.Number) []claim {
	if !clearance.Known || !creepage.Known {
		return nil
	}
	return []claim{{path: path + ".creepage_mm", what: "creepage distance", value: creepage.Value, unit: "mm", bound: "clearance_mm", other: clearance.Value, least: 1}}
}
