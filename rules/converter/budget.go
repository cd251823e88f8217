package converter

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

// budget is what a converter has to supply in one mode.
type budget struct {
	converter *schema.Converter
	mode      string
	lasts     schema.Number // of the mode
	consumers []consumer
	aux       []*schema.Battery
	sharing   *sharing // with the converters beside it; nil where it is alone
	meanA     float64  // the current averaged over the time of use
}

// errUnsettled says that a solution does not settle at some edges.
type errUnsettled struct {
	solution *circuit.Solution
	edges    []string
}

func (e *errUnsettled) Error() string {
	return fmt.Sprintf("the circuit does not settle in mode %s", e.solution.Case.Mode)
}

// settled returns an error if a solution does not settle at some edges.
func settled(s *circuit.Solution, edges ...string) error {
	if s.Settled(edges...) {
		return nil
	}
	return &errUnsettled{s, edges}
}

// unsettled reports a check as not made when the error is about a solution.
func unsettled(c *rules.Check, err error) bool {
	var u *errUnsettled
	return errors.As(err, &u) && c.Unsettled(u.solution, u.edges...)
}

// budgets lists the budgets of a converter in the modes in which it runs. They are
// the same for all who ask: each of its loads does.
func budgets(p *rules.Pass, v *schema.Converter) ([]budget, error) {
	known := rules.Shared(p, "budgets", func() map[string]budgetsOrNot { return map[string]budgetsOrNot{} })
	found, ok := known[v.ID]
	if !ok {
		found.budgets, found.err = findBudgets(p, v)
		known[v.ID] = found
	}
	return found.budgets, found.err
}

// budgetsOrNot is what budgets finds.
type budgetsOrNot struct {
	budgets []budget
	err     error
}

func findBudgets(p *rules.Pass, v *schema.Converter) ([]budget, error) {
	var out []budget
	for _, mode := range p.Circuit.States() {
		s := idle(p.Circuit, mode)
		if err := settled(s, v.ID+".out"); err != nil {
			return nil, err
		}
		if runs(s, v.ID) {
			out = append(out, newBudget(p, v, s, nil))
		}
	}
	return out, nil
}

// newBudget adds up the consumers that a converter supplies in a state.
// within lists the converters whose budget needs this one, which ends a ring.
func newBudget(p *rules.Pass, v *schema.Converter, s *circuit.Solution, within []string) budget {
	n, r := p.Circuit, newRail(p.Circuit, s, v.ID)
	m := p.Circuit.Mode(s.Case.Mode)
	b := budget{converter: v, mode: m.ID, lasts: m.LastsS, aux: r.auxiliaries()}
	volt := v.Output.NominalV
	for _, id := range slices.Sorted(slices.Values(m.On)) {
		if l, ok := p.Spec.Loads[id]; ok && r.feeds(n.Edge(id)) {
			b.add(ofLoad(l, volt))
		}
	}
	for id, k := range schema.Sorted(p.Spec.Contactors) {
		if r.feeds(n.Edge(id + ".coil")) {
			b.add(ofCoil(id, k.Path(), &k.Coil, volt))
		}
	}
	for id, k := range schema.Sorted(p.Spec.Relays) {
		if r.feeds(n.Edge(id + ".coil")) {
			b.add(ofCoil(id, k.Path(), &k.Coil, volt))
		}
	}
	for id, k := range schema.Sorted(p.Spec.Timers) {
		if k.SupplyMA.Known && r.feeds(n.Edge(id+".coil")) {
			b.add(ofMilliamperes(id, id, k.Path(), "supply_mA", k.SupplyMA.Value))
		}
	}
	for id, k := range schema.Sorted(p.Spec.Meters) {
		if k.SupplyMA.Known && r.feeds(n.Edge(id+".supply")) {
			b.add(ofMilliamperes(id, id, k.Path(), "supply_mA", k.SupplyMA.Value))
		}
	}
	for id, k := range schema.Sorted(p.Spec.Controllers) {
		if k.EnableMA.Known && r.feeds(n.Edge(id+".enable")) {
			b.add(ofMilliamperes(id+".enable", "logic of "+id, k.Path(), "enable_mA", k.EnableMA.Value))
		}
	}
	for id, k := range schema.Sorted(p.Spec.Resistors) {
		// One in series with a consumer is counted with that consumer.
		if e := n.Edge(id); r.feeds(e) && acrossMetal(n, s, v.ID, e) {
			b.add(ofResistor(k, volt))
		}
	}
	for _, aux := range b.aux {
		if aux.FloatA.Known && aux.FloatA.Value > 0 {
			b.add(ofBattery(aux))
		}
	}
	b.addConverters(p, r, append(within, v.ID))
	b.shareWith(p, s)
	b.addRest(p, s)
	var mean float64
	for i := range b.consumers {
		mean += b.consumers[i].meanA()
	}
	b.meanA = b.sharing.own(mean)
	return b
}

func (b *budget) add(k consumer) { b.consumers = append(b.consumers, k) }

// addConverters adds the inputs of converters that this one feeds.
func (b *budget) addConverters(p *rules.Pass, r *rail, within []string) {
	for id, v := range schema.Sorted(p.Spec.Converters) {
		if slices.Contains(within, id) || !runs(r.state, id) || !r.feeds(p.Circuit.Edge(id+".in")) {
			continue
		}
		inner := newBudget(p, v, r.state, within)
		b.add(ofConverter(p, v, inner.meanA, b.converter.Output.NominalV))
	}
}

// addRest adds what the solved circuit shows beyond the list: consumers in
// series, or fed by ways that the list does not know. A few percent are the
// losses on the way.
func (b *budget) addRest(p *rules.Pass, idle *circuit.Solution) {
	const tolerance, least = 0.05, 0.1 // of the current, A
	state := circuit.Case{Mode: idle.Case.Mode}
	s := p.Circuit.Solve(state)
	if !s.Settled(b.converter.ID+".out") || b.sharing != nil || !runs(s, b.converter.ID) || slices.Contains(s.Limiting, b.converter.ID) {
		return
	}
	given := -s.Current(b.converter.ID + ".out")
	rest := given
	for _, k := range b.consumers {
		rest -= k.fullA
	}
	if rest > tolerance*given+least {
		b.add(consumer{id: "rest", what: "what the circuit draws beyond these: lower voltage at the consumers, and other paths", share: 1, fullA: rest, solved: inMode(state)})
	}
}

// acrossMetal reports whether a resistor is connected between the two sides by
// metal alone, and not in series with something else.
func acrossMetal(n *circuit.Network, s *circuit.Solution, converter string, e *circuit.Edge) bool {
	out := n.Edge(converter + ".out")
	joined := func(a, b circuit.Node) bool { return n.Reaches(a, b, s.Feeding(true)) }
	return joined(out.From, e.From) && joined(e.To, out.To) || joined(out.From, e.To) && joined(e.From, out.To)
}

// lastingA is the current that lasts longer than a time in s: what is on for
// long, or for nobody knows how long, in full; the rest by its share.
func (b *budget) lastingA(seconds float64) float64 {
	var sum float64
	for i := range b.consumers {
		sum += b.consumers[i].lastingA(seconds)
	}
	return b.sharing.own(sum)
}

func (k *consumer) lastingA(seconds float64) float64 {
	if t, known := k.longestS(); known && t <= seconds {
		return k.meanA()
	}
	return k.fullA
}

// fullA is the current with everything on at once.
func (b *budget) fullA() float64 { return b.sharing.own(b.sumA()) }

// sumA is what all consumers draw at once, from whichever converter.
func (b *budget) sumA() (sum float64) {
	for i := range b.consumers {
		sum += b.consumers[i].fullA
	}
	return sum
}

// moreA is what falls to the converter of a current on top of that.
func (b *budget) moreA(a float64) float64 { return b.sharing.own(b.sumA()+a) - b.fullA() }

// starting finds what starts on top of that: all coils that pull in together,
// when the mode begins, or the one motor that draws most; the greater of the two.
func (b *budget) starting(p *rules.Pass) (extraA float64, what string) {
	var coils, motor float64
	var names []string
	for _, k := range b.consumers {
		switch {
		case k.startA == 0:
		case p.Spec.Loads[k.id] != nil:
			if k.startA > motor {
				motor, what = k.startA, k.id
			}
		default:
			coils += k.startA
			names = append(names, k.id)
		}
	}
	if coils > motor {
		motor, what = coils, rules.And(names)
	}
	return b.moreA(motor), what
}

// missing is the path of the first value that the budget lacks.
func (b *budget) missing() string {
	for _, k := range b.consumers {
		if k.missing != "" {
			return k.missing
		}
	}
	return ""
}

// show adds the consumers and their sum to a working and returns the sum: of
// the means, or in full.
func (b *budget) show(c *rules.Check, mean bool) float64 {
	c.Given("V_out", "output voltage of "+b.converter.ID, b.converter.Output.NominalV, "V", b.converter.Path()+".output.nominal_V")
	var terms []string
	var sum float64
	for i := range b.consumers {
		k := &b.consumers[i]
		k.show(c, mean)
		a := k.fullA
		if mean {
			a = k.meanA()
		}
		terms, sum = append(terms, rules.Figure(a)), sum+a
	}
	what := "with everything on at once in mode " + b.mode
	if mean {
		what = "on average in mode " + b.mode
	}
	symbol := "I"
	if b.sharing != nil {
		symbol = "I_sum"
	}
	c.Calc(symbol, "current "+what, "sum of the currents above", strings.Join(terms, " + "), sum, "A")
	if b.sharing != nil {
		return b.sharing.show(c, b, sum, what)
	}
	return sum
}

// heaviest names the consumers that draw most on average, for a message.
func (b *budget) heaviest(count int) string {
	order := slices.Clone(b.consumers)
	slices.SortStableFunc(order, func(x, y consumer) int {
		switch {
		case x.meanA() > y.meanA():
			return -1
		case x.meanA() < y.meanA():
			return 1
		}
		return 0
	})
	var names []string
	for _, k := range order[:min(count, len(order))] {
		names = append(names, fmt.Sprintf("%s %s A", k.what, rules.Figure(k.meanA())))
	}
	return strings.Join(names, ", ")
}
