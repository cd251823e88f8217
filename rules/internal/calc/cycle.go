package calc

import (
	"fmt"
	"math"
	"strings"
)

// PeriodicHeating says how hot a cycle of currents leaves a part at the end of
// each step, once it has been repeated so often that nothing changes any more:
// as the steady current in A that would hold that heating. A cycle that is short
// against the time constant gives its root mean square at every step; one that
// is long, the current of each step. A step may last for ever, +Inf.
//
// With theta the heating as the square of the current that holds it, a step
// takes it to I2 + (theta - I2) exp(-t/tau). One turn is therefore theta -> a +
// b theta, and a/(1 - b) is what stays. Source: IEC 60255-149, the thermal
// replica, in its periodic state.
func PeriodicHeating(cycle []Interval, tauS float64) (heldA []float64, err error) {
	if err := positive(quantity{"time constant", tauS, "s"}); err != nil {
		return nil, err
	}
	var length float64
	for _, i := range cycle {
		if err := notNegative(quantity{"current", i.CurrentA, "A"}); err != nil {
			return nil, err
		}
		if math.IsNaN(i.S) || i.S < 0 {
			return nil, quantity{"duration", i.S, "s"}.fault("must be a number, 0 or more")
		}
		length += i.S
	}
	if !(length > 0) {
		return nil, quantity{"length of the cycle", length, "s"}.fault("must be above 0")
	}
	// After one turn from theta the heating is gained + left theta.
	var gained float64
	for _, i := range cycle {
		gained += (i.CurrentA*i.CurrentA - gained) * -math.Expm1(-i.S/tauS)
	}
	theta := gained / -math.Expm1(-length/tauS)
	for _, i := range cycle {
		theta += (i.CurrentA*i.CurrentA - theta) * -math.Expm1(-i.S/tauS)
		heldA = append(heldA, math.Sqrt(theta))
	}
	return heldA, nil
}

// HottestHeld is the greatest of [PeriodicHeating], at the end of the hottest step,
// as a line: backwards from there, each step with what is left of its heating.
// Source: as [PeriodicHeating].
func HottestHeld(cycle []Interval, tauS float64) (Line, error) {
	held, err := PeriodicHeating(cycle, tauS)
	if err != nil {
		return Line{}, err
	}
	hottest := 0
	for i := range held {
		if held[i] > held[hottest] {
			hottest = i
		}
	}
	in := []float64{tauS}
	put := func(v float64) string {
		in = append(in, v)
		return fmt.Sprintf("$%d", len(in))
	}
	var terms []string
	var after float64
	for k := range cycle {
		s := cycle[(hottest-k+len(cycle))%len(cycle)]
		term := put(s.CurrentA) + "^2"
		if !math.IsInf(s.S, 1) {
			term += " * (1 - exp(-" + put(s.S) + " / $1))"
		}
		if after > 0 {
			term += " * exp(-" + put(after) + " / $1)"
		}
		terms = append(terms, term)
		if after += s.S; math.IsInf(s.S, 1) {
			break // nothing before it is left
		}
	}
	numbers := strings.Join(terms, " + ")
	if math.IsInf(after, 1) {
		numbers = "sqrt(" + numbers + ")"
	} else {
		numbers = "sqrt((" + numbers + ") / (1 - exp(-" + put(after) + " / $1)))"
	}
	return line(held[hottest], "A",
		"sqrt(sum of I^2 (1 - exp(-t / tau)) exp(-t_after / tau) / (1 - exp(-T / tau))), t_after from the end of a step to there, T the whole cycle",
		numbers, in...), nil
}
