// Package capacity says what the conductors, fuses and contacts of a spec are
// rated for and withstand in their place: ampacity after derating, damage curve,
// opening curve. It puts the numbers of calc and of the spec together, with their
// working.
package capacity

import (
	"fmt"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

// Conductor is what a wire or bus bar withstands in its place.
type Conductor struct {
	ID       string
	Path     string
	AreaMM2  float64
	AmbientC float64
	LimitC   float64 // what insulation and terminals allow in continuous use
	IzA      float64 // ampacity there

	cable      *calc.Cable
	bar        *calc.Bar
	metal      calc.Metal
	derating   derating
	smallCraft bool      // the ampacity is that of the small-craft table
	table      calc.Line // which gives this before derating

	tinned      bool
	insulationC float64 // the insulation's own limit
	shortTimeC  float64
	// explainShortTime adds the short-time limit to a working.
	explainShortTime func(*rules.Working)
	// sized says that the diameters are in the working already.
	sized bool
}

// RateConductor rates a wire or bus bar and adds the steps to the working. The
// error is a *rules.Missing when the spec leaves out what it takes.
func RateConductor(p *rules.Pass, w *rules.Working, id string) (*Conductor, error) {
	return RateConductorIn(p, w, id, nil)
}

// RateConductorIn is RateConductor in the air of a mode; see [AirAt].
func RateConductorIn(p *rules.Pass, w *rules.Working, id string, m *schema.Mode) (*Conductor, error) {
	c, err := DeratedIn(p, w, id, m)
	if err == nil {
		c.ExplainAmpacity(w)
	}
	return c, err
}

// Derated is RateConductor with the size and the limits of temperature in the
// working, but not what makes the ampacity: for rules whose verdict does not
// rest on it. [Conductor.ExplainAmpacity] adds that.
func Derated(p *rules.Pass, w *rules.Working, id string) (*Conductor, error) {
	return DeratedIn(p, w, id, nil)
}

// DeratedIn is Derated in the air of a mode; see [AirAt].
func DeratedIn(p *rules.Pass, w *rules.Working, id string, m *schema.Mode) (*Conductor, error) {
	if wire, ok := p.Spec.Wires[id]; ok {
		return ofWire(p, w, wire, m)
	}
	if bar, ok := p.Spec.Busbars[id]; ok {
		return ofBusbar(p, w, bar, m)
	}
	return nil, fmt.Errorf("%s is not a conductor", id)
}

func ofWire(p *rules.Pass, w *rules.Working, wire *schema.Wire, m *schema.Mode) (*Conductor, error) {
	path := wire.Path()
	size, err := calc.ParseSize(wire.Size)
	if err != nil {
		return nil, err
	}
	if wire.Tinned {
		size = size.Tinned()
	}
	w.GivenText("S", "size of "+wire.ID, wire.Size, path+".size")
	c := &Conductor{ID: wire.ID, Path: path, AreaMM2: size.AreaMM2, metal: calc.Copper()}
	c.AmbientC = AirAt(p, &wire.Base, m).Explain(w)
	// A cable that states nothing is taken for the poorest on sale, so that a
	// thin one behind a large fuse is found even so.
	insulation := w.Or("T_ins", "temperature limit of the insulation of "+wire.ID, wire.Insulation.MaxC, "C", path+".insulation.max_C",
		p.Spec.Policy.InsulationMaxC, "policy.insulation_max_C")
	c.tinned, c.insulationC = wire.Tinned, insulation
	c.LimitC = limit(p, w, &wire.Conductor, insulation)
	c.shortTimeC, c.explainShortTime = shortTime(wire)
	c.derating = deratingOf(p, wire)
	c.cable = &calc.Cable{Size: size, Derating: c.derating.factor()}
	if c.smallCraft = p.Spec.Policy.Ampacity == "small-craft"; c.smallCraft {
		c.table, err = calc.SmallCraftAmpacity(size, insulation, c.AmbientC > engineSpaceC)
		c.IzA = c.cable.Derating * c.table.Value
		return c, err
	}
	c.IzA, err = freeAirA(p, *c.cable, c.LimitC, c.AmbientC)
	return c, err
}

// freeAirA is calc.FreeAirAmpacity, worked out once for all cables alike: several
// rules rate each conductor.
func freeAirA(p *rules.Pass, cable calc.Cable, limitC, ambientC float64) (float64, error) {
	type rated struct {
		a   float64
		err error
	}
	type place struct {
		cable            calc.Cable
		limitC, ambientC float64
	}
	known := rules.Shared(p, "free-air ampacities", func() map[place]rated { return map[place]rated{} })
	key := place{cable, limitC, ambientC}
	r, ok := known[key]
	if !ok {
		r.a, r.err = calc.FreeAirAmpacity(cable, limitC, ambientC)
		known[key] = r
	}
	return r.a, r.err
}

// engineSpaceC is the air temperature in C above which the small-craft table's
// factors for engine spaces apply.
const engineSpaceC = 40

func ofBusbar(p *rules.Pass, w *rules.Working, b *schema.Busbar, m *schema.Mode) (*Conductor, error) {
	bar := circuit.BarOf(b)
	c := &Conductor{ID: b.ID, Path: b.Path(), AreaMM2: bar.AreaMM2(), bar: &bar, metal: bar.Metal}
	w.Given("w", "width of "+b.ID, b.WidthMM, "mm", b.Path()+".width_mm")
	w.Given("d", "thickness of "+b.ID, b.ThicknessMM, "mm", b.Path()+".thickness_mm")
	c.AmbientC = AirAt(p, &b.Base, m).Explain(w)
	own := w.Default("T_ins", "limit of a bare bar", barLimitC, "C", "limit of tinned bolted joints, common practice")
	c.LimitC = limit(p, w, &b.Conductor, own)
	c.shortTimeC = bareShortTimeC
	c.explainShortTime = func(w *rules.Working) {
		w.Standard("T_f", "short-time limit of "+b.ID, bareShortTimeC, "C", "IEC 60364-5-54 Table A.54.6, bare, normal conditions")
	}
	var err error
	c.IzA, err = calc.BarAmpacity(bar, c.LimitC, c.AmbientC)
	return c, err
}

const (
	// barLimitC is what a bare bar may reach where its terminals allow it
	// (common practice: 105 C is the limit of tinned bolted joints).
	barLimitC = 105
	// bareShortTimeC is the final temperature of a bare bar after a short circuit.
	bareShortTimeC = 200
)

// limit is the lowest of the conductor's own limit and those of the terminals
// at its ends.
func limit(p *rules.Pass, w *rules.Working, c *schema.Conductor, own float64) float64 {
	least, numbers := own, rules.Term(own)
	for _, end := range []string{c.From, c.To} {
		t := terminalLimit(p, w, end)
		least = min(least, t)
		numbers += ", " + rules.Term(t)
	}
	return w.Calc("T_c", "temperature limit of "+c.ID, "least of T_ins and both T_term", "min("+numbers+")", least, "C")
}

func terminalLimit(p *rules.Pass, w *rules.Working, terminal string) float64 {
	id, _, _ := cut(terminal)
	what := "temperature limit of the terminal " + terminal
	if part := p.Spec.Part(id); part != nil && part.Common().MaxC.Known {
		return w.Given("T_term", what, part.Common().MaxC.Value, "C", part.Common().Path()+".terminal_max_C")
	}
	return w.Default("T_term", what, p.Spec.Policy.TerminalMaxC, "C", "policy.terminal_max_C")
}

// shortTime is the temperature that the insulation withstands for the seconds of a
// short circuit, and what adds it to a working. Where the spec names neither it
// nor the material, the least of what insulation of that class can be is taken.
func shortTime(wire *schema.Wire) (limitC float64, explain func(*rules.Working)) {
	path := wire.Path() + ".insulation."
	what := "short-time limit of the insulation of " + wire.ID
	if t := wire.Insulation.ShortTimeC; t.Known {
		return t.Value, func(w *rules.Working) { w.Given("T_f", what, t.Value, "C", path+"short_time_C") }
	}
	if t, ok := calc.ShortTimeLimitC(wire.Insulation.Material); ok {
		return t, func(w *rules.Working) {
			w.GivenText("material", "insulation of "+wire.ID, wire.Insulation.Material, path+"material")
			w.Standard("T_f", what, t, "C", "IEC 60364-5-54 Table A.54.2")
		}
	}
	t, why := float64(calc.TinnedLugLimitC), "no material given: above 105 C it is not PVC; limit of a tinned lug, common practice"
	if !wire.Insulation.MaxC.Known || wire.Insulation.MaxC.Value <= 105 {
		t, _ = calc.ShortTimeLimitC("PVC")
		why = "no material given: taken as PVC, the lowest"
	}
	return t, func(w *rules.Working) { w.Default("T_f", what, t, "C", why) }
}
