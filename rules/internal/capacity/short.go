package capacity

import (
	"fmt"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
)

// Short is the temperature along a conductor whose ends are held at the limits of
// their terminals, and how it comes about.
type Short struct {
	calc.Fin
	ID           string
	MetreM       float64 // length
	EndC         [2]float64
	Declared     bool    // both terminals state their limit
	OwnC         float64 // what insulation or bar itself bear
	currentA     float64
	metal        string
	conductivity float64
	areaMM2      float64
	r20, alpha   float64
	ambientC     float64
}

// Reaches reports whether the conductor is so short that its terminals carry off
// heat along all of it: shorter than 2/m. Source: heat transfer textbooks (fin).
func (s Short) Reaches() bool { return s.MetreM < 2*s.LengthM }

// Short works out the temperature along a conductor at a steady current in A. It
// is false where no temperature holds: the current is then too great however
// well its ends are cooled.
func (c *Conductor) Short(p *rules.Pass, currentA float64) (Short, bool) {
	s := Short{ID: c.ID, currentA: currentA, metal: c.metal.Name, ambientC: c.AmbientC, areaMM2: c.AreaMM2, Declared: true}
	from, to := "", ""
	if w, ok := p.Spec.Wires[c.ID]; ok {
		s.MetreM, from, to = w.LengthM, w.From, w.To
	} else {
		b := p.Spec.Busbars[c.ID]
		s.MetreM, from, to = b.LengthMM/1000, b.From, b.To
	}
	for i, end := range []string{from, to} {
		limit, declared := terminalLimitC(p, end)
		s.EndC[i], s.Declared = limit, s.Declared && declared
	}
	var err error
	if c.bar != nil {
		s.OwnC, s.conductivity, s.r20, s.alpha = barLimitC, calc.CopperConductivity, c.metal.Resistivity20/c.AreaMM2, c.metal.Alpha20()
		if c.metal.Name != "copper" {
			s.conductivity = calc.AluminiumConductivity
		}
		s.Fin, err = calc.ShortBar(*c.bar, s.MetreM, currentA, c.AmbientC, s.EndC[0], s.EndC[1])
	} else {
		s.OwnC, s.conductivity, s.r20, s.alpha = c.insulationC, calc.CopperConductivity, c.cable.Size.R20, calc.CopperAlpha20
		s.Fin, err = calc.ShortCable(*c.cable, s.MetreM, currentA, c.AmbientC, s.EndC[0], s.EndC[1])
	}
	return s, err == nil
}

// terminalLimitC is the temperature that a terminal may take, in C, and whether
// the spec states it.
func terminalLimitC(p *rules.Pass, terminal string) (limitC float64, declared bool) {
	id, _, _ := cut(terminal)
	if part := p.Spec.Part(id); part != nil && part.Common().MaxC.Known {
		return part.Common().MaxC.Value, true
	}
	return p.Spec.Policy.TerminalMaxC, false
}

// Work adds the temperature along the conductor to a working.
func (s Short) Work(w *rules.Working) {
	cooling := 1000 * s.CoolingWmK
	w.Calc("g", "heat lost to the air per K at the hottest point, by the heat balance of I_z", "", rules.Term(cooling), cooling, "mW/(m K)")
	heat := s.currentA * s.currentA * s.r20
	w.Calc("q", "heat of the current at 20 C", "I^2 R'_20", fmt.Sprintf("%s^2 * %s/1000", rules.Term(s.currentA), rules.Term(1000*s.r20)), heat, "W/m")
	net := s.CoolingWmK - heat*s.alpha
	w.Standard("k", "thermal conductivity of "+s.metal, s.conductivity, "W/(m K)", "heat transfer textbooks")
	w.Calc("1/m", "how far the temperature of a terminal reaches", "sqrt(k A / |g - q alpha|)",
		fmt.Sprintf("sqrt(%s * %s/1000000 / %s)", rules.Term(s.conductivity), rules.Term(s.areaMM2), rules.Term(max(net, -net))), s.LengthM, "m")
	far := (s.CoolingWmK*s.ambientC + heat*(1-20*s.alpha)) / net
	w.Calc("T_far", "balance temperature far from the ends", "(g T_a + q (1 - 20 alpha)) / (g - q alpha)",
		fmt.Sprintf("(%s * %s + %s * (1 - 20 * %s)) / %s", rules.Term(s.CoolingWmK), rules.Term(s.ambientC), rules.Term(heat), rules.Term(s.alpha), rules.Term(net)), far, "C")
	shape := "cosh"
	if net < 0 {
		shape = "cos" // the heat of the current grows faster than the air takes it
	}
	if s.EndC[0] == s.EndC[1] {
		w.Calc("T_mid", "temperature half-way, both ends at the limit of their terminals", "T_far + (T_term - T_far) / "+shape+"(m l / 2)",
			fmt.Sprintf("%s + (%s - %s) / %s(%s / %s / 2)", rules.Term(far), rules.Term(s.EndC[0]), rules.Term(far), shape, rules.Term(s.MetreM), rules.Term(s.LengthM)), s.MiddleC, "C")
		return
	}
	w.Calc("T_hot", fmt.Sprintf("hottest point between ends at %s and %s C, the limits of their terminals", rules.Term(s.EndC[0]), rules.Term(s.EndC[1])),
		"greatest over x of T_far + ((T_1 - T_far) sinh(m (l - x)) + (T_2 - T_far) sinh(m x)) / sinh(m l)", "", s.HottestC, "C")
}
