package connector

import (
	"math"
	"slices"
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

func endLive() *rules.Rule {
	return &rules.Rule{
		ID:     "connector-end-live",
		Family: family,
		Title:  "a half of a parted connector stays live and can be touched",
		Why: "The half on the battery's side is live for ever, whether the vehicle is switched off or not. Above 60 V a finger in it is a shock; below, " +
			"a ring or a screwdriver in it is a short circuit with nothing but the main fuse before it.",
		Relation: "with the connector parted no half that can be touched (unmated: open) has more than 60 V between its contacts, or from one of them to an open half of a parted connector or to the " +
			"chassis, in any state of the vehicle, and no contact of it stays at a pole of a traction battery of more than 60 V; a half up to that is shrouded. " +
			"The cable of a charger is live unless it feeds its pins only when mated (live_when_mated)",
		Source: "IPXXB above 60 V DC: ISO 6469-3, UN R100 and R136; shrouded below: common practice",
		Level:  rules.Error,
		Varies: "warning up to 60 V",
		Policy: []string{"policy.live_V"},
		Vital:  []string{"connectors.unmated"},
		Fix:    "put the half with the shrouded sockets on the side that stays live, or open a contactor before it by the connector's pilot contacts",
		Example: rules.Example{Vehicle: "mole", Subject: "inlet", Edits: []rules.Edit{
			{Path: "connectors.inlet.unmated.b", Value: `"open"`}}},
		Check: checkEnds,
	}
}

func checkEnds(p *rules.Pass) {
	each(p, func(c *rules.Check, k plug) {
		a, ok := k.liveV(c, p, "a")
		if !ok {
			return
		}
		b, ok := k.liveV(c, p, "b")
		if !ok {
			return
		}
		if k.Use == "inlet" && k.LiveWhenMated != nil && *k.LiveWhenMated {
			a = 0
		}
		// What can be touched comes first, and of two such the higher.
		halves := []half{{"a", k.Unmated.A, a}, {"b", k.Unmated.B, b}}
		slices.SortStableFunc(halves, func(x, y half) int { return y.rank(p) - x.rank(p) })
		h := halves[0]
		if h.v <= p.Spec.Policy.LiveV {
			c.Holds(true, "%s: neither half is live once it is parted", k.ID)
			return
		}
		limit := c.Standard("V_A", "limit of voltage class A", calc.ClassALimitV, "V DC", "ISO 6469-3, UN R100, UN R136")
		c.Solved("V", "voltage of half "+h.name, h.v, "V", "parted, over all modes, between its contacts or to what else can be touched")
		if h.v <= limit {
			c.Level(rules.Warning)
		}
		switch h.safe {
		case "":
			c.NotChecked(k.Path()+".unmated."+h.name, "%s: half %s stays at %s V when it is parted; whether it can be touched then is not given", k.ID, h.name, rules.Figure(h.v))
		default:
			c.Fix("use a half %s that is touch-safe (IPXXB) when parted, or turn the connector round", h.name)
			c.Holds(h.safe == "ipxxb", "%s: half %s stays at %s V when it is parted, and is %s", k.ID, h.name, rules.Figure(h.v),
				map[string]string{"ipxxb": "touch-safe", "open": "open to a finger or a tool"}[h.safe])
		}
	})
}

// half is one half of a parted connector.
type half struct {
	name, safe string
	v          float64
}

// rank orders halves by how much there is to say of them.
func (h half) rank(p *rules.Pass) int {
	r := 0
	if h.v > p.Spec.Policy.LiveV {
		r = map[string]int{"ipxxb": 1, "": 2, "open": 3}[h.safe] * 2
		if h.v > calc.ClassALimitV {
			r++
		}
	}
	return r
}

// liveV is the highest voltage in V between a contact of a half and what else can be touched
// once the connector is parted, over all modes: its other contacts, open halves and the
// chassis; above voltage class A also any pole of the batteries at which it stays. It
// reports the check as not made where that is not known.
func (k plug) liveV(c *rules.Check, p *rules.Pass, name string) (v float64, ok bool) {
	apart := [][]plug{{k}, plugs(p)}
	poles := k.polesAt(p, name)
	for _, mode := range append([]string{""}, p.Circuit.States()...) {
		for _, parted := range apart {
			var open []string
			for _, x := range parted {
				open = append(open, x.all().IDs()...)
			}
			at := demand.Full(mode)
			at.Open, at.NoDraw = strings.Join(open, " "), true
			s := p.Circuit.Solve(at)
			if c.Unsettled(s, k.power.IDs()...) {
				return 0, false
			}
			touched := k.touched(p, parted, name)
			for i, x := range k.power {
				m := k.end(x, name)
				between := func(n circuit.Node) float64 {
					if !s.Together(m, n) {
						return 0
					}
					return math.Abs(s.V(m) - s.V(n))
				}
				for _, n := range touched {
					v = max(v, between(n))
				}
				for _, n := range poles[i] {
					if one := between(n); one > calc.ClassALimitV {
						v = max(v, one)
					}
				}
			}
		}
	}
	return v, true
}

// touched lists what a finger or a tool finds beside a contact of a half: the other
// contacts of that half, and where it is not touch-safe the chassis and the contacts of
// every other half of what is parted that is open.
func (k plug) touched(p *rules.Pass, parted []plug, name string) (out []circuit.Node) {
	for _, e := range k.power {
		out = append(out, k.end(e, name))
	}
	if k.safe(name) == "ipxxb" {
		return out
	}
	if chassis, ok := p.Circuit.Node(schema.Chassis); ok {
		out = append(out, chassis)
	}
	for _, x := range parted {
		for _, half := range []string{"a", "b"} {
			if x.safe(half) != "open" {
				continue
			}
			for _, e := range x.power {
				out = append(out, x.end(e, half))
			}
		}
	}
	return out
}

// polesAt lists, for each contact, the poles of the traction batteries at one of whose poles
// it stays once the connector is parted, with everything else closed.
func (k plug) polesAt(p *rules.Pass, name string) [][]circuit.Node {
	left := circuit.Without(circuit.AllClosed, k.all()...)
	batteries := func(e *circuit.Edge, v circuit.Node) bool {
		return left(e, v) || e.Kind == circuit.BatteryEdge
	}
	out := make([][]circuit.Node, len(k.power))
	for i, e := range k.power {
		metal, reached := p.Circuit.Reach(left, k.end(e, name)), p.Circuit.Reach(batteries, k.end(e, name))
		at := false
		for _, s := range p.Circuit.Sources() {
			if s.Role != "traction" {
				continue
			}
			at = at || metal.Has(s.Pos) || metal.Has(s.Neg)
			if reached.Has(s.Pos) {
				out[i] = append(out[i], s.Pos, s.Neg)
			}
		}
		if !at {
			out[i] = nil
		}
	}
	return out
}

// safe is what can be touched of a half, "" where that is not given.
func (k plug) safe(name string) string {
	if name == "a" {
		return k.Unmated.A
	}
	return k.Unmated.B
}

// end is the node of a contact at one half.
func (k plug) end(e *circuit.Edge, name string) circuit.Node {
	if name == "a" {
		return e.From
	}
	return e.To
}
