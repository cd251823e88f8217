package demand

import (
	"math"
	"slices"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

// Battery is a battery in its place, and what flows through it.
type Battery struct {
	*schema.Battery
	Own      circuit.SeriesString   // the string that it belongs to
	Parallel []circuit.SeriesString // that string and those beside it
	Currents []BatteryCurrent       // by mode, with the converter running where one feeds it
	Alone    []BatteryCurrent       // with that converter off; none of a battery that no converter feeds

	failed *circuit.Solution
	d      *Demands
}

// BatteryCurrent is the current of a battery in one mode: the most that it gives,
// and the most that it takes. Each is 0 A where it never does.
type BatteryCurrent struct {
	Mode         *schema.Mode
	Given, Taken Use
}

// Greatest is the larger of the two, which is what heats the battery.
func (b BatteryCurrent) Greatest() Use {
	if b.Taken.A > b.Given.A {
		return b.Taken
	}
	return b.Given
}

// Batteries lists the batteries that are wired, by id.
func (d *Demands) Batteries() []*Battery {
	if d.batteries != nil {
		return d.batteries
	}
	d.batteries = []*Battery{}
	all := d.Circuit.Strings()
	for id, b := range schema.Sorted(d.Spec.Batteries) {
		for _, s := range all {
			if s.Has(id) {
				x := &Battery{Battery: b, Own: s, Parallel: d.Circuit.StringsAcross(s.Pos(), s.Neg()), d: d}
				x.solve()
				d.batteries = append(d.batteries, x)
			}
		}
	}
	return d.batteries
}

func (b *Battery) solve() {
	floats := b.Role == "auxiliary" && len(b.FedBy()) > 0
	for _, id := range b.d.Circuit.States() {
		m := b.d.Circuit.Mode(id)
		if circuit.Implied(m) && b.Overdrawn(b.current(m, Lasting(id)).Given) != "" {
			continue // what nothing can keep up is told of the declared mode
		}
		switch {
		case floats:
			b.Currents = append(b.Currents, b.current(m, cornersIn(b.d.Spec, m, circuit.Running)))
			b.Alone = append(b.Alone, b.current(m, cornersIn(b.d.Spec, m, circuit.Alone)))
		case b.Role == "auxiliary": // it is always alone
			b.Currents = append(b.Currents, b.current(m, cornersIn(b.d.Spec, m, circuit.Alone)))
		default:
			b.Currents = append(b.Currents, b.current(m, CornersOf(b.d.Spec, m)))
		}
	}
}

// FedBy lists the converters whose output closed metal joins to the battery's string.
func (b *Battery) FedBy() (ids []string) {
	n := b.d.Circuit
	for _, source := range n.Sources() {
		if source.Role == "converter" && n.MetalJoins(source.Pos, b.Own.Pos()) && n.MetalJoins(source.Neg, b.Own.Neg()) {
			ids = append(ids, source.ID)
		}
	}
	return ids
}

// edges lists the ids of the edges that its current rests on: its own, and those of
// the strings beside it, one of each.
func (b *Battery) edges() []string {
	ids := []string{b.ID}
	for _, other := range b.Parallel {
		ids = append(ids, other[0].ID)
	}
	return ids
}

func (b *Battery) current(m *schema.Mode, corners []circuit.Case) BatteryCurrent {
	e := b.d.Circuit.Edge(b.ID)
	most := BatteryCurrent{Mode: m, Given: Use{Mode: m, Edge: e, At: corners[0]}, Taken: Use{Mode: m, Edge: e, At: corners[0]}}
	for _, k := range corners {
		s := b.d.Circuit.Solve(k)
		if !s.Settled(b.edges()...) {
			b.failed = s
			return most
		}
		i := b.given(s)
		if i > most.Given.A {
			most.Given.A, most.Given.At = i, k
		}
		if -i > most.Taken.A {
			most.Taken.A, most.Taken.At = -i, k
		}
	}
	return most
}

// given is what the battery gives in a state, negative while it takes. In a corner
// of the supply batteries in parallel are each at their own lowest or highest
// voltage, which differ where the batteries do; in use they settle at one, and share
// the load by their resistances.
func (b *Battery) given(s *circuit.Solution) float64 {
	i := -s.Current(b.ID)
	if len(b.Parallel) > 1 && b.unequal(s.Case) {
		i = 0
		for _, other := range b.Parallel {
			i -= s.Current(other[0].ID)
		}
		i *= b.d.Circuit.Share(b.Parallel, b.Own)
	}
	if math.Abs(i) < LeastA {
		return 0
	}
	return i
}

func (b *Battery) unequal(k circuit.Case) bool {
	at := k.Pack
	if b.Role == "auxiliary" {
		at = k.Auxiliary
	}
	own := b.Own.V(b.d.Spec, at)
	return slices.ContainsFunc(b.Parallel, func(other circuit.SeriesString) bool { return math.Abs(other.V(b.d.Spec, at)-own) > 1e-9 })
}

// Known reports whether the currents of the battery are known; if not, it reports
// the check as not made. See [Demands.Known].
func (b *Battery) Known(c *rules.Check) bool {
	if b.failed != nil {
		c.Unsettled(b.failed, b.edges()...)
		return false
	}
	return !CycleUnknown(c, b.d.Spec) && b.d.known(c, b.ID, b.d.missingResistance(Element{b.d.Circuit.Edge(b.ID)}))
}

// Solved reports whether the modes of the battery could be solved; if not, it
// reports the check as not made.
func (b *Battery) Solved(c *rules.Check) bool {
	return b.failed == nil || !c.Unsettled(b.failed, b.edges()...)
}

// Overdrawn is [Demands.Overdrawn] for the battery.
func (b *Battery) Overdrawn(u Use) string {
	return b.d.Overdrawn(Element{b.d.Circuit.Edge(b.ID)}, u)
}
