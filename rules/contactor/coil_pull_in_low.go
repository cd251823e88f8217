package contactor

import (
	"math"
	"slices"
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
)

func coilPullInLow() *rules.Rule {
	return &rules.Rule{
		ID:     "coil-pull-in-low",
		Family: family,
		Title:  "a coil's voltage is too low for it to pull in",
		Why: "A hot coil needs a third more voltage than the data sheet states at 20 C, and the empty battery, the loom, " +
			"the switches and diodes on the way leave it less. The vehicle starts in the morning and does not start again after a long drive, " +
			"or the contactor closes half-way and burns.",
		Relation: "V_coil >= V_operate (1 + 0.00393 (T_coil - 20)) with all contacts open, controllers off, the pack empty and the auxiliary battery alone and flat, " +
			"through the real resistance of the path. A coil with an economiser draws its pick-up current and is not scaled; nor is one whose operate voltage is stated for its ambient",
		Source:   "fixed ampere-turns with the resistance of copper of IEC 60028; relay application notes",
		Level:    rules.Error,
		Required: 1,
		Policy:   []string{"policy.coil_rise_K", "policy.diode_forward_V", "policy.contact_drop_mV", "policy.fuse_drop_mV"},
		Vital: []string{
			"contactors.coil.operate_V", "relays.coil.operate_V", "batteries.resistance_mOhm", "batteries.short_circuit_A",
		},
		Fix: "use a coil with a lower operate_V that still withstands the highest supply, or lower the resistance of its feed",
		Example: rules.Example{Vehicle: "heron", Subject: "main_contactor", Edits: []rules.Edit{
			{Path: "contactors.main_contactor.coil.operate_V", Value: "8.8"}}},
		Check: checkPullIn,
	}
}

func checkPullIn(p *rules.Pass) {
	for _, d := range devices(p) {
		if c, ok := onCoil(p, d); ok {
			evalPullIn(c, p, d)
		}
	}
}

func evalPullIn(c *rules.Check, p *rules.Pass, d device) {
	feeds := d.feeds(p)
	mode, deadlocked := d.deadlocked(p, feeds)
	switch {
	case deadlocked:
		c.In(mode, "all contacts open").Fix("feed the coil from before its own contact")
		c.Fail("%s can never pull in: its coil is fed from behind its own contact", d.id)
		return
	case len(feeds) == 0:
		c.NotChecked("a mode that energises "+d.id, "coil of %s: no mode energises it", d.id)
		return
	case !d.coil.OperateV.Known:
		c.NotChecked(d.coilPath("operate_V"), "coil of %s: operate voltage is not given", d.id)
		return
	}
	worst, failed := d.worstPullIn(p, feeds)
	if failed != nil {
		c.Unsettled(failed, d.coilID())
		return
	}
	c.In(worst.feed.mode, worst.state.Case.String())
	need := operateSteps(c, p, d)
	worst.steps(c, p, d)
	if missing := unknownCurrent(d); missing != "" && worst.v >= need {
		c.NotChecked(missing, "coil of %s: the drop in its feed depends on its current, which is not known", d.id)
		return
	}
	d.blamePullIn(c, p, worst, need)
	d.fixPullIn(c, p, worst, need)
	c.AtLeast(rules.Volts(need), rules.Volts(worst.v), "coil of %s: %s V in mode %s at the lowest supply voltage, needs %s V to pull in hot",
		d.id, rules.Figure(worst.v), worst.feed.mode, rules.Figure(need))
}

// deadlocked reports whether a coil is fed, in some mode, only when its own
// contact is closed already, and no switch that is open there would feed it.
func (d device) deadlocked(p *rules.Pass, feeds []feed) (mode string, yes bool) {
	if len(feeds) > 0 {
		return "", false
	}
	alone := &cutoff{p: p, open: map[string]bool{}}
	for _, id := range strings.Fields(d.ownContacts()) {
		alone.open[id] = true
	}
	if alone.path(p.Circuit.Edge(d.id+".coil")) != nil {
		return "", false
	}
	for _, mode := range p.Circuit.States() {
		if _, fed := d.feedIn(p, p.Circuit.Solve(circuit.Case{Mode: mode, NoDraw: true})); fed {
			return mode, true
		}
	}
	return "", false
}

// pullIn is the voltage of a coil in one mode while it is still to pull in.
type pullIn struct {
	feed  feed
	state *circuit.Solution
	v     float64
}

// worstPullIn finds the mode in which a coil has least voltage. Failed is a solution
// that it cannot rest on. The solutions are as long as the network, and one coil's alone:
// they are not kept, but what other rules ask of them is.
func (d device) worstPullIn(p *rules.Pass, feeds []feed) (worst pullIn, failed *circuit.Solution) {
	worst.v = math.Inf(1)
	defer func() {
		kept := pulled{v: worst.v, settled: failed == nil}
		if worst.state != nil {
			kept.sourceV = worst.sourceV()
		}
		d.pulls[d.id] = kept
	}()
	for _, f := range feeds {
		k := demand.EmptyAlone(f.mode).WithCopper(p.Spec.Vehicle.AmbientC.Max)
		k.Start, k.NoDraw, k.Waiting, k.Coil = circuit.FromOpen, true, d.waiting(p, f), circuit.CoilHot
		s := p.Circuit.SolveApart(k)
		if !s.Settled(d.coilID()) {
			return pullIn{}, s
		}
		if v := d.coilV(s); v < worst.v {
			worst = pullIn{f, s, v}
			if there, ok := d.feedIn(p, s); ok {
				there.mode = f.mode
				worst.feed = there
			}
		}
	}
	return worst, nil
}

// pulled is what is kept of a pullIn.
type pulled struct {
	v       float64 // of the coil; +Inf if no mode energises it
	sourceV float64
	settled bool // whether the solution may be relied on
}

// pullsAt is what worstPullIn finds, as far as it is kept.
func (d device) pullsAt(p *rules.Pass) pulled {
	if _, ok := d.pulls[d.id]; !ok {
		d.worstPullIn(p, d.feeds(p))
	}
	return d.pulls[d.id]
}

// waiting lists what has not pulled in yet when the device is to: itself, and
// the coils with an economiser that pull in at the same time and draw their
// pick-up current with it. What its feed goes through must have pulled in.
func (d device) waiting(p *rules.Pass, f feed) string {
	before := d.upstream(f)
	ids := []string{d.id}
	for _, other := range devices(p) {
		if other.id != d.id && regulated(other.coil) && !slices.Contains(before, other.id) &&
			other.delayS == d.delayS && other.sharesFeed(p, f) {
			ids = append(ids, other.id)
		}
	}
	return strings.Join(ids, " ")
}

// sharesFeed reports whether the device is energised by a switch that a feed
// goes through as well.
func (d device) sharesFeed(p *rules.Pass, f feed) bool {
	return slices.ContainsFunc(d.feeds(p), func(own feed) bool {
		return own.mode == f.mode && slices.ContainsFunc(own.path, func(e *circuit.Edge) bool {
			return e.Kind == circuit.SwitchEdge && f.has(e)
		})
	})
}

// sourceV is the voltage at the source of the feed.
func (w pullIn) sourceV() float64 {
	if !w.state.Together(w.feed.source.Pos, w.feed.source.Neg) {
		return 0
	}
	return w.state.V(w.feed.source.Pos) - w.state.V(w.feed.source.Neg)
}

// dropOf is the voltage drop of an edge of a feed; 0 where it is open.
func dropOf(s *circuit.Solution, e *circuit.Edge) float64 {
	if e.Kind == circuit.BatteryEdge || s.Current(e.ID) == 0 {
		return 0
	}
	return math.Abs(s.V(e.From) - s.V(e.To))
}

// blamePullIn names the graver finding that a coil's low voltage follows from.
func (d device) blamePullIn(c *rules.Check, p *rules.Pass, w pullIn, need float64) {
	source := w.feed.source
	switch {
	case d.nominalMismatch(p):
		c.Because("coil-nominal-mismatch", d.id)
	case source.Role == "converter" && !slices.Contains(w.state.ConvertersOn, source.ID):
		c.Because("converter-start-high", source.ID)
	default:
		if id := d.sharesDrop(p, w, need); id != "" {
			c.Because("coil-pull-in-low", id)
		}
		for _, id := range d.upstream(w.feed) {
			if !w.state.Operated(id) {
				c.Because("coil-pull-in-low", id)
			}
		}
	}
}

// sharesDrop names an earlier device that fails to pull in over the same feed,
// where it is the feed and not the source that is to blame.
func (d device) sharesDrop(p *rules.Pass, w pullIn, need float64) string {
	if w.sourceV() < need {
		return ""
	}
	for _, other := range devices(p) {
		if other.id == d.id {
			break
		}
		need, known := circuit.OperateV(other.coil, p.Circuit.CoilTemperature(other.id, circuit.CoilHot))
		if !known || !other.sharesFeed(p, w.feed) {
			continue
		}
		if at := other.pullsAt(p); at.settled && at.v < need && at.sourceV >= need {
			return other.id
		}
	}
	return ""
}

// fixPullIn says which operate voltage would do, and where most is lost.
func (d device) fixPullIn(c *rules.Check, p *rules.Pass, w pullIn, need float64) {
	required := p.Required() * need
	if w.v >= required || w.v <= 0 {
		return
	}
	coil := "use a coil with operate_V of at most " + rules.Figure(rules.RoundDown(w.v*d.coil.OperateV.Value/required, 0.1))
	if least, ok := d.leastMaxV(p); ok {
		coil += " and max_V of at least " + rules.Figure(least)
	}
	most, where := 0.0, ""
	for _, e := range w.feed.path {
		if drop := dropOf(w.state, e); drop > most {
			most, where = drop, e.ID
			if e.IsConductor() {
				where += " (thicker or shorter)"
			}
		}
	}
	if lost := required - w.v; most >= lost {
		c.Fix("reduce the drop of %s V in %s by at least %s V, or %s", rules.Figure(most), where, rules.Figure(rules.RoundUp(lost, 0.01)), coil)
		return
	}
	c.Fix("%s, or raise the lowest voltage of %s", coil, w.feed.source.ID)
}

// leastMaxV is the highest voltage in V, as a data sheet states it, that a coil must
// withstand at the highest supply; not ok where that is not known.
func (d device) leastMaxV(p *rules.Pass) (v float64, ok bool) {
	highest, _, failed := d.highestV(p)
	if failed != nil || highest == 0 || !d.coil.MaxV.Known {
		return 0, false
	}
	limit, err := maxSteps(p.Subject(d.id, d.base.Path()), p, d)
	if err != nil || limit <= 0 {
		return 0, false
	}
	required := p.Spec.Policy.Required["coil-overvoltage"]
	return rules.RoundUp(max(required, 1)*highest*d.coil.MaxV.Value/limit, 0.1), true
}

// pullsIn reports whether a coil is known to pull in at its worst.
func (d device) pullsIn(p *rules.Pass) bool {
	at := d.pullsAt(p)
	need, known := circuit.OperateV(d.coil, p.Circuit.CoilTemperature(d.id, circuit.CoilHot))
	return at.settled && known && at.v >= need
}
