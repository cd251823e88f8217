package calc

import "math"

// StepPeak is the first peak in A of the current, and its time in s, when a
// voltage is applied to a resistance, an inductance and a capacitance in series,
// all at rest. Whatever the damping, the peak is V sqrt(C/L) exp(-a t) at the t
// where the current's slope is nothing, a = R/2L. Without inductance to speak of
// it is V/R at once. Source: circuit theory, series RLC circuit.
func StepPeak(volt, ohm, henry, farad float64) (Peak, error) {
	if err := firstError(
		positive(quantity{"voltage", volt, "V"}, quantity{"resistance", ohm, "Ohm"}, quantity{"capacitance", farad, "F"}),
		notNegative(quantity{"inductance", henry, "H"}),
	); err != nil {
		return Peak{}, err
	}
	p := Peak{volt: volt, ohm: ohm, henry: henry, farad: farad, a: ohm / (2 * henry), w0: 1 / math.Sqrt(henry*farad)}
	if henry == 0 || p.a > 1e3*p.w0 {
		p.A = volt / ohm
		return p, nil
	}
	switch w := p.w(); {
	case w < 1e-6*p.w0:
		p.S = 1 / p.a
	case p.a < p.w0:
		p.S = math.Atan(w/p.a) / w
	default:
		p.S = math.Atanh(w/p.a) / w
	}
	p.A = volt / math.Sqrt(henry/farad) * math.Exp(-p.a*p.S)
	return p, nil
}

// Peak is what [StepPeak] gives.
type Peak struct {
	A, S float64

	volt, ohm, henry, farad float64
	a, w0                   float64 // damping and natural frequency, 1/s
}

// w is how fast it swings, or creeps where it is damped too much to swing, in 1/s.
func (p Peak) w() float64 { return math.Sqrt(math.Abs(p.w0*p.w0 - p.a*p.a)) }

// Steps are how the peak of a charging current comes about.
func (p Peak) Steps() []Step {
	if p.S == 0 {
		return []Step{{"I_p", "first peak of the charging current, inductance negligible", line(p.A, "A", "V / R", "$1 / $2", p.volt, p.ohm)}}
	}
	formula, numbers := "atan(w/a) / w, w = sqrt(w_0^2 - a^2)", "1000000 * atan($1/$2) / $1"
	switch {
	case p.w() < 1e-6*p.w0:
		formula, numbers = "1 / a", "1000000 / $2"
	case p.a > p.w0:
		formula, numbers = "atanh(w/a) / w, w = sqrt(a^2 - w_0^2)", "1000000 * atanh($1/$2) / $1"
	}
	return []Step{
		{"a", "damping", line(p.a, "1/s", "R / (2 L)", "$1 / (2 * $2)", p.ohm, p.henry)},
		{"w_0", "natural frequency", line(p.w0, "1/s", "1 / sqrt(L C)", "1 / sqrt($1 * $2)", p.henry, p.farad)},
		{"t_p", "time of the first peak", line(1e6*p.S, "us", formula, numbers, p.w(), p.a)},
		{"I_p", "first peak of the charging current", line(p.A, "A", "V sqrt(C/L) exp(-a t_p)",
			"$1 sqrt($2/$3) exp(-$4 * $5)", p.volt, p.farad, p.henry, p.a, p.S)},
	}
}

// Above is how long in s the current stays above a level in A, from the first time that it
// reaches it until it falls below; 0 where its peak does not reach it. Source: circuit
// theory, series RLC circuit.
func (p Peak) Above(amperes float64) float64 {
	if amperes <= 0 || p.A <= amperes {
		return 0
	}
	over := func(s float64) float64 { return p.at(s) - amperes }
	end := 2*p.S + p.ohm*p.farad
	for over(end) > 0 {
		end *= 2
	}
	if p.a < p.w0 && p.S > 0 {
		end = min(end, math.Pi/p.w()) // where it swings back
	}
	const tol = 1e-12
	falls := root(over, p.S, end, tol)
	if p.S == 0 {
		return falls
	}
	return falls - root(over, 0, p.S, tol)
}

// at is the current in A some seconds after the step.
func (p Peak) at(s float64) float64 {
	if p.S == 0 {
		return p.A * math.Exp(-s/(p.ohm*p.farad))
	}
	w, per := p.w(), p.volt/p.henry
	switch {
	case w < 1e-6*p.w0:
		return per * s * math.Exp(-p.a*s)
	case p.a < p.w0:
		return per / w * math.Sin(w*s) * math.Exp(-p.a*s)
	default: // sinh, of which a factor may be beyond what a number holds
		return per / (2 * w) * (math.Exp((w-p.a)*s) - math.Exp(-(w+p.a)*s))
	}
}
