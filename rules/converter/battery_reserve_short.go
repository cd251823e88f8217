package converter

import (
	"fmt"
	"slices"
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

func batteryReserveShort() *rules.Rule {
	return &rules.Rule{
		ID:     "battery-reserve-short",
		Family: family,
		Title:  "the auxiliary battery supplies the critical consumers too briefly",
		Why: "When the main fuse opens or the pack cuts off, the vehicle still has to be stopped, lit and pushed out of the way, with lamps " +
			"and horn on the auxiliary battery alone.",
		Relation: "60 capacity_Ah / (mean current of the critical consumers at nominal voltage) >= 15 min in the mode that turns on most of them",
		Source:   "charge balance; 15 min is common practice. A battery has less than its rated capacity at high currents, and when old",
		Level:    rules.Note,
		Required: 1,
		Policy:   []string{"policy.required.battery-reserve-short"},
		Fix:      "use a larger auxiliary battery, or lamps of less power",
		Example: rules.Example{Vehicle: "heron", Subject: "aux", Edits: []rules.Edit{
			{Path: "batteries.aux.capacity_Ah", Value: "0.8"}}},
		Check: checkReserve,
	}
}

// reserveMin is how long the critical consumers must go on, in minutes.
const reserveMin = 15

func checkReserve(p *rules.Pass) {
	if !p.Spec.Vehicle.OnRoad() {
		return
	}
	for id, b := range schema.Sorted(p.Spec.Batteries) {
		if b.Role != "auxiliary" || b.Spare || !p.Circuit.Connected(id+".pos") {
			continue
		}
		c := p.Subject(id, b.Path())
		if p.Unsound(c, id+".pos") {
			continue
		}
		checkMinutes(c, p, b)
	}
}

// checkMinutes takes the mode in which the battery, alone, feeds the critical
// consumers that draw most.
func checkMinutes(c *rules.Check, p *rules.Pass, b *schema.Battery) {
	var worst []consumer
	var most float64
	var state circuit.Case
	for mode, m := range schema.Sorted(p.Spec.Modes) {
		k := demand.Alone(mode)
		k.NoDraw, k.NoLoads = true, true
		s := p.Circuit.Solve(k)
		if c.Unsettled(s, b.ID) {
			return
		}
		list, sum := criticalOn(p, s, b, m)
		if sum > most {
			worst, most, state = list, sum, k
		}
	}
	if most == 0 {
		c.Holds(true, "%s feeds no critical consumer", b.ID)
		return
	}
	if !b.CapacityAh.Known {
		c.NotChecked(b.Path()+".capacity_Ah", "%s: how long it lasts depends on its capacity", b.ID)
		return
	}
	c.In(state.Mode, state.String())
	c.Given("V_out", "nominal voltage of "+b.ID, b.NominalV, "V", b.Path()+".nominal_V")
	var terms []string
	for i := range worst {
		worst[i].show(c, true)
		terms = append(terms, rules.Figure(worst[i].meanA()))
	}
	current := c.Calc("I", "mean current of the critical consumers", "sum of the currents above", strings.Join(terms, " + "), most, "A")
	capacity := c.Given("Q", "capacity of "+b.ID, b.CapacityAh.Value, "Ah", b.Path()+".capacity_Ah")
	minutes := c.Calc("t", "minutes until it is flat", "60 Q / I", fmt.Sprintf("60 * %s / %s", rules.Term(capacity), rules.Term(current)), 60*capacity/current, "min")
	need := c.Default("t_need", "minutes needed", reserveMin, "min", "common practice")
	c.Fix("use an auxiliary battery of at least %s Ah, or critical consumers of at most %s A in all",
		rules.Figure(rules.RoundUp(p.Required()*need*current/60, 0.1)), rules.Figure(rules.RoundDown(60*capacity/(need*p.Required()), 0.1)))
	c.AtLeast(rules.Quantity{Value: need, Unit: "min"}, rules.Quantity{Value: minutes, Unit: "min"},
		"%s: %s A of critical consumers in mode %s for %s min alone, %s min required",
		b.ID, rules.Figure(current), state.Mode, rules.Figure(minutes), rules.Figure(need))
}

func criticalOn(p *rules.Pass, s *circuit.Solution, b *schema.Battery, m *schema.Mode) (list []consumer, meanA float64) {
	r := ofBatteryPoles(p.Circuit, s, b.ID)
	for _, id := range slices.Sorted(slices.Values(m.On)) {
		l := p.Spec.Loads[id]
		if l == nil || !l.Critical || l.Spare || !r.feeds(p.Circuit.Edge(id), fedV) {
			continue
		}
		k := ofLoad(l, b.NominalV)
		list = append(list, k)
		meanA += k.meanA()
	}
	return list, meanA
}
