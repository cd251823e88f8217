package charging

import (
	"fmt"
	"math"
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
)

// inductancePerM is the inductance in H of a metre of conductor in a loop of two:
// half of the 1 uH that a metre of the pair has, there and back (common practice
// for cables laid side by side; 0.5 uH/m of pair where they touch).
const inductancePerM = 0.5e-6

// Inrush adds the first peak of the current into empty capacitors at the end of
// a loop to a working, and returns it in A: the batteries full, at their lowest resistance.
// Batteries in parallel count as if they were all at the place of the nearest,
// which errs on the safe side. The error is a *rules.Missing when a resistance is not
// known.
func Inrush(p *rules.Pass, w *rules.Working, l circuit.Loop, farad float64) (float64, error) {
	var volt, siemens float64
	var terms []string
	seen := map[string]bool{}
	for _, s := range l.Strings {
		volt = max(volt, demand.EndOfCharge(p, w, s, seen))
		var ohm float64
		var sum []string
		for _, b := range s {
			r, err := demand.BatteryResistance(p, w, b.ID, circuit.Least)
			if err != nil {
				return 0, err
			}
			ohm += r
			sum = append(sum, rules.Term(1000*r))
		}
		siemens += 1 / ohm
		terms = append(terms, strings.Join(sum, " + "))
	}
	internal := 1 / siemens
	if len(terms) > 1 {
		w.Calc("R_b,min", "batteries in parallel", "1 / sum of 1 / R_b,min", "1 / (1 / ("+strings.Join(terms, ") + 1 / (")+"))", 1000*internal, "mOhm")
		terms = []string{rules.Term(1000 * internal)}
	}
	w.Solved("R_l", "conductors and fuses of the loop", 1000*l.Ohm, "mOhm", "copper at the lowest ambient, contacts neglected")
	ohm := w.Calc("R", "resistance of the loop", "R_b,min + R_l", strings.Join(append(terms, rules.Term(1000*l.Ohm)), " + "), 1000*(internal+l.Ohm), "mOhm") / 1000
	length := w.Solved("l", "length of conductor in the loop, out and back", l.LengthM, "m", "sum over the loop")
	henry := length * inductancePerM
	w.Standard("L", "inductance of the loop", 1e6*henry, "uH", "0.5 uH per metre of conductor, 1 uH per metre of the pair, common practice")
	return explainStepPeak(w, volt, ohm, henry, farad)
}

// explainStepPeak adds the first peak of the charging current to a working.
func explainStepPeak(w *rules.Working, volt, ohm, henry, farad float64) (float64, error) {
	peak, t, err := calc.StepPeak(volt, ohm, henry, farad)
	if err != nil {
		return 0, err
	}
	if t == 0 {
		return w.Calc("I_p", "first peak of the charging current, inductance negligible", "V / R",
			rules.Term(volt)+" / "+rules.Term(ohm), peak, "A"), nil
	}
	a, w0 := ohm/(2*henry), 1/math.Sqrt(henry*farad)
	w.Calc("a", "damping", "R / (2 L)", fmt.Sprintf("%s / (2 * %s)", rules.Term(ohm), rules.Term(henry)), a, "1/s")
	w.Calc("w_0", "natural frequency", "1 / sqrt(L C)", fmt.Sprintf("1 / sqrt(%s * %s)", rules.Term(henry), rules.Term(farad)), w0, "1/s")
	formula, numbers := "atan(w/a) / w, w = sqrt(w_0^2 - a^2)", "1000000 * atan(%s/%s) / %[1]s"
	if a > w0 {
		formula, numbers = "atanh(w/a) / w, w = sqrt(a^2 - w_0^2)", "1000000 * atanh(%s/%s) / %[1]s"
	}
	swing := math.Sqrt(math.Abs(w0*w0 - a*a))
	w.Calc("t_p", "time of the first peak", formula, fmt.Sprintf(numbers, rules.Term(swing), rules.Term(a)), 1e6*t, "us")
	return w.Calc("I_p", "first peak of the charging current", "V sqrt(C/L) exp(-a t_p)",
		fmt.Sprintf("%s sqrt(%s/%s) exp(-%s * %s)", rules.Term(volt), rules.Term(farad), rules.Term(henry), rules.Term(a), rules.Term(t)), peak, "A"), nil
}
