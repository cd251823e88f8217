package contactor

import (
	"fmt"
	"math"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/capacity"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
)

func coilOvervoltage() *rules.Rule {
	return &rules.Rule{
		ID:     "coil-overvoltage",
		Family: family,
		Title:  "a coil's voltage is above what it withstands continuously in the heat",
		Why: "The heat in a winding rises with the square of its voltage. A coil that withstands its highest voltage at 20 C " +
			"withstands less in a hot bay: its insulation ages within weeks, then turns short and the fuse opens.",
		Relation: "V_coil at the highest supply <= V_max sqrt((T_lim - T_a) / (T_lim - T_stated)) at the hottest ambient; " +
			"not scaled if V_max is stated for that ambient, or for a coil with an economiser",
		Source:   "heat balance of the winding at its limit; class limits of IEC 60085 (class B: 130 C)",
		Level:    rules.Error,
		Required: 1,
		Policy:   []string{"policy.coil_limit_C"},
		Vital:    []string{"contactors.coil.max_V", "relays.coil.max_V"},
		Fix:      "use a coil with a higher max_V that still pulls in at the lowest supply, or one with an economiser",
		Example: rules.Example{Vehicle: "heron", Subject: "main_contactor", Edits: []rules.Edit{
			{Path: "contactors.main_contactor.coil.max_V", Value: "14"}}},
		Check: checkOvervoltage,
	}
}

func checkOvervoltage(p *rules.Pass) {
	for _, d := range devices(p) {
		if c, ok := onCoil(p, d); ok {
			evalOvervoltage(c, p, d)
		}
	}
}

func evalOvervoltage(c *rules.Check, p *rules.Pass, d device) {
	v, state, failed := d.highestV(p)
	switch {
	case failed != nil:
		c.Unsettled(failed, d.coilID())
		return
	case v == 0:
		c.NotChecked("a mode that energises "+d.id, "coil of %s: no mode energises it", d.id)
		return
	case !d.coil.MaxV.Known:
		c.NotChecked(d.coilPath("max_V"), "coil of %s: highest voltage is not given", d.id)
		return
	}
	c.In(state.Mode, state.String())
	limit, err := maxSteps(c, p, d)
	if err != nil {
		c.NotChecked(d.coilPath("limit_C"), "coil of %s: its highest voltage cannot be converted to its ambient: %v", d.id, err)
		return
	}
	c.Solved("V_c", "voltage at the coil of "+d.id, v, "V", state.String())
	if d.nominalMismatch(p) {
		c.Because("coil-nominal-mismatch", d.id)
	}
	if p.Required()*v > limit && limit > 0 {
		d.fixOvervoltage(c, p, p.Required()*v*d.coil.MaxV.Value/limit)
	}
	c.AtMost(rules.Volts(v), rules.Volts(limit), "coil of %s: %s V in mode %s at the highest supply voltage, its limit in the heat is %s V",
		d.id, rules.Figure(v), state.Mode, rules.Figure(limit))
}

// fixOvervoltage says what the coil must withstand, in V as its data sheet states it,
// and at what it must still pull in at the lowest supply.
func (d device) fixOvervoltage(c *rules.Check, p *rules.Pass, volts float64) {
	at := ""
	if !regulated(d.coil) {
		at = " at " + rules.Figure(d.coil.MaxVValidToC.Or(20)) + " C"
	}
	fix := fmt.Sprintf("use a coil with max_V of at least %s%s", rules.Figure(rules.RoundUp(volts, 0.1)), at)
	if operate, ok := d.mostOperateV(p); ok {
		fix += fmt.Sprintf(" that still pulls in when hot and at the lowest supply (operate_V of at most %s)", rules.Figure(operate))
	}
	if regulated(d.coil) {
		c.Fix("%s", fix)
		return
	}
	c.Fix("%s, or a coil with an economiser for the whole range", fix)
}

// mostOperateV is the operate voltage in V, as a data sheet states it, with which the
// coil still pulls in at its worst; not ok where that is not known.
func (d device) mostOperateV(p *rules.Pass) (v float64, ok bool) {
	need, known := circuit.OperateV(d.coil, p.Circuit.CoilTemperature(d.id, circuit.CoilHot))
	worst := d.pullsAt(p)
	if !known || !worst.settled || need <= 0 || math.IsInf(worst.v, 1) || worst.v <= 0 {
		return 0, false
	}
	required := p.Spec.Policy.Required["coil-pull-in-low"]
	return rules.RoundDown(worst.v*d.coil.OperateV.Value/need/max(required, 1), 0.1), true
}

// highestV is the highest voltage of a coil over the modes, and where:
// full pack and auxiliary battery, controllers drawing nothing but feeding back
// what the mode says. It is 0 if no mode energises the coil. Failed is a
// solution that it cannot rest on.
func (d device) highestV(p *rules.Pass) (v float64, state circuit.Case, failed *circuit.Solution) {
	for _, mode := range p.Circuit.States() {
		for _, k := range []circuit.Case{demand.Full(mode), demand.FullAlone(mode)} {
			k = k.WithCopper(p.Spec.Vehicle.AmbientC.Max)
			k.NoDraw, k.Coil = !feedsBack(p, mode), circuit.CoilHot
			s := p.Circuit.Solve(k)
			if !s.Settled(d.coilID()) {
				return 0, k, s
			}
			if x := d.coilV(s); x > v {
				v, state = x, k
			}
		}
	}
	return v, state, nil
}

// feedsBack reports whether a controller feeds current back in a mode.
func feedsBack(p *rules.Pass, mode string) bool {
	for _, draw := range p.Circuit.Mode(mode).Draw {
		if draw.RegenA.Known && draw.RegenA.Value > 0 {
			return true
		}
	}
	return false
}

// maxSteps adds the voltage that a coil withstands in its ambient to the working,
// and returns it. The coil must state its highest voltage.
func maxSteps(c *rules.Check, p *rules.Pass, d device) (float64, error) {
	stated := d.coil.MaxV.Value
	if regulated(d.coil) {
		return c.Given("V_max", "highest voltage of the coil with economiser, not scaled with temperature", stated, "V", d.coilPath("max_V")), nil
	}
	ambient := capacity.AirAt(p, d.base, nil).Explain(c.Working)
	at := 20.0
	if valid := d.coil.MaxVValidToC; valid.Known {
		at = c.Given("T_stated", "ambient for which the highest voltage is stated", valid.Value, "C", d.coilPath("max_V_valid_to_C"))
		if valid.Value >= ambient {
			return c.Given("V_max", "highest coil voltage", stated, "V", d.coilPath("max_V")), nil
		}
	} else {
		c.Standard("T_stated", "ambient for which a highest coil voltage holds where nothing else is stated", at, "C", "relay application notes")
	}
	limitC := c.Or("T_lim", "temperature limit of the winding", d.coil.LimitC, "C", d.coilPath("limit_C"), p.Spec.Policy.CoilLimitC, "policy.coil_limit_C")
	most, err := calc.CoilMaxVoltage(stated, at, limitC, ambient)
	if err != nil {
		return 0, err
	}
	c.Given("V_max0", "highest coil voltage as stated", stated, "V", d.coilPath("max_V"))
	return c.Line("V_max", "highest coil voltage in the hottest ambient", most), nil
}
