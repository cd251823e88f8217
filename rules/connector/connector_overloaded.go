package connector

import (
	"strconv"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/capacity"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
)

func overloaded() *rules.Rule {
	return &rules.Rule{
		ID:     "connector-overloaded",
		Family: family,
		Title:  "a contact of a connector carries more than it may in its air, with as many contacts loaded",
		Why: "The pin and its crimp are the hottest spot of a cable. Above its rating the spring of the socket loses its force, the resistance rises, and " +
			"the housing melts around a joint that no fuse sees.",
		Relation: "I <= I_r s sqrt((T_max - T_a) / (T_max - T_r)), and never above I_r; s is the share that the data sheet leaves to each of as many loaded contacts, for up to two of them 1. " +
			"I is the equivalent continuous current of the hottest mode or of the cycle; between a controller and its motor that of phase_continuous_A, as rms, with phase_peak_A for phase_peak_s after it. A thicker wire than at_size raises nothing",
		Source:   "steady heat balance; IEC 60512-5-2 (derating curves, from memory); time constant of 2 min from memory",
		Level:    rules.Error,
		Required: 1,
		Policy:   []string{"policy.required.connector-overloaded"},
		Vital:    []string{"connectors.contacts", "connectors.max_C", "connectors.rated_at_C", "connectors.derating", "batteries.resistance_mOhm", "batteries.short_circuit_A", "modes.lasts_s", "controllers.phase_continuous_A"},
		Fix:      "use a connector with larger contacts, or share the current over several",
		Example: rules.Example{Vehicle: "mole", Subject: "bar_plug", Edits: []rules.Edit{
			{Path: "connectors.bar_plug.contacts", Value: `[{"carry_A": 1, "rated_V_dc": 60}, {"carry_A": 13, "rated_V_dc": 60}]`}}},
		Check: checkOverloaded,
	}
}

// tauS is the time constant of a contact's heating in s, from memory: that of small relays.
const tauS = 120

// warmC is the air in C up to which a rating holds that states no temperature.
const warmC = 40

// pair is how many loaded contacts a rating holds for that says nothing of others.
const pair = 2

func checkOverloaded(p *rules.Pass) {
	each(p, func(c *rules.Check, k plug) {
		loaded := 0
		var worst *carried
		for _, e := range k.power {
			contact, path := k.contact(e)
			if !contact.CarryA.Known {
				c.NotChecked(path+".carry_A", "%s: rated current of contact %s is not given", k.ID, e.ID)
				return
			}
			x := carried{edge: e, rated: contact.CarryA.Value, path: path + ".carry_A"}
			most, ok := x.find(c, p, k.ID)
			if !ok {
				return
			}
			if most > x.rated/10 {
				loaded++
			}
			if worst == nil || x.duty.EqA/x.rated > worst.duty.EqA/worst.rated {
				worst = &x
			}
		}
		if worst.drawer != "" && worst.duty.EqA <= worst.rated {
			demand.Unended(c, k.ID, worst.endless, worst.drawer, worst.rated)
			return
		}
		k.evalCarried(c, p, worst, loaded)
	})
}

// carried is the current of a contact.
type carried struct {
	edge    *circuit.Edge
	rated   float64
	path    string
	duty    demand.Duty
	endless demand.Use
	drawer  string
}

// find finds what the contact carries, and returns the greatest current of it in A. It
// reports the check as not made, and false, where that is not known.
func (x *carried) find(c *rules.Check, p *rules.Pass, id string) (most float64, ok bool) {
	l, e := demand.For(p), demand.Element{x.edge}
	if phase, in := l.PhaseOf(e); in {
		var unknown func(*rules.Check)
		if x.duty, unknown = phase.Duty(id, tauS, x.rated); unknown != nil {
			unknown(c)
		}
		return phase.MostA(), unknown == nil
	}
	uses, ok := l.Known(c, id, e)
	if !ok {
		return 0, false
	}
	x.duty, x.endless, x.drawer = l.Hottest(e, uses, tauS, x.rated)
	return demand.Greatest(uses).A, true
}

// say is the current in words.
func (x *carried) say() string {
	a := rules.Figure(x.duty.EqA) + " A"
	if x.duty.Phase != nil {
		return a + " " + x.duty.Said()
	}
	return a
}

func (k plug) evalCarried(c *rules.Check, p *rules.Pass, x *carried, loaded int) {
	x.duty.In(c)
	x.duty.Explain(c.Working, x.edge.ID, tauS, "from memory")
	limit := c.Given("I_r", "rated current of contact "+x.edge.ID, x.rated, "A", x.path)
	air := capacity.AirAt(p, &k.Base, x.duty.Mode)
	ambient := air.Explain(c.Working)
	switch {
	case k.MaxTempC.Known && k.RatedAtC.Known:
		most := c.Given("T_max", "temperature limit of "+k.ID, k.MaxTempC.Value, "C", k.Path()+".max_C")
		at := c.Given("T_r", "air in which the rating holds", k.RatedAtC.Value, "C", k.Path()+".rated_at_C")
		l, err := calc.ContactAt(limit, most, at, ambient)
		if err != nil {
			c.NotChecked(k.Path()+".rated_at_C", "%s: %v", k.ID, err)
			return
		}
		limit = c.Line("I_a", "what the contact carries in that air", l)
	case ambient > warmC && !k.RatedAtC.Known:
		c.NotChecked(k.Path()+".rated_at_C", "%s: in air of %s C what its contacts carry depends on the temperature at which they are rated, which is not given", k.ID, rules.Figure(ambient))
		return
	case ambient > warmC && ambient > k.RatedAtC.Value:
		c.NotChecked(k.Path()+".max_C", "%s: in air of %s C what its contacts carry depends on its temperature limit, which is not given", k.ID, rules.Figure(ambient))
		return
	}
	if loaded > pair {
		percent, path := k.share(loaded)
		if path == "" {
			c.NotChecked(k.Path()+".derating", "%s: %d of its contacts are loaded at once; what each may carry then is not given", k.ID, loaded)
			return
		}
		s := c.Given("s", "share of it with "+strconv.Itoa(loaded)+" contacts loaded", percent, "%", path)
		limit = c.Calc("I_s", "what each of them carries", "s I / 100", rules.Term(s)+" * "+rules.Term(limit)+" / 100", s*limit/100, "A")
	}
	c.Fix("use a connector whose contacts carry at least %s A there, or share the current over several", rules.Figure(rules.RoundUp(p.Required()*x.duty.EqA, 1)))
	c.AtMost(rules.Amperes(x.duty.EqA), rules.Amperes(limit), "%s: %s through contact %s, which carries %s A in air of %s C", k.ID,
		x.say(), x.edge.ID, rules.Figure(limit), rules.Figure(ambient))
}

// share is what is left of the rated current with as many contacts loaded, in percent,
// from the nearest entry for at least as many, and the path of it; "" without one.
func (k plug) share(loaded int) (percent float64, path string) {
	nearest := 0
	for i, d := range k.Derating {
		if d.Contacts >= loaded && (nearest == 0 || d.Contacts < nearest) {
			nearest, percent, path = d.Contacts, d.Percent, k.Path()+".derating."+strconv.Itoa(i)+".percent"
		}
	}
	return percent, path
}
