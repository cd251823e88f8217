package switches

import (
	"math"
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/charging"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

// kind is how a load behaves for the contact that switches it.
type kind int

const (
	steady    kind = iota // resistive and electronic: closes and opens on its own current
	lamp                  // filament: closes on ten times its current
	motor                 // closes on its stall current, opens on an inductance
	inductive             // coils and solenoids: opens on their stored energy
)

func (k kind) String() string {
	return [...]string{"resistive loads", "filament lamps", "motors", "coils"}[k]
}

// kindOf is the kind of a consumer.
func kindOf(p *rules.Pass, e *circuit.Edge) kind {
	if e.Kind == circuit.CoilEdge && p.Spec.Timers[e.Part] == nil {
		return inductive
	}
	if l, ok := p.Spec.Loads[e.Part]; ok {
		return map[string]kind{"filament": lamp, "motor": motor, "inductive": inductive}[l.LoadKind]
	}
	return steady
}

// mix is the current of a contact in one mode by the kind of what it feeds.
type mix struct {
	demand.Use
	a     [inductive + 1]float64
	parts [inductive + 1][]string
}

// mixOf divides the current of a contact among what it feeds. What it carries
// beyond that, such as its share of a load with a second feed, counts as steady.
func mixOf(p *rules.Pass, set demand.Element, u demand.Use) mix {
	m := mix{Use: u}
	s := p.Circuit.Solve(u.At)
	var sum float64
	for _, e := range p.Circuit.Behind(s, set...) {
		i, k := math.Abs(s.Current(e.ID)), kindOf(p, e)
		m.a[k] += i
		sum += i
		if i > 0 {
			m.parts[k] = append(m.parts[k], e.Part)
		}
	}
	if rest := math.Abs(u.A) - sum; rest > 1e-6*math.Abs(u.A) {
		m.a[steady] += rest
	}
	return m
}

// mixes lists the mixes of a contact in each corner of its modes: the one of most current
// need not be that of most coils.
func mixes(p *rules.Pass, set demand.Element, list []demand.Use) (out []mix) {
	for _, u := range list {
		for _, k := range demand.CornersOf(p.Spec, u.Mode) {
			s := p.Circuit.Solve(k)
			at := u
			at.At, at.A = k, 0
			for _, e := range set {
				at.A = max(at.A, math.Abs(s.Current(e.ID)))
			}
			out = append(out, mixOf(p, set, at))
		}
	}
	return out
}

// limits is what a contact may switch of one kind of load, in A, and where that
// comes from.
type limit struct {
	known  bool
	a      float64
	stated schema.Number // the contact's own rating for the kind
	path   string        // of that rating
	policy string        // of the share that stands in for it
	share  float64       // percent
}

// limitsOf lists the limits of a contact by kind of load.
func limitsOf(p *rules.Pass, carry schema.Number, stated [inductive + 1]schema.Number, path func(string) string) (out [inductive + 1]limit) {
	policy := p.Spec.Policy
	out[steady] = limit{known: carry.Known, a: carry.Value, stated: carry, path: path("carry_A")}
	for k, x := range [inductive + 1]limit{
		lamp:      {path: path("lamp_A"), policy: "policy.contact_lamp_percent", share: policy.ContactLampPercent},
		motor:     {path: path("motor_A"), policy: "policy.contact_motor_percent", share: policy.ContactMotorPercent},
		inductive: {path: path("inductive_A"), policy: "policy.contact_inductive_percent", share: policy.ContactInductivePercent},
	} {
		if kind(k) == steady {
			continue
		}
		x.stated = stated[k]
		switch {
		case x.stated.Known:
			x.known, x.a = true, x.stated.Value
		case carry.Known:
			x.known, x.a = true, carry.Value*x.share/100
		}
		out[k] = x
	}
	return out
}

// step adds the limit to a working.
func (l limit) step(c *rules.Check, k kind, carry schema.Number, carryPath string) {
	if l.stated.Known {
		c.Given("I_"+k.symbol(), "rating for "+k.String(), l.a, "A", l.path)
		return
	}
	rated := c.Given("I_c", "rated current of the contact", carry.Value, "A", carryPath)
	share := c.Default("f_"+k.symbol(), "share of it for "+k.String(), l.share, "%", l.policy)
	c.Calc("I_"+k.symbol(), "rating for "+k.String(), "f I_c", rules.Term(share)+"/100 * "+rules.Term(rated), l.a, "A")
}

// need is a rating in A for a kind of load, as a data sheet states it: of a contact that
// states none the share of its rated current counts.
func (l limit) need(k kind, a float64) string {
	text := rules.Figure(rules.RoundUp(a, charging.Step(a))) + " A for " + k.String()
	if k == steady || l.stated.Known || l.share == 0 {
		return text
	}
	carry := 100 * a / l.share
	return text + " (carry_A of at least " + rules.Figure(rules.RoundUp(carry, charging.Step(carry))) + " where its data sheet has no figure for them)"
}

func (k kind) symbol() string { return [...]string{"c", "lamp", "motor", "ind"}[k] }

// used is the share of its limits that a mix uses up, 1 for all of it; false
// when a limit is not known.
func (m mix) used(limits [inductive + 1]limit) (share float64, known bool) {
	for k, a := range m.a {
		if a == 0 {
			continue
		}
		if !limits[k].known {
			return 0, false
		}
		share += a / limits[k].a
	}
	return share, true
}

// beyondStated reports whether a mix is above a rating that the contact states for one
// of its kinds of load.
func (m mix) beyondStated(limits [inductive + 1]limit) bool {
	for k, a := range m.a {
		if kind(k) != steady && limits[k].stated.Known && a > limits[k].stated.Value {
			return true
		}
	}
	return false
}

// special reports whether a mix holds anything but steady loads.
func (m mix) special() bool { return m.a[lamp]+m.a[motor]+m.a[inductive] > 0 }

// evalKinds gives the verdict on what a contact switches by kind of load.
func evalKinds(c *rules.Check, p *rules.Pass, id string, set demand.Element, carry schema.Number, limits [inductive + 1]limit) {
	list, ok := uses(c, p, id, set)
	if !ok {
		return
	}
	var worst *mix
	var most float64
	for _, m := range mixes(p, set, list) {
		if !m.special() {
			continue
		}
		share, known := m.used(limits)
		if !known {
			c.NotChecked(limits[steady].path, "%s: switches %s, its rating for them is not given", id, m.describe())
			return
		}
		if worst == nil || share > most*(1+1e-9) {
			worst, most = &m, share
		}
	}
	if worst == nil {
		c.Holds(true, "%s: switches neither filament lamps nor motors nor coils", id)
		return
	}
	c.In(worst.Mode.ID, worst.At.String())
	if worst.beyondStated(limits) {
		c.Level(rules.Error)
	}
	worst.report(c, p.Required(), id, carry, limits, most)
}

// report compares the mix with the limits: in amperes where it is of one kind,
// else in shares of the limits, which add up.
func (m mix) report(c *rules.Check, required float64, id string, carry schema.Number, limits [inductive + 1]limit, share float64) {
	var formula, numbers []string
	only, kinds := steady, 0
	for k, a := range m.a {
		if a == 0 {
			continue
		}
		k := kind(k)
		only, kinds = k, kinds+1
		what := "current of " + k.String()
		if len(m.parts[k]) > 0 {
			what += ": " + strings.Join(m.parts[k], ", ")
		}
		c.Solved("i_"+k.symbol(), what, a, "A", "mode "+m.Mode.ID+", "+m.At.String())
		limits[k].step(c, k, carry, limits[steady].path)
		formula = append(formula, "i_"+k.symbol()+" / I_"+k.symbol())
		numbers = append(numbers, rules.Term(a)+" / "+rules.Term(limits[k].a))
	}
	if kinds == 1 {
		c.Fix("use a switch or relay rated at least %s", limits[only].need(only, required*m.a[only]))
		c.AtMost(rules.Amperes(m.a[only]), rules.Amperes(limits[only].a), "%s: switches %s A of %s in mode %s, rated %s A for them",
			id, rules.Figure(m.a[only]), only, m.Mode.ID, rules.Figure(limits[only].a))
		return
	}
	var needs []string
	for k, a := range m.a {
		if a > 0 { // each as much greater as all together are too small
			needs = append(needs, limits[k].need(kind(k), required*share*limits[k].a))
		}
	}
	c.Fix("use a switch or relay rated at least %s, or switch one kind of load by a relay of its own", rules.And(needs))
	percent := c.Calc("u", "share of its ratings", strings.Join(formula, " + "), "100 * ("+strings.Join(numbers, " + ")+")", 100*share, "%")
	c.AtMost(rules.Quantity{Value: percent, Unit: "%"}, rules.Quantity{Value: 100, Unit: "%"},
		"%s: switches %s in mode %s, together %s %% of its ratings", id, m.describe(), m.Mode.ID, rules.Figure(percent))
}

// describe lists the currents by kind.
func (m mix) describe() string {
	var parts []string
	for k, a := range m.a {
		if a > 0 {
			parts = append(parts, rules.Figure(a)+" A of "+kind(k).String())
		}
	}
	return rules.And(parts)
}
