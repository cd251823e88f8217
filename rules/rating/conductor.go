// Package rating says what conductors and fuses of a spec bear in their place:
// ampacity after derating, damage curve, opening curve. It puts the numbers of
// calc and of the spec together, with their working.
package rating

import (
	"fmt"

	"example.org/headroom/rules"
	"example.org/headroom/rules/calc"
	"example.org/headroom/rules/circuit"
	"example.org/headroom/schema"
)

// Conductor is what a wire or bus bar bears in its place.
type Conductor struct {
	ID       string
	Path     string
	AreaMM2  float64
	AmbientC float64
	LimitC   float64 // what insulation and terminals allow in continuous use
	IzA      float64 // ampacity there

	cable *calc.Cable
	bar   *calc.Bar
	metal calc.Metal

	tinned      bool
	insulationC float64 // the insulation's own limit
	shortTimeC  float64
}

// Missing says which value of the spec a rating needs but does not find.
type Missing struct {
	Path string
	What string
}

func (m *Missing) Error() string { return fmt.Sprintf("needs %s: %s", m.Path, m.What) }

// OfConductor rates a wire or bus bar and adds the steps to the working. The
// error is a *Missing when the spec leaves out what it takes.
func OfConductor(p *rules.Pass, w *rules.Working, id string) (*Conductor, error) {
	if wire, ok := p.Spec.Wires[id]; ok {
		return ofWire(p, w, wire)
	}
	if bar, ok := p.Spec.Busbars[id]; ok {
		return ofBusbar(p, w, bar)
	}
	return nil, fmt.Errorf("%s is not a conductor", id)
}

func ofWire(p *rules.Pass, w *rules.Working, wire *schema.Wire) (*Conductor, error) {
	path := wire.Path()
	size, err := calc.ParseSize(wire.Size)
	if err != nil {
		return nil, err
	}
	if wire.Tinned {
		size = size.Tinned()
	}
	if !wire.Insulation.MaxC.Known {
		return nil, &Missing{Path: path + ".insulation.max_C", What: "the temperature limit of the insulation"}
	}
	w.GivenText("S", "size of "+wire.ID, wire.Size, path+".size")
	c := &Conductor{ID: wire.ID, Path: path, AreaMM2: size.AreaMM2, metal: calc.Copper()}
	c.AmbientC = ambient(p, w, &wire.Conductor)
	insulation := w.Given("T_ins", "temperature limit of the insulation of "+wire.ID, wire.Insulation.MaxC.Value, "C", path+".insulation.max_C")
	c.tinned, c.insulationC = wire.Tinned, insulation
	c.LimitC = limit(p, w, &wire.Conductor, insulation)
	c.shortTimeC = shortTime(w, wire)
	cable := calc.Cable{Size: size, Derating: derating(p, w, wire)}
	c.cable = &cable
	if p.Spec.Policy.Ampacity == "small-craft" {
		return c, c.smallCraft(w, size, insulation, cable.Derating)
	}
	return c, c.heatBalance(w)
}

// heatBalance sets the ampacity from the heat that the cable gives off.
func (c *Conductor) heatBalance(w *rules.Working) error {
	iz, err := calc.FreeAirAmpacity(*c.cable, c.LimitC, c.AmbientC)
	if err != nil {
		return err
	}
	c.IzA = iz
	if iz == 0 {
		w.Calc("I_z", "ampacity of "+c.ID, "0 when T_a >= T_c", "", 0, "A")
		return nil
	}
	ohm, err := calc.Resistance(c.cable.Size, 1, c.LimitC)
	if err != nil {
		return err
	}
	w.Calc("R'", "resistance per metre at T_c", "R'_20 (1 + 0.00393 (T_c - 20))",
		fmt.Sprintf("%s (1 + 0.00393 (%s - 20))", rules.Figure(1000*c.cable.Size.R20), rules.Figure(c.LimitC)), 1000*ohm, "mOhm/m")
	rth := w.Standard("R_th", "thermal resistance to still air, derating included", (c.LimitC-c.AmbientC)/(iz*iz*ohm), "K m/W",
		"heat balance in the form of IEC 60287, calibrated to NFPA 70 Table 310.17 and DIN VDE 0298-4")
	w.Calc("I_z", "ampacity of "+c.ID, "sqrt((T_c - T_a) / (R' R_th))",
		fmt.Sprintf("sqrt((%s - %s) / (%s/1000 * %s))", rules.Figure(c.LimitC), rules.Figure(c.AmbientC), rules.Figure(1000*ohm), rules.Figure(rth)), iz, "A")
	return nil
}

// engineSpaceC is the air temperature in C above which the small-craft table's
// factors for engine spaces apply.
const engineSpaceC = 40

// smallCraft sets the ampacity from the small-craft table, where the policy
// asks for that.
func (c *Conductor) smallCraft(w *rules.Working, size calc.Size, insulation, factor float64) error {
	hot := c.AmbientC > engineSpaceC
	table, err := calc.SmallCraftAmpacity(size, insulation, hot)
	if err != nil {
		return err
	}
	what := "ampacity by the small-craft table at 30 C"
	if hot {
		what = "ampacity by the small-craft table inside an engine space"
	}
	w.Standard("I_t", what, table, "A", "33 CFR 183.425 Table 5")
	c.IzA = w.Calc("I_z", "ampacity of "+c.ID, "f I_t", rules.Figure(factor)+" * "+rules.Figure(table), factor*table, "A")
	return nil
}

func ofBusbar(p *rules.Pass, w *rules.Working, b *schema.Busbar) (*Conductor, error) {
	bar := circuit.BarOf(b)
	c := &Conductor{ID: b.ID, Path: b.Path(), AreaMM2: bar.AreaMM2(), bar: &bar, metal: bar.Metal}
	w.Given("w", "width of "+b.ID, b.WidthMM, "mm", b.Path()+".width_mm")
	w.Given("d", "thickness of "+b.ID, b.ThicknessMM, "mm", b.Path()+".thickness_mm")
	c.AmbientC = ambient(p, w, &b.Conductor)
	c.LimitC = limit(p, w, &b.Conductor, barLimitC)
	c.shortTimeC = w.Standard("T_f", "short-time limit of "+b.ID, bareShortTimeC, "C", "IEC 60364-5-54 Table A.54.6, bare, normal conditions")
	iz, err := calc.BarAmpacity(bar, c.LimitC, c.AmbientC)
	if err != nil {
		return nil, err
	}
	c.IzA = w.Standard("I_z", "ampacity of "+b.ID+" at its limit of temperature", iz, "A",
		"7.73 A^0.5 p^0.39 scaled to the rise, Copper Development Association Publication 22")
	return c, nil
}

const (
	// barLimitC is what a bare bar may reach where its terminals allow it
	// (common practice: 105 C is what tinned bolted joints bear).
	barLimitC = 105
	// bareShortTimeC is the final temperature of a bare bar after a short circuit.
	bareShortTimeC = 200
)

// ambient is the air temperature at a conductor.
func ambient(p *rules.Pass, w *rules.Working, c *schema.Conductor) float64 {
	t := w.Given("T_air", "hottest air round the vehicle", p.Spec.Vehicle.AmbientC.Max, "C", "vehicle.ambient_C.max")
	z, ok := p.Spec.Zones[c.Zone]
	if !ok {
		return t
	}
	rise := w.Given("dT_zone", "rise of zone "+c.Zone, z.RiseK, "K", "zones."+c.Zone+".rise_K")
	return w.Calc("T_a", "air at "+c.ID, "T_air + dT_zone", rules.Figure(t)+" + "+rules.Figure(rise), t+rise, "C")
}

// limit is the lowest of the conductor's own limit and those of the terminals
// at its ends.
func limit(p *rules.Pass, w *rules.Working, c *schema.Conductor, own float64) float64 {
	least := own
	for _, end := range []string{c.From, c.To} {
		t := terminalLimit(p, w, end)
		least = min(least, t)
	}
	return w.Calc("T_c", "limit of temperature of "+c.ID, "least of T_ins and both terminals'", "", least, "C")
}

func terminalLimit(p *rules.Pass, w *rules.Working, terminal string) float64 {
	id, _, _ := cut(terminal)
	what := "temperature limit of the terminal " + terminal
	if part := p.Spec.Part(id); part != nil && part.Common().MaxC.Known {
		return w.Given("T_term", what, part.Common().MaxC.Value, "C", part.Common().Path()+".terminal_max_C")
	}
	return w.Default("T_term", what, p.Spec.Policy.TerminalMaxC, "C", "policy.terminal_max_C")
}

// derating is what grouping and a sheath leave of the ampacity.
func derating(p *rules.Pass, w *rules.Working, wire *schema.Wire) float64 {
	factor := 1.0
	if wire.Bundle != "" {
		n := 0
		for _, other := range schema.Sorted(p.Spec.Wires) {
			if other.Bundle == wire.Bundle {
				n++
			}
		}
		// A count of at least one cannot err.
		f, _ := calc.GroupingFactor(n)
		factor *= w.Standard("f_g", fmt.Sprintf("grouping of the %d conductors of bundle %s", n, wire.Bundle), f, "", "NFPA 70 Table 310.15(C)(1)")
	}
	if wire.Sheathed {
		factor *= w.Standard("f_s", "sheath round "+wire.ID, calc.SheathedFactor, "", "DIN VDE 0298-4 Table 11, column 5 over column 2")
	}
	if factor != 1 {
		w.Calc("f", "derating", "f_g f_s", "", factor, "")
	}
	return factor
}

// shortTime is the temperature that the insulation bears for the seconds of a
// short circuit. Where the spec names neither it nor the material, the least of
// what insulation of that class can be is taken.
func shortTime(w *rules.Working, wire *schema.Wire) float64 {
	path := wire.Path() + ".insulation."
	what := "short-time limit of the insulation of " + wire.ID
	if t := wire.Insulation.ShortTimeC; t.Known {
		return w.Given("T_f", what, t.Value, "C", path+"short_time_C")
	}
	if t, ok := calc.ShortTimeLimitC(wire.Insulation.Material); ok {
		w.GivenText("material", "insulation of "+wire.ID, wire.Insulation.Material, path+"material")
		return w.Standard("T_f", what, t, "C", "IEC 60364-5-54 Table A.54.2")
	}
	if wire.Insulation.MaxC.Value > 105 {
		return w.Default("T_f", what, calc.TinnedLugLimitC, "C", "no material given: above 105 C it is not PVC; limit of a tinned lug, common practice")
	}
	pvc, _ := calc.ShortTimeLimitC("PVC")
	return w.Default("T_f", what, pvc, "C", "no material given: taken as PVC, the least")
}

// withstand is the energy in A2s that the conductor bears without heat flow,
// from its continuous limit to its short-time limit.
func (c *Conductor) withstand(w *rules.Working) (float64, error) {
	k, err := calc.KFactor(c.metal, c.LimitC, c.shortTimeC)
	if err != nil {
		return 0, err
	}
	if c.metal.Name == "copper" {
		w.Calc("k", "k from T_c to T_f", "226 sqrt(ln((234.5 + T_f) / (234.5 + T_c)))",
			fmt.Sprintf("226 sqrt(ln((234.5 + %s) / (234.5 + %s)))", rules.Figure(c.shortTimeC), rules.Figure(c.LimitC)), k, "A s^0.5/mm2")
	} else {
		w.Calc("k", "k from T_c to T_f", "148 sqrt(ln((228 + T_f) / (228 + T_c)))",
			fmt.Sprintf("148 sqrt(ln((228 + %s) / (228 + %s)))", rules.Figure(c.shortTimeC), rules.Figure(c.LimitC)), k, "A s^0.5/mm2")
	}
	e := calc.WithstandI2t(c.AreaMM2, k)
	return w.Calc("k2S2", "energy that "+c.ID+" bears", "(k S)^2",
		fmt.Sprintf("(%s * %s)^2", rules.Figure(k), rules.Figure(c.AreaMM2)), e, "A2s"), nil
}

// Damage returns the conductor's damage curve from its continuous limit up,
// and adds k to the working.
func (c *Conductor) Damage(w *rules.Working) (*calc.Damage, error) {
	if _, err := c.withstand(w); err != nil {
		return nil, err
	}
	overload := calc.OverloadTemperatureC(c.LimitC, c.AmbientC)
	overload = min(overload, c.shortTimeC)
	heating, err := c.Heating(overload)
	if err != nil {
		return nil, err
	}
	return calc.NewDamage(heating, c.metal, c.AreaMM2, c.LimitC, overload, c.shortTimeC)
}

// Heating is the conductor's thermal replica up to a temperature in C.
func (c *Conductor) Heating(hottestC float64) (*calc.Heating, error) {
	if c.bar != nil {
		return calc.NewBarHeating(*c.bar, c.AmbientC, hottestC)
	}
	return calc.NewHeating(*c.cable, c.AmbientC, hottestC)
}
