package oracle

import (
	"math"
	"strconv"
)

func circuitExpectations() map[string]Expectation {
	return map[string]Expectation{
		"terminal-unconnected": func(v *Vehicle, id string) float64 {
			for _, terminal := range v.needed(id) {
				if len(v.At(terminal)) == 0 {
					return math.Inf(1)
				}
			}
			return 0
		},
		"conductor-unprotected": func(v *Vehicle, wire string) float64 {
			if v.inPack(wire) {
				return 0
			}
			allowed := v.Number("policy.fuse_distance_m", 0.178)
			if v.True(v.Path(wire)+".sheathed") || v.True(v.Path(wire)+".enclosed") {
				allowed = v.Number("policy.fuse_distance_sheathed_m", 1.016)
				for _, b := range v.IDs("batteries") {
					if from, to := v.Ends(wire); v.Text("vehicle.use") == "boat" && (from == b+".pos" || to == b+".pos") {
						allowed = v.Number("policy.fuse_distance_at_battery_m", 1.829)
					}
				}
			}
			if u := v.Unfused(wire); !math.IsInf(u, 1) && !v.fusedInside(wire) {
				return u / allowed
			}
			return 0
		},
		"diode-overloaded": func(v *Vehicle, id string) float64 {
			most := 0.0
			for _, mode := range v.Modes(false) {
				for _, c := range v.cases(mode) {
					most = max(most, v.Solve(c).Amps(id))
				}
			}
			return over(most, v.Number("diodes."+id+".continuous_A", 0))
		},
		"diode-voltage-low": func(v *Vehicle, id string) float64 {
			most := 0.0
			for _, mode := range v.Modes(false) {
				for _, c := range v.cases(mode) {
					most = max(most, v.Solve(c).Volts(id+".cathode", id+".anode"))
				}
			}
			return over(most, v.Number("diodes."+id+".reverse_V", 0))
		},
		"resistor-overloaded": func(v *Vehicle, id string) float64 {
			amps := v.ForGood(id, 60)
			return over(amps*amps*v.Number("resistors."+id+".resistance_Ohm", 0), v.Number("resistors."+id+".power_W", 0))
		},
		"polarity-reversed": func(v *Vehicle, id string) float64 {
			pos, neg := ".pos", ".neg"
			if v.Kind(id) == "converters" {
				pos, neg = ".in_pos", ".in_neg"
			}
			at, metal := v.potentials()
			// Wired to the two poles of one circuit the wrong way round.
			a, b := at[metal.root(id+pos)], at[metal.root(id+neg)]
			return certain(a < b)
		},
		"disconnect-leaves-live": func(v *Vehicle, id string) float64 {
			if v.Kind(id) == "loads" && v.Number("loads."+id+".at_V", 0) < 20 {
				return 0 // of the house network
			}
			hand := map[string]bool{}
			for _, d := range v.IDs("disconnects") {
				hand[d] = false
			}
			for _, s := range v.IDs("switches") {
				hand[s] = true
			}
			absent := map[string]bool{}
			for _, c := range v.IDs("chargers") {
				absent[c] = true
			}
			most := 0.0
			for _, mode := range v.Modes(false) {
				s := v.Solve(Case{
					Mode: mode, Supply: "full", Copper: 20, Alone: true, Idle: true, Quiet: true, Start: true, Fixed: true,
					Hand: hand, Probe: true, Gone: absent,
				})
				for _, pair := range v.across(id) {
					most = max(most, math.Abs(s.Volts(id+pair[0], id+pair[1])))
				}
			}
			return most / v.Number("policy.live_V", 5)
		},
		"supply-collapses": func(v *Vehicle, id string) float64 {
			worst := 0.0
			for _, mode := range v.Modes(false) {
				watts := v.Number("modes."+mode+".draw."+id+".power_W", 0)
				if watts == 0 {
					continue
				}
				// A controller holds its own current limit.
				drawn := v.Solve(Case{Mode: mode, Supply: "empty", Resistance: "max", Copper: v.hot()})
				if u := drawn.Volts(id+".pos", id+".neg"); !v.severe && u > 1 {
					watts = min(watts, u*v.Number("controllers."+id+".battery_peak_A", 1e9))
				}
				volts := v.packVolts("min_V")
				s := v.Solve(Case{Mode: mode, Supply: "empty", Resistance: "max", Copper: v.hot(), Alone: true, Idle: true, Start: true, Fixed: true, Short: [2]string{id + ".pos", id + ".neg"}})
				most := volts * math.Abs(s.Amps("short")) / 4 // V2/4R with R = V/I of a short
				worst = max(worst, watts/(v.Number("policy.collapse_fraction", 0.5)*most))
			}
			return worst
		},
		"networks-joined": func(v *Vehicle, id string) float64 {
			metal := v.metal()
			if v.Kind(id) == "converters" {
				return certain(v.True("converters."+id+".isolated") && metal.same(id+".in_neg", id+".out_neg"))
			}
			return certain(v.Working(id+".pos") > 60 && (metal.same(id+".neg", "chassis") || metal.same(id+".pos", "chassis")))
		},
	}
}

// fusedInside reports whether every battery or string that drives a short circuit at a
// wire has a fuse inside: those from the battery whose positive pole feeds it down to the
// one on whose negative pole a consumer behind the wire returns, or to the lowest. To the
// severe side one that has is not enough where another part of the string has none.
func (v *Vehicle) fusedInside(wire string) bool {
	less, from, found := v.fuseless(), "", false
	from, _ = v.Ends(wire)
	for _, top := range v.IDs("batteries") {
		if !less.same(top+".pos", from) {
			continue
		}
		returns := map[string]bool{v.lowest(top): true}
		for _, c := range v.consumers() {
			if v.metal().same(c.pos, from) {
				returns[v.metal().root(c.neg)] = true
			}
		}
		fused, at := false, top
		for range 20 { // strings are shorter
			fused = fused || v.Has("batteries."+at+".internal_fuse_A")
			for home := range returns {
				if v.metal().same(home, at+".neg") && !fused {
					return false
				}
			}
			below := ""
			for _, other := range v.IDs("batteries") {
				if other != at && v.metal().same(at+".neg", other+".pos") {
					below = other
				}
			}
			if below == "" {
				break
			}
			at = below
		}
		found = found || fused
	}
	return found
}

// needed lists the terminals that a part cannot work without.
func (v *Vehicle) needed(id string) []string {
	if v.True(v.Path(id)+".spare") || v.True(v.Path(id)+".pluggable") {
		return nil
	}
	names := map[string][]string{
		"batteries": {"pos", "neg"}, "fuses": {"a", "b"}, "disconnects": {"a", "b"}, "breakers": {"a", "b"}, "cutouts": {"a", "b"}, "resistors": {"a", "b"},
		"contactors": {"a", "b", "coil_pos", "coil_neg"}, "shunts": {"a", "b"}, "loads": {"pos", "neg"},
		"controllers": {"pos", "neg"}, "converters": {"in_pos", "in_neg", "out_pos", "out_neg"},
		"diodes": {"anode", "cathode"}, "relays": {"common", "coil_pos", "coil_neg"}, "chargers": {"pos", "neg"},
		"timers": {"pos", "neg", "common", "no"}, "motors": {"u", "v"},
	}[v.Kind(id)]
	if v.Kind(id) == "meters" {
		names = []string{"pos", "neg"}
		if v.Text("meters."+id+".shows") == "current" {
			names = []string{"sense_a", "sense_b"}
		}
	}
	var out []string
	for _, name := range names {
		out = append(out, id+"."+name)
	}
	if v.Kind(id) == "switches" {
		for _, pole := range v.IDs("switches." + id + ".poles") {
			out = append(out, id+"."+pole+"_a", id+"."+pole+"_b")
		}
	}
	if v.Kind(id) == "connectors" {
		out = append(out, v.begun(id)...)
	}
	return out
}

// begun lists the terminals of a connector's contacts that are free while the other end of
// the contact is not. Of an inlet nothing need be drawn on the side of its plug.
func (v *Vehicle) begun(id string) []string {
	pairs := [][2]string{{id + ".inhibit_a", id + ".inhibit_b"}}
	drawn := false
	for i := range v.contacts(id) {
		n := strconv.Itoa(i + 1)
		pairs = append(pairs, [2]string{id + ".a" + n, id + ".b" + n})
		drawn = drawn || len(v.At(id+".a"+n)) > 0
	}
	var out []string
	for i, pair := range pairs {
		if i > 0 && !drawn && v.Text("connectors."+id+".use") == "inlet" {
			continue
		}
		a, b := len(v.At(pair[0])) > 0, len(v.At(pair[1])) > 0
		switch {
		case a && !b:
			out = append(out, pair[1])
		case b && !a:
			out = append(out, pair[0])
		}
	}
	return out
}

// across lists the pairs of terminals of a part between which a voltage makes it live.
func (v *Vehicle) across(id string) [][2]string {
	switch v.Kind(id) {
	case "converters":
		return [][2]string{{".in_pos", ".in_neg"}}
	case "contactors", "relays":
		return [][2]string{{".coil_pos", ".coil_neg"}}
	case "controllers":
		return [][2]string{{".pos", ".neg"}, {".enable", ".neg"}}
	}
	return [][2]string{{".pos", ".neg"}}
}

// packVolts is a voltage of the traction battery or string, V.
func (v *Vehicle) packVolts(field string) float64 {
	best := 0.0
	for _, id := range v.IDs("batteries") {
		if v.Text("batteries."+id+".role") == "traction" {
			best = max(best, v.Number("batteries."+id+"."+field, 0)*float64(v.InString(id)))
		}
	}
	return best
}

func meterExpectations() map[string]Expectation {
	return map[string]Expectation{
		"sense-lead-unfused": func(v *Vehicle, terminal string) float64 {
			allowed, worst := v.Number("policy.fuse_distance_m", 0.178), 0.0
			for _, wire := range v.At(terminal) {
				from, to := v.Ends(wire)
				far := to
				if to == terminal {
					far = from
				}
				length := v.Length(wire)
				if part, _ := split(far); v.Kind(part) == "meters" {
					length = max(length, 0.178*1.0)
				}
				worst = max(worst, length/allowed)
			}
			return worst
		},
		"shunt-meter-mismatch": func(v *Vehicle, id string) float64 {
			shunt := "shunts." + v.Text("meters."+id+".shunt")
			is, us := v.Number(shunt+".rated_A", 0), v.Number(shunt+".drop_mV", 0)
			shown := v.Number("meters."+id+".full_scale_A", 0) * us / v.Number("meters."+id+".drop_mV", math.NaN())
			return math.Abs(shown-is) / is / 0.01
		},
		"meter-sense-high": func(v *Vehicle, id string) float64 {
			if v.Text("meters."+id+".shows") == "voltage" {
				return 0
			}
			most, closed := 0.0, map[string]bool{}
			for _, kind := range []string{"disconnects", "breakers", "switches"} {
				for _, contact := range v.IDs(kind) {
					closed[contact] = true
				}
			}
			for _, mode := range v.Modes(false) {
				cases := v.cases(mode)
				if v.severe {
					cases = append(cases, Case{Mode: mode, Supply: "full", Copper: 20, Hand: closed, Start: true})
				}
				for _, c := range cases {
					most = max(most, math.Abs(v.Solve(c).Volts(id+".sense_a", id+".sense_b")))
				}
			}
			// Ten times its rated value for a moment: IEC 60051-1, from memory.
			return over(1000*most, 10*v.Number("meters."+id+".drop_mV", math.NaN()))
		},
		"shunt-overloaded": func(v *Vehicle, id string) float64 {
			if shunt, screw := split(id); screw != "" {
				// A sense screw is for an instrument, and its supply: 1 A.
				return v.Greatest(shunt + map[string]string{"sense_a": ":sa", "sense_b": ":sb"}[screw])
			}
			return over(v.ForGood(id, 120), v.Number("policy.shunt_continuous_percent", 67)/100*v.Number("shunts."+id+".rated_A", 0))
		},
		"shunt-misses-current": func(v *Vehicle, id string) float64 {
			part, worst := v.Text("shunts."+id+".measures"), 0.0
			for _, mode := range v.Modes(false) {
				for _, c := range v.cases(mode) {
					s := v.Solve(c)
					worst = max(worst, math.Abs(math.Abs(s.Amps(part))-math.Abs(s.Amps(id))))
				}
			}
			return worst / (0.01 * v.Number("shunts."+id+".rated_A", 1))
		},
		"meter-range-low": func(v *Vehicle, id string) float64 {
			if v.Text("meters."+id+".shows") == "voltage" {
				return over(v.Working(id+".pos"), v.Number("meters."+id+".full_scale_V", 0))
			}
			return over(v.Greatest(v.Text("meters."+id+".shunt")), v.Number("meters."+id+".full_scale_A", 0))
		},
		"meter-isolation-low": func(v *Vehicle, id string) float64 {
			shunt, metal := v.Text("meters."+id+".shunt"), v.metal()
			if shunt == "" || len(v.At(id+".pos")) == 0 {
				return 0
			}
			stands := 0.0
			if metal.same(id+".neg", shunt+".a") {
				if v.joinsAtShunt(id, shunt) {
					return 0
				}
			}
			at, metal := v.potentials()
			sense := at[metal.root(shunt+".a")]
			apart := !v.oneNetwork(id+".neg", shunt+".a")
			if apart {
				stands = v.Working(shunt+".a") + v.Working(id+".pos")
			} else {
				stands = max(math.Abs(sense-at[metal.root(id+".neg")]), math.Abs(sense-at[metal.root(id+".pos")]))
			}
			if v.Has("meters." + id + ".isolation_working_V") {
				return over(stands, v.Number("meters."+id+".isolation_working_V", 0))
			}
			if apart && max(v.Working(shunt+".a"), v.Working(id+".pos")) > 60 {
				// Basic insulation of voltage class B is tested with so much (form of ISO
				// 6469-3, from memory).
				stands = 2*stands + 1000
			}
			return over(stands, v.Number("meters."+id+".isolation_V", 0))
		},
		"meter-unreadable": func(v *Vehicle, id string) float64 {
			usual := 0.0
			for _, mode := range v.Modes(true) {
				usual = max(usual, v.InMode(v.Text("meters."+id+".shunt"), mode))
			}
			return over(v.Number("policy.meter_readable_percent", 10)/100*v.Number("meters."+id+".full_scale_A", 0), usual)
		},
	}
}

// joinsAtShunt reports whether a meter's negative is wired to its shunt's own pole.
func (v *Vehicle) joinsAtShunt(meter, shunt string) bool {
	for _, wire := range v.At(meter + ".neg") {
		from, to := v.Ends(wire)
		for _, end := range []string{from, to} {
			if part, _ := split(end); part == shunt {
				return true
			}
		}
	}
	return false
}

// oneNetwork reports whether metal and batteries join two terminals.
func (v *Vehicle) oneNetwork(a, b string) bool {
	metal := v.joinMetal(nil)
	for _, id := range v.IDs("batteries") {
		metal.join(id+".pos", id+".neg")
	}
	return metal.same(a, b)
}
