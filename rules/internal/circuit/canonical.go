package circuit

import (
	"slices"
	"strconv"
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
	if c.House != Running || c.NoAuxiliary || !n.hasBattery("auxiliary") {
		c.Recharge = false
	}
	if c.House == Running && !c.Recharge || c.NoAuxiliary {
		c.Auxiliary = Nominal // it floats at its nominal voltage, or is not there
	}
	if len(p.coils) == 0 {
		c.Coil, c.Waiting = CoilAt20, ""
		if len(p.converters) == 0 {
			c.Start = FromClosed
		}
	}
	m := n.Mode(c.Mode)
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
	c.Mode = n.firstAlike(c)
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
func (n *Network) firstAlike(c Case) string {
	k, ok := n.contents()[c.Mode]
	if k = k.taking(c); !ok || k == (content{}) {
		return ""
	}
	effect := Case{AllClosed: c.AllClosed, NoLoads: c.NoLoads, NoDraw: c.NoDraw, NoChargers: c.NoChargers}
	return n.alike.get(effect, func() map[content]string {
		first := map[content]string{}
		for _, id := range n.States() {
			k := n.contents()[id].taking(effect)
			if _, ok := first[k]; !ok {
				first[k] = id
			}
		}
		return first
	})[k]
}

// content is what a mode closes, turns on, lets draw, connects and parts, each as the number
// of the first mode with the same, counted from 1; 0 for nothing.
type content struct{ closed, on, draw, connected, parted int }

// taking is the content that takes effect in a case.
func (k content) taking(c Case) content {
	if c.AllClosed {
		k.closed = 0
	}
	if c.NoLoads {
		k.on = 0
	}
	if c.NoDraw {
		k.draw = 0
	}
	if c.NoChargers {
		k.connected = 0
	}
	return k
}

// findContents finds the content of each mode, by its id.
func (n *Network) findContents() map[string]content {
	closed, on, connected, parted, draws, draw := numbering[string](), numbering[string](), numbering[string](), numbering[string](), numbering[string](), numbering[schema.Draw]()
	list := func(number func(string) int, ids []string) int {
		if len(ids) == 0 {
			return 0
		}
		return number(strings.Join(ids, " "))
	}
	contents := make(map[string]content, len(n.States()))
	for _, id := range n.States() {
		m := n.Mode(id)
		var drawn []string
		for controller, d := range schema.Sorted(m.Draw) {
			drawn = append(drawn, controller, strconv.Itoa(draw(*d)))
		}
		contents[id] = content{closed: list(closed, m.Closed), on: list(on, m.On), draw: list(draws, drawn), connected: list(connected, m.Connected), parted: list(parted, edgeIDs(n.parted(m)))}
	}
	return contents
}

// numbering numbers what it is given, equals alike, from 1.
func numbering[K comparable]() func(K) int {
	numbers := map[K]int{}
	return func(k K) int {
		if numbers[k] == 0 {
			numbers[k] = len(numbers) + 1
		}
		return numbers[k]
	}
}
