// Package calc is the engineering arithmetic of the checks: pure functions of
// numbers that know nothing of specs, files or rules.
//
// Units are in the names (A, V, Ohm, W, J, s, m, mm, mm2, C for degrees
// Celsius, K for differences) and SI where a name says nothing. Every function
// cites its source; what stands in no source that could be read says "from
// memory", and a rule of the trade says "common practice".
//
// What a working shows comes as a [Line]: value, unit, formula and the numbers put
// in, or the source that publishes it, all from the function that works it out. A
// calculation that takes several lines gives [Step]s in their order. A plain number
// is returned by what no working shows, and by what is asked so often that it stands
// beside its line ([FreeAirAmpacity] and [HeatBalance.Ampacity], [Curve.MaxTime] and
// [Curve.Opening]); the line then takes its value from it. The tests follow every
// line with a calculator, so that a formula cannot part from its arithmetic.
//
// A question outside the domain of a formula is answered by a [*DomainError]
// or by ok == false, never by NaN; a function with neither gives a number for
// every number. Plus infinity is a real answer in two places: a time that never
// comes, and a margin that nothing limits.
package calc

import (
	"fmt"
	"math"
	"strconv"
)

// DomainError says that a formula was asked outside its domain: which
// quantity, what was given, and what it needs.
type DomainError struct {
	Quantity string  // "conductor temperature"
	Value    float64 // what was given
	Unit     string  // of Value; may be empty
	Want     string  // "must be above 0 C"
}

// Error reads like "length -3 m: must not be negative".
func (e *DomainError) Error() string {
	v := strconv.FormatFloat(e.Value, 'g', 6, 64)
	if e.Unit != "" {
		v += " " + e.Unit
	}
	return fmt.Sprintf("%s %s: %s", e.Quantity, v, e.Want)
}

// quantity is a value to be tested before it enters a formula.
type quantity struct {
	name  string
	value float64
	unit  string
}

func (q quantity) fault(want string) error {
	return &DomainError{Quantity: q.name, Value: q.value, Unit: q.unit, Want: want}
}

// finite tells numbers from NaN and the infinities.
func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }

// positive returns an error for the first quantity that is not above zero.
func positive(qs ...quantity) error {
	for _, q := range qs {
		if !finite(q.value) || q.value <= 0 {
			return q.fault("must be a number above 0")
		}
	}
	return nil
}

// notNegative returns an error for the first quantity below zero.
func notNegative(qs ...quantity) error {
	for _, q := range qs {
		if !finite(q.value) || q.value < 0 {
			return q.fault("must be a number, 0 or more")
		}
	}
	return nil
}

// within returns an error if a quantity lies outside lo to hi, both allowed.
func within(q quantity, lo, hi float64) error {
	if !finite(q.value) || q.value < lo || q.value > hi {
		return q.fault(fmt.Sprintf("must lie between %g and %g", lo, hi))
	}
	return nil
}

// firstError returns the first error that is not nil.
func firstError(errs ...error) error {
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}
