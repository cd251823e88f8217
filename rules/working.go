package rules

import (
	"fmt"

	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/schema"
)

// Working collects the steps of a result. Each method adds one step and
// returns its value, so that a rule reads like the calculation it does.
type Working struct {
	spec   *schema.Spec
	steps  []Step
	unread bool // nobody reads it, see add
}

// Unread reports whether nobody reads the working: steps that name no value of the
// spec need not be worked out then.
func (w *Working) Unread() bool { return w.unread }

// Empty reports whether nothing at all is kept of the working: nobody reads it, and
// no value of the spec comes from a shared package.
func (w *Working) Empty() bool { return w.unread && !w.spec.Shares() }

// Steps returns the steps so far.
func (w *Working) Steps() []Step { return w.steps }

// Add adds steps that were worked out before.
func (w *Working) Add(steps ...Step) { w.steps = append(w.steps, steps...) }

// given adds a step whose value stands in the spec. Of a working that nobody reads
// that path is all that is kept, and only where it leads into a shared package:
// the place there is a related place of the result.
func (w *Working) given(s Step, path string) {
	if !w.unread {
		s.Origin = w.origin(path)
		w.add(s)
		return
	}
	if !w.spec.Shares() {
		return
	}
	if _, shared := w.spec.Shared(path); shared && w.spec.Given(path) {
		if w.steps == nil {
			w.steps = make([]Step, 0, 4)
		}
		w.steps = append(w.steps, Step{Origin: Origin{Kind: FromSpec, Path: path}})
	}
}

// add adds a step, unless nobody reads the working. Most workings have several, so
// that room is made for them at once.
func (w *Working) add(s Step) {
	if w.unread {
		return
	}
	if w.steps == nil {
		w.steps = make([]Step, 0, 8)
	}
	w.steps = append(w.steps, s)
}

// Given adds a number of the spec. When no person wrote it, the step names it
// as a default.
func (w *Working) Given(symbol, what string, value float64, unit, path string) float64 {
	w.given(Step{Symbol: symbol, What: what, Value: value, Unit: unit}, path)
	return value
}

// GivenText adds a value of the spec that is not a number, such as a wire size.
func (w *Working) GivenText(symbol, what, text, path string) {
	w.given(Step{Symbol: symbol, What: what, Text: text}, path)
}

// Or adds an optional number of the spec, or the default that stands in for it
// and the path of the policy value that the default comes from.
func (w *Working) Or(symbol, what string, n schema.Number, unit, path string, fallback float64, policy string) float64 {
	if n.Known {
		return w.Given(symbol, what, n.Value, unit, path)
	}
	return w.Default(symbol, what, fallback, unit, policy)
}

// Default adds a value that stands in for one that the spec does not give; ref
// is the path of the policy value, or says what practice it follows.
func (w *Working) Default(symbol, what string, value float64, unit, ref string) float64 {
	s := Step{Symbol: symbol, What: what, Value: value, Unit: unit, Origin: Origin{Kind: FromDefault, Ref: ref}}
	if w.spec.Given(ref) {
		w.given(s, ref)
	} else {
		w.add(s)
	}
	return value
}

// Standard adds a value taken from a published table or clause.
func (w *Working) Standard(symbol, what string, value float64, unit, source string) float64 {
	w.add(Step{Symbol: symbol, What: what, Value: value, Unit: unit, Origin: Origin{Kind: FromStandard, Ref: source}})
	return value
}

// Solved adds a voltage or current of the solved circuit; ref says in which case.
func (w *Working) Solved(symbol, what string, value float64, unit, ref string) float64 {
	w.add(Step{Symbol: symbol, What: what, Value: value, Unit: unit, Origin: Origin{Kind: FromCircuit, Ref: ref}})
	return value
}

// SolvedText adds a state of the circuit in words; ref says why it is taken.
func (w *Working) SolvedText(symbol, what, text, ref string) {
	w.add(Step{Symbol: symbol, What: what, Text: text, Origin: Origin{Kind: FromCircuit, Ref: ref}})
}

// Calc adds a value that a rule makes of the steps above itself, such as a sum: the
// formula in symbols, and the same with its numbers put in. What calc works out
// comes with its line; see Line.
func (w *Working) Calc(symbol, what, formula, numbers string, value float64, unit string) float64 {
	w.add(Step{Symbol: symbol, What: what, Formula: formula, Numbers: numbers, Value: value, Unit: unit,
		Origin: Origin{Kind: FromFormula}})
	return value
}

// Line adds a value of the arithmetic with the line that gives it: computed from
// the steps above, or published.
func (w *Working) Line(symbol, what string, l calc.Line) float64 {
	if !w.unread {
		w.add(lineStep(symbol, what, l))
	}
	return l.Value
}

// Lines adds the lines of a calculation that takes several.
func (w *Working) Lines(steps ...calc.Step) {
	for _, s := range steps {
		w.Line(s.Symbol, s.What, s.Line)
	}
}

// LineFrom adds a value of the arithmetic that rests on one number of the spec, or
// on the default that stands in for it: as Line, with the origin of that number.
func (w *Working) LineFrom(symbol, what string, l calc.Line, path string) float64 {
	s := Step{}
	if !w.unread {
		s = lineStep(symbol, what, l)
	}
	w.given(s, path)
	return l.Value
}

// lineStep is the step of a line.
func lineStep(symbol, what string, l calc.Line) Step {
	origin := Origin{Kind: FromFormula}
	if l.Source != "" {
		origin = Origin{Kind: FromStandard, Ref: l.Source}
	}
	return Step{Symbol: symbol, What: what, Formula: l.Formula(), Numbers: l.Numbers(), Value: l.Value, Unit: l.Unit, Origin: origin}
}

// Derived adds a value worked out from one number of the spec, or from the
// default that stands in for it: as Calc, with the origin of that number. The
// formula may be left out where the numbers say it.
func (w *Working) Derived(symbol, what, formula, numbers string, value float64, unit, path string) float64 {
	w.given(Step{Symbol: symbol, What: what, Formula: formula, Numbers: numbers, Value: value, Unit: unit}, path)
	return value
}

// StandardText adds something of a published table that is not one number,
// such as the points of a curve.
func (w *Working) StandardText(symbol, what, text, source string) {
	w.add(Step{Symbol: symbol, What: what, Text: text, Origin: Origin{Kind: FromStandard, Ref: source}})
}

func (w *Working) origin(path string) Origin {
	if !w.spec.Given(path) {
		return Origin{Kind: FromDefault, Path: path, Ref: path}
	}
	return Origin{Kind: FromSpec, Path: path, At: w.spec.At(path)}
}

// Figure renders a number for a message: four significant digits, no exponent
// where a person would not write one.
func Figure(v float64) string { return calc.Figure(v) }

// Term renders a number that is put into a formula of a working, as a line of
// the arithmetic has it.
func Term(v float64) string { return calc.Term(v) }

// String renders a quantity such as "250 A".
func (q Quantity) String() string {
	if q.Unit == "" {
		return Figure(q.Value)
	}
	return fmt.Sprintf("%s %s", Figure(q.Value), q.Unit)
}
