package capacity

import (
	"fmt"
	"math"
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
)

// withstand is the energy in A2s that the conductor withstands without heat flow,
// from its continuous limit to its short-time limit.
func (c *Conductor) withstand(w *rules.Working) (float64, error) {
	k, err := calc.KFactor(c.metal, c.LimitC, c.shortTimeC)
	if err != nil {
		return 0, err
	}
	c.workShortTime(w)
	material, zero := "226", "234.5"
	if c.metal.Name != "copper" {
		material, zero = "148", "228"
	}
	w.Calc("k", "k of "+c.metal.Name+" from T_c to T_f, IEC 60364-5-54 Annex A", fmt.Sprintf("%s sqrt(ln((%s + T_f) / (%[2]s + T_c)))", material, zero),
		fmt.Sprintf("%s * sqrt(ln((%s + %s) / (%[2]s + %[4]s)))", material, zero, rules.Term(c.shortTimeC), rules.Term(c.LimitC)), k, "A s^0.5/mm2")
	e := calc.WithstandI2t(c.AreaMM2, k)
	return w.Calc("k2S2", "let-through energy that "+c.ID+" withstands", "(k S)^2", fmt.Sprintf("(%s * %s)^2", rules.Term(k), rules.Term(c.AreaMM2)), e, "A2s"), nil
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

// WorkBearing adds the time in s for which the conductor withstands a current, by its
// damage curve, to a working that holds k2S2, and returns it.
func (c *Conductor) WorkBearing(w *rules.Working, d *calc.Damage, currentA float64) float64 {
	what := "time that " + c.ID + " withstands"
	bears := d.Time(currentA)
	if t := d.WithstandI2t() / (currentA * currentA); t <= calc.AdiabaticLimitS {
		return w.Calc("t_bear", what+", without heat loss", "k2S2 / I^2", fmt.Sprintf("%s / %s^2", rules.Term(d.WithstandI2t()), rules.Term(currentA)), bears, "s")
	}
	over := calc.OverloadTemperatureC(c.LimitC, c.AmbientC)
	accepted := fmt.Sprintf("%s + 1.45^2 * (%s - %s)", rules.Term(c.AmbientC), rules.Term(c.LimitC), rules.Term(c.AmbientC))
	if d.OverloadC() < over {
		w.Calc("T_o", "temperature that the 1.45 rule accepts, but not above the short-time limit", "min(T_f, T_a + 1.45^2 (T_c - T_a))",
			"min("+rules.Term(c.shortTimeC)+", "+accepted+")", d.OverloadC(), "C")
	} else {
		w.Calc("T_o", "temperature that the 1.45 rule accepts", "T_a + 1.45^2 (T_c - T_a)", accepted, over, "C")
	}
	t := c.workHeating(w, d.Heating(), heated{"t_bear", "T_c", "T_o"}, currentA, d.StartC(), d.OverloadC())
	if t < bears {
		w.Calc("t_bear", what+", at least the 5 s without heat loss", "max(5 s, t_bear)", "max(5, "+rules.Term(t)+")", bears, "s")
	}
	return bears
}

// heated are the symbols of a heating: of the time, and of the temperatures at
// its beginning and end.
type heated struct{ time, from, to string }

// WorkSteady adds the temperature T_0 in C at which a current holds the
// conductor continuously, with the balance of heat there, and returns it.
func (c *Conductor) WorkSteady(w *rules.Working, h *calc.Heating, currentA float64) float64 {
	t, _ := h.Steady(currentA)
	w.Calc("T_0", "steady temperature of "+c.ID+" at "+rules.Term(currentA)+" A, found by trial so that P_0 below is 0", "", "", t, "C")
	c.workNet(w, h, "P_0", currentA, t)
	return t
}

// WorkTimeTo adds the time t_max in s in which a current heats the conductor
// from T_0 to its limit T_c, and returns it.
func (c *Conductor) WorkTimeTo(w *rules.Working, h *calc.Heating, currentA, fromC float64) float64 {
	return c.workHeating(w, h, heated{"t_max", "T_0", "T_c"}, currentA, fromC, c.LimitC)
}

// workHeating adds the time in s in which a current heats the conductor: the
// integral of C dT / P, where P is the heat that stays in it. By Simpson's rule
// it can be followed by hand; there are as many pieces as it takes to come
// within 0.01 % of it.
func (c *Conductor) workHeating(w *rules.Working, h *calc.Heating, name heated, currentA, fromC, toC float64) float64 {
	t := h.TimeTo(currentA, fromC, toC)
	if w.Unread() {
		return t
	}
	c.workStore(w, h)
	what := "time in which " + rules.Term(currentA) + " A heats " + c.ID + " from " + name.from + " to " + name.to
	node := func(i, n int) float64 { return fromC + (toC-fromC)*float64(i)/float64(n) }
	net := func(tempC float64) float64 { return currentA*currentA*h.OhmPerM(tempC) - h.LossWm(tempC) }
	if math.IsInf(t, 1) {
		c.workNet(w, h, "P_o", currentA, toC)
		return w.Calc(name.time, what, "never: it loses all heat there", "", t, "s")
	}
	pieces := 2
	for ; pieces < 64 && math.Abs(simpson(h.CapacityJmK(), pieces, node, net)-t) > 1e-4*t; pieces *= 2 {
	}
	var terms []string
	for i := range pieces + 1 {
		c.workNet(w, h, fmt.Sprintf("P_%d", i), currentA, node(i, pieces))
		terms = append(terms, fmt.Sprintf("%d/%s", simpsonWeight(i, pieces), rules.Term(net(node(i, pieces)))))
	}
	return w.Calc(name.time, what+", C dT/dt = P, the equation behind IEC 60255-149, by Simpson's rule",
		"C dT / 3 (1/P_0 + 4/P_1 + 2/P_2 + ...)",
		fmt.Sprintf("%s * %s / 3 * (%s)", rules.Term(h.CapacityJmK()), rules.Term((toC-fromC)/float64(pieces)), strings.Join(terms, " + ")), t, "s")
}

// workNet adds the heat in W/m that a current leaves in the conductor at a
// temperature.
func (c *Conductor) workNet(w *rules.Working, h *calc.Heating, symbol string, currentA, tempC float64) {
	metre, loss := 1000*h.OhmPerM(tempC), h.LossWm(tempC)
	what := fmt.Sprintf("heat that stays in the %s at %s C: I^2 R' - W, where W = %s W/m is lost by the heat balance at that temperature",
		c.metal.Name, rules.Term(tempC), rules.Term(loss))
	w.Calc(symbol, what, "", fmt.Sprintf("%s^2 * %s/1000 - %s", rules.Term(currentA), rules.Term(metre), rules.Term(loss)), currentA*currentA*metre/1000-loss, "W/m")
}

// simpson is the time in s of a heating, by Simpson's rule over an even number
// of pieces.
func simpson(capacity float64, pieces int, node func(i, n int) float64, net func(tempC float64) float64) float64 {
	var sum float64
	for i := range pieces + 1 {
		sum += float64(simpsonWeight(i, pieces)) / net(node(i, pieces))
	}
	return capacity * (node(1, pieces) - node(0, pieces)) / 3 * sum
}

// simpsonWeight is the weight of a point of Simpson's rule.
func simpsonWeight(i, pieces int) int {
	switch {
	case i == 0 || i == pieces:
		return 1
	case i%2 == 1:
		return 4
	}
	return 2
}

// workStore adds the heat capacity of the conductor.
func (c *Conductor) workStore(w *rules.Working, h *calc.Heating) {
	if c.bar != nil {
		w.Calc("C", "heat capacity of "+c.ID+", "+c.metal.Name+" by IEC 60949", "", fmt.Sprintf("%s * %s", rules.Term(c.metal.HeatJmKmm2()), rules.Term(c.AreaMM2)), h.CapacityJmK(), "J/(m K)")
		return
	}
	if !c.sized {
		c.workDiameters(w)
	}
	s, err := calc.HeatStoreOf(*c.cable)
	if err != nil {
		return // the same cable has a heating
	}
	d, outer := rules.Term(c.cable.Size.DiameterMM), rules.Term(c.cable.OuterDiameterMM())
	w.Calc("C_Cu", "heat capacity of the copper, IEC 60949", "3.45 A", "3.45 * "+rules.Term(c.AreaMM2), s.CopperJmK, "J/(m K)")
	w.Calc("p", "share of the insulation that follows the copper, van Wormer, IEC 60853-2", "1 / (2 ln(D / d)) - 1 / ((D / d)^2 - 1)",
		fmt.Sprintf("1 / (2 * ln(%s / %s)) - 1 / ((%[1]s / %[2]s)^2 - 1)", outer, d), s.Share, "")
	w.Calc("C", "heat capacity of "+c.ID+", insulation 1.7 J/(m K) per mm2", "C_Cu + p 1.7 pi / 4 (D^2 - d^2)",
		fmt.Sprintf("%s + %s * 1.7 * 3.1416 / 4 * (%s^2 - %s^2)", rules.Term(s.CopperJmK), rules.Term(s.Share), outer, d), s.TotalJmK, "J/(m K)")
}
