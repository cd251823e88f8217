package oracle

import "math"

// batterySwitchExpectations are of the transistors by which a battery switches
// itself off. Where it has none, nothing is expected.
func batterySwitchExpectations() map[string]Expectation {
	all := map[string]func(v *Vehicle, id, path string) float64{
		"bms-overloaded": func(v *Vehicle, id, path string) float64 {
			worst := 0.0
			for _, mode := range v.Modes(false) {
				out, in := v.throughBattery(id, mode)
				bears := v.Number(path+".discharge_A", math.NaN())
				if lasts := v.Number("modes."+mode+".lasts_s", math.Inf(1)); lasts <= v.Number(path+".peak.s", 0) {
					bears = max(bears, v.Number(path+".peak.A", 0))
				}
				worst = max(worst, over(out, bears), over(in, v.Number(path+".charge_A", math.NaN())))
			}
			return worst
		},
		"bms-break-low": func(v *Vehicle, id, path string) float64 {
			worst := over(v.packVolts("max_V"), v.Number(path+".break.V", math.NaN()))
			seconds, bears := v.Number(path+".short_trip_us", math.NaN())/1e6, v.Number(path+".break.J", math.NaN())
			for _, c := range v.IDs("controllers") {
				ohms, metres := v.loop(c+".pos", c+".neg")
				least := metres * henryPerMetre
				most := least
				if v.severe { // the farther the cables are apart, and with pack, fuse and contactor
					most = 2*least + 1e-6
				}
				// Less inductance lets the current rise faster, more keeps it up longer:
				// which of the two is worse, the time decides.
				for step := range 21 {
					henry := least + (most-least)*float64(step)/20
					amps := v.packVolts("max_V") / ohms * (1 - math.Exp(-seconds*ohms/henry))
					worst = max(worst, over(clampedJoules(v.packVolts("max_V"), v.Number(path+".break.V", math.NaN()), ohms, henry, amps), bears))
				}
			}
			return worst
		},
		"bms-start-trips": func(v *Vehicle, id, path string) float64 {
			gone, farads, worst := map[string]bool{}, 0.0, 0.0
			for _, kind := range []string{"contactors", "resistors"} {
				for _, part := range v.IDs(kind) {
					gone[part] = true
				}
			}
			open, foot := v.metalWithout(gone), v.lowest(id)
			try := func(pos, neg, path string) (float64, bool) {
				uF := v.Number(path+".capacitance_uF", 0)
				return uF / 1e6, uF > 0 && open.same(pos, id+".pos") && open.same(neg, foot)
			}
			peak := func(pos, neg, of string, c float64) {
				ohms, metres := v.loop(pos, neg)
				ohms += v.Number(of+".esr_mOhm", 0) / 1000
				trips, seconds := v.Number(path+".short_trip_A", math.NaN()), v.Number(path+".short_trip_us", 0)/1e6
				by := over(firstPeak(v.Working(pos), ohms, metres*henryPerMetre, c), trips)
				if seconds > 0 { // it has to last as well
					for step := range 21 {
						henry := metres * henryPerMetre
						if v.severe {
							henry += (henry + 1e-6) * float64(step) / 20
						}
						if lasts := secondsAbove(v.Working(pos), ohms, henry, c, trips); step == 0 || lasts/seconds > by {
							by = lasts / seconds
						}
					}
				}
				worst = max(worst, by)
				farads += c
			}
			for _, c := range v.IDs("controllers") {
				if f, behind := try(c+".pos", c+".neg", "controllers."+c); behind {
					peak(c+".pos", c+".neg", "controllers."+c, f)
				}
			}
			for _, c := range v.IDs("converters") {
				if f, behind := try(c+".in_pos", c+".in_neg", "converters."+c+".input"); behind {
					peak(c+".in_pos", c+".in_neg", "converters."+c+".input", f)
				}
			}
			if farads > 0 && farads <= v.Number(path+".precharge.uF_max", 0)/1e6 {
				return 0
			}
			return worst
		},
		"bms-diode-hot": func(v *Vehicle, id, path string) float64 {
			chargers, sun, braking, metal := 0.0, 0.0, 0.0, v.metal()
			for _, c := range v.IDs("chargers") {
				if v.Text(path+".port") != "separate" && metal.same(c+".pos", id+".pos") {
					chargers += v.Number("chargers."+c+".max_A", 0)
				}
			}
			for _, s := range v.IDs("solar") {
				if metal.same(s+".pos", id+".pos") {
					sun += v.Number("solar."+s+".regulator.max_A", 0)
				}
			}
			for _, c := range v.IDs("controllers") {
				for _, mode := range v.Modes(false) {
					braking = max(braking, v.Number("modes."+mode+".draw."+c+".regen_A", 0))
				}
				if v.severe {
					braking = max(braking, v.Number("controllers."+c+".regen_A", 0))
				}
			}
			most := max(chargers, sun, braking)
			if v.severe {
				most = chargers + sun + braking
			}
			return over(most, v.Number(path+".diode_A", math.NaN()))
		},
		"bms-charge-port-loaded": func(v *Vehicle, id, path string) float64 {
			// The port's own metal: what conductors, fuses and contacts join to it.
			metal, port := v.metal(), id+".charge"
			for _, kind := range []struct {
				group string
				ends  []string
			}{
				{"loads", []string{".pos", ".neg"}}, {"controllers", []string{".pos", ".neg"}}, {"converters", []string{".in_pos", ".in_neg"}},
				{"contactors", []string{".coil_pos", ".coil_neg"}}, {"relays", []string{".coil_pos", ".coil_neg"}},
			} {
				for _, part := range v.IDs(kind.group) {
					for _, end := range kind.ends {
						if metal.same(part+end, port) {
							return certain(v.Text(path+".port") == "separate")
						}
					}
				}
			}
			return 0
		},
		"bms-stays-asleep": func(v *Vehicle, id, path string) float64 {
			if v.Text(path+".wake") != "charger" {
				return 0
			}
			gone := map[string]bool{}
			for _, kind := range []string{"contactors", "timers", "relays"} {
				for _, part := range v.IDs(kind) {
					gone[part] = v.Text("relays."+part+".form") != "nc"
				}
			}
			for _, r := range v.IDs("resistors") {
				gone[r] = v.severe // it may pass what wakes the pack, though no charge to speak of
			}
			asleep := v.metalWithout(gone)
			for _, c := range v.IDs("chargers") {
				reaches := asleep.same(c+".pos", id+".pos") && (asleep.same(c+".neg", v.lowest(id)) || asleep.same(c+".neg", id+".charge"))
				if reaches && v.True("chargers."+c+".starts_without_battery") {
					return 0
				}
			}
			return math.Inf(1)
		},
	}
	out := map[string]Expectation{}
	for rule, expect := range all {
		out[rule] = func(v *Vehicle, id string) float64 {
			if path := "batteries." + id + ".bms"; v.Has(path) {
				return expect(v, id, path)
			}
			return 0
		}
	}
	return out
}

// throughBattery is the greatest current out of a battery and into it in a mode, A. A
// charger gives all that it has.
func (v *Vehicle) throughBattery(id, mode string) (out, in float64) {
	for _, c := range v.cases(mode) {
		amps := v.Solve(c).Amps(id) // from pos to neg, so into it
		out, in = max(out, -amps), max(in, amps)
	}
	for _, c := range v.List("modes." + mode + ".connected") {
		if v.metal().same(c+".pos", id+".pos") {
			in = max(in, v.Number("chargers."+c+".max_A", 0))
		}
	}
	return out, in
}

// clampedJoules is what a switch takes that clamps at a voltage until the current of a loop
// has gone, which the battery goes on feeding: by small steps of the current.
func clampedJoules(volts, clamp, ohms, henry, amps float64) float64 {
	if clamp <= volts {
		return math.Inf(1)
	}
	const steps = 2000
	joules, di := 0.0, amps/steps
	for n := range steps {
		i := amps - (float64(n)+0.5)*di
		joules += clamp * i * henry * di / (clamp - volts + ohms*i)
	}
	return joules
}

// secondsAbove is how long the first wave of the charging current is above a value: by
// small steps of the time.
func secondsAbove(volts, ohms, henry, farads, amps float64) float64 {
	step := 0.005 * min(henry/ohms, math.Sqrt(henry*farads))
	amperes, charged, above := 0.0, 0.0, 0.0
	for t := 0.0; t < 20*(ohms*farads+math.Sqrt(henry*farads)); t += step {
		amperes += (volts - charged - ohms*amperes) / henry * step
		charged += amperes / farads * step
		switch {
		case amperes >= amps:
			above += step
		case above > 0 || amperes < 0:
			return above
		}
	}
	return above
}
