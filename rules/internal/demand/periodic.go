package demand

import (
	"fmt"
	"math"
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
)

// periodic writes out the steady current that heats as much as a turn does at
// the end of its hottest step, with the numbers put in: theta' = I^2 + (theta -
// I^2) exp(-t / tau) from step to step, solved for the state that repeats.
// Source: IEC 60255-149.
func (t DutyCycle) periodic(tauS float64) string {
	held, err := calc.PeriodicHeating(t.Intervals(), tauS)
	if err != nil {
		return "" // such a turn gives no duty
	}
	hottest := 0
	for i := range held {
		if held[i] > held[hottest] {
			hottest = i
		}
	}
	tau := rules.Term(tauS)
	var terms []string
	after := 0.0
	for k := range t.Steps {
		// Backwards from the hottest step, so that after grows.
		s := t.Steps[(hottest-k+len(t.Steps))%len(t.Steps)]
		term := rules.Term(s.A) + "^2"
		if !math.IsInf(s.S, 1) {
			term += fmt.Sprintf(" * (1 - exp(-%s / %s))", rules.Term(s.S), tau)
		}
		if after > 0 {
			term += fmt.Sprintf(" * exp(-%s / %s)", rules.Term(after), tau)
		}
		terms = append(terms, term)
		if after += s.S; math.IsInf(s.S, 1) {
			return "sqrt(" + strings.Join(terms, " + ") + ")" // nothing before it is left
		}
	}
	return fmt.Sprintf("sqrt((%s) / (1 - exp(-%s / %s)))", strings.Join(terms, " + "), rules.Term(after), tau)
}
