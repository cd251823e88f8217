package oracle

import (
	"math"
	"strconv"
)

// connectorExpectations are of plugs and sockets: what they carry, what happens when
// a hand parts or mates them, and what fits into what.
func connectorExpectations() map[string]Expectation {
	return map[string]Expectation{
		"connector-overloaded": func(v *Vehicle, id string) float64 {
			path, loaded, worst := "connectors."+id, 0, 0.0
			for i := range v.contacts(id) {
				if v.Greatest(contactID(id, i)) > 0.05*v.contactNumber(id, i, "carry_A", 0) {
					loaded++
				}
			}
			share := 1.0
			if loaded > 2 {
				share = v.shareOf(id, loaded)
			}
			hot, at := v.Number(path+".max_C", math.NaN()), v.Number(path+".rated_at_C", math.NaN())
			share *= math.Sqrt(max(0, min(1, (hot-v.Ambient(id, true))/(hot-at))))
			for i := range v.contacts(id) {
				worst = max(worst, over(v.ForGood(contactID(id, i), 120), share*v.sink(id, i)*v.contactNumber(id, i, "carry_A", math.NaN())))
			}
			return worst
		},
		"connector-voltage-low": func(v *Vehicle, id string) float64 {
			worst := 0.0
			for i := range v.contacts(id) {
				if !v.isPilot(id, i) {
					worst = max(worst, over(v.Working(terminalOf(id, "a", i)), v.contactNumber(id, i, "rated_V_dc", 0)))
				}
			}
			return worst
		},
		"connector-parts-under-load": func(v *Vehicle, id string) float64 { return v.partsOn(id) },
		"connector-end-live": func(v *Vehicle, id string) float64 {
			for _, half := range []string{"a", "b"} {
				if v.Text("connectors."+id+".unmated."+half) == "open" && v.liveHalf(id, half) > v.Number("policy.live_V", 5) {
					return math.Inf(1)
				}
			}
			return 0
		},
		"connector-load-stays-live": func(v *Vehicle, id string) float64 {
			path := "connectors." + id
			if v.Text(path+".lock") == "tool" || v.Text(path+".unmated.b") != "open" {
				return 0
			}
			farads, siemens := 0.0, 0.0
			cut := v.metalWithout(map[string]bool{id: true})
			for _, c := range v.IDs("controllers") {
				if v.anyContact(id, func(i int) bool { return cut.same(c+".pos", terminalOf(id, "b", i)) }) {
					farads += v.Number("controllers."+c+".capacitance_uF", 0) / 1e6
					siemens += 1 / (1000 * v.Number("controllers."+c+".bleed_kOhm", math.Inf(1)))
				}
			}
			volts := v.packVolts("max_V")
			if farads == 0 || volts <= 60 {
				return 0
			}
			return farads / siemens * math.Log(volts/60) // s, of one second
		},
		"connector-pilot-slow": func(v *Vehicle, id string) float64 {
			path, slowest := "connectors."+id, 0.0
			if v.True(path+".two_stage") || v.Text(path+".lock") == "tool" {
				return 0
			}
			for _, k := range v.IDs("contactors") {
				fed, back := v.coilWithoutPilot(id, k)
				if fed && back {
					continue
				}
				// Common practice: 12 ms against a clamp, 100 ms with a plain diode.
				release := 0.012
				if v.Text("contactors."+k+".coil.suppression") == "diode" {
					release = 0.1
				}
				slowest = max(slowest, release)
			}
			// A hand pulls at half a metre a second (common practice).
			return over(slowest, v.Number(path+".pilot.lead_mm", math.NaN())/1000/0.5)
		},
		"connector-pilot-in-return": func(v *Vehicle, id string) float64 {
			metal := v.metal()
			for _, k := range v.IDs("contactors") {
				if v.Text("vehicle.chassis") != "house-negative" || !metal.same(k+".coil_neg", v.houseNegative()) {
					continue // metalwork is no return of this coil
				}
				if fed, back := v.coilWithoutPilot(id, k); fed && !back {
					return math.Inf(1)
				}
			}
			return 0
		},
		"connector-inrush-high": func(v *Vehicle, id string) float64 {
			path, worst := "connectors."+id, 0.0
			for _, c := range v.matedOnto(id) {
				volts := c.volts
				if ohms := v.Number(path+".first_mate.resistance_Ohm", 0); ohms > 0 {
					volts *= math.Exp(-v.mates(id) / (ohms * c.farads))
				}
				spark := c.farads * volts * volts / 2 / v.Number("policy.mating_spark_J", 0.1)
				if stated := v.Number(path+".make_A", 0); stated > 0 {
					spark = firstPeak(volts, c.ohms, c.henry, c.farads) / stated
				}
				worst = max(worst, spark)
			}
			return worst
		},
		"connector-first-mate-short": func(v *Vehicle, id string) float64 {
			ohms, worst := v.Number("connectors."+id+".first_mate.resistance_Ohm", 0), 0.0
			if ohms == 0 {
				return 0
			}
			for _, c := range v.matedOnto(id) {
				worst = max(worst, 3*ohms*c.farads/v.mates(id))
			}
			return worst
		},
		"connector-mixed-up": func(v *Vehicle, id string) float64 {
			family, key := v.Text("connectors."+id+".family"), v.Text("connectors."+id+".key")
			for _, other := range v.IDs("connectors") {
				path := "connectors." + other
				if other == id || family == "" || v.Text(path+".family") != family || v.Text(path+".key") != key {
					continue
				}
				if v.True("connectors."+id+".genderless") || v.True(path+".genderless") || v.unlike(id, other) {
					return math.Inf(1)
				}
			}
			return 0
		},
		"connector-worn": func(v *Vehicle, id string) float64 {
			const years = 10
			path, often := "connectors."+id, 12.0
			if v.Text(path+".use") == "inlet" {
				often = 300
			}
			return over(years*v.Number(path+".matings_per_year", often), v.Number(path+".mating_cycles", math.NaN()))
		},
	}
}

// contactID names a contact of a connector as the network does, counted from 0.
func contactID(connector string, i int) string { return connector + ":" + strconv.Itoa(i+1) }

// terminalOf is the terminal of a contact on a half, a or b.
func terminalOf(connector, half string, i int) string {
	return connector + "." + half + strconv.Itoa(i+1)
}

// contactNumber is a number of a contact, or another where it is absent.
func (v *Vehicle) contactNumber(connector string, i int, field string, otherwise float64) float64 {
	contact, _ := v.contacts(connector)[i].(map[string]any)
	if n, ok := contact[field].(float64); ok {
		return n
	}
	return otherwise
}

// anyContact reports whether something holds for a contact of a connector.
func (v *Vehicle) anyContact(connector string, holds func(i int) bool) bool {
	for i := range v.contacts(connector) {
		if holds(i) {
			return true
		}
	}
	return false
}

// shareOf is what is left of the rating with so many contacts loaded: of the nearest
// row for as many or more. NaN without one.
func (v *Vehicle) shareOf(connector string, loaded int) float64 {
	rows, _ := v.Get("connectors." + connector + ".derating").([]any)
	best, share := math.Inf(1), math.NaN()
	for _, x := range rows {
		row, _ := x.(map[string]any)
		n, _ := row["loaded"].(float64)
		percent, _ := row["percent"].(float64)
		if n >= float64(loaded) && n < best {
			best, share = n, percent/100
		}
	}
	return share
}

// isPilot reports whether a contact is one of the pilots.
func (v *Vehicle) isPilot(connector string, i int) bool {
	list, _ := v.Get("connectors." + connector + ".pilot.contacts").([]any)
	for _, n := range list {
		if n == float64(i+1) {
			return true
		}
	}
	return false
}

// pilots are the pilot contacts of a connector, as parts to be left out.
func (v *Vehicle) pilots(connector string) map[string]bool {
	out := map[string]bool{}
	for i := range v.contacts(connector) {
		if v.isPilot(connector, i) {
			out[contactID(connector, i)] = true
		}
	}
	return out
}

// coilWithoutPilot reports whether a coil still has its feed, and its way back to
// the foot of a source, with the pilots of a connector open. A coil that has none
// with them mated counts as one that has: no pilot opens it.
func (v *Vehicle) coilWithoutPilot(connector, contactor string) (fed, back bool) {
	all, cut := v.metal(), v.metalWithout(v.pilots(connector))
	fed = v.feeds(cut, contactor+".coil_pos") || !v.feeds(all, contactor+".coil_pos")
	back = v.homeOf(cut, contactor+".coil_neg") || !v.homeOf(all, contactor+".coil_neg")
	return fed, back
}

// homeOf reports whether metal, or the output of a controller that drives a coil,
// leads from a terminal to the negative side of a battery or converter.
func (v *Vehicle) homeOf(metal *joined, terminal string) bool {
	for _, c := range v.IDs("controllers") {
		if v.Has("controllers."+c+".coil_out") && metal.same(terminal, c+".coil_out") {
			return true
		}
	}
	for _, b := range v.IDs("batteries") {
		if metal.same(terminal, b+".neg") {
			return true
		}
	}
	for _, c := range v.IDs("converters") {
		if metal.same(terminal, c+".out_neg") {
			return true
		}
	}
	return false
}

// partsOn is the current that a connector parts by hand, against what it interrupts
// at the highest voltage of its circuit: without a breaking capacity, no current.
func (v *Vehicle) partsOn(id string) float64 {
	path, volts := "connectors."+id, 0.0
	for i := range v.contacts(id) {
		volts = max(volts, v.Working(terminalOf(id, "a", i)))
	}
	if v.Text(path+".lock") == "tool" || v.pilotSaves(id) {
		return 0
	}
	if use := v.Text(path + ".use"); use != "battery" && use != "inlet" && volts <= 60 && v.Text(path+".lock") != "none" {
		return 0 // a latch is enough between modules
	}
	most := 0.0
	for i := range v.contacts(id) {
		most = max(most, v.Greatest(contactID(id, i)))
		for _, c := range v.IDs("controllers") {
			if v.severe {
				most = max(most, v.AtPeak(contactID(id, i), c))
			}
		}
	}
	if most < 0.1 { // nothing to speak of
		return 0
	}
	breaks := 0.0
	list, _ := v.Get(path + ".breaks").([]any)
	for _, x := range list {
		row, _ := x.(map[string]any)
		u, _ := row["V"].(float64)
		amps, _ := row["A"].(float64)
		if u >= volts {
			breaks = max(breaks, amps)
		}
	}
	return most / max(breaks, 1e-9)
}

// pilotSaves reports whether nothing that a mode draws passes a connector once its
// pilots are open: what they open, opens the way.
func (v *Vehicle) pilotSaves(id string) bool {
	gone := v.pilots(id)
	if len(gone) == 0 {
		return false
	}
	for _, mode := range v.Modes(false) {
		for _, c := range v.cases(mode) {
			c.Gone = gone
			s := v.Solve(c)
			if v.anyContact(id, func(i int) bool { return math.Abs(s.Amps(contactID(id, i))) > 1 }) {
				return false
			}
		}
	}
	return true
}

// liveHalf is the highest voltage between the contacts of one half of a parted
// connector in any mode, V. The half on a charger's cable has the charger's, unless it
// feeds its pins only when mated.
func (v *Vehicle) liveHalf(id, half string) float64 {
	most := 0.0
	for _, mode := range v.Modes(false) {
		c := Case{Mode: mode, Supply: "full", Copper: 20, Idle: true, Gone: map[string]bool{id: true}}
		s := v.Solve(c)
		for i := range v.contacts(id) {
			for k := range i {
				most = max(most, math.Abs(s.Volts(terminalOf(id, half, i), terminalOf(id, half, k))))
			}
		}
	}
	if v.True("connectors." + id + ".live_when_mated") {
		return most
	}
	cut := v.metalWithout(map[string]bool{id: true})
	for _, c := range v.IDs("chargers") {
		if v.anyContact(id, func(i int) bool { return cut.same(c+".pos", terminalOf(id, half, i)) }) {
			most = max(most, v.Number("chargers."+c+".max_V", 0))
		}
	}
	return most
}

// mates is how long a contact of a connector that mates first is ahead of the others,
// s, at a tenth of a metre a second (common practice).
func (v *Vehicle) mates(id string) float64 {
	return v.Number("connectors."+id+".first_mate.lead_mm", math.NaN()) / 1000 / 0.1
}

// mated are capacitors that mating a connector puts on the full pack, with what is on
// the way.
type mated struct{ volts, ohms, henry, farads float64 }

// matedOnto finds what mating a connector charges with everything open that a hand or
// a coil closes. Resistors are no way for a spark.
func (v *Vehicle) matedOnto(id string) []mated {
	gone := map[string]bool{}
	for _, kind := range []string{"disconnects", "breakers", "switches", "contactors", "relays", "timers", "resistors"} {
		for _, part := range v.IDs(kind) {
			gone[part] = true
		}
	}
	with := v.metalWithout(gone)
	gone[id] = true
	without := v.joinMetal(gone)
	var out []mated
	try := func(pos, neg, path string) {
		farads := v.Number(path+".capacitance_uF", 0) / 1e6
		for _, b := range v.IDs("batteries") {
			foot := v.lowest(b)
			if farads == 0 || !with.same(pos, b+".pos") || !with.same(neg, foot) || without.same(pos, b+".pos") && without.same(neg, foot) {
				continue
			}
			ohms, metres := v.loop(pos, neg)
			ohms += v.Number(path+".esr_mOhm", 0) / 1000
			out = append(out, mated{v.Working(pos), ohms, metres * henryPerMetre, farads})
			return
		}
	}
	for _, c := range v.IDs("controllers") {
		try(c+".pos", c+".neg", "controllers."+c)
	}
	for _, c := range v.IDs("converters") {
		try(c+".in_pos", c+".in_neg", "converters."+c+".input")
	}
	return out
}

// unlike reports whether a contact of one connector has another voltage or pole than
// the same contact of the other.
func (v *Vehicle) unlike(a, b string) bool {
	at, metal := v.potentials()
	return v.anyContact(a, func(i int) bool {
		if i >= len(v.contacts(b)) {
			return false
		}
		one, other := terminalOf(a, "a", i), terminalOf(b, "a", i)
		live, too := at[metal.root(one)] > 0, at[metal.root(other)] > 0
		return live != too || math.Abs(v.Working(one)-v.Working(other)) > 0.15*v.Working(one)
	})
}

// houseNegative is the negative side of the house network: of its battery, or else of its
// converter.
func (v *Vehicle) houseNegative() string {
	for _, id := range v.IDs("batteries") {
		if v.Text("batteries."+id+".role") == "auxiliary" {
			return id + ".neg"
		}
	}
	for _, id := range v.IDs("converters") {
		return id + ".out_neg"
	}
	return "chassis"
}

// sink is what is left of the rating of a contact with a thinner wire on it than that for
// which it holds: the ratio of what the two carry in free air, of both halves the lesser.
func (v *Vehicle) sink(id string, contact int) float64 {
	at, _ := v.contacts(id)[contact].(map[string]any)["at_size"].(string)
	if at == "" {
		return 1
	}
	least := 1.0
	for _, half := range []string{"a", "b"} {
		amps, bar := 0.0, false
		for _, w := range v.At(terminalOf(id, half, contact)) {
			bar = bar || v.Kind(w) == "busbars"
			if v.Kind(w) == "wires" {
				amps += v.inFreeAir(v.Text("wires."+w+".size"), 90, 40)
			}
		}
		if !bar && amps > 0 {
			least = min(least, amps/v.inFreeAir(at, 90, 40))
		}
	}
	return least
}
