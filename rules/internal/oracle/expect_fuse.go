package oracle

import "math"

func fuseExpectations() map[string]Expectation {
	return map[string]Expectation{
		"fuse-voltage-ac-only": func(v *Vehicle, id string) float64 {
			return certain(!v.Has("fuses."+id+".rated_V_dc") && v.Has("fuses."+id+".rated_V_ac"))
		},
		"fuse-voltage-low": func(v *Vehicle, id string) float64 {
			return over(v.Working(id+".a"), v.Number("fuses."+id+".rated_V_dc", 0))
		},
		"fuse-breaking-low": func(v *Vehicle, id string) float64 {
			at := v.Number("fuses."+id+".breaking_at_V", v.Number("fuses."+id+".rated_V_dc", 0))
			if worked := max(v.Working(id+".a"), v.Working(id+".b")); worked > at {
				return worked / at // what it breaks at a lower voltage says nothing
			}
			return over(v.prospectiveThrough(id), v.Number("fuses."+id+".breaking_A_dc", 0))
		},
		"fuse-overloaded": func(v *Vehicle, id string) float64 {
			return over(v.Steadily(id), v.inHeat()*v.classFactor(id)*v.Number("fuses."+id+".rated_A", 0))
		},
		"fuse-opens-in-use": func(v *Vehicle, id string) float64 { return v.opens(id) / v.inHeat() },
		"fuse-fatigued": func(v *Vehicle, id string) float64 {
			worst := 0.0
			for _, mode := range v.Modes(false) {
				lasts := v.Number("modes."+mode+".lasts_s", 0)
				if lasts == 0 || !v.Has("modes."+mode+".every_s") {
					continue
				}
				bears := max(0.6*ampsOn(v.curve(id, "min"), lasts), v.classFactor(id)*v.Number("fuses."+id+".rated_A", 0))
				// The usual pack, not an empty one: it is a matter of a thousand times.
				amps := math.Abs(v.Solve(Case{Mode: mode, Supply: "nominal", Copper: v.hot()}).Amps(id))
				if v.severe {
					amps = v.InMode(id, mode)
				}
				worst = max(worst, amps/(v.inHeat()*bears))
			}
			return worst
		},
		"fuse-above-ampacity": func(v *Vehicle, wire string) float64 {
			fuse, from := v.guard(wire)
			if all := v.forAll(wire); all != "" && fuse == "" {
				return over(max(v.Number("fuses."+all+".rated_A", 0), v.surelyOpens(all)/1.45), v.Carries(wire))
			}
			if fuse == "" || from <= 0.178 && !v.feedsController(wire, fuse) {
				return 0 // a tap: it ends in a fuse, or in what limits its own current
			}
			rated, bears := v.Number("fuses."+fuse+".rated_A", 0), v.Carries(wire)
			if limit := v.onlyLimited(wire); limit > 0 && limit < rated {
				return over(limit, bears) // no source gives more
			}
			switch v.Text("fuses." + fuse + ".class") {
			case "gG":
				return over(rated, bears)
			case "gR":
				return over(1.6*rated/1.45, bears)
			case "rewirable":
				return over(rated, 0.725*bears)
			case "aR":
				limited := v.Text("fuses." + fuse + ".overload_protection_by")
				return over(v.Number("controllers."+limited+".battery_continuous_A", math.NaN()), bears)
			}
			return over(max(rated, v.surelyOpens(fuse)/1.45), bears)
		},
		"fuse-withstand-short": func(v *Vehicle, wire string) float64 {
			return v.bestGuard(wire, func(fuse string) float64 { return v.shortEnergy(fuse, wire) })
		},
		"fuse-slower-than-damage": func(v *Vehicle, wire string) float64 {
			return v.bestGuard(wire, func(fuse string) float64 { return v.race(fuse, wire) })
		},
		"fuse-far-fault-slow": func(v *Vehicle, wire string) float64 {
			fuse, _ := v.guard(wire)
			if fuse == "" {
				return math.NaN()
			}
			from, to := v.Ends(wire)
			least := min(v.LeastFault(from), v.LeastFault(to))
			if v.severe && least == 0 {
				least = v.leastBehind(fuse) // on the way back: wherever the loop begins
			}
			if least < v.Carries(wire) && !v.severe {
				return 0
			}
			clearing, curve := v.Number("policy.fault_clearing_s", 5), v.curve(fuse, "max")
			if v.Text("fuses."+fuse+".class") == "gG" && len(curve) == 0 {
				// The gate of the standard at 5 s, IEC 60269-1 table 3, from memory:
				// 5 to 7 times the rating; the least is taken.
				return over(5*v.Number("fuses."+fuse+".rated_A", 0), least)
			}
			if len(curve) == 0 || !v.severe && !v.Has("fuses."+fuse+".opening.max") && curve[len(curve)-1].seconds > clearing {
				return math.NaN() // a gate that does not reach down to that time
			}
			return over(ampsOn(curve, clearing), least)
		},
		"fuse-cannot-open": func(v *Vehicle, id string) float64 {
			metal, limit := v.metal(), 0.0
			for _, b := range v.IDs("batteries") {
				if metal.same(b+".pos", id+".a") {
					return 0
				}
			}
			for _, c := range v.IDs("converters") {
				if metal.same(c+".out_pos", id+".a") {
					limit += v.Limit(c)
				}
			}
			return over(v.surelyOpens(id), limit)
		},
		"fuse-below-breaking-minimum": func(v *Vehicle, id string) float64 {
			least := v.Number("fuses."+id+".min_breaking_A", 0)
			worst := over(least, v.LeastFault(id+".b"))
			if v.severe && least > 0 {
				worst /= 0.6 // wherever the fault lies
				for _, c := range v.IDs("controllers") {
					for _, i := range []float64{v.AtPeak(id, c), v.Greatest(id)} {
						if i > v.Number("fuses."+id+".rated_A", 0) && i < least {
							worst = math.Inf(1) // it may melt where it cannot interrupt
						}
					}
				}
			}
			return worst
		},
		"fuse-not-selective": func(v *Vehicle, id string) float64 {
			before := v.Before(id + ".b")
			worst := 0.0
			for _, up := range before {
				rated, smaller := v.Number("fuses."+up+".rated_A", 0), v.Number("fuses."+id+".rated_A", 0)
				if up == id || rated < smaller {
					continue
				}
				worst = max(worst, v.selectivity(up, id))
				if v.severe && rated < 2*smaller {
					return math.Inf(1) // less than twice the rating need not open later
				}
			}
			return worst
		},
		"fuse-controller-mismatch": func(v *Vehicle, id string) float64 {
			rated := v.Number("fuses."+id+".rated_A", 0)
			for _, c := range v.IDs("controllers") {
				path := "controllers." + c
				return max(over(v.Number(path+".battery_continuous_A", 0), rated), over(rated, 1.25*v.Number(path+".battery_peak_A", 0)))
			}
			return math.NaN()
		},
		"fuse-holder-overloaded": func(v *Vehicle, id string) float64 {
			return over(v.Number("fuses."+id+".rated_A", 0), v.Number("fuses."+id+".holder.rated_A", 0))
		},
		"fuse-holder-voltage-low": func(v *Vehicle, id string) float64 {
			return over(v.Working(id+".a"), v.Number("fuses."+id+".holder.rated_V_dc", 0))
		},
		"fuse-spare-missing": func(v *Vehicle, id string) float64 {
			return certain(v.Has("fuses."+id+".spares") && v.Number("fuses."+id+".spares", 0) == 0)
		},
		"fuse-unreachable": func(v *Vehicle, id string) float64 {
			return certain(v.Has("fuses."+id+".reachable") && !v.True("fuses."+id+".reachable"))
		},
	}
}

// bestGuard compares a wire with the fuses before it. To the lenient side the one
// that protects it best counts, to the severe the smallest.
func (v *Vehicle) bestGuard(wire string, compare func(fuse string) float64) float64 {
	fuse, metres := v.guard(wire)
	if fuse == "" || metres <= 0.178 {
		return math.NaN() // no fuse, or a tap that needs none
	}
	best := compare(fuse)
	if v.severe {
		return best
	}
	from, to := v.Ends(wire)
	for _, other := range v.Before(from) {
		if contains(v.Before(to), other) {
			best = min(best, compare(other)) // NaN if one is not known
		}
	}
	return best
}

// shortEnergy is the energy that a fuse lets through in a short circuit over what
// a wire bears.
func (v *Vehicle) shortEnergy(fuse, wire string) float64 {
	near, far := v.Ends(wire)
	greatest, least := max(v.Prospective(near), v.Prospective(far)), v.LeastFault(far)
	if v.severe {
		greatest, least = v.Prospective(fuse+".b"), min(v.LeastFault(fuse+".b"), 1e9)
	}
	let, late := 0.0, 0.0
	if clears := v.clears(fuse, least); v.severe && !(clears <= 5) {
		late = ampsOn(v.curve(fuse, "max"), 5) / least // the copper may have to take up all the heat for longer
	}
	for _, amps := range []float64{greatest, least} {
		if t := v.clears(fuse, amps); t <= 5 {
			let = max(let, amps*amps*t)
		}
	}
	return max(late, over(let, v.withstandA2s(wire)))
}

// race is the longest opening time of a fuse over the time that a wire bears, at
// the current where they run closest.
func (v *Vehicle) race(fuse, wire string) float64 {
	near, _ := v.Ends(wire)
	top, bears, worst := v.Prospective(near), v.withstandA2s(wire), 0.0
	if v.severe {
		top = v.Prospective(fuse + ".b")
	}
	for amps := v.fromHere(fuse, wire); amps <= top; amps *= 1.02 {
		// Beyond 5 s heat leaves the copper; what it bears there the oracle leaves open.
		if damage := bears / (amps * amps); damage <= 5 || v.severe {
			if t := v.clears(fuse, amps); !math.IsNaN(t) {
				worst = max(worst, t/damage)
			}
		}
	}
	return worst
}

// inHeat is what warm air leaves of a fuse's currents: nothing lost to the
// lenient side, a seventh to the severe.
func (v *Vehicle) inHeat() float64 {
	if v.severe {
		return 0.85
	}
	return 1
}

// fromHere is the least current that a fuse has to keep from a wire, A: from the
// one that opens it in the end or, where overload is kept away otherwise, from
// the one that opens it in 5 s (IEC 60364-4-43, 433.3.1 and 434.5.2).
func (v *Vehicle) fromHere(fuse, wire string) float64 {
	path, least := "fuses."+fuse, v.surelyOpens(fuse)
	byCable := v.Text(path+".class") == "gG" && v.Number(path+".rated_A", 0) <= v.Carries(wire)
	if curve := v.curve(fuse, "max"); len(curve) > 0 && !v.severe && (byCable || v.Has(path+".overload_protection_by")) {
		return max(least, ampsOn(curve, 5))
	}
	return least
}

// opens compares the currents of use with the shortest opening times.
func (v *Vehicle) opens(fuse string) float64 {
	curve, worst := v.curve(fuse, "min"), 0.0
	if len(curve) == 0 {
		if !v.severe {
			return math.NaN()
		}
		rated := v.Number("fuses."+fuse+".rated_A", 0)
		curve = []point{{rated, 1e9}, {rated, 1e-3}} // nothing but its rating is known
	}
	for _, mode := range v.Modes(false) {
		lasts := v.Number("modes."+mode+".lasts_s", 1e7)
		worst = max(worst, v.InMode(fuse, mode)/ampsOn(curve, lasts))
	}
	for _, c := range v.IDs("controllers") {
		if i := v.AtPeak(fuse, c); i > 0 {
			worst = max(worst, i/ampsOn(curve, v.Number("controllers."+c+".peak_s", 60)))
		}
	}
	for _, id := range v.IDs("loads") {
		if stall := v.Number("loads."+id+".stall_A", 0); stall > 0 && contains(v.Before(id+".pos"), fuse) {
			worst = max(worst, stall/ampsOn(curve, 0.5))
		}
	}
	return worst
}

// guard is the smallest fuse that all current of a wire passes, and how far
// the wire's far end lies behind it, m. Only wires on the positive side have
// one here.
func (v *Vehicle) guard(wire string) (fuse string, metres float64) {
	from, to := v.Ends(wire)
	a, b := v.Before(from), v.Before(to)
	if v.severe && (len(a) == 0 || len(b) == 0) {
		return v.own(wire), v.Length(wire)
	}
	if v.severe {
		return a[0], v.Length(wire)
	}
	if len(a) == 0 || len(b) == 0 || v.Kind(wire) != "wires" {
		return "", 0
	}
	return a[0], v.Length(wire)
}

// forAll is the smallest fuse without which a battery feeds nothing, of the battery on
// whose negative pole a wire is the only conductor: all that comes home through it has
// passed that fuse, and nothing smaller. "" for other wires.
func (v *Vehicle) forAll(wire string) string {
	from, to := v.Ends(wire)
	if v.Kind(wire) != "wires" || v.inPack(wire) {
		return ""
	}
	for _, id := range v.IDs("batteries") {
		if from != id+".neg" && to != id+".neg" || len(v.At(id+".neg")) != 1 || v.InString(id) > 1 {
			continue
		}
		best := ""
		for _, fuse := range v.IDs("fuses") {
			if v.cutsOff(fuse, id) && (best == "" || v.Number("fuses."+fuse+".rated_A", 0) < v.Number("fuses."+best+".rated_A", 0)) {
				best = fuse
			}
		}
		return best
	}
	return ""
}

// cutsOff reports whether a battery's positive pole reaches some other part's through a
// fuse, and none without it.
func (v *Vehicle) cutsOff(fuse, battery string) bool {
	all, cut, reaches := v.metal(), v.metalWithout(map[string]bool{fuse: true}), false
	for _, c := range v.consumers() {
		reaches = reaches || all.same(battery+".pos", c.pos)
		if cut.same(battery+".pos", c.pos) {
			return false
		}
	}
	return reaches
}

// feedsController reports whether a controller has no other way to a fuse than a
// wire, and no further fuse: such a wire ends in nothing that protects it.
func (v *Vehicle) feedsController(wire, fuse string) bool {
	gone := map[string]bool{wire: true}
	for _, id := range v.IDs("resistors") {
		gone[id] = true
	}
	without := v.metalWithout(gone)
	for _, id := range v.IDs("controllers") {
		before := v.Before(id + ".pos")
		if len(before) > 0 && before[0] == fuse && !without.same(id+".pos", fuse+".b") && !without.same(id+".pos", fuse+".a") {
			return true
		}
	}
	return false
}

// onlyLimited is what the converters that alone feed a wire give at most, A; 0
// where a battery feeds it too.
func (v *Vehicle) onlyLimited(wire string) float64 {
	from, _ := v.Ends(wire)
	if v.anyBattery(from) {
		return 0
	}
	sum := 0.0
	for _, id := range v.IDs("converters") {
		if v.metal().same(id+".out_pos", from) {
			sum += v.Limit(id)
		}
	}
	return sum
}

// own is the fuse of the branch that a return belongs to: that of the part at
// one of its ends or, where there is none, the widest.
func (v *Vehicle) own(wire string) string {
	from, to := v.Ends(wire)
	for _, end := range []string{from, to} {
		part, _ := split(end)
		for _, terminal := range []string{".pos", ".in_pos", ".coil_pos"} {
			if before := v.Before(part + terminal); len(before) > 0 && v.Kind(part) != "controllers" && v.Kind(part) != "batteries" {
				return before[0]
			}
		}
	}
	return v.widest(from)
}

// widest is the largest fuse that may be the only one in a fault loop through a
// terminal on the way back: of its network or, where that is joined to another
// that it should be apart from, of either.
func (v *Vehicle) widest(terminal string) string {
	best := ""
	for _, id := range v.IDs("fuses") {
		if v.oneNetwork(id+".a", terminal) && v.Number("fuses."+id+".rated_A", 0) > v.Number("fuses."+best+".rated_A", 0) {
			best = id
		}
	}
	return best
}

// selectivity is the worst ratio of the longest time of the smaller fuse to
// 0.75 of the shortest of the larger, over all currents.
func (v *Vehicle) selectivity(up, down string) float64 {
	small, large := v.curve(down, "max"), v.curve(up, "min")
	if !v.Has("fuses."+down+".opening") || !v.Has("fuses."+up+".opening") {
		class := v.Text("fuses." + up + ".class")
		if class != v.Text("fuses."+down+".class") {
			return math.NaN()
		}
		factor := 2.0
		if class == "gG" {
			factor = 1.6
		}
		return factor * v.Number("fuses."+down+".rated_A", 0) / v.Number("fuses."+up+".rated_A", 1)
	}
	worst, top := 0.0, v.Prospective(down+".b")
	for amps := small[0].amps; amps <= top; amps *= 1.05 {
		if t := timeOn(large, amps); !math.IsInf(t, 1) {
			worst = max(worst, timeOn(small, amps)/(0.75*t))
		}
	}
	return worst
}
