package converter

import (
	"fmt"

	"example.org/headroom/rules"
	"example.org/headroom/schema"
)

const (
	overloadedID       = "converter-overloaded"
	overloadedRequired = 1.1
)

func overloaded() *rules.Rule {
	return &rules.Rule{
		ID:     overloadedID,
		Family: family,
		Title:  "the converter is loaded above its continuous current",
		Why: "A converter that is overloaded continuously gets hot and switches off, or limits its current and lets the voltage fall: " +
			"lamps and contactor coils go with it. With an auxiliary battery beside it the difference comes out of the battery, unnoticed, until that is flat.",
		Relation: "sum of the mean currents at the output voltage <= continuous_A * derating at the hottest ambient, with the required headroom; 0 above the last point " +
			"of the derating curve; of converters in parallel the one set highest carries all up to its limit, as the circuit solved has it; modes no longer than peak_s " +
			"are checked by converter-peak-overloaded",
		Source: "current balance; worked load budget of filament lamps by UN R37 wattages; the 10 % reserve is common practice",
		Level:  rules.Error, Required: overloadedRequired,
		Policy: []string{"policy.required.converter-overloaded", "policy.converter_efficiency_percent"},
		Vital:  []string{"converters.derating", "contactors.coil.resistance_Ohm", "contactors.coil.hold_A", "relays.coil.resistance_Ohm", "relays.coil.hold_A"},
		Fix:    "use a larger converter, mount it in a cooler place, or run fewer loads in that mode",
		Example: rules.Example{Vehicle: "mole", Subject: "converter", Edits: []rules.Edit{
			{Path: "loads.work_left.power_W", Value: "80"}, {Path: "loads.work_right.power_W", Value: "80"}}},
		Check: checkOverloaded,
	}
}

func checkOverloaded(p *rules.Pass) {
	for _, v := range wired(p) {
		c := p.Subject(v.ID, v.Path())
		if p.Unsound(c, v.ID+".in_pos", v.ID+".out_pos") {
			continue
		}
		all, err := budgets(p, v)
		if err != nil && unsettled(c, err) {
			continue
		}
		checkContinuous(c, p, v, all)
	}
}

func checkContinuous(c *rules.Check, p *rules.Pass, v *schema.Converter, all []budget) {
	b, ok := worstContinuous(p, v, all)
	switch {
	case len(all) == 0:
		c.NotChecked("a mode in which "+v.ID+" runs", "%s runs in no mode, so what it feeds is not known", v.ID)
		return
	case !ok:
		c.NotChecked("a mode that lasts longer than "+v.Path()+".output.peak_s", "every mode in which %s runs is shorter than its peak time", v.ID)
		return
	}
	at := placeOf(p, v, b.mode)
	need := b.headroom(p)
	if at.unknown(c, v, b.meanA*need, v.Output.ContinuousA) {
		return
	}
	demand := b.show(c, true)
	at.show(c, v)
	limit := at.showRated(c, "I_c", "continuous current of "+v.ID, v.Output.ContinuousA, v.Path()+".output.continuous_A")
	c.In(b.mode, "converter running, hottest ambient")
	if missing := b.missing(); missing != "" && demand*need <= limit {
		c.NotChecked(missing, "%s: %s A in mode %s from the known consumers, but not all are known", v.ID, rules.Figure(demand), b.mode)
		return
	}
	if need == 1 {
		c.Required(1)
	}
	if demand*need > limit {
		c.Fix("%s", b.remedy(at, demand, limit, need))
	}
	what := ""
	if b.sharing != nil {
		what = " of what it shares with " + rules.And(b.sharing.beside)
	}
	c.AtMost(rules.Amperes(demand), rules.Amperes(limit), "%s: %s A%s in mode %s, %s", v.ID, rules.Figure(demand), what, b.mode, at.rated(limit, "continuous"))
}

// headroom is what the budget of a converter requires: none beyond its rating where it
// rests in its own limit of current by design.
func (b *budget) headroom(p *rules.Pass) float64 {
	if b.sharing.atLimit(b.meanA) {
		return 1
	}
	return overloadedHeadroom(p)
}

// remedy says what helps a converter of too small a continuous current.
func (b *budget) remedy(at place, demand, limit, need float64) string {
	if at.beyond != nil {
		return fmt.Sprintf("mount %s where the air is at most %s C, or use a converter that its sheet rates for %s A continuous at %s C", b.converter.ID,
			rules.Figure(at.beyond.LastC), rules.Figure(rules.RoundUp(demand*need, 0.1)), rules.Figure(at.air.C()))
	}
	if b.sharing != nil && b.sharing.how == bySetVoltage {
		return fmt.Sprintf("use a converter of at least %s A continuous alone, or one with a current limit within its continuous rating at that temperature, or units that balance their currents (current_share)",
			rules.Figure(rules.RoundUp(demand*need/(at.derating.Value/100), 0.1)))
	}
	return fmt.Sprintf("use a converter rated for at least %s A continuous, or draw %s A less in mode %s (largest: %s)",
		rules.Figure(rules.RoundUp(demand*need/(at.derating.Value/100), 0.1)), rules.Figure(rules.RoundUp(demand-limit/need, 0.1)), b.mode, b.heaviest(3))
}

// worstContinuous picks the mode with the least headroom among those that last
// longer than the converter's peak.
func worstContinuous(p *rules.Pass, v *schema.Converter, all []budget) (worst budget, ok bool) {
	var most float64
	for _, b := range all {
		if b.lasts.Known && v.Output.PeakA.Known && v.Output.PeakS.Known && b.lasts.Value <= v.Output.PeakS.Value {
			continue
		}
		used := b.headroom(p) * b.meanA / max(placeOf(p, v, b.mode).continuousA(v), 1e-9)
		if !ok || used > most {
			worst, most, ok = b, used, true
		}
	}
	return worst, ok
}

// isOverloaded reports whether converter-overloaded fails for a converter,
// so that what follows from it can say so.
func isOverloaded(p *rules.Pass, v *schema.Converter, all []budget) bool {
	b, ok := worstContinuous(p, v, all)
	if !ok {
		return false
	}
	return b.meanA*b.headroom(p) > placeOf(p, v, b.mode).continuousA(v)*(1+1e-9)
}

// overloadedHeadroom is the headroom that converter-overloaded requires, which
// other rules require too.
func overloadedHeadroom(p *rules.Pass) float64 {
	return required(p, overloadedID, overloadedRequired)
}
