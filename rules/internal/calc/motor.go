package calc

import "math"

// SineRMS is the root mean square of a phase current stated as the peak of its sine.
// Source: circuit theory.
func SineRMS(peakA float64) Line {
	return line(peakA/math.Sqrt2, "A", "I_pk / sqrt(2)", "$1 / sqrt(2)", peakA)
}

// EMF is the direct voltage in V that a permanent-magnet motor turned from outside puts
// behind the diodes of its controller: its peak electromotive force between two lines.
// Source: circuit theory (rectifier without load).
func EMF(rpm, rpmPerV float64) (Line, error) {
	if err := firstError(positive(quantity{"speed constant", rpmPerV, "rpm/V"}), notNegative(quantity{"speed", rpm, "rpm"})); err != nil {
		return Line{}, err
	}
	return line(rpm/rpmPerV, "V", "n / k_v", "$1 / $2", rpm, rpmPerV), nil
}

// PeakTime is the time in s that a winding takes a current above its continuous one,
// from the heat of the current before: plus infinity for one that it takes continuously.
// Source: thermal replica of first order, the form of IEC 60255-149.
func PeakTime(peakA, continuousA, beforeA, tauS float64) (Line, error) {
	if err := firstError(positive(quantity{"continuous current", continuousA, "A"}, quantity{"time constant", tauS, "s"}), notNegative(quantity{"peak current", peakA, "A"}),
		within(quantity{"current before", beforeA, "A"}, 0, continuousA)); err != nil {
		return Line{}, err
	}
	if peakA <= continuousA {
		return line(math.Inf(1), "s", "", ""), nil
	}
	square := peakA * peakA
	return line(tauS*math.Log((square-beforeA*beforeA)/(square-continuousA*continuousA)), "s", "tau ln((I_pk^2 - I_0^2) / (I_pk^2 - I_c^2))",
		"$1 * ln(($2^2 - $3^2) / ($2^2 - $4^2))", tauS, peakA, beforeA, continuousA), nil
}

// DoublingLength is the length in m of a cable beyond which the steps of a switched
// voltage arrive doubled at its far end: those of a rise time in ns that travel so many
// m in a us. Source: theory of lines (reflection at an open end).
func DoublingLength(riseNs, speedMUs float64) Line {
	return line(riseNs/1000*speedMUs/2, "m", "t_r v / 2", "$1 / 1000 * $2 / 2", riseNs, speedMUs)
}
