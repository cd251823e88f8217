package contactor

import (
	"math"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
)

func coilHoldLow() *rules.Rule {
	return &rules.Rule{
		ID:     "coil-hold-low",
		Family: family,
		Title:  "the coil of a closed contactor sags so far that it may release",
		Why: "The contactor opens under full current on the hill, arcs, closes and opens again. Data sheets state the voltage at which a coil pulls in " +
			"and the one at which it releases; in between nothing is guaranteed.",
		Relation: "V_coil with the contactor closed, at the mode's own draw and the lowest supply, >= hold_V at the coil's temperature; " +
			"without hold_V, >= 0.6 of the hot operate voltage, and then never more than a warning",
		Source:   "fixed ampere-turns with the resistance of copper of IEC 60028; the 0.6 is common practice",
		Level:    rules.Error,
		Varies:   "warning where the data sheet gives no hold voltage",
		Required: 1,
		Policy:   []string{"policy.coil_rise_K"},
		Vital: []string{
			"contactors.coil.hold_V", "relays.coil.hold_V", "contactors.coil.operate_V", "relays.coil.operate_V",
			"batteries.resistance_mOhm", "batteries.short_circuit_A",
		},
		Fix: "feed the coil from a supply that does not sag with the load, or use a coil with a lower hold voltage",
		Example: rules.Example{Vehicle: "heron", Subject: "main_contactor", Edits: []rules.Edit{
			{Path: "contactors.main_contactor.coil.operate_V", Value: "8.8"},
			{Path: "contactors.main_contactor.coil.hold_V", Value: "8.5"}}},
		Check: checkHold,
	}
}

// holdShare is the share of its operate voltage below which a coil that states
// no hold voltage may release (common practice).
const holdShare = 0.6

func checkHold(p *rules.Pass) {
	for _, d := range devices(p) {
		if c, ok := onCoil(p, d); ok {
			evalHold(c, p, d)
		}
	}
}

func evalHold(c *rules.Check, p *rules.Pass, d device) {
	feeds := d.feeds(p)
	switch {
	case len(feeds) == 0:
		c.NotChecked("a mode that energises "+d.id, "coil of %s: no mode energises it", d.id)
		return
	case !d.coil.HoldV.Known && !d.coil.OperateV.Known:
		c.NotChecked(d.coilPath("hold_V"), "coil of %s: neither hold nor operate voltage is given", d.id)
		return
	}
	worst, mode := math.Inf(1), ""
	var state *circuit.Solution
	for _, f := range feeds {
		k := demand.EmptyAlone(f.mode).WithCopper(p.Spec.Vehicle.AmbientC.Max)
		k.Closed, k.Coil = d.ownContacts(), circuit.CoilHot
		s := p.Circuit.Solve(k)
		if c.Unsettled(s, d.coilID()) {
			return
		}
		if v := d.coilV(s); v < worst {
			worst, mode, state = v, f.mode, s
		}
	}
	c.In(mode, state.Case.String())
	need := holdSteps(c, p, d)
	c.Solved("V_c", "voltage at the coil of "+d.id+" while it is closed", worst, "V", state.Case.String())
	if !d.coil.HoldV.Known {
		c.Level(rules.Warning)
	}
	d.blameHold(c, p, state)
	d.fixHold(c, p.Required()*need, worst)
	c.AtLeast(rules.Volts(need), rules.Volts(worst), "coil of %s: %s V in mode %s at the lowest supply voltage, %s %s V",
		d.id, rules.Figure(worst), mode, holdWords(d), rules.Figure(need))
}

func holdWords(d device) string {
	if d.coil.HoldV.Known {
		return "hold voltage"
	}
	return "may release below"
}

// holdSteps adds the voltage that keeps a hot coil in to the working, and
// returns it.
func holdSteps(c *rules.Check, p *rules.Pass, d device) float64 {
	if !d.coil.HoldV.Known {
		operate := operateSteps(c, p, d)
		share := c.Default("k", "share of the operate voltage that keeps a coil in", holdShare, "", "common practice")
		return c.Calc("V_hold", "voltage that keeps the hot coil in", "k V_op", rules.Term(share)+" * "+rules.Term(operate), share*operate, "V")
	}
	stated := d.coil.HoldV.Value
	if regulated(d.coil) {
		return c.Given("V_hold", "hold voltage of the coil with economiser, not scaled with temperature", stated, "V", d.coilPath("hold_V"))
	}
	heat := hotSteps(c, p, d)
	c.Given("V_hold20", "hold voltage at 20 C", stated, "V", d.coilPath("hold_V"))
	return c.Line("V_hold", "hold voltage of the hot coil", calc.AtTemperature("V_hold20", stated, "V", heat.C))
}

// fixHold says which coil would stay in at a voltage in V.
func (d device) fixHold(c *rules.Check, need, worst float64) {
	switch {
	case need <= worst || worst <= 0:
	case d.coil.HoldV.Known:
		c.Fix("feed the coil from a supply that does not sag with the load, or use a coil with hold_V of at most %s", rules.Figure(rules.RoundDown(worst*d.coil.HoldV.Value/need, 0.1)))
	default:
		c.Fix("fill in hold_V of %s from its data sheet; feed the coil from a supply that does not sag with the load, or use a coil with operate_V of at most %s",
			d.id, rules.Figure(rules.RoundDown(worst*d.coil.OperateV.Value/need, 0.1)))
	}
}

// blameHold names the graver finding that a sagging coil follows from.
func (d device) blameHold(c *rules.Check, p *rules.Pass, s *circuit.Solution) {
	switch {
	case d.nominalMismatch(p):
		c.Because("coil-nominal-mismatch", d.id)
	case len(s.Collapsed) > 0:
		c.Because("supply-collapses", s.Collapsed[0])
	case d.coil.OperateV.Known && !d.pullsIn(p):
		c.Because("coil-pull-in-low", d.id)
	}
}
