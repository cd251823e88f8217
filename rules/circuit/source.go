package circuit

import "example.org/headroom/schema"

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
	Role      string // traction, auxiliary, converter or charger
	// InternalFuseA is the rating of a battery's own fuse, 0 if it has none.
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
	return out
}
