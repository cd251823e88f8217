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

// TimeConstant is the heating time constant of a cable in s at an operating
// temperature: thermal resistance times heat capacity. Source: IEC 60255-149;
// parts as [ThermalResistance] and [HeatCapacity].
func TimeConstant(c Cable, conductorC, ambientC float64) (float64, error) {
	resistance, err := ThermalResistance(c, conductorC, ambientC)
	if err != nil {
		return 0, err
	}
	capacity, err := HeatCapacity(c)
	return resistance * capacity, err
}

// TimeToReach is the time in s after which a conductor that has long carried
// priorA reaches the temperature of its steady current limitA at currentA:
// tau ln((I2 - Ip2) / (I2 - Iz2)). It is +Inf if it never does, 0 if it is
// already there. Source: IEC 60255-149, the thermal replica.
func TimeToReach(currentA, priorA, limitA, tauS float64) (float64, error) {
	if err := firstError(
		notNegative(quantity{"current", currentA, "A"}, quantity{"prior current", priorA, "A"}),
		positive(quantity{"current limit", limitA, "A"}, quantity{"time constant", tauS, "s"}),
	); err != nil {
		return 0, err
	}
	switch i2, p2, z2 := currentA*currentA, priorA*priorA, limitA*limitA; {
	case p2 >= z2:
		return 0, nil
	case i2 <= z2:
		return math.Inf(1), nil
	default:
		return tauS * math.Log((i2-p2)/(i2-z2)), nil
	}
}

// HeatingAfter is the rise of a conductor over the rise at limitA, after s
// seconds at currentA and long carrying of priorA before: 1 is the limit.
// Source: IEC 60255-149.
func HeatingAfter(currentA, priorA, limitA, tauS, s float64) (float64, error) {
	if err := firstError(
		notNegative(quantity{"current", currentA, "A"}, quantity{"prior current", priorA, "A"}, quantity{"time", s, "s"}),
		positive(quantity{"current limit", limitA, "A"}, quantity{"time constant", tauS, "s"}),
	); err != nil {
		return 0, err
	}
	left := math.Exp(-s / tauS)
	return (currentA*currentA*(1-left) + priorA*priorA*left) / (limitA * limitA), nil
}

// CurrentForTime is the current in A that reaches the limit in s seconds: the
// inverse of [TimeToReach]. Source: IEC 60255-149.
func CurrentForTime(s, priorA, limitA, tauS float64) (float64, error) {
	if err := positive(quantity{"time", s, "s"}, quantity{"current limit", limitA, "A"}, quantity{"time constant", tauS, "s"}); err != nil {
		return 0, err
	}
	if err := within(quantity{"prior current", priorA, "A"}, 0, limitA); err != nil {
		return 0, err
	}
	left := math.Exp(-s / tauS)
	return math.Sqrt((limitA*limitA - priorA*priorA*left) / (1 - left)), nil
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

// Mean is the mean of a cycle of currents: what a battery or a converter's
// energy budget sees. Source: circuit theory.
func Mean(cycle []Interval) (currentA float64, err error) {
	var charge, length float64
	for _, i := range cycle {
		if err := notNegative(quantity{"duration", i.S, "s"}); err != nil {
			return 0, err
		}
		charge += i.CurrentA * i.S
		length += i.S
	}
	if err := positive(quantity{"length of the cycle", length, "s"}); err != nil {
		return 0, err
	}
	return charge / length, nil
}
