package record

import (
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/schema"
)

func valueUnlikely() *rules.Rule {
	return &rules.Rule{
		ID:     "value-unlikely",
		Family: family,
		Title:  "a value is very unlikely in a small vehicle",
		Why: "A misplaced decimal point, or milli for kilo, gives a number that the format accepts and no datasheet has. " +
			"Nothing computed from it is right.",
		Relation: "each rating is within the range of parts sold for small vehicles; a fuse is not below 2 % of 5 A/mm2 of its own wire; " +
			"a wire has less than 1 Ohm; a torque fits the thread (from a third of brass to 8.8 steel)",
		Source: "common practice: the ranges on the market, widened",
		Level:  rules.Warning,
		Varies: "error for a torque below that range, or above 1.5 times the highest, that of 10.9 steel: the joint is loose, or its bolt stretched",
		Fix:    "compare the value and its unit with the datasheet",
		Example: rules.Example{Vehicle: "heron", Subject: "main", Edits: []rules.Edit{
			{Path: "fuses.main.rated_A", Value: "0.15"}, {Path: "fuses.main.opening"}}},
		Check: checkUnlikely,
	}
}

func checkUnlikely(p *rules.Pass) {
	air := p.Spec.Vehicle.AmbientC
	evalUsual(p, "vehicle", "vehicle", []usual{{"vehicle.ambient_C.max", air.Max, 15, 60, "C", ""}, {"vehicle.ambient_C.min", air.Min, -50, 30, "C", ""}})
	thinnest := thinnestWires(p.Spec)
	for id, part := range p.Spec.Parts() {
		if base := part.Common(); !base.Spare {
			evalUsual(p, id, base.Path(), append(usualOf(part, thinnest), usualTorque(part)...))
		}
	}
	for id, w := range schema.Sorted(p.Spec.Wires) {
		evalUsual(p, id, w.Path(), usualWire(p, w))
	}
	for id, b := range schema.Sorted(p.Spec.Busbars) {
		evalUsual(p, id, b.Path(), append([]usual{
			{b.Path() + ".width_mm", b.WidthMM, 4, 200, "mm", ""},
			{b.Path() + ".thickness_mm", b.ThicknessMM, 0.3, 25, "mm", ""},
			{b.Path() + ".length_mm", b.LengthMM, 5, 3000, "mm", ""},
		}, usualTorque(b)...))
	}
}

// usual is a value and the range in which one expects it.
type usual struct {
	path        string
	value       float64
	least, most float64
	unit        string
	because     string // what the range rests on, "" where it is what is on sale
}

// slip names the mistake that would explain a value outside its range, if just one
// power of ten does: with two that would, either is a guess.
func (u usual) slip() string {
	within := func(factor float64) bool { return u.value*factor >= u.least && u.value*factor <= u.most }
	said := ""
	for _, would := range []struct {
		factor float64
		says   string
	}{
		{1000, "a value 1000 times higher would be usual: check the unit"},
		{0.001, "a value 1000 times lower would be usual: check the unit"},
		{10, "a value ten times higher would be usual: check the decimal point"},
		{0.1, "a value ten times lower would be usual: check the decimal point"},
	} {
		if !within(would.factor) {
			continue
		}
		if said != "" {
			return "check unit and decimal point"
		}
		said = would.says
	}
	if said == "" {
		return "check that it is not the value of another field or part"
	}
	return said
}

func evalUsual(p *rules.Pass, id, path string, values []usual) {
	if len(values) == 0 {
		return
	}
	c := p.Subject(id, path)
	var odd []string
	for _, u := range values {
		if u.value >= u.least && u.value <= u.most {
			continue
		}
		field := strings.TrimPrefix(u.path, path+".")
		c.Given(field, "as given", u.value, u.unit, u.path)
		c.Standard(field, "usual, at least", u.least, u.unit, "common practice")
		c.Standard(field, "usual, at most", u.most, u.unit, "common practice")
		c.Related(u.path, "the value is here")
		if u.unit == "Nm" && (u.value < u.least || u.value > 1.5*u.most) {
			c.Level(rules.Error)
		}
		because := ""
		if u.because != "" {
			because = " (" + u.because + ")"
		}
		odd = append(odd, field+" is "+quantity(u.value, u.unit)+", usual "+rules.Figure(u.least)+" to "+quantity(u.most, u.unit)+because+": "+u.slip())
	}
	if len(odd) == 0 {
		c.Holds(true, "%s: its values are in the usual range", id)
		return
	}
	c.Fail("%s: %s", id, strings.Join(odd, "; "))
}

func quantity(v float64, unit string) string { return rules.Quantity{Value: v, Unit: unit}.String() }

// usualOf lists the values of a part that have a usual range.
func usualOf(part schema.Part, thinnest map[string]wireArea) []usual {
	var u list
	path := part.Common().Path()
	switch x := part.(type) {
	case *schema.Battery:
		u.battery(x)
	case *schema.Fuse:
		u.fuse(x, thinnest[x.ID])
	case *schema.Disconnect:
		u.contact(&x.Contact, path, 5)
	case *schema.Contactor:
		u.contact(&x.Contact, path+".contact", 5)
		u.coil(&x.Coil, path+".coil", 0.5, 80)
	case *schema.Relay:
		u.contact(&x.Contact, path+".contact", 0.1)
		u.coil(&x.Coil, path+".coil", 0.1, 20)
	case *schema.Timer:
		u.contact(&x.Contact, path+".contact", 0.1)
	case *schema.Resistor:
		u.add(path+".power_W", x.PowerW, 0.1, 5000, "W")
		if x.PulseJ.Known && x.PowerW.Known {
			u.because(path+".pulse_J", x.PulseJ.Value, 0.2*x.PowerW.Value, 300*x.PowerW.Value, "J", "0.2 to 300 s at its rated power")
		}
	case *schema.Shunt:
		u.value(path+".rated_A", x.RatedA, 1, 2000, "A")
		u.value(path+".drop_mV", x.DropMV, 10, 200, "mV")
	case *schema.Meter:
		u.add(path+".drop_mV", x.DropMV, 10, 200, "mV")
		u.add(path+".full_scale_A", x.FullScaleA, 1, 2000, "A")
	case *schema.Switch:
		for id, pole := range schema.Sorted(x.Poles) {
			u.add(path+".poles."+id+".carry_A", pole.CarryA, 0.02, 300, "A")
			u.add(path+".poles."+id+".rated_V_dc", pole.RatedVdc, 5, 1500, "V")
		}
	case *schema.Converter:
		u.converter(x)
	case *schema.Charger:
		u.value(path+".max_A", x.MaxA, 0.5, 500, "A")
	case *schema.Controller:
		u.controller(x)
	case *schema.Load:
		u.value(path+".power_W", x.PowerW, 0.02, 10000, "W")
		u.value(path+".at_V", x.AtV, 3, 1000, "V")
	case *schema.Diode:
		u.add(path+".forward_V", x.ForwardV, 0.15, 3, "V")
	case *schema.Stud:
		u.add(path+".rated_A", x.RatedA, 5, 1500, "A")
	}
	return u
}

// list gathers the values of a part.
type list []usual

func (l *list) value(path string, v, least, most float64, unit string) {
	l.because(path, v, least, most, unit, "")
}

func (l *list) add(path string, v schema.Number, least, most float64, unit string) {
	if v.Known {
		l.because(path, v.Value, least, most, unit, "")
	}
}

func (l *list) because(path string, v, least, most float64, unit, why string) {
	*l = append(*l, usual{path, v, least, most, unit, why})
}

func (l *list) battery(b *schema.Battery) {
	path := b.Path()
	l.value(path+".nominal_V", b.NominalV, 3, 1000, "V")
	l.add(path+".capacity_Ah", b.CapacityAh, 0.5, 2000, "Ah")
	r := b.ResistanceMOhm.Typ
	if r.Known {
		// Between a short circuit that its own cut-off would hardly see and one
		// that no pack of a small vehicle gives.
		l.because(path+".resistance_mOhm", r.Value, 1000*b.NominalV/100000, 1000*b.NominalV/20, "mOhm", "a short circuit of 20 A to 100 kA")
	}
	if b.CapacityAh.Known {
		l.rate(path+".continuous_A", b.ContinuousA, b.CapacityAh.Value)
		l.rate(path+".charge_max_A", b.ChargeMaxA, b.CapacityAh.Value)
	}
}

// rate holds a current against a capacity: from a charge in two hundred hours
// to one in two minutes.
func (l *list) rate(path string, a schema.Number, capacityAh float64) {
	if a.Known {
		l.because(path, a.Value, capacityAh/200, capacityAh*30, "A", "of "+rules.Figure(capacityAh)+" Ah")
	}
}

// currentDensity is what thick and thin vehicle cable carries at the least, in
// A/mm2, for telling a slip (common practice).
const currentDensity = 5

func (l *list) fuse(f *schema.Fuse, thinnest wireArea) {
	path := f.Path()
	least, why := 0.05, ""
	if a := 0.02 * currentDensity * thinnest.mm2; a > least {
		least, why = a, "its wire "+thinnest.id+" is of "+rules.Figure(thinnest.mm2)+" mm2"
	}
	l.because(path+".rated_A", f.RatedA, least, 1500, "A", why)
	l.add(path+".drop_mV", f.DropMV, 10, 2000, "mV")
	l.add(path+".breaking_A_dc", f.BreakingAdc, 20, 300000, "A")
}

// wireArea is a wire and its copper in mm2.
type wireArea struct {
	id  string
	mm2 float64
}

// thinnestWires finds the thinnest wire on each part, by the part's id.
func thinnestWires(s *schema.Spec) map[string]wireArea {
	thinnest := map[string]wireArea{}
	for id, w := range schema.Sorted(s.Wires) {
		size, err := calc.ParseSize(w.Size)
		if err != nil {
			continue
		}
		for _, end := range []string{w.From, w.To} {
			part, _, _ := strings.Cut(end, ".")
			if last, ok := thinnest[part]; !ok || size.AreaMM2 < last.mm2 {
				thinnest[part] = wireArea{id, size.AreaMM2}
			}
		}
	}
	return thinnest
}

func (l *list) contact(c *schema.Contact, path string, leastA float64) {
	l.add(path+".carry_A", c.CarryA, leastA, 2000, "A")
	l.add(path+".rated_V_dc", c.RatedVdc, 5, 1500, "V")
	if c.ResistanceMOhm.Known && c.CarryA.Known {
		l.because(path+".resistance_mOhm", c.ResistanceMOhm.Value, 1/c.CarryA.Value, 1000/c.CarryA.Value, "mOhm", "1 mV to 1 V at carry_A")
	}
}

func (l *list) coil(c *schema.Coil, path string, leastW, mostW float64) {
	if c.ResistanceOhm.Known && c.Drive != "economiser" {
		v2 := c.NominalV * c.NominalV
		l.because(path+".resistance_Ohm", c.ResistanceOhm.Value, v2/mostW, v2/leastW, "Ohm", "a coil of "+rules.Figure(leastW)+" to "+rules.Figure(mostW)+" W")
	}
	if c.OperateV.Known {
		l.because(path+".operate_V", c.OperateV.Value, 0.3*c.NominalV, c.NominalV, "V", "30 to 100 % of nominal_V")
	}
}

func (l *list) converter(c *schema.Converter) {
	path := c.Path()
	l.value(path+".output.nominal_V", c.Output.NominalV, 3, 450, "V")
	l.value(path+".output.continuous_A", c.Output.ContinuousA, 0.1, 1000, "A")
	l.add(path+".efficiency_percent", c.EfficiencyPercent, 50, 99.5, "percent")
	l.add(path+".input.standby_mA", c.Input.StandbyMA, 0, 2000, "mA")
	l.add(path+".input.capacitance_uF", c.Input.CapacitanceUF, 0, 50000, "uF")
}

func (l *list) controller(c *schema.Controller) {
	path := c.Path()
	l.add(path+".battery_continuous_A", c.BatteryContinuousA, 2, 2000, "A")
	l.add(path+".capacitance_uF", c.CapacitanceUF, 5, 200000, "uF")
	l.add(path+".bleed_kOhm", c.BleedKOhm, 0.05, 2000, "kOhm")
	l.add(path+".enable_mA", c.EnableMA, 0, 5000, "mA")
}

// wireOhm is the resistance in Ohm that no wire of a small vehicle has.
const wireOhm = 1

func usualWire(p *rules.Pass, w *schema.Wire) []usual {
	var l list
	most := 30.0
	if p.Spec.Vehicle.Use == "boat" {
		most = 60
	}
	l.value(w.Path()+".length_m", w.LengthM, 0.005, most, "m")
	l.add(w.Path()+".insulation.max_C", w.Insulation.MaxC, 50, 260, "C")
	l.add(w.Path()+".insulation.rated_V", w.Insulation.RatedV, 20, 20000, "V")
	size, err := calc.ParseSize(w.Size)
	if err != nil {
		return l
	}
	if ohm, err := calc.Resistance(size, w.LengthM, 20); err == nil && w.LengthM <= most && ohm > wireOhm {
		l.because(w.Path()+".length_m", w.LengthM, 0.005, w.LengthM*wireOhm/ohm, "m", "the wire has "+rules.Figure(ohm)+" Ohm")
	}
	return l
}

// usualTorque holds each torque against its thread: from a third of what brass
// bears to what 8.8 steel does, dry (common practice).
func usualTorque(part any) []usual {
	x, ok := part.(interface {
		Bolts() *schema.Threaded
		Path() string
	})
	if !ok {
		return nil
	}
	ranges := map[string][2]float64{
		"M3": {0.2, 1.5}, "M4": {0.5, 4}, "M5": {1, 8}, "M6": {1.5, 14}, "M8": {3, 34}, "M10": {6, 65}, "M12": {10, 115},
	}
	var out []usual
	add := func(terminal string) {
		b, _, field := x.Bolts().BoltAt(terminal)
		if r, known := ranges[b.Thread]; known && b.TorqueNm.Known {
			out = append(out, usual{x.Path() + "." + field, b.TorqueNm.Value, r[0], r[1], "Nm", "thread " + b.Thread})
		}
	}
	add("")
	for terminal := range schema.Sorted(x.Bolts().ByTerminal) {
		add(terminal)
	}
	return out
}
