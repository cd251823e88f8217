package connector

import (
	"strconv"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/capacity"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

func overloaded() *rules.Rule {
	return &rules.Rule{
		ID:     "connector-overloaded",
		Family: family,
		Title:  "a contact of a connector carries more than it may in its air, with as many contacts loaded",
		Why: "The pin and its crimp are the hottest spot of a cable. Above its rating the spring of the socket loses its force, the resistance rises, and " +
			"the housing melts around a joint that no fuse sees.",
		Relation: "I <= k I_r s sqrt((T_max - T_a) / (T_max - T_r)), and never above k I_r; s is the share that the data sheet leaves to each of as many loaded contacts, for up to two of them 1. " +
			"k is the ampacity in free air of the wire on the contact over that of a wire of at_size, the lesser of both halves, and at most 1: the wire leads the heat of the contact away, and a " +
			"thicker one than at_size raises nothing. I is the equivalent continuous current of the hottest mode or of the cycle; between a controller and its motor that of phase_continuous_A, as rms, with phase_peak_A for phase_peak_s after it",
		Source:   "steady heat balance; the wire as heat sink from common practice; IEC 60512-5-2 (derating curves, from memory); time constant of 2 min from memory",
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
			x := carried{edge: e, stated: contact.CarryA.Value, path: path + ".carry_A", sink: k.sinkOf(p, e)}
			x.rated = x.sink.share() * x.stated
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
	stated  float64 // its rating in the data sheet
	rated   float64 // with the wire that is on it
	sink    sink
	path    string
	duty    demand.Duty
	air     *schema.Mode // the hottest in which it carries a current; nil for the vehicle's
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
	x.air = demand.HottestAir(uses, p.Spec.Vehicle.AmbientC.Max)
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
	limit := c.Given("I_r", "rated current of contact "+x.edge.ID, x.stated, "A", x.path)
	limit = x.sink.explain(c, limit)
	air := capacity.AirAt(p, &k.Base, x.air)
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
	if share := x.sink.share(); share < 1 && p.Required()*x.duty.EqA <= limit/share {
		c.Fix("lead a wire of %s to it, or use a connector whose contacts carry at least %s A with one of %s there", x.sink.full,
			rules.Figure(rules.RoundUp(p.Required()*x.duty.EqA, 1)), x.sink.size)
	}
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

// sink is the wire on a contact that leads less of its heat away than one of the size for which
// its rating holds: both with their ampacities in A in free air. The zero sink is any other.
type sink struct {
	wire, path string
	a, fullA   float64
	size, full string
}

// sinkC are the temperatures in C of conductor and air at which two wires are compared;
// their ratio hardly depends on them.
const sinkC, sinkAirC = 90, 40

// sinkOf finds the wire that leads away least of the heat of a contact, of both halves. Of
// several wires on one terminal the sum counts.
func (k plug) sinkOf(p *rules.Pass, e *circuit.Edge) (worst sink) {
	contact, _ := k.contact(e)
	full, ok := freeAirA(contact.AtSize)
	if !ok {
		return sink{}
	}
	for _, end := range []circuit.Node{e.From, e.To} {
		s := sink{fullA: full, full: contact.AtSize}
		for _, x := range p.Circuit.ConductorsAt(end) {
			w := p.Spec.Wires[x.Part]
			if w == nil {
				s.a = full // a bus bar
				break
			}
			a, _ := freeAirA(w.Size)
			s.wire, s.path, s.size, s.a = x.Part, w.Path(), w.Size, s.a+a
		}
		if s.wire != "" && s.a < full && (worst.wire == "" || s.a < worst.a) {
			worst = s
		}
	}
	return worst
}

// freeAirA is the ampacity in A of a size of wire in free air; not ok for no size.
func freeAirA(label string) (a float64, ok bool) {
	size, err := calc.ParseSize(label)
	if err != nil {
		return 0, false
	}
	a, err = calc.FreeAirAmpacity(calc.Cable{Size: size}, sinkC, sinkAirC)
	return a, err == nil
}

// share is what the wire leaves of the rating of the contact.
func (s sink) share() float64 {
	if s.wire == "" {
		return 1
	}
	return s.a / s.fullA
}

// explain adds what the wire leaves of a rating in A to the working, and returns it.
func (s sink) explain(c *rules.Check, rated float64) float64 {
	if s.wire == "" {
		return rated
	}
	c.Related(s.path, "thinner than the wire for which its rating holds")
	const source = "in free air at 40 C, conductor at 90 C: heat balance as for every ampacity"
	own := c.Standard("I_z", "ampacity of "+s.wire+", "+s.size, s.a, "A", source)
	full := c.Standard("I_z,r", "ampacity of the wire for which the rating holds, "+s.full, s.fullA, "A", source)
	return c.Calc("I_w", "what the contact carries with that wire", "I_r I_z / I_z,r", rules.Term(rated)+" * "+rules.Term(own)+" / "+rules.Term(full), rated*own/full, "A")
}
