package fuse

import (
	"math"
	"slices"
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/capacity"
	"example.org/headroom/rules/internal/circuit"
)

// explainFault adds the loop's resistance and the current to the working.
func (s *supply) explainFault(w *rules.Working, x bolted, symbol, what, voltage, fuse string, copperC float64) {
	loop := s.explainLoop(w, x, copperC)
	if w.Unread() {
		return
	}
	v := math.Abs(x.fault.OpenV)
	total := v / x.fault.LoopOhm
	numbers := rules.Term(v) + " / (" + rules.Term(loop) + "/1000)"
	if x.throughA >= 0.999*total {
		w.Calc(symbol, what, voltage+" / R_loop", numbers, total, "A")
		return
	}
	w.Calc("I_k", what+", in all", voltage+" / R_loop", numbers, total, "A")
	w.Solved(symbol, "of which "+fuse+" carries", x.throughA, "A", "division over the paths of the network")
}

// explainLoop adds the resistance of a short circuit's loop in mOhm, each part of
// it as what it is: declared, worked out, or a default. Where there is one path
// only, it is their sum, else the network's.
func (s *supply) explainLoop(w *rules.Working, x bolted, copperC float64) float64 {
	what := "resistance of the whole loop, copper at " + rules.Term(copperC) + " C"
	var terms []string
	var sum float64
	for _, e := range x.fault.Way() {
		mOhm := s.explainEdge(w, x.fault, e, copperC)
		sum += mOhm
		shown := mOhm
		if x.fault.Neglected(e) {
			shown = 0
		}
		if !w.Unread() {
			terms = append(terms, rules.Term(shown)+" ("+e.ID+")")
		}
	}
	loop := 1000 * x.fault.LoopOhm
	if math.Abs(sum-loop) <= 1e-4*loop {
		return w.Calc("R_loop", what, "sum over the loop", strings.Join(terms, " + "), loop, "mOhm")
	}
	w.Calc("R_way", "sum over the path of least resistance", "", strings.Join(terms, " + "), sum, "mOhm")
	return w.Solved("R_loop", what, loop, "mOhm", "network with every contact closed, over all its parallel paths")
}

// explainEdge adds the resistance in mOhm of one part of a short circuit's loop.
// That of batteries is in the working already.
func (s *supply) explainEdge(w *rules.Working, fault *circuit.Fault, e *circuit.Edge, copperC float64) float64 {
	mOhm := 1000 * fault.Ohm(e)
	if e.Kind == circuit.BatteryEdge {
		return mOhm
	}
	part := loopPart{e.ID, mOhm, copperC}
	if steps, ok := s.parts[part]; ok {
		w.Add(steps...)
		return mOhm
	}
	before := len(w.Steps())
	s.explainPart(w, fault, e, mOhm, copperC)
	steps := w.Steps()[before:]
	s.parts[part] = slices.Clone(steps[:min(1, len(steps))])
	return mOhm
}

// loopPart is one part of a short circuit's loop in one corner. Many loops of a
// vehicle go through the same parts, so their steps are kept.
type loopPart struct {
	edge          string
	mOhm, copperC float64
}

func (s *supply) explainPart(w *rules.Working, fault *circuit.Fault, e *circuit.Edge, mOhm, copperC float64) {
	switch {
	case fault.Neglected(e) && e.Kind == circuit.FuseEdge:
		w.Default("R", "fuse "+e.Part, 0, "mOhm", "prospective current: a fuse counts as a link without resistance")
	case fault.Neglected(e):
		w.Default("R", "contact "+e.ID, 0, "mOhm", "none declared: taken as zero, which errs on the safe side")
	case e.Kind == circuit.DiodeEdge:
		s.explainDiode(w, e, mOhm)
	default:
		if r, ok := capacity.ResistanceOf(s.Pass, e, copperC); ok {
			r.Explain(w, "R")
		}
	}
}

// explainDiode adds what a diode counts as in a short circuit's loop.
func (s *supply) explainDiode(w *rules.Working, e *circuit.Edge, mOhm float64) {
	const plain = 0.01 // mOhm: what it counts as in the greatest short circuit
	d := s.Spec.Diodes[e.Part]
	if mOhm < plain {
		w.Default("R", "diode "+e.Part, mOhm, "mOhm", "taken as a plain conductor, which errs on the safe side")
		return
	}
	v := d.ForwardV.Or(s.Spec.Policy.DiodeForwardV)
	path := d.Path() + ".forward_V"
	if !d.ForwardV.Known {
		path = "policy.diode_forward_V"
	}
	w.Derived("R", "diode "+e.Part+": forward drop at its rated current over that current, more than its resistance in a short circuit", "",
		"1000 * "+rules.Term(v)+" / "+rules.Term(d.ForwardAtA.Or(d.ContinuousA.Or(1))), mOhm, "mOhm", path)
}
