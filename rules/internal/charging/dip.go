package charging

import (
	"fmt"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
)

// leastDip is the share of the supply from which a dip counts: less is what bleeds and
// meters take.
const leastDip = 0.01

// Dip is by how much the capacitors fall, in V, between the key and the contact: the
// switch that energises the coil turns on what hangs behind the contact as well, and while
// the armature moves nothing but the resistor makes up for it. A converter with its load
// takes a constant power then. Who takes most of it is named. It is 0 where no hand
// closes the contactor, or nothing draws.
func (a *Attempt) Dip(p *rules.Pass) (volt float64, who string) {
	volt, who, _ = a.dip(p)
	return volt, who
}

func (a *Attempt) dip(p *rules.Pass) (volt float64, who string, moves term) {
	if a.keys == "" || a.Missing != "" || a.Never {
		return 0, "", term{}
	}
	moves, _ = a.operateS(p, a.Contactor.ID, &a.Contactor.Coil, true)
	before := a.corner(circuit.Highest, true)
	during := before
	during.Open = ""
	c := p.Circuit.Transient(circuit.Transient{Case: during, Charged: true, Before: before, ForS: moves.s})
	if c.Failed != "" || len(c.Chatter) > 0 {
		return 0, "", moves
	}
	left, full, ok := a.across(c.End())
	had, _, ok2 := a.across(a.settled)
	if volt = had - left; !ok || !ok2 || volt < leastDip*full {
		return 0, "", moves
	}
	var most float64
	for _, list := range [][]*circuit.Edge{a.Capacitors, a.Loads} { // what a converter feeds it draws itself
		for _, e := range list {
			if i := c.Drawn(e.ID).A; i > max(most, 1e-3) {
				who, most = e.Part, i
			}
		}
		if who != "" {
			break
		}
	}
	return volt, who, moves
}

// DipFix says what to do about a pre-charge that something draws down again as the
// contactor closes, so that no longer wait helps; "" where nothing does.
func DipFix(p *rules.Pass, a Attempt) string {
	if volt, who := a.Dip(p); volt > 0 && who != "" {
		return fmt.Sprintf("feed %[1]s from the battery side of %[2]s, or let it be turned on only after %[2]s has closed", who, a.Contactor.ID)
	}
	return ""
}

// explainDip adds a dip to a working, and to the voltage left across the contact in V.
func (a *Attempt) explainDip(p *rules.Pass, w *rules.Working, left float64) float64 {
	volt, who, moves := a.dip(p)
	if volt == 0 {
		return left
	}
	switch {
	case moves.path == "":
		w.Standard("t_o", moves.what, moves.s, "s", moves.ref)
	case moves.formula == "":
		w.Given("t_o", moves.what, moves.s, "s", moves.path)
	default:
		w.Derived("t_o", moves.what, moves.formula, moves.numbers, moves.s, "s", moves.path)
	}
	what := "what the capacitors lose until the contact closes"
	if who != "" {
		what += ", to " + who
	}
	d := w.Solved("dV_o", what, volt, "V", "circuit in time from the key on, mode "+a.Mode)
	return w.Calc("dV", "voltage across the contact as it closes", "dV + dV_o", rules.Term(left)+" + "+rules.Term(d), left+volt, "V")
}
