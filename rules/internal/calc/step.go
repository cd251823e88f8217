package calc

import "math"

// StepPeak is the first peak in A of the current, and its time in s, when a
// voltage is applied to a resistance, an inductance and a capacitance in series,
// all at rest. Whatever the damping, the peak is V sqrt(C/L) exp(-a t) at the t
// where the current's slope is nothing, a = R/2L. Without inductance to speak of
// it is V/R at once. Source: circuit theory, series RLC circuit.
func StepPeak(volt, ohm, henry, farad float64) (ampere, s float64, err error) {
	if err := firstError(
		positive(quantity{"voltage", volt, "V"}, quantity{"resistance", ohm, "Ohm"}, quantity{"capacitance", farad, "F"}),
		notNegative(quantity{"inductance", henry, "H"}),
	); err != nil {
		return 0, 0, err
	}
	a, w0 := ohm/(2*henry), 1/math.Sqrt(henry*farad)
	if henry == 0 || a > 1e3*w0 {
		return volt / ohm, 0, nil
	}
	switch w := math.Sqrt(math.Abs(w0*w0 - a*a)); {
	case w < 1e-6*w0:
		s = 1 / a
	case a < w0:
		s = math.Atan(w/a) / w
	default:
		s = math.Atanh(w/a) / w
	}
	return volt / math.Sqrt(henry/farad) * math.Exp(-a*s), s, nil
}
