package switches

import (
	"fmt"
	"slices"
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

func poleVoltageLow() *rules.Rule {
	return &rules.Rule{
		ID:     "pole-voltage-low",
		Family: family,
		Title:  "the pole of a switch is rated for less than the highest voltage of its circuit",
		Why: "The breaking capacity of a contact falls steeply with the voltage: a switch rated 10 A at 12 V may not interrupt 1 A at 48 V. " +
			"The arc stays between the open contacts, and the emergency stop or the key no longer switches anything off.",
		Relation: "rated_V_dc >= the highest working voltage of the sources that the pole switches: end of charge, charger, regeneration",
		Source:   "IEC 60947-1 (rated operational voltage), IEC 61058-1; highest working voltage as in ISO 6469-3",
		Level:    rules.Error,
		Required: 1,
		Vital:    []string{"switches.poles.rated_V_dc"},
		Fix:      "use a switch rated for that DC voltage, or let it switch a relay",
		Example: rules.Example{Vehicle: "mole", Subject: "key.drive", Edits: []rules.Edit{
			{Path: "switches.key.poles.drive.rated_V_dc", Value: "28"}}},
		Check: check(evalPoleVoltage),
	}
}

func evalPoleVoltage(c *rules.Check, p *rules.Pass, k pole) {
	v, found, err := demand.SwitchedV(p, c.Working, k.set())
	switch {
	case !found:
		demand.NoSource(c, k.id)
	case !k.RatedVdc.Known:
		c.NotChecked(k.path("rated_V_dc"), "%s: DC voltage rating is not given", k.id)
	case demand.VoltageUnknown(c, err, p.Required()*v <= k.RatedVdc.Value, "of the circuit of "+k.id):
	default:
		rated := c.Given("V_r", "rated voltage of "+k.id, k.RatedVdc.Value, "V", k.path("rated_V_dc"))
		if v*p.Required() > rated {
			c.Fix("%s", ratedFor(p, k.set(), v, v*p.Required()))
		}
		c.AtMost(rules.Volts(v), rules.Volts(rated), "%s: up to %s V in its circuit, rated %s V DC", k.id, rules.Figure(v), rules.Figure(rated))
	}
}

// clampMargin is the headroom that suppression-clamp-high asks for, unless the policy
// does.
const clampMargin = 1.2

// ratedFor proposes a voltage rating in V for a contact in a circuit of some voltage:
// one that opens a coil also withstands what its suppression adds.
func ratedFor(p *rules.Pass, set demand.Element, circuitV, leastV float64) string {
	margin := clampMargin
	if r, ok := p.Spec.Policy.Required["suppression-clamp-high"]; ok {
		margin = r
	}
	coils, clamp, known := coilsBehind(p, set)
	text := fmt.Sprintf("use a switch rated at least %s V DC", rules.Figure(rules.RoundUp(leastV, 1)))
	switch {
	case len(coils) == 0:
		return text + ", or let it switch a relay"
	case !known:
		return text + fmt.Sprintf(", and more for what the suppression of %s adds when it opens the coil", strings.Join(coils, ", "))
	}
	return fmt.Sprintf("use a switch rated at least %s V DC: it opens the coil of %s, whose suppression adds %s V",
		rules.Figure(rules.RoundUp(max(leastV, margin*(circuitV+clamp)), 1)), strings.Join(coils, ", "), rules.Figure(clamp))
}

// coilsBehind lists the parts whose coils a contact switches, with the highest clamp
// voltage of their own suppressions in V; known is false where one has another.
func coilsBehind(p *rules.Pass, set demand.Element) (ids []string, clampV float64, known bool) {
	found, failed := demand.For(p).Uses(set)
	if failed != nil {
		return nil, 0, true
	}
	known = true
	for _, u := range found {
		for _, e := range p.Circuit.Behind(p.Circuit.Solve(u.At), set...) {
			if e.Kind != circuit.CoilEdge || p.Spec.Timers[e.Part] != nil || slices.Contains(ids, e.Part) {
				continue
			}
			ids = append(ids, e.Part)
			coil := coilOf(p, e.Part)
			switch {
			case coil.ClampV.Known:
				clampV = max(clampV, coil.ClampV.Value)
			case coil.Suppression == "diode":
				clampV = max(clampV, p.Spec.Policy.DiodeForwardV)
			default:
				known = false
			}
		}
	}
	slices.Sort(ids)
	return ids, clampV, known
}

// coilOf is the coil of a contactor or relay.
func coilOf(p *rules.Pass, id string) *schema.Coil {
	if k, ok := p.Spec.Contactors[id]; ok {
		return &k.Coil
	}
	return &p.Spec.Relays[id].Coil
}
