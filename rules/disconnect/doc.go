// Package disconnect holds the rules of the disconnect family: that a traction
// battery has a hand-operated disconnect, and that the disconnect is rated
// for the voltage of its circuit and for the current that it carries, closes on
// and interrupts.
package disconnect

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

// family is what the rules of this package belong to.
const family = "disconnect"

// Rules lists the rules of the family.
func Rules() []*rules.Rule {
	return []*rules.Rule{
		disconnectMissing(),
		disconnectSinglePole(),
		disconnectVoltageLow(),
		disconnectCarryLow(),
		disconnectShortTimeLow(),
		disconnectBreakLow(),
		disconnectMakeLow(),
		breakerAsDisconnect(),
	}
}

// device is a disconnect that is wired, with its poles.
type device struct {
	*schema.Disconnect
	poles demand.Element
}

// devices lists the disconnects of which at least one pole is wired, by id.
func devices(p *rules.Pass) []device {
	var out []device
	for id, d := range schema.Sorted(p.Spec.Disconnects) {
		if d.Spare {
			continue
		}
		var poles demand.Element
		for _, e := range p.Circuit.EdgesOf(id) {
			if wired(p, e) {
				poles = append(poles, e)
			}
		}
		if len(poles) > 0 {
			out = append(out, device{d, poles})
		}
	}
	return out
}

// wired reports whether both terminals of a pole are connected.
func wired(p *rules.Pass, e *circuit.Edge) bool {
	names := map[string][2]string{e.Part: {".a", ".b"}, e.Part + ".2": {".a2", ".b2"}}[e.ID]
	return p.Circuit.Connected(e.Part+names[0]) && p.Circuit.Connected(e.Part+names[1])
}

// check starts the result on every disconnect whose circuit is sound, and
// leaves the verdict to eval.
func check(eval func(*rules.Check, *rules.Pass, device)) func(*rules.Pass) {
	return func(p *rules.Pass) {
		for _, d := range devices(p) {
			c := p.Subject(d.ID, d.Path())
			if !d.poles.Unsound(p, c) {
				eval(c, p, d)
			}
		}
	}
}

// currents lists the greatest current of the poles in each mode. It reports the
// check as not made, and false, where they are not known.
func (d device) currents(c *rules.Check, p *rules.Pass) ([]demand.Use, bool) {
	return demand.For(p).Known(c, d.ID, d.poles)
}

// workingV is the highest working voltage of what the disconnect opens, with its
// steps. It reports the check as not made, and false, where that is not known;
// enough is a voltage above which it is known to be too high whatever is missing.
func (d device) workingV(c *rules.Check, p *rules.Pass, enough float64) (float64, bool) {
	v, found, err := demand.SwitchedV(p, c.Working, d.poles)
	if !found {
		demand.NoSource(c, d.ID)
	}
	return v, found && !demand.VoltageUnknown(c, err, v <= enough, "of the circuit of "+d.ID)
}

// field is the path of a field of the disconnect.
func (d device) field(name string) string { return d.Path() + "." + name }
