package oracle

import "math"

type point struct{ amps, seconds float64 }

// curve returns the shortest ("min") or longest ("max") opening times of a
// fuse: its own points, else the gate of its class.
func (v *Vehicle) curve(fuse, which string) []point {
	path := "fuses." + fuse
	var out []point
	list, _ := v.Get(path + ".opening." + which).([]any)
	for _, x := range list {
		p, _ := x.(map[string]any)
		a, _ := p["current_A"].(float64)
		s, _ := p["s"].(float64)
		out = append(out, point{a, s})
	}
	if out != nil {
		return out
	}
	class, rated := v.Text(path+".class"), v.Number(path+".rated_A", 0)
	if class == "ul" && rated > 30 {
		class = "ul above 30 A"
	}
	gate := published().gates[class].shortest
	if which == "max" {
		gate = published().gates[class].longest
	}
	for _, p := range gate {
		out = append(out, point{p.amps * rated, p.seconds})
	}
	return out
}

// timeOn reads a curve at a current, log-log between its points; below the
// first it never opens, above the last I2t stays as it is.
func timeOn(curve []point, amps float64) float64 {
	if len(curve) == 0 {
		return math.NaN()
	}
	if amps < curve[0].amps {
		return math.Inf(1)
	}
	for i := 1; i < len(curve); i++ {
		if a, b := curve[i-1], curve[i]; amps <= b.amps {
			share := math.Log(amps/a.amps) / math.Log(b.amps/a.amps)
			return a.seconds * math.Pow(b.seconds/a.seconds, share)
		}
	}
	last := curve[len(curve)-1]
	return last.seconds * last.amps * last.amps / (amps * amps)
}

// clears is the longest time in which a fuse clears a current: by its curve and,
// beyond that, by its last I2t or the total integral that it states, to which
// the curve goes on falling as it fell. NaN where only a gate is known and the
// current lies beyond it.
func (v *Vehicle) clears(fuse string, amps float64) float64 {
	curve := v.curve(fuse, "max")
	if len(curve) < 2 {
		return math.NaN()
	}
	last := curve[len(curve)-1]
	if amps <= last.amps {
		return timeOn(curve, amps)
	}
	own := v.Has("fuses." + fuse + ".opening.max")
	if total := v.Number("fuses."+fuse+".total_I2t_A2s", 0); total > 0 && !v.severe {
		before := curve[len(curve)-2]
		slope := math.Log(last.seconds/before.seconds) / math.Log(last.amps/before.amps)
		return max(total/(amps*amps), last.seconds*math.Pow(amps/last.amps, slope))
	}
	if !own && !v.severe {
		return math.NaN()
	}
	return timeOn(curve, amps)
}

// ampsOn is the current at which a curve reaches a time: the inverse of timeOn.
func ampsOn(curve []point, seconds float64) float64 {
	if len(curve) == 0 {
		return math.NaN()
	}
	if seconds >= curve[0].seconds {
		return curve[0].amps
	}
	for i := 1; i < len(curve); i++ {
		if a, b := curve[i-1], curve[i]; seconds >= b.seconds {
			share := math.Log(seconds/a.seconds) / math.Log(b.seconds/a.seconds)
			return a.amps * math.Pow(b.amps/a.amps, share)
		}
	}
	last := curve[len(curve)-1]
	return last.amps * math.Sqrt(last.seconds/seconds)
}

// surelyOpens is the least current that opens a fuse in the end: 1.35 times the
// rating of vehicle and UL fuses, 1.6 times of gG.
func (v *Vehicle) surelyOpens(fuse string) float64 {
	if c := v.curve(fuse, "max"); len(c) > 0 {
		return c[0].amps
	}
	rated := v.Number("fuses."+fuse+".rated_A", 0)
	switch v.Text("fuses." + fuse + ".class") {
	case "gG", "gR":
		return published().fusing * rated
	}
	return 1.35 * rated
}

// classFactor is the share of its rating that a fuse carries continuously.
func (v *Vehicle) classFactor(fuse string) float64 {
	switch v.Text("fuses." + fuse + ".class") {
	case "gG", "gR", "aR":
		return 1
	case "glass":
		return 0.75
	}
	return 0.8
}
