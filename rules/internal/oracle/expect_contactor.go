package oracle

import "math"

func contactorExpectations() map[string]Expectation {
	return map[string]Expectation{
		"coil-pull-in-low": func(v *Vehicle, id string) float64 {
			path := v.Path(id) + ".coil"
			needs := v.Number(path+".operate_V", 0)
			if !v.regulated(id, "operate_valid_to_C") {
				needs *= warm(v.coilCelsius(v.Path(id), id))
			}
			return over(needs, v.coilVolts(id, Case{Supply: "empty", Idle: true, PickUp: true, Copper: v.hot()}))
		},
		"coil-hold-low": func(v *Vehicle, id string) float64 {
			path := v.Path(id) + ".coil"
			needs := v.Number(path+".hold_V", 0.6*v.Number(path+".operate_V", 0))
			if !v.regulated(id, "operate_valid_to_C") {
				needs *= warm(v.coilCelsius(v.Path(id), id))
			}
			return over(needs, v.coilVolts(id, Case{Supply: "empty", Start: true, Fixed: true, Copper: v.hot()}))
		},
		"coil-self-holding": func(v *Vehicle, id string) float64 {
			path := v.Path(id) + ".coil"
			release := v.Number(path+".release_V", 0) * warm(v.Ambient(id, false))
			if release == 0 {
				return math.NaN()
			}
			most := 0.0
			for _, mode := range v.Modes(false) {
				for _, key := range v.IDs("switches") {
					if role := v.Text("switches." + key + ".role"); role != "key" && role != "emergency-stop" || !contains(v.List("modes."+mode+".closed"), key) {
						continue
					}
					for _, alone := range []bool{false, true} {
						s := v.Solve(Case{
							Mode: mode, Supply: "full", Alone: alone, Idle: true, Start: true, Copper: 20, Quiet: true,
							Hand: map[string]bool{key: false},
						})
						if s.Closed(id) {
							most = max(most, math.Abs(s.Volts(id+".coil_pos", id+".coil_neg")))
						}
					}
				}
			}
			return most / release
		},
		"coil-overvoltage": func(v *Vehicle, id string) float64 {
			path := v.Path(id) + ".coil"
			bears := v.Number(path+".max_V", 0)
			if !v.regulated(id, "max_V_valid_to_C") {
				limit := v.Number(path+".limit_C", v.Number("policy.coil_limit_C", 130))
				bears *= math.Sqrt((limit - v.Ambient(id, true)) / (limit - 20))
			}
			most := 0.0
			for _, mode := range v.Modes(false) {
				for _, alone := range []bool{false, true} {
					s := v.Solve(Case{Mode: mode, Supply: "full", Alone: alone, Idle: true, Start: true, Copper: 20})
					most = max(most, math.Abs(s.Volts(id+".coil_pos", id+".coil_neg")))
				}
			}
			return over(most, bears)
		},
		"coil-nominal-mismatch": func(v *Vehicle, id string) float64 {
			path := v.Path(id) + ".coil"
			coil := v.Number(path+".nominal_V", 0)
			feed := v.feed(id)
			if math.Abs(feed-coil) <= 0.25*coil || (feed >= v.Number(path+".operate_V", 1e9) && feed <= v.Number(path+".max_V", 0)) {
				return 0
			}
			return max(feed/coil, coil/feed) / 1.25
		},
		"contactor-carry-low": func(v *Vehicle, id string) float64 {
			tau := 600.0
			if v.Kind(id) == "relays" {
				tau = 120
			}
			return over(v.ForGood(id, tau), v.Number(v.Path(id)+".contact.carry_A", 0))
		},
		"contactor-short-time-low": func(v *Vehicle, id string) float64 {
			return v.shortTimeOf(v.Path(id)+".contact", id)
		},
		"contactor-voltage-low": func(v *Vehicle, id string) float64 {
			side := ".a"
			if v.Kind(id) == "relays" {
				side = ".common"
			}
			return over(max(v.Working(id+side), v.openingVolts(id)), v.Number(v.Path(id)+".contact.rated_V_dc", 0))
		},
		"contactor-make-low": func(v *Vehicle, id string) float64 { return v.closingOn(id) },
		"contactor-break-low": func(v *Vehicle, id string) float64 {
			return v.breakOf(v.Path(id)+".contact", id, v.Greatest(id))
		},
		"contactor-break-reverse-low": func(v *Vehicle, id string) float64 {
			path, most := v.Path(id)+".contact", 0.0
			if !v.True(path+".polarized") || !v.Has(path+".reverse_break_A") {
				return math.NaN()
			}
			for _, mode := range v.Modes(false) {
				for _, c := range v.cases(mode) {
					most = max(most, -v.Solve(c).Amps(id))
				}
			}
			return over(most, v.Number(path+".reverse_break_A", 0))
		},
		// The full pack over the cold coil, less a tenth for what is on the way.
		"coil-output-overloaded": func(v *Vehicle, id string) float64 {
			amps := 0.0
			for _, group := range []string{"contactors", "relays"} {
				for _, coil := range v.IDs(group) {
					ohm := v.Number(group+"."+coil+".coil.resistance_Ohm", 0)
					if ohm > 0 && v.metal().same(coil+".coil_neg", id+".coil_out") {
						amps += 0.9 * v.Working(coil+".coil_pos") / (ohm * (1 + 0.00393*(v.Ambient(coil, false)-20)))
					}
				}
			}
			return over(amps, v.Number("controllers."+id+".coil_out.max_A", 0))
		},
		"contactor-drops-under-load": func(v *Vehicle, id string) float64 {
			most := v.Greatest(id)
			for _, c := range v.IDs("controllers") {
				most = max(most, v.AtPeak(id, c))
			}
			return v.breakOf(v.Path(id)+".contact", id, most)
		},
		"contactor-welds-on-short": func(v *Vehicle, id string) float64 {
			list, _ := v.Get(v.Path(id) + ".contact.short_time").([]any)
			bears := math.Inf(1)
			for _, x := range list {
				p, _ := x.(map[string]any)
				a, _ := p["A"].(float64)
				s, _ := p["s"].(float64)
				bears = min(bears, a*a*s)
			}
			fuses := v.Before(id + ".a")
			if len(fuses) == 0 || math.IsInf(bears, 1) {
				return math.NaN()
			}
			return over(v.Number("fuses."+fuses[0]+".total_I2t_A2s", 0), bears)
		},
		"suppression-missing": func(v *Vehicle, id string) float64 {
			return certain(v.Text(v.Path(id)+".coil.suppression") == "none")
		},
		"suppression-slow": func(v *Vehicle, id string) float64 {
			path := v.Path(id)
			return certain(v.Text(path+".coil.suppression") == "diode" && v.Number(path+".contact.carry_A", 0) > 30)
		},
		"suppression-clamp-high": func(v *Vehicle, id string) float64 {
			worst, top := 0.0, v.Working(id+".coil_pos")
			clamp := v.clampVolts(id)
			opens := func(contact, rating string) {
				if contains(v.behind(contact), id) {
					worst = max(worst, over(top+clamp, v.Number(rating, 0)))
				}
			}
			for _, name := range v.IDs("switches") {
				for _, pole := range v.IDs("switches." + name + ".poles") {
					opens(name+"."+pole, "switches."+name+".poles."+pole+".rated_V_dc")
				}
			}
			for _, name := range v.IDs("relays") {
				opens(name, "relays."+name+".contact.rated_V_dc")
			}
			for _, kind := range []string{"timers", "cutouts"} {
				for _, name := range v.IDs(kind) {
					opens(name, kind+"."+name+".contact.rated_V_dc")
				}
			}
			for _, c := range v.IDs("controllers") {
				if bears := v.Number("controllers."+c+".coil_out.max_V", 0); bears > 0 && v.metal().same(id+".coil_neg", c+".coil_out") {
					worst = max(worst, (top+clamp)/bears)
				}
			}
			return worst
		},
	}
}

// clampVolts is what stands across a coil when its current is broken, V: as stated, or
// what the current of the cold coil drops over a resistor across it (Ohm's law). A diode
// in series with the resistor adds little and is left out.
func (v *Vehicle) clampVolts(id string) float64 {
	path, most := v.Path(id)+".coil", 0.0
	bare := v.conductorsAlone()
	for _, d := range v.IDs("diodes") {
		bare.join(d+".anode", d+".cathode")
	}
	for _, r := range v.IDs("resistors") {
		across := bare.same(r+".a", id+".coil_pos") && bare.same(r+".b", id+".coil_neg")
		turned := bare.same(r+".b", id+".coil_pos") && bare.same(r+".a", id+".coil_neg")
		if across || turned {
			amps := over(v.Working(id+".coil_pos"), v.Number(path+".resistance_Ohm", math.NaN())*warm(v.Number("vehicle.ambient_C.min", -10)))
			most = amps * v.Number("resistors."+r+".resistance_Ohm", 0)
		}
	}
	return max(most, v.Number(path+".clamp_V", 0))
}

// regulated reports whether a coil's voltage already holds in its heat.
func (v *Vehicle) regulated(id, field string) bool {
	path := v.Path(id) + ".coil"
	return v.Text(path+".drive") == "economiser" || v.Number(path+"."+field, -300) >= v.Ambient(id, true)
}

// feed is the nominal voltage of the source whose positive pole feeds a coil, V.
func (v *Vehicle) feed(id string) float64 {
	metal := v.metal()
	best := 0.0
	for _, b := range v.IDs("batteries") {
		if metal.same(id+".coil_pos", b+".pos") {
			best = max(best, v.Number("batteries."+b+".nominal_V", 0)*float64(v.InString(b)))
		}
	}
	if best > 0 {
		return best
	}
	for _, c := range v.IDs("converters") {
		if metal.same(id+".coil_pos", c+".out_pos") {
			best = max(best, v.Number("converters."+c+".output.nominal_V", 0))
		}
	}
	return best
}

// coilVolts is the least voltage of a coil over the modes that feed it, V.
func (v *Vehicle) coilVolts(id string, c Case) float64 {
	least := math.Inf(1)
	for _, mode := range v.Modes(false) {
		c.Mode = mode
		if !v.meant(id, mode) {
			continue
		}
		for _, alone := range []bool{false, true} {
			c.Alone = alone
			if alone && !v.backed(id) {
				continue // nothing but the converter feeds this network
			}
			least = min(least, math.Abs(v.Solve(c).Volts(id+".coil_pos", id+".coil_neg")))
		}
	}
	return least
}

// meant reports whether a mode closes what feeds a coil: with a full pack the
// contactor pulls in.
func (v *Vehicle) meant(id, mode string) bool {
	s := v.Solve(Case{Mode: mode, Supply: "full", Idle: true, Copper: 20})
	return math.Abs(s.Volts(id+".coil_pos", id+".coil_neg")) > 0.3*v.Number(v.Path(id)+".coil.nominal_V", 12)
}

// backed reports whether a battery feeds a coil's network.
func (v *Vehicle) backed(id string) bool {
	metal := v.metal()
	for _, b := range v.IDs("batteries") {
		if metal.same(id+".coil_pos", b+".pos") {
			return true
		}
	}
	return false
}

// closingOn is the current on which a contactor closes against what it may: the
// first peak that what the pre-charge leaves of the pack's voltage drives. Nothing is
// off its rating here; to the severe side the resistor 5 %, the capacitors 20 % and
// the timer its own tolerance.
func (v *Vehicle) closingOn(id string) float64 {
	path := v.Path(id) + ".contact"
	cut := v.metalWithout(map[string]bool{id: true})
	worst := 0.0
	for _, c := range v.IDs("controllers") {
		farads := v.Number("controllers."+c+".capacitance_uF", 0) / 1e6
		if farads == 0 || !(cut.same(id+".b", c+".pos") || cut.same(id+".a", c+".neg")) {
			continue
		}
		left := 1.0
		for _, r := range v.IDs("resistors") {
			if v.Text("resistors."+r+".role") != "precharge" || v.Has("contactors."+id+".closes_at") {
				continue
			}
			ohms, charged, waits := v.Number("resistors."+r+".resistance_Ohm", 0), farads, v.wait(id)
			bleed := v.Number("controllers."+c+".bleed_kOhm", 1e9) * 1000
			if len(v.At(r+".a")) == 0 || len(v.At(r+".b")) == 0 {
				continue
			}
			if v.severe {
				ohms, charged = 1.05*ohms, 1.2*farads
				waits *= 1 - v.Number("timers."+v.Text("contactors."+id+".closes.device")+".tolerance_percent", 20)/100
			}
			share := bleed / (ohms + bleed)
			left = 1 - share*(1-math.Exp(-waits/(ohms*share*charged)))
		}
		worst = max(worst, over(v.inrushOf(c, left), v.Number(path+".make_A", 0)))
	}
	return worst
}

// inrushOf is the first peak of the current into a controller's capacitors that lack
// a share of the pack's voltage, A.
func (v *Vehicle) inrushOf(controller string, lack float64) float64 {
	volts := v.packVolts("max_V")
	if v.severe {
		volts = max(volts, v.Working(controller+".pos"))
	}
	ohms, metres := v.loop(controller+".pos", controller+".neg")
	ohms += v.Number("controllers."+controller+".esr_mOhm", 0) / 1000
	return firstPeak(volts*lack, ohms, metres*henryPerMetre, v.Number("controllers."+controller+".capacitance_uF", 0)/1e6)
}
