package charging

import (
	"errors"
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

// ContactInrush adds the first peak of the current into the empty capacitors of a part
// at the end of a loop to a working, and returns it in A. It reports the check as not
// made, and false, where that is not known.
func ContactInrush(c *rules.Check, p *rules.Pass, l circuit.Loop, id string, uF float64, path string) (float64, bool) {
	farad := c.Given("C", "capacitance of "+id, uF, "uF", path) / 1e6
	peak, err := inrush(p, c.Working, l, farad)
	if missing := (*rules.Missing)(nil); errors.As(err, &missing) {
		c.NotChecked(missing.Path, "the inrush into the capacitors of %s depends on %s", id, missing.What)
	} else if err != nil {
		c.NotChecked(path, "the inrush into the capacitors of %s cannot be computed: %v", id, err)
	}
	return peak, err == nil
}

// inrush adds the first peak of the current into empty capacitors at the end of
// a loop to a working, and returns it in A: the batteries full, at their lowest resistance.
// Batteries in parallel count as if they were all at the place of the nearest,
// which errs on the safe side. The error is a *rules.Missing when a resistance is not
// known.
func inrush(p *rules.Pass, w *rules.Working, l circuit.Loop, farad float64) (float64, error) {
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
	peak, err := calc.StepPeak(volt, ohm, henry, farad)
	if err != nil {
		return 0, err
	}
	if !w.Unread() {
		w.Lines(peak.Steps()...)
	}
	return peak.A, nil
}
