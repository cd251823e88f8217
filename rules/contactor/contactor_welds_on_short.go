package contactor

import (
	"errors"
	"math"
	"strconv"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/capacity"
	"example.org/headroom/rules/internal/circuit"
)

func contactorWeldsOnShort() *rules.Rule {
	return &rules.Rule{
		ID:     "contactor-welds-on-short",
		Family: family,
		Title:  "a contactor's contacts may weld before the fuse clears a short circuit",
		Why: "A fuse protects cables; the contacts behind it may still weld while it clears. " +
			"Whoever only replaces the fuse then has a contactor that no key opens.",
		Relation: "total I^2t of the fuse <= I^2 t of the contact's shortest short-time rating",
		Source:   "IEC 60947-4-1 (coordination with short-circuit protective devices, type 1 and type 2); adiabatic heating of the contact spot",
		Level:    rules.Note,
		Required: 1,
		Fix:      "inspect the contactor whenever the fuse has cleared a short circuit, and state that on a label; or use a faster fuse",
		Example: rules.Example{Vehicle: "heron", Subject: "main_contactor", Edits: []rules.Edit{
			{Path: "fuses.main.total_I2t_A2s", Value: "60000000"}}},
		Check: checkWelds,
	}
}

func checkWelds(p *rules.Pass) {
	for _, d := range devices(p) {
		if !d.power {
			continue
		}
		if c, ok := onContact(p, d); ok {
			evalWelds(c, p, d)
		}
	}
}

func evalWelds(c *rules.Check, p *rules.Pass, d device) {
	id := d.fuse(p)
	switch {
	case id == "":
		c.NotChecked("a fuse in the circuit of "+d.id, "contact of %s: no fuse protects what it feeds", d.id)
		return
	case len(d.contact.ShortTime) == 0:
		c.NotChecked(d.contactPath("short_time"), "contact of %s: short-time rating is not given", d.id)
		return
	}
	fuse := p.Circuit.Device(id)
	if p.Spec.Breakers[id] != nil && !fuse.TotalI2t.Known {
		c.NotChecked(fuse.Path()+".total_I2t_A2s", "the I^2t that breaker %s lets through is not given", id)
		return
	}
	curve, err := capacity.Curve(fuse)
	if missing := (*rules.Missing)(nil); errors.As(err, &missing) {
		c.NotChecked(missing.Path, "the let-through of fuse %s depends on its curve", id)
		return
	} else if err != nil {
		c.NotChecked(fuse.Path()+".total_I2t_A2s", "%v", err)
		return
	}
	total, known := curve.TotalI2t()
	if !known {
		c.NotChecked(fuse.Path()+".total_I2t_A2s", "the total I^2t of fuse %s is not given", id)
		return
	}
	through := total
	if fuse.TotalI2t.Known {
		c.Given("I2t", "total I^2t of "+id, total, "A2s", fuse.Path()+".total_I2t_A2s")
	} else {
		c.Standard("I2t", "I^2t of "+id+" at the end of its greatest opening times", total, "A2s", curve.MaxSource())
	}
	at, index := math.Inf(1), 0
	for i, r := range d.contact.ShortTime {
		if r.S < at {
			at, index = r.S, i
		}
	}
	r := d.contact.ShortTime[index]
	path := d.contactPath("short_time") + "." + strconv.Itoa(index)
	c.Given("I_st", "shortest short-time rating", r.A, "A", path+".A")
	c.Given("t_st", "its time", r.S, "s", path+".s")
	withstand := c.Calc("I2t_c", "I^2t that the contact withstands", "I_st^2 t_st", rules.Term(r.A)+"^2 * "+rules.Term(r.S), r.A*r.A*r.S, "A2s")
	c.AtMost(rules.Quantity{Value: through, Unit: "A2s"}, rules.Quantity{Value: withstand, Unit: "A2s"},
		"contact of %s: %s lets through %s A2s on a short circuit, the contact withstands %s A2s", d.id, id, rules.Figure(through), rules.Figure(withstand))
}

// fuse is the smallest fuse that protects the conductors on a contact, those
// that it feeds first.
func (d device) fuse(p *rules.Pass) string {
	guards := p.Circuit.Guards()
	for _, node := range []circuit.Node{d.contacts[0].To, d.contacts[0].From} {
		for _, e := range p.Circuit.EdgesAt(node) {
			for _, g := range guards[e.ID] {
				if g.Source.IsBattery() && g.Fuse() != "" {
					return g.Fuse()
				}
			}
		}
	}
	return ""
}
