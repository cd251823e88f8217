package oracle

import "math"

// solarExpectations take the modules of a solar part as their sheets state them
// at 25 C, and its regulator as a source of its own.
func solarExpectations() map[string]Expectation {
	return map[string]Expectation{
		"solar-voltage-high": func(v *Vehicle, id string) float64 {
			cold := v.coldVolts(id)
			worst := over(cold, v.Number("solar."+id+".regulator.max_pv_V", 0))
			if rated := v.Number("solar."+id+".cable.rated_V", 0); rated > 0 {
				worst = max(worst, cold/rated)
			}
			return worst
		},
		"solar-cable-overloaded": func(v *Vehicle, id string) float64 {
			path := "solar." + id
			limit := min(v.Number(path+".cable.max_C", 70), v.Number("policy.terminal_max_C", 90))
			// 125 % for a sun above the standard one, 125 % for hours of it.
			amps := 1.25 * 1.25 * v.Number(path+".in_parallel", 1) * v.Number(path+".Isc_A", 0)
			return over(amps, v.inFreeAir(v.Text(path+".cable.size"), limit, v.Ambient(id, true)))
		},
		"solar-strings-unfused": func(v *Vehicle, id string) float64 {
			path := "solar." + id
			if v.Number(path+".in_parallel", 1) < 3 {
				return 0
			}
			fuse := v.Number(path+".string_fuse_A", 0)
			if fuse == 0 {
				return math.Inf(1)
			}
			return fuse / v.Number(path+".max_series_fuse_A", math.Inf(1))
		},
		"solar-battery-lost": func(v *Vehicle, id string) float64 {
			path, worst := "solar."+id, 0.0
			gives := v.Number(path+".regulator.without_battery_V", math.NaN()) // not stated, nobody knows
			stays := v.metalWithout(v.resting())
			for _, bears := range []struct{ group, field, pos, neg string }{
				{"controllers", ".max_V", ".pos", ".neg"}, {"converters", ".input.max_V", ".in_pos", ".in_neg"},
				{"loads", ".max_V", ".pos", ".neg"}, {"meters", ".max_V", ".pos", ".neg"},
			} {
				for _, part := range v.IDs(bears.group) {
					if stays.same(id+".pos", part+bears.pos) && stays.same(id+".neg", part+bears.neg) {
						worst = max(worst, gives/v.Number(bears.group+"."+part+bears.field, math.Inf(1)))
					}
				}
			}
			return worst
		},
		"solar-live-past-disconnect": func(v *Vehicle, id string) float64 {
			path := "solar." + id + ".regulator"
			if max(v.Number(path+".output_V", 0), v.Number(path+".without_battery_V", 0)) <= 60 || len(v.IDs("disconnects")) == 0 {
				return 0
			}
			open := v.resting()
			for _, d := range v.IDs("disconnects") {
				open[d] = true
			}
			metal := v.metalWithout(open)
			for _, group := range []string{"controllers", "converters", "loads"} {
				in := map[string]string{"converters": "in_"}[group]
				for _, part := range v.IDs(group) {
					if metal.same(id+".pos", part+"."+in+"pos") && metal.same(id+".neg", part+"."+in+"neg") {
						return math.Inf(1)
					}
				}
			}
			return 0
		},
	}
}

// coldVolts is the open-circuit voltage of the modules of a solar part on the
// coldest morning, V; where their sheet states no coefficient, with -0.30 % per
// kelvin, that of crystalline silicon (from memory).
func (v *Vehicle) coldVolts(id string) float64 {
	path := "solar." + id
	kelvin := v.Ambient(id, false) - 25
	return v.Number(path+".in_series", 1) * v.Number(path+".Voc_V", 0) * (1 + v.Number(path+".percent_per_K", -0.30)/100*kelvin)
}

// resting are the contacts that are open in a vehicle that nobody uses, and its
// resistors: to the severe side nothing, since the key may be on.
func (v *Vehicle) resting() map[string]bool {
	gone := map[string]bool{}
	if v.severe {
		return gone
	}
	for _, kind := range []string{"contactors", "relays", "timers", "switches", "resistors"} {
		for _, id := range v.IDs(kind) {
			gone[id] = true
		}
	}
	return gone
}
