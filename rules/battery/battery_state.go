package battery

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/demand"
)

// batteryState is a battery in its place, as the rules of the family see it.
type batteryState struct{ *demand.Battery }

// batteries lists the batteries that are wired, by id.
func batteries(p *rules.Pass) (out []batteryState) {
	for _, b := range demand.For(p).Batteries() {
		out = append(out, batteryState{b})
	}
	return out
}

// begin starts the result on a battery. It reports the check as not made, and
// false, where the circuit of the battery is not sound.
func begin(p *rules.Pass, x batteryState) (*rules.Check, bool) {
	c := p.Subject(x.ID, x.Path())
	return c, !p.Unsound(c, x.ID+".pos", x.ID+".neg")
}
