package fuse

import (
	"errors"
	"slices"
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/capacity"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

// supply answers what feeds the fuses of a vehicle and what they protect.
type supply struct {
	*rules.Pass
	*facts
}

// facts is what the rules of the family find out about a vehicle, once.
type facts struct {
	guards map[string][]*circuit.Guard
	// relieved holds, by conductor, the guards in which resistors count as
	// protection, since it carries what they let through.
	relieved map[string]*circuit.Guard
	// behind holds, by fuse, the conductors that it protects against batteries
	// and converters. A charger is not what a fuse protects against in use.
	behind  map[string]map[string]bool
	curves  map[string]*calc.Curve
	makes   map[fuseMake]*calc.Curve // these, by make
	races   map[raceKey]*calc.Race
	opensAt map[*calc.Curve]float64 // see clearingA
	// sense holds the conductors that the rule sense-lead-unfused answers for.
	sense map[string]bool

	coordinated map[string]coordination
	shorts      map[string][][]current
	stressed    map[string]stressList
	strings     map[string][]circuit.Source
	replicas    capacity.Replicas
	parts       map[loopPart][]rules.Step
	feeding     *circuit.Feeding
	motors      []*schema.Load        // those that say what they draw when stalled, by id
	failing     map[string]bool       // see overloadFails
	grown       map[trialKey][]string // see growsWith
	gravest     map[string]string     // see gravestOf
	returns     map[*circuit.Guard][]loop
	alone       map[*circuit.Guard]coordination // see bound
	hopes       *supply                         // see hoping
	hopeful     bool
	branched    map[branchKey]coordination // see branch
	lists       map[string]*fuseList       // see listOf
	key         []byte                     // of these, in the making
	fedBy       map[nodeKey][]string       // see feedFuses
	ends        map[string]circuit.Most    // see endsIn
	tapped      *circuit.Bounds            // for it
}

func newSupply(p *rules.Pass) *supply {
	return &supply{Pass: p, facts: rules.Shared(p, family, func() *facts { return newFacts(p) })}
}

func newFacts(p *rules.Pass) *facts {
	s := &facts{
		behind: map[string]map[string]bool{}, curves: map[string]*calc.Curve{}, makes: map[fuseMake]*calc.Curve{}, races: map[raceKey]*calc.Race{}, opensAt: map[*calc.Curve]float64{},
		coordinated: map[string]coordination{}, shorts: map[string][][]current{}, stressed: map[string]stressList{}, strings: map[string][]circuit.Source{},
		parts: map[loopPart][]rules.Step{}, sense: capacity.LeftToSense(p),
		feeding: p.Circuit.Feeding(), failing: map[string]bool{}, grown: map[trialKey][]string{}, gravest: map[string]string{},
		returns: map[*circuit.Guard][]loop{}, lists: map[string]*fuseList{},
		alone: map[*circuit.Guard]coordination{}, branched: map[branchKey]coordination{}, fedBy: map[nodeKey][]string{},
		ends: map[string]circuit.Most{},
	}
	for _, l := range schema.Sorted(p.Spec.Loads) {
		if l.LoadKind == "motor" && l.StallA.Known {
			s.motors = append(s.motors, l)
		}
	}
	s.guards, s.relieved = relieve(p)
	for id := range p.Spec.Conductors() {
		for _, g := range s.guards[id] {
			if g.Source.Role == "charger" {
				continue
			}
			for _, f := range g.Fuses {
				if s.behind[f] == nil {
					s.behind[f] = map[string]bool{}
				}
				s.behind[f][id] = true
			}
		}
	}
	return s
}

// series lists the batteries in one string with a source.
func (s *supply) series(source circuit.Source) []circuit.Source {
	list, ok := s.strings[source.ID]
	if !ok {
		list = s.Circuit.StringOf(source)
		s.strings[source.ID] = list
	}
	return list
}

// curve is the time-current band of a fuse; the error is a *rules.Missing.
func (s *supply) curve(id string) (*calc.Curve, error) {
	if c, ok := s.curves[id]; ok {
		return c, nil
	}
	f := s.fuseOf(id)
	of := makeOf(f)
	if c, ok := s.makes[of]; ok {
		s.curves[id] = c
		return c, nil
	}
	c, err := capacity.Curve(f)
	if b := s.Spec.Breakers[id]; b != nil && err != nil {
		return nil, unknownTrip(b)
	}
	if missing := (*rules.Missing)(nil); errors.As(err, &missing) {
		return nil, &rules.Missing{Path: missing.Path, What: "the opening times of " + id + " (" + missing.What + ")"}
	} else if err != nil {
		return nil, err
	}
	s.curves[id], s.makes[of] = c, c
	return c, nil
}

// fuseMake is what two fuses share that open in the same way: what [capacity.Curve]
// goes by. Declared points are never the same.
type fuseMake struct {
	class                        string
	ratedA, meltingI2t, totalI2t float64
	points                       *schema.Opening
}

func makeOf(f *schema.Fuse) fuseMake {
	return fuseMake{f.Class, f.RatedA, f.MeltingI2t.Or(0), f.TotalI2t.Or(0), f.Opening}
}

// fuseOf is the fuse of an id, or a circuit breaker as one: what a trial has put there
// first.
func (s *supply) fuseOf(id string) *schema.Fuse {
	if f, ok := s.Spec.Fuses[id]; ok {
		return f
	}
	return s.Circuit.Device(id)
}

// relate adds the place of a fuse or breaker to a result.
func (s *supply) relate(c *rules.Check, id string) {
	f := s.fuseOf(id)
	c.Related(f.Path(), "the "+noun(f))
}

// longestPath is where a fuse or breaker states by when it has opened.
func longestPath(f *schema.Fuse) string {
	if f.Kind == "breakers" {
		return f.Path() + ".trip.max"
	}
	return f.Path() + ".opening.max"
}

// bounded reports whether the longest opening time at a current is only a bound,
// from a curve that ends at many seconds: it can prove that a fuse is fast
// enough, but not that it is too slow.
func (s *supply) bounded(id string, currentA float64) bool {
	const adiabatic = 1 // s: from there on I2t changes little
	curve, err := s.curve(id)
	if err != nil || s.fuseOf(id).TotalI2t.Known {
		return false
	}
	if level, ok := curve.LevelAt(currentA); ok && level > adiabatic && s.Spec.Breakers[id] != nil {
		return true // between the last point of its bimetal and its magnet
	}
	end, ok := curve.MaxEnd()
	return ok && currentA > end.CurrentA*(1+1e-9) && end.S > adiabatic
}

// unproven reports whether one of the fuses of a loop cannot be checked at a
// current, since nothing or only a bound is known of it, and if so gives that verdict.
func (s *supply) unproven(c *rules.Check, l loop, currentA float64) bool {
	for _, id := range l.fuses.ids {
		if _, err := s.curve(id); err != nil {
			s.relate(c, id)
			unknown(c, err)
			return true
		}
		if !s.bounded(id, currentA) {
			continue
		}
		curve, _ := s.curve(id)
		end, _ := curve.MaxEnd()
		c.NotChecked(longestPath(s.fuseOf(id)), "%s: its opening time at %s A is not known, its curve ends at %s A",
			id, rules.Figure(currentA), rules.Figure(end.CurrentA))
		return true
	}
	return false
}

// fuses yields the fuses that are wired, each with a check in the making. What
// is in a network that contains a mistake is reported as not checked.
func (s *supply) fuses(yield func(*schema.Fuse, *rules.Check) bool) {
	for id, f := range schema.Sorted(s.Spec.Fuses) {
		if f.Spare || !s.Circuit.Connected(id+".a") || !s.Circuit.Connected(id+".b") {
			continue // a free terminal has a finding of its own
		}
		c := s.Subject(id, f.Path())
		if s.Unsound(c, id+".a", id+".b") {
			continue
		}
		if !yield(f, c) {
			return
		}
	}
}

// feed is a source that drives a current through a fuse.
type feed struct {
	circuit.Source
	side circuit.Side // the pole of the source that the fuse is connected to
	// load is the fuse's terminal away from the source, if the fuse alone
	// breaks every loop there; else alone is false.
	load  circuit.Node
	alone bool
}

// feeds lists what drives a current through a fuse, in the order of the
// sources, from the guards of the conductors at its terminals.
func (s *supply) feeds(id string) []feed {
	e := s.Circuit.Edge(id)
	var out []feed
	for _, source := range s.Circuit.Sources() {
		for _, side := range []circuit.Side{circuit.Positive, circuit.Negative} {
			f := feed{Source: source, side: side}
			found := false
			for _, v := range []circuit.Node{e.From, e.To} {
				for _, x := range s.Circuit.EdgesAt(v) {
					for _, g := range s.guards[x.ID] {
						if g.Source.ID != source.ID || g.Side != side {
							continue
						}
						found = true
						if g.Near == v && slices.Contains(g.Fuses, id) {
							f.load, f.alone = v, true
						}
					}
				}
			}
			if found {
				out = append(out, f)
			}
		}
	}
	return out
}

// sources lists the sources of feeds, each once.
func sources(feeds []feed) []circuit.Source {
	var out []circuit.Source
	for _, f := range feeds {
		if !slices.ContainsFunc(out, func(s circuit.Source) bool { return s.ID == f.ID }) {
			out = append(out, f.Source)
		}
	}
	return out
}

// onlyLimited reports whether no battery feeds a fuse.
func onlyLimited(feeds []feed) bool {
	return !slices.ContainsFunc(feeds, func(f feed) bool { return f.IsBattery() })
}

// short is a short circuit as a fuse carries it.
type short struct {
	feed      feed             // whose circuit it is
	bolted                     // without a fault where no battery drives it; throughA is the batteries' part
	limitedA  float64          // through the fuse, from converters and chargers
	others    []feed           // those converters and chargers
	batteries []circuit.Source // in series
}

func (s short) amperes() float64 { return s.throughA + s.limitedA }

// greatestShort is the short circuit that drives the most through a fuse: one
// right at its load terminal, the batteries full and warm, the copper cold; as
// it flows, or prospective.
func (s *supply) greatestShort(id string, feeds []feed, prospective bool) (short, bool) {
	e := s.Circuit.Edge(id)
	var worst short
	for _, f := range feeds {
		if !f.IsBattery() {
			continue
		}
		list := s.series(f.Source)
		pos, neg := list[len(list)-1].Pos, list[0].Neg
		back := neg
		if f.side == circuit.Negative {
			back = pos
		}
		for _, ends := range [][2]circuit.Node{{e.From, back}, {e.To, back}, {pos, neg}} {
			if x := s.through(id, ends[0], ends[1:], circuit.FaultCase{Greatest: true, Prospective: prospective}); x.throughA > worst.throughA {
				worst = short{feed: f, bolted: x, batteries: list}
			}
		}
	}
	for _, f := range feeds {
		// Beside a battery, a converter adds to the fault only if it feeds the
		// same terminal.
		if f.IsBattery() || worst.fault != nil && !(f.alone && worst.feed.alone && f.load == worst.feed.load) {
			continue
		}
		worst.limitedA += f.LimitA
		worst.others = append(worst.others, f)
	}
	return worst, worst.amperes() > 0
}

// steps adds how a short circuit comes about to the working, and returns its
// current through the fuse.
func (s *supply) steps(w *rules.Working, x short, id string) (float64, error) {
	if x.fault != nil {
		if err := s.batterySteps(w, x, true); err != nil {
			return 0, err
		}
		s.explainFault(w, x.bolted, "I_k", "greatest short-circuit current behind "+id, "V_max", id, s.Spec.Vehicle.AmbientC.Min)
	}
	for _, f := range x.others {
		w.Given("I_"+f.ID, "current limit of "+f.ID, f.LimitA, "A", f.LimitFrom)
	}
	if x.fault != nil && len(x.others) > 0 {
		w.Calc("I_f", "current through "+id, "I_k and what the others add",
			rules.Term(x.throughA)+" + "+rules.Term(x.limitedA), x.amperes(), "A")
	}
	return x.amperes(), nil
}

// batterySteps adds the voltage and resistance of the batteries of a short.
func (s *supply) batterySteps(w *rules.Working, x short, greatest bool) error {
	if path, known := s.Circuit.ResistanceKnown(x.feed.Pos); !known {
		return &rules.Missing{Path: path, What: "the internal resistance of the battery"}
	}
	var sum float64
	var terms []string
	for _, b := range x.batteries {
		battery := s.Spec.Batteries[b.ID]
		symbol, what, v, field, bound := "V_max", "end-of-charge voltage of ", battery.MaxV, ".max_V", circuit.Least
		if !greatest {
			symbol, what, v, field, bound = "V_min", "lowest voltage of ", battery.MinV, ".min_V", circuit.GreatestShort
		}
		w.Given(symbol, what+b.ID, v, "V", battery.Path()+field)
		sum += v
		terms = append(terms, rules.Term(v))
		if _, err := demand.BatteryResistance(s.Pass, w, b.ID, bound); err != nil {
			return err
		}
	}
	if len(terms) > 1 {
		symbol := map[bool]string{true: "V_max", false: "V_min"}[greatest]
		w.Calc(symbol, "batteries in series", "sum of "+symbol, strings.Join(terms, " + "), sum, "V")
	}
	return nil
}

// guardsTerminal reports whether the fuse alone breaks every loop through a terminal
// of a part.
func (s *supply) guardsTerminal(id, terminal string) bool {
	v, ok := s.Circuit.Node(terminal)
	if !ok {
		return false
	}
	return slices.ContainsFunc(s.Circuit.EdgesAt(v), func(e *circuit.Edge) bool { return s.behind[id][e.ID] })
}

// downstream reports whether one fuse is behind another: all that it
// protects the other protects as well, and the other protects more.
func (s *supply) downstream(id, of string) bool {
	a, b := s.behind[id], s.behind[of]
	if len(a) == 0 || len(a) >= len(b) {
		return false
	}
	for conductor := range a {
		if !b[conductor] {
			return false
		}
	}
	return true
}

// nearest reports whether no other fuse is between a fuse and a terminal of a
// part that it protects.
func (s *supply) nearest(id, terminal string) bool {
	if !s.guardsTerminal(id, terminal) {
		return false
	}
	v, _ := s.Circuit.Node(terminal)
	for _, e := range s.Circuit.EdgesAt(v) {
		for _, g := range s.guards[e.ID] {
			nearer := func(other string) bool { return other != id && s.behind[other][e.ID] && s.downstream(other, id) }
			if slices.ContainsFunc(g.Fuses, nearer) {
				return false
			}
		}
	}
	return true
}

// unknown turns a missing value into the not-checked result of a check.
func unknown(c *rules.Check, err error) {
	if m, ok := err.(*rules.Missing); ok {
		c.NotChecked(m.Path, "needs %s", m.What)
		return
	}
	c.NotChecked("a computable rating", "%v", err)
}
