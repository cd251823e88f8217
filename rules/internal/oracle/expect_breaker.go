package oracle

import (
	"maps"
	"math"
)

// breakerExpectations are of circuit breakers.
func breakerExpectations() map[string]Expectation {
	return map[string]Expectation{
		"breaker-voltage-low": func(v *Vehicle, id string) float64 {
			return over(v.worksAt(id), v.Number("breakers."+id+".rated_V_dc", 0))
		},
		"breaker-breaking-low": func(v *Vehicle, id string) float64 {
			path := "breakers." + id
			if at := v.Number(path+".breaking_at_V", v.Number(path+".rated_V_dc", 0)); v.worksAt(id) > at {
				return over(v.worksAt(id), at) // what it breaks at a lower voltage says nothing
			}
			// Prospective is the current with a bar in its place, whatever it has of resistance.
			bar, err := v.Changed(map[string]any{path + ".resistance_mOhm": 1e-3})
			if err != nil {
				return math.NaN()
			}
			return over(bar.prospectiveThrough(id), v.Number(path+".breaking_A_dc", 0))
		},
		"breaker-reversed": func(v *Vehicle, id string) float64 {
			return certain(v.True("breakers."+id+".polarized") && v.flowsBack(id))
		},
		"breaker-overloaded": func(v *Vehicle, id string) float64 {
			amps, holds := v.Steadily(id), v.Number("breakers."+id+".rated_A", math.NaN())*v.leftByHeat(id)
			if holds == 0 && amps > 0 {
				return math.Inf(1) // so warm it is not rated at all
			}
			return over(amps, holds)
		},
		"breaker-trips-in-use": func(v *Vehicle, id string) float64 {
			least, _ := v.magnet(id)
			return over(v.rushes(id), least)
		},
		"breaker-resets-itself": func(v *Vehicle, id string) float64 {
			return certain(v.Text("breakers."+id+".reset") == "automatic" && v.feedsWhatStartsAgain(id))
		},
		"breaker-not-trip-free": func(v *Vehicle, id string) float64 {
			free, given := v.Get("breakers." + id + ".trip_free").(bool)
			return certain(given && !free && v.unguarded(id, false))
		},
		"breaker-supplementary": func(v *Vehicle, id string) float64 {
			return certain(v.supplementary(id) && v.unguarded(id, true))
		},
		"breaker-slower-than-fuse": func(v *Vehicle, id string) float64 { return v.lagsFuse(id) },
		"breaker-as-disconnect": func(v *Vehicle, id string) float64 {
			if !v.onlyDisconnect(id) {
				return 0
			}
			return dailyForTenYears / v.Number("breakers."+id+".operations", 0)
		},
	}
}

// dailyForTenYears are the operations of a switch on 300 days a year (common practice).
const dailyForTenYears = 3000

// worksAt is the working voltage of what a part opens, V, on whichever side it is higher.
func (v *Vehicle) worksAt(id string) float64 { return max(v.Working(id+".a"), v.Working(id+".b")) }

// flowsBack reports whether a current flows from b to a of a part: by the circuit of
// a mode or, of a roof, where its cable leads to b and a battery is at a.
func (v *Vehicle) flowsBack(id string) bool {
	least := 0.5
	if v.severe {
		least = 1e-3
	}
	for _, mode := range v.Modes(false) {
		for _, c := range v.cases(mode) {
			if v.Solve(c).Amps(id) < -least {
				return true
			}
		}
	}
	without := v.metalWithout(map[string]bool{id: true})
	for _, roof := range v.IDs("solar") {
		for _, b := range v.IDs("batteries") {
			if v.connects(roof) && without.same(roof+".pos", id+".b") && without.same(b+".pos", id+".a") && !without.same(id+".a", id+".b") {
				return true
			}
		}
	}
	return false
}

// connects reports whether a mode connects a charger or a roof.
func (v *Vehicle) connects(source string) bool {
	for _, mode := range v.Modes(false) {
		if contains(v.List("modes."+mode+".connected"), source) {
			return true
		}
	}
	return false
}

// bimetal reports whether a breaker trips by its own heat, on which the air has its
// influence.
func (v *Vehicle) bimetal(id string) bool {
	kind := v.Text("breakers." + id + ".kind")
	return kind == "thermal" || kind == "thermal-magnetic"
}

// leftByHeat is the share of its rated current that the hottest air, and its
// neighbours, leave of a breaker.
func (v *Vehicle) leftByHeat(id string) float64 {
	path, air := "breakers."+id, v.Ambient(id, true)
	side := v.Number(path+".grouped_percent", 100) / 100
	if list, _ := v.Get(path + ".ambient").([]any); len(list) > 0 {
		return side * stepped(list, air)
	}
	if !v.bimetal(id) {
		return side
	}
	share := v.byHeat(id, air)
	if v.severe {
		share = min(share, 1)
	}
	return side * share
}

// byHeat is what the temperature of the air makes of a bimetal's currents: with the
// square of the current it gets as hot as the calibration has it at another one. Where
// its own temperature is not known, 0.7 % less for a kelvin (common practice).
func (v *Vehicle) byHeat(id string, air float64) float64 {
	path := "breakers." + id
	at, given := v.Get(path + ".calibrated_C").(float64)
	if !given {
		return math.NaN()
	}
	if trips := v.Number(path+".trip_element_C", 0); trips > at {
		return math.Sqrt(max(0, (trips-air)/(trips-at)))
	}
	return 1 - 0.007*(air-at)
}

// stepped reads a table of shares in percent over the temperature, linear between its
// points and as it begins below them; above the last nothing is rated.
func stepped(list []any, celsius float64) float64 {
	at := func(i int) (c, share float64) {
		p, _ := list[i].(map[string]any)
		c, _ = p["at_C"].(float64)
		share, _ = p["percent"].(float64)
		return c, share / 100
	}
	before, share := at(0)
	if celsius <= before {
		return share
	}
	for i := 1; i < len(list); i++ {
		next, less := at(i)
		if celsius <= next {
			return share + (less-share)*(celsius-before)/(next-before)
		}
		before, share = next, less
	}
	return 0
}

// magnet is the current below which the magnet of a breaker never trips it, and that
// at which it always does, A of direct current; NaN without one.
func (v *Vehicle) magnet(id string) (least, most float64) {
	path := "breakers." + id
	unit := v.Number(path+".rated_A", 0)
	if v.Text(path+".instant.stated_for") != "dc" {
		unit *= math.Sqrt2 // it answers to the peak of the rms value
	}
	return unit * v.Number(path+".instant.min", math.NaN()), unit * v.Number(path+".instant.max", math.NaN())
}

// rushes is the greatest peak of the current through a breaker in use, A: of the
// modes, of a controller at its limit, of a motor that starts, and of the capacitors of
// a converter or of a controller without pre-charge.
func (v *Vehicle) rushes(id string) float64 {
	most := v.Greatest(id)
	for _, c := range v.IDs("controllers") {
		most = max(most, v.AtPeak(id, c))
		if len(v.IDs("resistors")) == 0 && v.beyond(id, c+".pos") {
			most = max(most, v.inrushOf(c, 1))
		}
	}
	for _, load := range v.IDs("loads") {
		if v.Text("loads."+load+".kind") == "motor" && v.beyond(id, load+".pos") {
			most = max(most, v.Number("loads."+load+".stall_A", 6*v.ownAmps(load)))
		}
	}
	for _, c := range v.IDs("converters") {
		farad := v.Number("converters."+c+".input.capacitance_uF", 0) / 1e6
		if farad == 0 || !v.beyond(id, c+".in_pos") {
			continue
		}
		ohms, metres := v.loop(c+".in_pos", c+".in_neg")
		ohms += v.Number("converters."+c+".input.esr_mOhm", 0) / 1000
		most = max(most, firstPeak(v.Working(c+".in_pos"), ohms, metres*henryPerMetre, farad))
	}
	return most
}

// beyond reports whether a terminal has no way to a source but through a part.
func (v *Vehicle) beyond(id, terminal string) bool {
	return v.feeds(v.metal(), terminal) && !v.feeds(v.metalWithout(map[string]bool{id: true}), terminal)
}

// feedsWhatStartsAgain reports whether a breaker alone feeds the controller, lamps or a
// contactor's coil; to the severe side whether metal joins them to it at all.
func (v *Vehicle) feedsWhatStartsAgain(id string) bool {
	on := func(terminal string) bool {
		return v.beyond(id, terminal) || v.severe && v.metal().same(id+".b", terminal)
	}
	for _, c := range v.IDs("controllers") {
		if on(c + ".pos") {
			return true
		}
	}
	for _, c := range v.IDs("contactors") {
		if on(c + ".coil_pos") {
			return true
		}
	}
	for _, load := range v.IDs("loads") {
		if kind := v.Text("loads." + load + ".kind"); (kind == "filament" || kind == "led") && on(load+".pos") {
			return true
		}
	}
	return false
}

// supplementary reports whether a breaker is marked as a protector inside equipment.
func (v *Vehicle) supplementary(id string) bool {
	standard := v.Text("breakers." + id + ".standard")
	return standard == "UL 1077" || standard == "IEC 60934"
}

// unguarded reports whether metal leads from a battery to a breaker past every fuse and
// every other breaker, but for those that are supplementary if they do not count.
func (v *Vehicle) unguarded(id string, real bool) bool {
	gone := map[string]bool{id: true}
	for _, kind := range []string{"fuses", "breakers", "resistors"} {
		for _, part := range v.IDs(kind) {
			gone[part] = gone[part] || kind != "breakers" || !real || !v.supplementary(part)
		}
	}
	metal := v.metalWithout(gone)
	for _, b := range v.IDs("batteries") {
		if metal.same(b+".pos", id+".a") || metal.same(b+".pos", id+".b") {
			return true
		}
	}
	return false
}

// lagsFuse is the longest tripping time of a breaker in the cold over the shortest
// opening time of a fuse before it, where they run closest: from the current that surely
// trips it to what it interrupts and what the short circuit gives.
func (v *Vehicle) lagsFuse(id string) float64 {
	worst := 0.0
	for _, fuse := range v.Before(id + ".b") {
		melts := v.curve(fuse, "min")
		if len(melts) < 2 {
			continue
		}
		top := min(v.Prospective(id+".b"), v.Number("breakers."+id+".breaking_A_dc", math.Inf(1)))
		for amps := v.surelyTrips(id); amps <= top; amps *= 1.02 {
			if t := timeOn(melts, amps); !math.IsInf(t, 1) {
				worst = max(worst, v.trips(id, amps)/t)
			}
		}
	}
	return worst
}

// inCold is by how much a breaker takes more in the coldest air.
func (v *Vehicle) inCold(id string) float64 {
	if !v.bimetal(id) {
		return 1
	}
	return v.byHeat(id, v.Ambient(id, false))
}

// surelyTrips is the current at which a breaker trips in the end, in the cold, A: as its
// sheet has it, else 1.45 (IEC 60898), 1.3 (IEC 60947-2) or 1.35 times its rating.
func (v *Vehicle) surelyTrips(id string) float64 {
	path := "breakers." + id
	times, known := map[string]float64{"IEC 60898": 1.45, "IEC 60947-2": 1.30, "UL 489": 1.35, "SAE J553": 1.35}[v.Text(path+".standard")]
	if !known {
		times = math.NaN()
	}
	return v.Number(path+".trip.must_trip_percent", 100*times) / 100 * v.Number(path+".rated_A", 0) * v.inCold(id)
}

// trips is the longest time in which a breaker trips at a current, s: by its curve in the
// cold, beyond which the integral stays as it is, or at once by its magnet.
func (v *Vehicle) trips(id string, amps float64) float64 {
	path := "breakers." + id
	if _, most := v.magnet(id); amps >= most {
		return v.Number(path+".instant.clears_s", 0.1)
	}
	var curve []point
	list, _ := v.Get(path + ".trip.max").([]any)
	for _, x := range list {
		p, _ := x.(map[string]any)
		a, _ := p["current_A"].(float64)
		s, _ := p["s"].(float64)
		curve = append(curve, point{a * v.inCold(id), s})
	}
	if len(curve) == 0 {
		return 0 // not known
	}
	return timeOn(curve, max(amps, curve[0].amps))
}

// onlyDisconnect reports whether nothing but a breaker that isolates parts a traction
// battery from its controllers.
func (v *Vehicle) onlyDisconnect(id string) bool {
	if !v.True("breakers." + id + ".isolates") {
		return false
	}
	others := map[string]bool{}
	for _, d := range v.IDs("disconnects") {
		others[d] = true
	}
	with := maps.Clone(others)
	with[id] = true
	joined, parted := v.metalWithout(others), v.metalWithout(with)
	for _, b := range v.IDs("batteries") {
		if v.Text("batteries."+b+".role") != "traction" || v.True("batteries."+b+".pluggable") {
			continue
		}
		for _, c := range v.IDs("controllers") {
			if joined.same(b+".pos", c+".pos") && joined.same(b+".neg", c+".neg") && !(parted.same(b+".pos", c+".pos") && parted.same(b+".neg", c+".neg")) {
				return true
			}
		}
	}
	return false
}
