package battery

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
)

// spreadPercent is by how much the resistance of packs of one type differs in use (common
// practice): new cells by some percent, with another age and temperature by far more.
const spreadPercent = 30

// besides reports whether the battery is one of several traction packs in parallel.
func (x batteryState) besides() bool { return x.Role == "traction" && len(x.Parallel) > 1 }

// eachBeside gives a verdict on every pack in parallel with others. What is too much for
// several of them alike is one weakness: that with the greatest ratio of demand to
// capability has the finding, and the others follow from it.
func eachBeside(p *rules.Pass, ratio func(batteryState) float64, eval func(x batteryState, c *rules.Check, gravest string)) {
	var list []batteryState
	ratios := map[string]float64{}
	for _, x := range batteries(p) {
		if x.besides() {
			list, ratios[x.ID] = append(list, x), ratio(x)
		}
	}
	for _, x := range list {
		c, ok := begin(p, x)
		if !ok || !x.Known(c) {
			continue
		}
		gravest := x.ID
		for _, s := range x.Parallel {
			for _, b := range s {
				if ratios[b.ID] > ratios[gravest]*(1+1e-9) || ratios[b.ID] >= ratios[gravest]*(1-1e-9) && b.ID < gravest {
					gravest = b.ID
				}
			}
		}
		eval(x, c, gravest)
	}
}

// uneven is the share of the battery if all packs beside it have more resistance, by as
// much as they may differ.
func (x batteryState) uneven(p *rules.Pass) float64 {
	s := p.Circuit.Share(x.Parallel, x.Own)
	percent, _ := x.spread(p)
	return s / (s + (1-s)/(1+percent/100))
}

// spread is how far the resistances of the packs in parallel may differ, and the path of
// the battery that says so: the most that one of them says, "" for the default.
func (x batteryState) spread(p *rules.Pass) (percent float64, path string) {
	for _, s := range x.Parallel {
		for _, b := range s {
			own := p.Spec.Batteries[b.ID].SpreadPercent
			if !own.Known {
				return spreadPercent, ""
			}
			if path == "" || own.Value > percent {
				percent, path = own.Value, b.Path+".spread_percent"
			}
		}
	}
	return percent, path
}

// shareSteps adds the share of the battery among the packs in parallel to a working, by
// their typical resistances, and returns it.
func (x batteryState) shareSteps(c *rules.Check, p *rules.Pass) float64 {
	return c.Solved("s", "share of "+x.ID+" among the packs in parallel", p.Circuit.Share(x.Parallel, x.Own), "", "by their typical resistances")
}

// gravestLoss is the string beside the battery without which it would have to carry most.
func (x batteryState) gravestLoss(p *rules.Pass) (lost circuit.SeriesString, share float64) {
	for _, s := range x.Parallel {
		if own := p.Circuit.Share(x.Parallel, s); !s.Has(x.ID) && own > share {
			lost, share = s, own
		}
	}
	return lost, share
}
