package calc

import (
	"fmt"
	"math"
	"strings"
)

const (
	// copperHeat is the heat capacity of copper, J/(m3 K). Source: IEC 60949.
	copperHeat = 3.45e6
	// aluminiumHeat is that of aluminium, J/(m3 K). Source: IEC 60949.
	aluminiumHeat = 2.5e6
	// insulationHeat is that of PVC; polyethylene and rubber store more.
	// Source: IEC 60853-2, from memory.
	insulationHeat = 1.7e6
)

// HeatCapacity is the heat capacity of a cable in J/(m K): the copper, and of
// the insulation the share that follows it (van Wormer's coefficient). Source:
// IEC 60853-2; heat capacities of IEC 60949.
func HeatCapacity(c Cable) (float64, error) {
	s, err := HeatStoreOf(c)
	return s.TotalJmK, err
}

// Interval is a current that flows for a time.
type Interval struct {
	CurrentA float64
	S        float64
}

// RMS is the root mean square of a cycle of currents, and the cycle's length.
// It stands for the cycle in the heating of a conductor only if the cycle is
// shorter than a fifth of the conductor's time constant. Source: circuit theory.
func RMS(cycle []Interval) (currentA, lengthS float64, err error) {
	var square float64
	for _, i := range cycle {
		if err := notNegative(quantity{"duration", i.S, "s"}); err != nil {
			return 0, 0, err
		}
		square += i.CurrentA * i.CurrentA * i.S
		lengthS += i.S
	}
	if err := positive(quantity{"length of the cycle", lengthS, "s"}); err != nil {
		return 0, 0, err
	}
	return math.Sqrt(square / lengthS), lengthS, nil
}

// RMSLine is [RMS] as a line. The length of the cycle is written as the sum of
// its steps, or as one number T where the working has it already.
func RMSLine(cycle []Interval, lengthGiven bool) (Line, error) {
	rms, length, err := RMS(cycle)
	if err != nil {
		return Line{}, err
	}
	var squares, times []string
	var in []float64
	for _, i := range cycle {
		in = append(in, i.CurrentA, i.S)
		squares = append(squares, fmt.Sprintf("$%d^2 * $%d", len(in)-1, len(in)))
		times = append(times, fmt.Sprintf("$%d", len(in)))
	}
	whole := "(" + strings.Join(times, " + ") + ")"
	if lengthGiven {
		in = append(in, length)
		whole = fmt.Sprintf("$%d", len(in))
	}
	return line(rms, "A", "sqrt(sum of I^2 t / sum of t)", "sqrt(("+strings.Join(squares, " + ")+") / "+whole+")", in...), nil
}

// RepeatedRMS is the root mean square in A of a current that flows for a time in
// s, is repeated everyS, and leaves another current in between. Source: as [RMS].
func RepeatedRMS(currentA, s, betweenA, everyS float64) (Line, error) {
	rms, _, err := RMS([]Interval{{CurrentA: currentA, S: s}, {CurrentA: betweenA, S: max(0, everyS-s)}})
	return line(rms, "A", "sqrt((I^2 t + I_0^2 (T - t)) / T)", "sqrt(($1^2 * $2 + $3^2 * ($4 - $2)) / $4)", currentA, s, betweenA, everyS), err
}

// LongRunA is the steady current in A that a cycle comes to in the long run: its
// root mean square, or where a step goes on without end the current of that
// step. A cycle without any time comes to nothing.
func LongRunA(cycle []Interval) float64 {
	for _, i := range cycle {
		if math.IsInf(i.S, 1) {
			return i.CurrentA
		}
	}
	rms, _, err := RMS(cycle)
	if err != nil {
		return 0
	}
	return rms
}
