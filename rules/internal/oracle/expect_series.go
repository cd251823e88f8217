package oracle

import "math"

// seriesExpectations compares contacts with what limits the current in series with
// them: IEC 60947-3, overload protection of switches by the fuse in series (from
// memory), and IEC 60364-4-43, 433.3.1, for loads that cannot overload.
func seriesExpectations() map[string]Expectation {
	return map[string]Expectation{
		"fuse-above-contact-rating": func(v *Vehicle, subject string) float64 {
			return over(v.lastingThrough(subject), v.contactCarries(subject))
		},
	}
}

// contactCarries is the carrying current of the contacts of a part, A; NaN if
// it states none.
func (v *Vehicle) contactCarries(subject string) float64 {
	id, pole := split(subject)
	path := v.Path(id)
	switch v.Kind(id) {
	case "contactors", "relays":
		path += ".contact"
	case "switches":
		path += ".poles." + pole
	}
	return v.Number(path+".carry_A", math.NaN())
}

// consumer is something that draws a current, with its poles.
type consumer struct {
	pos, neg string
	amps     float64 // the most that it draws for long
}

// consumers lists what draws current. To the lenient side at rated voltages, to
// the severe at those that make the current greatest.
func (v *Vehicle) consumers() []consumer {
	var out []consumer
	for _, id := range v.IDs("loads") {
		path := "loads." + id
		watts, at := v.Number(path+".power_W", 0), v.Number(path+".at_V", 12)
		amps := watts / at
		if v.severe {
			amps = max(watts/v.Number(path+".min_V", at), watts/at*1.3)
		}
		if v.Text(path+".kind") == "motor" {
			amps = v.Number(path+".stall_A", watts/at)
		}
		out = append(out, consumer{id + ".pos", id + ".neg", amps})
	}
	for _, id := range v.IDs("controllers") {
		path := "controllers." + id
		out = append(out, consumer{id + ".pos", id + ".neg", v.Number(path+".battery_continuous_A", v.Number(path+".battery_peak_A", math.Inf(1)))})
	}
	for _, id := range v.IDs("converters") {
		path := "converters." + id
		input := v.Working(id + ".in_pos")
		if v.severe {
			input = v.Number(path+".input.min_V", input)
		}
		watts := v.Number(path+".output.nominal_V", 0) * v.Limit(id)
		efficiency := v.Number(path+".efficiency_percent", 85) / 100
		out = append(out, consumer{id + ".in_pos", id + ".in_neg", v.Number(path+".input.max_A", watts/(efficiency*input))})
	}
	for _, kind := range []string{"contactors", "relays"} {
		for _, id := range v.IDs(kind) {
			amps := v.ownAmps(id)
			if v.severe {
				amps *= 1.3
			}
			if !math.IsNaN(amps) {
				out = append(out, consumer{id + ".coil_pos", id + ".coil_neg", amps})
			}
		}
	}
	return out
}

// lastingThrough is the most that can flow through contacts for long, A: what
// hangs on them draws its most, each branch no more than its own fuse, and all
// together no more than a fuse that they share. Partial-range fuses do not count.
func (v *Vehicle) lastingThrough(subject string) float64 {
	gone := map[string]bool{}
	for _, id := range v.IDs("resistors") {
		gone[id] = true // what they let through is little
	}
	all := v.metalWithout(gone)
	less := map[string]bool{subject: true}
	for id := range gone {
		less[id] = true
	}
	cut := v.metalWithout(less)
	fed := func(j *joined, c consumer) bool {
		for _, id := range v.IDs("batteries") {
			if j.same(c.pos, id+".pos") && v.returned(j, c.neg) {
				return true
			}
		}
		for _, id := range v.IDs("converters") {
			if j.same(c.pos, id+".out_pos") && j.same(c.neg, id+".out_neg") {
				return true
			}
		}
		return false
	}
	groups, shared, first := map[string]float64{}, []string{}, true
	for _, c := range v.consumers() {
		if !fed(all, c) || fed(cut, c) {
			continue
		}
		before := v.fullRange(v.Before(c.pos))
		if len(before) == 0 {
			groups[""] += c.amps
		} else {
			groups[before[0]] += c.amps
		}
		if first {
			shared, first = before, false
			continue
		}
		var still []string
		for _, f := range shared {
			if contains(before, f) {
				still = append(still, f)
			}
		}
		shared = still
	}
	sum := 0.0
	for fuse, amps := range groups {
		if fuse != "" {
			amps = min(amps, v.Number("fuses."+fuse+".rated_A", amps))
		}
		sum += amps
	}
	for _, f := range shared {
		sum = min(sum, v.Number("fuses."+f+".rated_A", sum))
	}
	return sum
}

// returned reports whether a terminal is joined to the negative pole of a
// battery.
func (v *Vehicle) returned(j *joined, terminal string) bool {
	for _, id := range v.IDs("batteries") {
		if j.same(terminal, id+".neg") {
			return true
		}
	}
	return false
}

// fullRange leaves out the fuses that open no overload.
func (v *Vehicle) fullRange(fuses []string) []string {
	var out []string
	for _, f := range fuses {
		if v.Text("fuses."+f+".class") != "aR" && !v.Has("fuses."+f+".min_breaking_A") {
			out = append(out, f)
		}
	}
	return out
}
