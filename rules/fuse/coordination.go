package fuse

import (
	"math"
	"slices"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/capacity"
	"example.org/headroom/rules/internal/circuit"
)

// coordination is how a conductor is protected from overload.
type coordination struct {
	err     error // the ampacity, or what the fuse lets through, is not known
	applies bool  // a fuse has to do with it
	rated   *capacity.Conductor
	devices []device
	totalA  float64 // sum of the devices', or the conductor's share of it
	// beside are identical parallel conductors, and share is the part of the
	// current that this one carries; nil and 1 where there are none.
	beside []string
	share  float64
	// partial is a fuse that does not open overloads, where there is no other.
	partial string
	// series is a fuse at the far end of the run that keeps overload away, in
	// place of one at its near end.
	series string
	// by is a fuse for which a current-limited part keeps overload away.
	by string
	// unsure says that err is about a device which may protect the conductor, where those
	// of which more is known do not.
	unsure bool
}

// suffices reports whether the ampacity suffices for what the devices let through.
func (k coordination) suffices() bool {
	return k.applies && k.err == nil && k.partial == "" && k.by == "" && k.rated.IzA >= k.totalA*(1-1e-9)
}

// fails reports whether the ampacity is too small for what the devices let through.
// Where it is not known from when on a fuse opens, I_n <= I_z has to hold all the same.
func (k coordination) fails() bool {
	return k.applies && k.by == "" && (k.err == nil && !k.suffices() || k.err != nil && k.rated != nil && k.rated.IzA < k.totalA*(1-1e-9))
}

// inside reports whether fuses inside batteries are all that there is.
func (k coordination) inside() bool {
	return len(k.devices) > 0 && !slices.ContainsFunc(k.devices, func(d device) bool { return d.inside == "" })
}

// protected reports whether a fuse before the conductor keeps overload away.
func (k coordination) protected() bool { return k.suffices() && k.series == "" }

// rank orders coordinations by how much there is to say of them: what fails before what
// is not known, and that before what suffices.
func (k coordination) rank() int {
	switch {
	case !k.applies:
		return 0
	case k.fails():
		return 3
	case k.err != nil:
		return 2
	}
	return 1
}

// main is the fuse to name for the devices: the largest.
func (k coordination) main(s *supply) string {
	best := k.partial
	for _, d := range k.devices {
		if d.fuse != "" && (best == "" || s.fuseOf(d.fuse).RatedA > s.fuseOf(best).RatedA) {
			best = d.fuse
		}
	}
	if k.by != "" {
		return k.by
	}
	return best
}

// coordination works out how a conductor is protected from overload, once.
func (s *supply) coordination(id string) coordination {
	if k, ok := s.coordinated[id]; ok {
		return k
	}
	k := s.coordinate(id)
	s.coordinated[id] = k
	return k
}

func (s *supply) coordinate(id string) (worst coordination) {
	path := s.Spec.Conductor(id).Path()
	rated, err := capacity.Derated(s.Pass, s.Subject(id, path).Working, id)
	groups := s.sameWay(id)
	outside := s.Circuit.IsStringLink(s.Circuit.Edge(id)) && slices.ContainsFunc(groups, func(group []*circuit.Guard) bool {
		k := s.bound(group, id)
		return k.applies && k.err == nil && !k.inside()
	})
	by := s.leftToLoad(id)
	for _, group := range groups {
		k := s.onConductor(s.bound(group, id), group, id)
		if !k.applies || outside && k.inside() {
			continue // a link carries the string's current, which passes the fuse outside too
		}
		k.rated = rated
		if k.fails() && by == "" {
			k = s.unlessUnknown(k, group, id)
		}
		if k.err == nil {
			k.err = err
		}
		if k.rank() > worst.rank() || k.rank() == worst.rank() && k.need() > worst.need() {
			worst = k
		}
	}
	if worst.fails() {
		worst.by = by
	}
	return worst
}

// onConductor is what bounds a group of guards as one conductor of those in parallel has
// it: with its share.
func (s *supply) onConductor(k coordination, group []*circuit.Guard, id string) coordination {
	if !k.applies {
		return k
	}
	k.beside, k.share = s.parallelConductors(id)
	if k.beside == nil {
		k.share, k.beside = s.returnShare(group, id, k.totalA)
	}
	k.totalA *= k.share
	return k
}

// unlessUnknown is a coordination that fails, or in its place that with devices of which
// it is not known from when on they open, where these are smaller: what a larger one
// upstream does not protect such a one may.
func (s *supply) unlessUnknown(k coordination, group []*circuit.Guard, id string) coordination {
	h := s.hoping()
	may := s.onConductor(h.bound(group, id), group, id)
	if !may.applies || may.need() >= k.need()*(1-1e-9) {
		return k
	}
	for _, d := range may.devices {
		if d.fuse == "" {
			continue
		}
		if _, err := s.overloadA(d.fuse); err != nil {
			may.rated, may.err, may.unsure = k.rated, err, true
			return may
		}
	}
	return k
}

// hoping answers as if each fuse and breaker opened soon enough for I_n <= I_z to do,
// where it is not known when it does.
func (s *supply) hoping() *supply {
	if s.hopes == nil {
		facts := *s.facts
		facts.hopeful = true
		facts.alone, facts.branched = map[*circuit.Guard]coordination{}, map[branchKey]coordination{}
		s.hopes = &supply{Pass: s.Pass, facts: &facts}
	}
	return s.hopes
}

// unlikeLength is by how much the lengths of conductors that share a current may
// differ (common practice; the standard asks for the same length).
const unlikeLength = 0.1

// need orders coordinations: the ampacity that they require.
func (k coordination) need() float64 {
	if k.partial != "" {
		return math.Inf(1)
	}
	return k.totalA
}

// sameWay groups the guards of a conductor by the end that they feed and by the pole
// that does: currents of sources that drive them from the same end in the same direction
// add up, those of others do not. A charger is not added to a battery: it is connected
// while the vehicle is parked.
func (s *supply) sameWay(id string) [][]*circuit.Guard {
	var out [][]*circuit.Guard
	for _, g := range s.guards[id] {
		i := slices.IndexFunc(out, func(group []*circuit.Guard) bool { return group[0].Near == g.Near && group[0].Side == g.Side })
		switch {
		case i < 0:
			out = append(out, []*circuit.Guard{g})
		case g.Source.Role == "charger":
		default:
			out[i] = append(out[i], g)
		}
	}
	return out
}

// bound finds what limits the current of a group of guards: the tightest of a
// fuse that they share, the sum of each one's own device, for a conductor that
// returns the current of several branches the sum of the branches' fuses, and
// the sum of fuses in parallel. All are tried, whatever the ampacity: otherwise
// a hotter conductor could be given a tighter bound, and seem to gain headroom.
func (s *supply) bound(group []*circuit.Guard, id string) coordination {
	if len(group) > 1 {
		return s.findBound(group, id)
	}
	k, ok := s.alone[group[0]]
	if !ok {
		k = s.findBound(group, id)
		s.alone[group[0]] = k
	}
	return k
}

func (s *supply) findBound(group []*circuit.Guard, id string) coordination {
	var best coordination
	for _, way := range []func([]*circuit.Guard, string) coordination{s.shared, s.each, s.branches, s.parallel, s.gated} {
		k := way(group, id)
		if k.applies && (!best.applies || best.err != nil && k.err == nil || k.err == nil && k.need() < best.need()*(1-1e-9)) {
			best = k
		}
	}
	if !slices.ContainsFunc(group, func(g *circuit.Guard) bool { return len(g.Fuses) > 0 }) &&
		!slices.ContainsFunc(best.devices, func(d device) bool { return d.fuse != "" || d.inside != "" }) {
		best.applies = false // no fuse has to do with it
	}
	return best
}

// shared takes a fuse that all guards of the group share.
func (s *supply) shared(group []*circuit.Guard, _ string) coordination {
	common := slices.Clone(group[0].Fuses)
	for _, g := range group[1:] {
		common = slices.DeleteFunc(common, func(id string) bool { return !slices.Contains(g.Fuses, id) })
	}
	if len(common) == 0 {
		return coordination{}
	}
	k := s.tightest(common)
	// A source on its own may supply less than the fuse lets through.
	if g := group[0]; len(group) == 1 && g.Source.LimitA > 0 && g.Source.LimitA < k.need() {
		return sourceLimit(g)
	}
	return k
}

// tightest takes the one of several fuses in series that lets the least through.
func (s *supply) tightest(ids []string) coordination {
	var best coordination
	var tightest string
	for _, id := range ids {
		a, err := s.overloadA(id)
		if s.hopeful {
			err = nil
		}
		k := coordination{applies: true, err: err, totalA: a}
		if math.IsInf(a, 1) {
			k = coordination{applies: true, partial: id}
		}
		if !best.applies || best.err != nil && err == nil || err == nil && k.need() < best.need() {
			best, tightest = k, id
		}
	}
	if best.applies && best.partial == "" {
		best.devices = []device{{fuse: tightest, amperes: best.totalA}}
	}
	return best
}

// bringsAllHome reports whether a conductor is the lead of a battery's negative pole
// itself, behind a fuse for all that it feeds: a fault of the feed to the branches, such
// as at the stud from which they start, comes home through it past their fuses.
func (s *supply) bringsAllHome(g *circuit.Guard) bool {
	if !g.Source.IsBattery() || g.Side != circuit.Negative || len(g.Fuses) == 0 {
		return false
	}
	end := s.Circuit.EndOfRun(s.Circuit.Edge(g.Conductor), g.Near, func(e *circuit.Edge) bool { return e.Kind == circuit.BatteryEdge })
	return end != nil && end.Part == g.Source.ID
}

// branches adds up the fuses of the branches whose current a conductor returns, unless
// it is the one lead home of all that a source feeds. A strap with nothing but a battery
// connected to its far end carries the fault of one branch at a time, but each source
// that can feed that fault adds to it.
func (s *supply) branches(group []*circuit.Guard, id string) coordination {
	if group[0].Side != circuit.Negative || slices.ContainsFunc(group, s.bringsAllHome) {
		return coordination{}
	}
	sum, greatest := newSum(), make([]coordination, len(group))
	for i, g := range group {
		loops := s.loops(g)
		for j := range loops {
			own := s.branch(&loops[j])
			if !own.applies {
				return coordination{}
			}
			sum.add(own)
			if !greatest[i].applies || own.need() > greatest[i].need() {
				greatest[i] = own
			}
		}
	}
	if s.strap(group[0], id) {
		if most := s.oneFault(group, greatest); len(most.devices) > 0 {
			return most
		}
	}
	return sum.coordination
}

// oneFault takes the sources that together feed the gravest single fault, each with what
// bounds its greatest branch. Those of a house network do not add to those of a
// pack with which they share only the negative.
func (s *supply) oneFault(group []*circuit.Guard, greatest []coordination) (most coordination) {
	for i, g := range group {
		fault := newSum()
		for j, other := range group {
			if greatest[j].applies && (i == j || s.feeding.Meet(g.Source, other.Source)) {
				fault.add(greatest[j])
			}
		}
		if len(most.devices) == 0 || fault.need() > most.need() {
			most = fault.coordination
		}
	}
	return most
}

// branch takes the tightest of what bounds the current of one branch: a fuse of
// its own, fuses in parallel, or the source. It is the same for every conductor
// that returns the current of the branch.
func (s *supply) branch(l *loop) coordination {
	if len(l.back) > 1 {
		return s.findBranch(l)
	}
	key := branchKey{nodeKey{l.Source.ID, l.back[0]}, l.fuses}
	own, ok := s.branched[key]
	if !ok {
		own = s.findBranch(l)
		s.branched[key] = own
	}
	return own
}

// branchKey is a loop with one return by what bounds its current.
type branchKey struct {
	back  nodeKey
	fuses *fuseList
}

func (s *supply) findBranch(l *loop) coordination {
	var own coordination
	if len(l.fuses.ids) > 0 {
		own = s.tightest(l.fuses.ids)
	}
	better := func(k coordination) bool {
		return k.err == nil && (!own.applies || own.err != nil || k.need() < own.need())
	}
	if feeds, fused := s.feeding.Fuses(l.Source, circuit.Positive, l.back...); fused && len(feeds) > 1 {
		if k := s.together(feeds); better(k) {
			own = k
		}
	}
	if limit := l.Source.LimitA; limit > 0 {
		if k := sourceLimit(l.Guard); better(k) {
			own = k
		}
	}
	return own
}

// strap reports whether nothing but the conductor is connected to its far end, or
// beside it only the battery to whose pole it leads.
func (s *supply) strap(g *circuit.Guard, id string) bool {
	return !slices.ContainsFunc(s.Circuit.EdgesAt(g.Far), func(e *circuit.Edge) bool { return e.ID != id && e.Kind != circuit.BatteryEdge })
}

// alongRun finds the fuse at the far end of a run without branches: it protects
// the run from overload, though not from a short circuit before it (IEC
// 60364-4-43, 433.2.2).
func (s *supply) alongRun(g *circuit.Guard) string {
	isFuse := func(e *circuit.Edge) bool { return e.Protects() }
	if e := s.Circuit.EndOfRun(s.Circuit.Edge(g.Conductor), g.Far, isFuse); e != nil && isFuse(e) {
		return e.Part
	}
	return ""
}

// overloadA is the ampacity that protection by a fuse requires of a conductor: from
// I_n <= I_z and I_2 <= 1.45 I_z, of gG and gR I_n alone. It is +Inf for a
// partial-range fuse, and with the error I_n alone, the least that any fuse requires.
func (s *supply) overloadA(id string) (float64, error) {
	f := s.fuseOf(id)
	class := calc.FuseClass(f.Class)
	l, known := class.Loading()
	if unit, ok := calc.OverloadLimitA(class, 1); ok {
		return f.RatedA / unit, nil
	}
	if known && l.PartialRange || f.MinBreakingA.Known {
		return math.Inf(1), nil
	}
	curve, err := s.curve(id)
	if err != nil {
		return f.RatedA, err
	}
	if b := s.Spec.Breakers[id]; b != nil && !circuit.TripsOnOverload(b) {
		return f.RatedA, unknownTrip(b)
	}
	opens, ok := curve.MustOpenA()
	if !ok {
		return f.RatedA, &rules.Missing{Path: longestPath(f), What: "the current at which " + id + " reliably opens"}
	}
	return max(f.RatedA, opens/overloadFactor), nil
}

// leftToLoad finds a fuse of the conductor that leaves overload to a
// current-limited part behind it.
func (s *supply) leftToLoad(id string) string {
	for _, g := range s.guards[id] {
		for _, fuse := range g.Fuses {
			if s.fuseOf(fuse).OverloadBy != "" {
				return fuse
			}
		}
	}
	return ""
}

// overloadFactor is the share of its ampacity that a conductor may carry until
// its fuse opens. Source: IEC 60364-4-43, 433.1.
const overloadFactor = 1.45
