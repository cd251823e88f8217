package fuse

import (
	"math"
	"strings"

	"example.org/headroom/rules"
)

func inParallel() *rules.Rule {
	return &rules.Rule{
		ID:     "fuses-in-parallel",
		Family: family,
		Title:  "fuses in parallel are taken as one",
		Why: "Fuses in parallel share a current by their resistances, which differ by a tenth within one box and by more with the holders. " +
			"The one that carries more opens first, the others within seconds after it, at a current that no curve shows; what n equal ones let through in a short circuit is n^2 times the I2t of one.",
		Relation: "no two fuses connect the same two parts of a circuit. A unit that its maker has assembled and tested is one fuse; conductors in parallel with a fuse at both ends of each are another thing",
		Source:   "NFPA 70 (NEC) 240.8, in secondary texts; the division of the current: circuit theory",
		Level:    rules.Error,
		Required: 0,
		Fix:      "use one fuse of the rating that the conductor withstands",
		Example: rules.Example{Vehicle: "heron", Subject: "beside", Edits: []rules.Edit{
			{Path: "fuses.beside", Value: `{"class": "bolt-down", "rated_A": 125, "rated_V_dc": 125, "breaking_A_dc": 20000}`},
			{Path: "wires.w_beside_in", Value: `{"from": "main.a", "to": "beside.a", "size": "50 mm2", "length_m": 0.05, "insulation": {"max_C": 105, "rated_V": 600}}`},
			{Path: "wires.w_beside_out", Value: `{"from": "beside.b", "to": "main.b", "size": "50 mm2", "length_m": 0.05, "insulation": {"max_C": 105, "rated_V": 600}}`}}},
		Check: checkInParallel,
	}
}

func checkInParallel(p *rules.Pass) {
	for _, ids := range p.Circuit.FusesBeside() {
		ids = wired(p, ids)
		if len(ids) < 2 {
			continue
		}
		first := lead(p, ids)
		for _, id := range ids {
			c := p.Subject(id, p.Spec.Fuses[id].Path())
			if p.Unsound(c, id+".a", id+".b") {
				continue
			}
			if id != first {
				c.Because("fuses-in-parallel", first)
			}
			usable, sum := explainUsable(p, c, ids)
			c.Fail("%s are in parallel and taken as one fuse of %s A: by their resistances alone the first is at its rating from %s A on",
				rules.And(ids), rules.Figure(sum), rules.Figure(usable))
		}
	}
}

// wired leaves out fuses that are carried as spares.
func wired(p *rules.Pass, ids []string) (out []string) {
	for _, id := range ids {
		if !p.Spec.Fuses[id].Spare {
			out = append(out, id)
		}
	}
	return out
}

// lead is the largest of some fuses, from whose finding the others follow.
func lead(p *rules.Pass, ids []string) string {
	best := ids[0]
	for _, id := range ids {
		if p.Spec.Fuses[id].RatedA > p.Spec.Fuses[best].RatedA {
			best = id
		}
	}
	return best
}

// explainUsable adds the division of a current over fuses in parallel, in proportion to
// 1/R, to a working: usable is the current in A at which the first of them has its
// rating, sum that of the ratings.
func explainUsable(p *rules.Pass, c *rules.Check, ids []string) (usable, sum float64) {
	usable = math.Inf(1)
	var siemens float64
	var parts []string
	for _, id := range ids {
		f := p.Spec.Fuses[id]
		c.Given("I_n", "rated current of "+id, f.RatedA, "A", f.Path()+".rated_A")
		drop := c.Or("U", "voltage drop of "+id+" at its rating", f.DropMV, "mV", f.Path()+".drop_mV", p.Spec.Policy.FuseDropMV, "policy.fuse_drop_mV")
		mOhm := c.Calc("R_"+id, "its resistance", "U / I_n", rules.Term(drop)+" / "+rules.Term(f.RatedA), drop/f.RatedA, "mOhm")
		siemens += 1 / mOhm
		parts = append(parts, "1/"+rules.Term(mOhm))
		sum += f.RatedA
	}
	g := c.Calc("G", "conductance of all", "sum of 1/R", strings.Join(parts, " + "), siemens, "1/mOhm")
	for _, id := range ids {
		f := p.Spec.Fuses[id]
		mOhm := 1000 * p.Circuit.FuseResistance(f)
		usable = min(usable, c.Calc("I_"+id, "total at which "+id+" has its rating", "I_n R G", rules.Term(f.RatedA)+" * "+rules.Term(mOhm)+" * "+rules.Term(g), f.RatedA*mOhm*g, "A"))
	}
	return usable, sum
}
