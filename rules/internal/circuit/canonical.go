package circuit

import (
	"maps"
	"slices"
	"strings"

	"example.org/headroom/schema"
)

// canonical is the case that stands for all those which make the same circuit:
// with nothing said about what the vehicle does not have, or what the rest of
// the case leaves without effect.
func (n *Network) canonical(c Case) Case {
	p := n.plan()
	c = c.WithCopper(c.copper())
	if !n.hasBattery("auxiliary") {
		c.House, c.NoAuxiliary = Running, false
	}
	if c.House == Running || c.NoAuxiliary {
		c.Auxiliary = Nominal // it floats at its nominal voltage, or is not there
	}
	if len(p.coils) == 0 {
		c.Coil, c.Waiting = CoilAt20, ""
		if len(p.converters) == 0 {
			c.Start = FromClosed
		}
	}
	m := n.Spec.Modes[c.Mode]
	if m == nil {
		m = &schema.Mode{}
	}
	c.NoLoads = c.NoLoads || len(m.On) == 0
	c.NoDraw = c.NoDraw || len(m.Draw) == 0
	c.NoChargers = c.NoChargers || len(m.Connected) == 0
	if c.Idle != "" {
		c.Idle = strings.Join(slices.DeleteFunc(splitIDs(c.Idle), func(id string) bool {
			return (c.NoLoads || !slices.Contains(m.On, id)) && (c.NoDraw || m.Draw[id] == nil)
		}), " ")
	}
	c.Mode = n.firstAlike(c, m)
	return c
}

// hasBattery reports whether there is a battery in a role.
func (n *Network) hasBattery(role string) bool {
	for _, b := range n.Spec.Batteries {
		if b.Role == role {
			return true
		}
	}
	return false
}

// firstAlike is the first mode that differs from one in nothing that the case
// lets take effect; "" if that closes nothing and turns nothing on.
func (n *Network) firstAlike(c Case, m *schema.Mode) string {
	alike := func(o *schema.Mode) bool {
		return (c.AllClosed || slices.Equal(o.Closed, m.Closed)) &&
			(c.NoLoads || slices.Equal(o.On, m.On)) &&
			(c.NoChargers || slices.Equal(o.Connected, m.Connected)) &&
			(c.NoDraw || maps.EqualFunc(o.Draw, m.Draw, sameDraw))
	}
	if alike(&schema.Mode{}) {
		return ""
	}
	for id, o := range schema.Sorted(n.Spec.Modes) {
		if alike(o) {
			return id
		}
	}
	return c.Mode
}

func sameDraw(a, b *schema.Draw) bool { return a == b || a != nil && b != nil && *a == *b }
