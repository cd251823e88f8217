package capacity

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
)

// withstand is the energy in A2s that the conductor withstands without heat flow,
// from its continuous limit to its short-time limit, and adds it to the working.
func (c *Conductor) withstand(w *rules.Working) error {
	k, err := calc.KFactor(c.metal, c.LimitC, c.shortTimeC)
	if err != nil {
		return err
	}
	c.explainShortTime(w)
	w.Line("k", "k of "+c.metal.Name+" from T_c to T_f, IEC 60364-5-54 Annex A", k)
	w.Line("k2S2", "let-through energy that "+c.ID+" withstands", calc.WithstandI2t(c.AreaMM2, k.Value))
	return nil
}

// Damage returns the conductor's damage curve from its continuous limit up,
// and adds k to the working.
func (c *Conductor) Damage(w *rules.Working) (*calc.Damage, error) {
	if err := c.withstand(w); err != nil {
		return nil, err
	}
	overload, _ := calc.OverloadTemperature(c.LimitC, c.AmbientC, c.shortTimeC)
	heating, err := c.Heating(overload.Value)
	if err != nil {
		return nil, err
	}
	return calc.NewDamage(heating, c.metal, c.AreaMM2, c.LimitC, overload.Value, c.shortTimeC)
}

// Heating is the conductor's thermal replica up to a temperature in C.
func (c *Conductor) Heating(hottestC float64) (*calc.Heating, error) {
	if c.bar != nil {
		return calc.NewBarHeating(*c.bar, c.AmbientC, hottestC)
	}
	return calc.NewHeating(*c.cable, c.AmbientC, hottestC)
}

// ExplainDamage adds the time in s for which the conductor withstands a current, by
// its damage curve, to a working that holds k2S2.
func (c *Conductor) ExplainDamage(w *rules.Working, d *calc.Damage, currentA float64) {
	if w.Unread() {
		return
	}
	what := "time that " + c.ID + " withstands"
	if t, ok := d.Adiabatic(currentA); ok {
		w.Line("t_bear", what+", without heat loss", t)
		return
	}
	overload, capped := calc.OverloadTemperature(c.LimitC, c.AmbientC, c.shortTimeC)
	accepted := "temperature that the 1.45 rule accepts"
	if capped {
		accepted += ", but not above the short-time limit"
	}
	w.Line("T_o", accepted, overload)
	t := c.explainHeating(w, d.Heating(), calc.HeatingSymbols{Time: "t_bear", From: "T_c", To: "T_o"}, currentA, d.StartC(), d.OverloadC())
	if t < d.Time(currentA) {
		w.Line("t_bear", what+", at least the 5 s without heat loss", d.Least(t))
	}
}

// ExplainSteady adds the temperature T_0 in C at which a current holds the
// conductor continuously, with the balance of heat there, and returns it.
func (c *Conductor) ExplainSteady(w *rules.Working, h *calc.Heating, currentA float64) float64 {
	if !w.Unread() {
		w.Lines(h.SteadySteps(c.ID, currentA)...)
	}
	t, _ := h.Steady(currentA)
	return t
}

// ExplainTimeTo adds the time t_max in s in which a current heats the conductor
// from T_0 to its limit T_c, and returns it.
func (c *Conductor) ExplainTimeTo(w *rules.Working, h *calc.Heating, currentA, fromC float64) float64 {
	return c.explainHeating(w, h, calc.HeatingSymbols{Time: "t_max", From: "T_0", To: "T_c"}, currentA, fromC, c.LimitC)
}

// explainHeating adds the time in s in which a current heats the conductor, and
// returns it.
func (c *Conductor) explainHeating(w *rules.Working, h *calc.Heating, symbols calc.HeatingSymbols, currentA, fromC, toC float64) float64 {
	if !w.Unread() {
		c.explainHeatCapacity(w)
		w.Lines(h.TimeSteps(c.ID, symbols, currentA, fromC, toC)...)
	}
	return h.TimeTo(currentA, fromC, toC)
}

// explainHeatCapacity adds the heat capacity of the conductor.
func (c *Conductor) explainHeatCapacity(w *rules.Working) {
	if c.bar != nil {
		w.Line("C", "heat capacity of "+c.ID+", "+c.metal.Name+" by IEC 60949", c.bar.HeatCapacity())
		return
	}
	if !c.sized {
		c.explainDiameters(w)
	}
	if s, err := calc.HeatStoreOf(*c.cable); err == nil {
		w.Lines(s.Steps(c.ID)...)
	}
}
