package calc

import (
	"fmt"
	"math"
	"strings"
)

// HeatingSymbols are the symbols of a heating in a working: of the time, and of
// the temperatures at its beginning and end.
type HeatingSymbols struct{ Time, From, To string }

// SteadySteps are the temperature T_0 in C at which a current holds the conductor,
// called by its name, continuously, and the balance of heat there.
func (h *Heating) SteadySteps(name string, currentA float64) []Step {
	t, _ := h.Steady(currentA)
	return []Step{
		{"T_0", "steady temperature of " + name + " at " + Term(currentA) + " A, found by trial so that P_0 below is 0", line(t, "C", "", "")},
		h.netStep("P_0", currentA, t),
	}
}

// TimeSteps are the time of [Heating.TimeTo] for a conductor called by its name:
// the integral of C dT / P, where P is the heat that stays in it. By Simpson's
// rule it can be followed by hand; there are as many pieces as it takes to come
// within 0.01 % of it.
func (h *Heating) TimeSteps(name string, symbols HeatingSymbols, currentA, fromC, toC float64) []Step {
	t := h.TimeTo(currentA, fromC, toC)
	what := "time in which " + Term(currentA) + " A heats " + name + " from " + symbols.From + " to " + symbols.To
	if math.IsInf(t, 1) {
		return []Step{h.netStep("P_o", currentA, toC), {symbols.Time, what, line(t, "s", "never: it loses all heat there", "")}}
	}
	pieces := 2
	for ; pieces < 64 && math.Abs(h.simpson(currentA, fromC, toC, pieces)-t) > 1e-4*t; pieces *= 2 {
	}
	var steps []Step
	var terms []string
	in := []float64{h.capacity, (toC - fromC) / float64(pieces)}
	for i := range pieces + 1 {
		tempC := between(fromC, toC, i, pieces)
		steps = append(steps, h.netStep(fmt.Sprintf("P_%d", i), currentA, tempC))
		in = append(in, h.stays(currentA, tempC))
		terms = append(terms, fmt.Sprintf("%d/$%d", simpsonWeight(i, pieces), len(in)))
	}
	return append(steps, Step{symbols.Time, what + ", C dT/dt = P, the equation behind IEC 60255-149, by Simpson's rule",
		line(t, "s", "C dT / 3 (1/P_0 + 4/P_1 + 2/P_2 + ...)", "$1 * $2 / 3 * ("+strings.Join(terms, " + ")+")", in...)})
}

// netStep is the heat in W/m that a current leaves in the conductor at a
// temperature.
func (h *Heating) netStep(symbol string, currentA, tempC float64) Step {
	metre, loss := 1000*h.OhmPerM(tempC), h.LossWm(tempC)
	return Step{symbol,
		fmt.Sprintf("heat that stays in the %s at %s C: I^2 R' - W, where W = %s W/m is lost by the heat balance at that temperature", h.metal, Term(tempC), Term(loss)),
		line(currentA*currentA*metre/1000-loss, "W/m", "", "$1^2 * $2/1000 - $3", currentA, metre, loss)}
}

// stays is the heat in W/m of [Heating.netStep].
func (h *Heating) stays(currentA, tempC float64) float64 {
	return currentA*currentA*h.OhmPerM(tempC) - h.LossWm(tempC)
}

// simpson is the time in s of a heating, by Simpson's rule over an even number of
// pieces.
func (h *Heating) simpson(currentA, fromC, toC float64, pieces int) float64 {
	var sum float64
	for i := range pieces + 1 {
		sum += float64(simpsonWeight(i, pieces)) / h.stays(currentA, between(fromC, toC, i, pieces))
	}
	return h.capacity * (between(fromC, toC, 1, pieces) - fromC) / 3 * sum
}

// between is the i-th of n + 1 temperatures from one to another.
func between(fromC, toC float64, i, n int) float64 {
	return fromC + (toC-fromC)*float64(i)/float64(n)
}

// simpsonWeight is the weight of a point of Simpson's rule.
func simpsonWeight(i, pieces int) int {
	switch {
	case i == 0 || i == pieces:
		return 1
	case i%2 == 1:
		return 4
	}
	return 2
}
