package battery

import (
	"math"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/capacity"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

// stand is how a battery stands in the circuit, and what flows through it.
type stand struct {
	b        *schema.Battery
	own      circuit.SeriesString   // the string that it belongs to
	parallel []circuit.SeriesString // that string and those beside it
	flows    []flow                 // by mode, with the converter running where there is one
	alone    []flow                 // of an auxiliary battery that carries its network by itself; else none
	failed   *circuit.Solution
}

// flow is the current of a battery in one mode, in A: the most that it gives,
// and the most that it takes.
type flow struct {
	mode             *schema.Mode
	givenA, takenA   float64
	givenAt, takenAt circuit.Case
}

// greatest is the larger of the two, which is what heats the battery.
func (f flow) greatest() capacity.Use {
	if f.takenA > f.givenA {
		return capacity.Use{Mode: f.mode, A: f.takenA, At: f.takenAt}
	}
	return f.given()
}

func (f flow) given() capacity.Use { return capacity.Use{Mode: f.mode, A: f.givenA, At: f.givenAt} }

// stands lists the batteries that are wired, by id.
func stands(p *rules.Pass) []*stand {
	return rules.Shared(p, "stands", func() (out []*stand) {
		all := p.Circuit.Strings()
		for id, b := range schema.Sorted(p.Spec.Batteries) {
			for _, s := range all {
				if s.Has(id) {
					x := &stand{b: b, own: s, parallel: p.Circuit.StringsAcross(s.Pos(), s.Neg())}
					x.solve(p)
					out = append(out, x)
				}
			}
		}
		return out
	})
}

// corners are the states in which a battery can give most: what regulates its
// power takes most from an empty pack, resistance from a full one.
func corners(mode string) []circuit.Case {
	return []circuit.Case{{Mode: mode, Pack: circuit.Lowest}, {Mode: mode, Pack: circuit.Highest}}
}

// aloneCorners are those of an auxiliary battery whose converter has failed.
func aloneCorners(mode string) []circuit.Case {
	return []circuit.Case{
		{Mode: mode, Pack: circuit.Lowest, House: circuit.Alone, Auxiliary: circuit.Lowest},
		{Mode: mode, Pack: circuit.Highest, House: circuit.Alone, Auxiliary: circuit.Highest},
	}
}

func (x *stand) solve(p *rules.Pass) {
	for id, m := range schema.Sorted(p.Spec.Modes) {
		x.flows = append(x.flows, x.flow(p, m, corners(id)))
		if x.b.Role == "auxiliary" && fedByConverter(p, x.own) {
			x.alone = append(x.alone, x.flow(p, m, aloneCorners(id)))
		}
	}
}

// fedByConverter reports whether the output of a converter hangs on a string.
func fedByConverter(p *rules.Pass, s circuit.SeriesString) bool { return len(feeding(p, s)) > 0 }

// feeding lists the converters whose output metal joins to a string.
func feeding(p *rules.Pass, s circuit.SeriesString) (ids []string) {
	for _, source := range p.Circuit.Sources() {
		if source.Role == "converter" && p.Circuit.MetalJoins(source.Pos, s.Pos()) && p.Circuit.MetalJoins(source.Neg, s.Neg()) {
			ids = append(ids, source.ID)
		}
	}
	return ids
}

func (x *stand) flow(p *rules.Pass, m *schema.Mode, cases []circuit.Case) flow {
	f := flow{mode: m, givenAt: cases[0], takenAt: cases[0]}
	for _, k := range cases {
		s := p.Circuit.Solve(k)
		if s.Failed != "" {
			x.failed = s
			return f
		}
		i := x.given(p, s)
		if i > f.givenA {
			f.givenA, f.givenAt = i, k
		}
		if -i > f.takenA {
			f.takenA, f.takenAt = -i, k
		}
	}
	return f
}

// traceA is the current that counts as none: what leakage and the inputs of
// meters come to.
const traceA = 1e-3

// given is what the battery gives in a state, negative while it takes. In a
// corner of the supply batteries in parallel stand at their own lowest or
// highest voltage, which differ where the batteries do; in use they settle at
// one, and share the load by their resistances.
func (x *stand) given(p *rules.Pass, s *circuit.Solution) float64 {
	i := -s.Current(x.b.ID)
	if len(x.parallel) > 1 && x.unequal(p.Spec, s.Case) {
		i = 0
		for _, other := range x.parallel {
			i -= s.Current(other[0].ID)
		}
		i *= p.Circuit.Share(x.parallel, x.own)
	}
	if math.Abs(i) < traceA {
		return 0
	}
	return i
}

func (x *stand) unequal(spec *schema.Spec, k circuit.Case) bool {
	at := k.Pack
	if x.b.Role == "auxiliary" {
		at = k.Auxiliary
	}
	for _, other := range x.parallel {
		if math.Abs(other.V(spec, at)-x.own.V(spec, at)) > 1e-9 {
			return true
		}
	}
	return false
}

// unsureSag is the path of the resistance that the current rests on and the spec
// does not give: a draw of constant power grows as the battery sags. It is ""
// if the current is sure.
func (x *stand) unsureSag(p *rules.Pass) string {
	missing, known := p.Circuit.ResistanceKnown(x.own.Pos())
	if known {
		return ""
	}
	for _, m := range schema.Sorted(p.Spec.Modes) {
		for id, draw := range schema.Sorted(m.Draw) {
			e := p.Circuit.Edge(id)
			if draw.PowerW.Known && e != nil && p.Circuit.SameNetwork(e.From, x.own.Pos()) {
				return missing
			}
		}
	}
	return ""
}

// peaking names a controller on the battery that draws more in a mode than it
// may continuously, "" if there is none: such a mode cannot last.
func (x *stand) peaking(p *rules.Pass, u capacity.Use) string {
	for id := range schema.Sorted(u.Mode.Draw) {
		k, ok := p.Spec.Controllers[id]
		if ok && k.BatteryContinuousA.Known && p.Circuit.SameNetwork(p.Circuit.Edge(id).From, x.own.Pos()) &&
			p.Circuit.Solve(u.At).Current(id) > k.BatteryContinuousA.Value*(1+1e-6) {
			return id
		}
	}
	return ""
}

// begin starts the result on a battery. It reports the check as not made, and
// false, where the circuit of the battery is not sound.
func begin(p *rules.Pass, x *stand) (*rules.Check, bool) {
	c := p.Subject(x.b.ID, x.b.Path())
	return c, !p.Unsound(c, x.b.ID+".pos", x.b.ID+".neg")
}

// ready reports whether the currents of the battery are known; if not, it
// reports the check as not made.
func (x *stand) ready(c *rules.Check, p *rules.Pass) bool {
	missing := x.unsureSag(p)
	switch {
	case x.failed != nil:
		c.NotChecked("a solution of mode "+x.failed.Case.Mode, "the circuit of mode %s could not be solved: %s", x.failed.Case.Mode, x.failed.Failed)
	case capacity.CycleUnknown(c, p.Spec):
	case len(x.flows) == 0:
		c.NotChecked("modes", "no mode says what flows through %s", x.b.ID)
	case missing != "":
		c.NotChecked(missing, "the current of %s grows as the battery sags, and its resistance is not given", x.b.ID)
	default:
		return true
	}
	return false
}

// required is the headroom that the rule asks for, as the policy has it.
func required(p *rules.Pass) float64 {
	if r, ok := p.Spec.Policy.Required[p.Rule.ID]; ok {
		return r
	}
	return p.Rule.Required
}

// roundUp and roundDown are whole numbers to look for in a data sheet.
func roundUp(v float64) float64 { return math.Ceil(v * (1 - 1e-9)) }

func roundDown(v float64) float64 { return math.Floor(v * (1 + 1e-9)) }

func figure(v float64) string { return rules.Figure(v) }

func term(v float64) string { return rules.Term(v) }

func volts(v float64) rules.Quantity { return rules.Quantity{Value: v, Unit: "V"} }

func amperes(a float64) rules.Quantity { return rules.Quantity{Value: a, Unit: "A"} }
