package circuit

import (
	"slices"

	"example.org/headroom/schema"
)

// Source is something that can feed a fault.
type Source struct {
	ID       string // part id
	Path     string // path of the part in the spec
	Pos, Neg Node
	// LimitA is the most that a converter or charger gives; 0 for a battery,
	// which knows no limit but its resistance.
	LimitA float64
	// LimitFrom is the path of the value that LimitA was taken from.
	LimitFrom string
	MaxV      float64
	// StringV is the highest voltage of the string in which a battery stands, in
	// V; MaxV of any other source.
	StringV float64
	Role    string // traction, auxiliary, converter or charger, which a solar regulator is too
	// InternalFuseA is the rating of the fuse inside a battery; 0 if there is none. What
	// those of other batteries do for a conductor, [Guard.Inside] says.
	InternalFuseA float64
}

// IsBattery reports whether the source is a battery.
func (s Source) IsBattery() bool { return s.Role == "traction" || s.Role == "auxiliary" }

// Sources lists the batteries, converters and chargers; the list is not to be changed.
func (n *Network) Sources() []Source { return n.sources() }

func (n *Network) findSources() []Source {
	var out []Source
	for id, b := range schema.Sorted(n.Spec.Batteries) {
		e := n.byID[id]
		out = append(out, Source{ID: id, Path: b.Path(), Pos: e.From, Neg: e.To, MaxV: b.MaxV, Role: b.Role,
			InternalFuseA: b.InternalFuseA.Or(0)})
	}
	for id, c := range schema.Sorted(n.Spec.Converters) {
		e := n.byID[id+".out"]
		limit, from := n.ConverterLimitA(id)
		out = append(out, Source{ID: id, Path: c.Path(), Pos: e.From, Neg: e.To, MaxV: c.Output.NominalV,
			Role: "converter", LimitA: limit, LimitFrom: from})
	}
	for id, c := range schema.Sorted(n.Spec.Chargers) {
		e := n.byID[id]
		out = append(out, Source{ID: id, Path: c.Path(), Pos: e.From, Neg: e.To, MaxV: c.MaxV,
			Role: "charger", LimitA: c.MaxA, LimitFrom: c.Path() + ".max_A"})
	}
	for id, c := range schema.Sorted(n.Spec.Solar) {
		e := n.byID[id]
		out = append(out, Source{ID: id, Path: c.Path(), Pos: e.From, Neg: e.To, MaxV: max(c.Regulator.OutputV, c.Regulator.WithoutBatteryV.Or(0)),
			Role: "charger", LimitA: c.Regulator.MaxA, LimitFrom: c.Path() + ".regulator.max_A"})
	}
	own := slices.Clone(out)
	for i, s := range own {
		for _, x := range n.stringOf(s, own) {
			out[i].StringV += x.MaxV
		}
	}
	return out
}

// StringOf lists the batteries that stand in one string with a source, from the
// negative end up; any other source is a string of its own, and so is a battery
// that is shorted.
func (n *Network) StringOf(s Source) SeriesString { return n.stringOf(s, n.Sources()) }

func (n *Network) stringOf(s Source, all []Source) []Source {
	out := []Source{s}
	if !s.IsBattery() {
		return out
	}
	rest := slices.DeleteFunc(slices.Clone(all), func(b Source) bool { return !b.IsBattery() || b.ID == s.ID })
	shorted := func(b Source) bool { return n.fixed[b.Pos] == n.fixed[b.Neg] }
	joins := func(below, above Source) bool {
		return !shorted(below) && !shorted(above) && n.MetalJoins(below.Pos, above.Neg)
	}
	for grown := true; grown; {
		grown = false
		for i, b := range rest {
			switch {
			case joins(out[len(out)-1], b):
				out = append(out, b)
			case joins(b, out[0]):
				out = append([]Source{b}, out...)
			default:
				continue
			}
			rest = slices.Delete(rest, i, i+1)
			grown = true
			break
		}
	}
	return out
}
