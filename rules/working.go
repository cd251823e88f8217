package rules

import (
	"fmt"
	"math"
	"strconv"
	"strings"

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
	} else if _, shared := w.spec.Shared(path); shared && w.spec.Given(path) {
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

// Calc adds a value computed from the steps above: the formula in symbols, and
// the same with its numbers put in.
func (w *Working) Calc(symbol, what, formula, numbers string, value float64, unit string) float64 {
	w.add(Step{Symbol: symbol, What: what, Formula: formula, Numbers: numbers, Value: value, Unit: unit,
		Origin: Origin{Kind: FromFormula}})
	return value
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
func Figure(v float64) string { return figure(v, 4) }

// Term renders a number that is put into a formula of a working: five
// significant digits, as many as the value of a step shows, so that a reader
// who follows it with a calculator comes to the same value.
func Term(v float64) string { return figure(v, 5) }

// nothing is below what any unit of the format can mean: what is left of a zero
// after rounding is written as one.
const nothing = 1e-12

func figure(v float64, digits int) string {
	switch a := math.Abs(v); {
	case math.IsInf(v, 0):
		return "unlimited"
	case a < nothing:
		return "0"
	case a >= 1e7 || a < 1e-4:
		mantissa, power, _ := strings.Cut(strconv.FormatFloat(v, 'e', digits-1, 64), "e")
		n, _ := strconv.Atoi(power) // formatted just above
		return trimZeros(mantissa) + "e" + strconv.Itoa(n)
	default:
		return trimZeros(strconv.FormatFloat(v, 'f', decimals(a, digits), 64))
	}
}

// decimals is how many decimals give a number of significant digits.
func decimals(a float64, digits int) int {
	if a == 0 {
		return 0
	}
	return max(0, digits-1-int(math.Floor(math.Log10(a))))
}

func trimZeros(s string) string {
	dot := -1
	for i, c := range s {
		if c == '.' {
			dot = i
		}
	}
	if dot < 0 {
		return s
	}
	end := len(s)
	for s[end-1] == '0' {
		end--
	}
	if s[end-1] == '.' {
		end--
	}
	return s[:end]
}

// String renders a quantity such as "250 A".
func (q Quantity) String() string {
	if q.Unit == "" {
		return Figure(q.Value)
	}
	return fmt.Sprintf("%s %s", Figure(q.Value), q.Unit)
}
