package precharge

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/charging"
	"example.org/headroom/schema"
)

// onContactor starts the result on a pre-charge's contactor. It reports the
// check as not made, and false, when its circuit is not sound.
func onContactor(p *rules.Pass, a charging.Attempt) (*rules.Check, bool) {
	c := p.Subject(a.Contactor.ID, a.Contactor.Path())
	return c, !p.Unsound(c, a.Contactor.ID+".a", a.Contactor.ID+".b")
}

// served is a resistor and the pre-charge in which it has most to do.
type served struct {
	*schema.Resistor
	charging.Attempt
}

// resistors lists the resistors on the ways around contactors, each once. Of
// several pre-charges through one it takes that of the most capacitance.
func resistors(p *rules.Pass) []served {
	best := map[string]charging.Attempt{}
	for _, a := range charging.Attempts(p) {
		for _, r := range a.Resistors {
			if old, ok := best[r.ID]; !ok || farad(a) > farad(old) {
				best[r.ID] = a
			}
		}
	}
	var out []served
	for id, a := range schema.Sorted(best) {
		if r := p.Spec.Resistors[id]; !r.Spare {
			out = append(out, served{r, a})
		}
	}
	return out
}

func farad(a charging.Attempt) float64 { return a.Charge(1).CapacitanceF }

// onResistor is onContactor for a resistor.
func onResistor(p *rules.Pass, s served) (*rules.Check, bool) {
	c := p.Subject(s.Resistor.ID, s.Resistor.Path())
	return c, !p.Unsound(c, s.Resistor.ID+".a", s.Resistor.ID+".b")
}

// pulseJ is the pulse energy in J that the resistor has to be rated for, at its
// continuous rating where that is known, for one attempt of some J, for several in a
// minute and for a shorted controller.
func (s served) pulseJ(p *rules.Pass, v, joule float64) float64 {
	need := charging.Required(p, "precharge-pulse-high") * joule
	if rated := s.PowerW; rated.Known {
		need = charging.PulseFor(p, joule, rated.Value)
		if short := s.shortedW(p, v); short > rated.Value && s.Delay().Known && !s.alwaysFed(p) {
			need = max(need, charging.ShortPulseJ(short, rated.Value, s.LongestS(p)))
		}
	}
	return rules.RoundUp(need, charging.Step(need))
}

// watts is the continuous rating in W that the resistor needs, of a pulse rating in J,
// for several attempts of some J in a minute and for a shorted controller.
func (s served) watts(p *rules.Pass, joule, pulse float64) float64 {
	watts := charging.PowerFor(p, joule, pulse)
	v, ok := charging.ExplainFull(p, p.Subject(s.Resistor.ID, s.Resistor.Path()).Working, s.Contact.From)
	if !ok {
		return watts
	}
	short := s.shortedW(p, v)
	if s.alwaysFed(p) || !s.Delay().Known {
		return max(watts, short)
	}
	return max(watts, charging.ShortPower(short, pulse, s.LongestS(p)))
}

// shortedW is the power in W in the resistor at V_w, in V, with the controller shorted,
// with the headroom that the rule about it requires.
func (s served) shortedW(p *rules.Pass, v float64) float64 {
	all := s.Charge(v).SeriesOhm
	return charging.Required(p, "precharge-short-burns") * v * v * s.ResistanceOhm / (all * all)
}

// full adds the voltage of the full battery to the working; or it reports that
// there is none.
func full(c *rules.Check, p *rules.Pass, a charging.Attempt) (v float64, ok bool) {
	if v, ok = charging.ExplainFull(p, c.Working, a.Contact.From); !ok {
		c.NotChecked("a battery that feeds "+a.Contactor.ID, "%s: no battery feeds what it closes on", a.Contactor.ID)
	}
	return v, ok
}

// unknown reports why something of a pre-charge cannot be told, and whether that is so.
func unknown(c *rules.Check, trouble *charging.Problem) bool {
	if trouble != nil {
		trouble.Report(c)
	}
	return trouble != nil
}

// need reports a rating that is not known.
func need(c *rules.Check, n schema.Number, path, format string, args ...any) (known bool) {
	if !n.Known {
		c.NotChecked(path, format, args...)
	}
	return n.Known
}

func joules(v float64) rules.Quantity  { return rules.Quantity{Value: v, Unit: "J"} }
func watts(v float64) rules.Quantity   { return rules.Quantity{Value: v, Unit: "W"} }
func percent(v float64) rules.Quantity { return rules.Quantity{Value: v, Unit: "%"} }
