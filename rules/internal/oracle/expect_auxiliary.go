package oracle

import "math"

// cell is what a cell of a chemistry is held at for good, at 25 C, and what it
// never stands above, V.
type cell struct{ float, most, never float64 }

// cells are common practice, from memory; the ends of charge of lithium cells are
// those of data sheets.
var cells = map[string]cell{
	"LFP": {3.35, 3.45, 3.65}, "NMC": {4.00, 4.10, 4.20}, "NCA": {4.00, 4.10, 4.20}, "LCO": {4.00, 4.10, 4.20}, "LTO": {2.30, 2.50, 2.80},
	"flooded": {2.20, 2.27, 2.50}, "AGM": {2.25, 2.30, 2.45}, "gel": {2.25, 2.30, 2.40},
}

// cellOf is the cell of a battery. Lead-acid that does not say how it holds its
// acid may be any of them.
func (v *Vehicle) cellOf(battery string) (cell, bool) {
	path := "batteries." + battery
	kind := v.Text(path + ".chemistry")
	if kind == "lead-acid" {
		if kind = v.Text(path + ".lead_acid"); kind == "" {
			if v.severe {
				return cell{2.25, 2.27, 2.40}, true
			}
			return cell{2.20, 2.30, 2.50}, true
		}
	}
	c, known := cells[kind]
	return c, known
}

// holder is a converter or solar regulator with a battery at its output.
type holder struct {
	id, pos, neg     string
	volts            float64 // as set, at 25 C
	share, perKelvin float64 // tolerance; how it follows the temperature, V/K
	limit            float64 // A
}

// holders lists what holds a battery at its voltage.
func (v *Vehicle) holders(battery string) []holder {
	var out []holder
	for _, id := range v.IDs("converters") {
		path := "converters." + id + ".output"
		out = append(out, holder{
			id: id, pos: id + ".out_pos", neg: id + ".out_neg", volts: v.Number(path+".nominal_V", 0), limit: v.Limit(id),
			share: v.Number(path+".tolerance_percent", 0) / 100, perKelvin: v.Number(path+".compensation_mV_per_K", 0) / 1000,
		})
	}
	for _, id := range v.IDs("solar") {
		path := "solar." + id + ".regulator"
		out = append(out, holder{
			id: id, pos: id + ".pos", neg: id + ".neg", volts: v.Number(path+".output_V", 0), limit: v.Number(path+".max_A", 0),
			share: v.Number(path+".tolerance_percent", 0) / 100, perKelvin: v.Number(path+".compensation_mV_per_K", 0) / 1000,
		})
	}
	metal, n := v.metal(), 0
	for _, h := range out {
		if metal.same(h.pos, battery+".pos") && metal.same(h.neg, battery+".neg") {
			out[n] = h
			n++
		}
	}
	return out[:n]
}

// even takes what is equal but for rounding as equal: a converter is often set to the
// very limit of its battery.
func even(ratio float64) float64 {
	if math.Abs(ratio-1) < 1e-9 {
		return 1
	}
	return ratio
}

func auxiliaryExpectations() map[string]Expectation {
	return map[string]Expectation{
		"auxiliary-overcharged": func(v *Vehicle, id string) float64 {
			path, worst := "batteries."+id, 0.0
			c, known := v.cellOf(id)
			n, bears := v.Number(path+".series", 0), v.Number(path+".max_V", math.Inf(1))
			if known && n > 0 {
				bears = min(bears, n*c.never)
			}
			air := v.Ambient(id, true)
			sealed := v.Text(path+".lead_acid") == "AGM" || v.Text(path+".lead_acid") == "gel"
			for _, h := range v.holders(id) {
				worst = max(worst, even(h.volts*(1+h.share)/bears))
				if sealed && air > 35 {
					worst = max(worst, even(over(h.volts*(1+h.share)+h.perKelvin*(air-25), n*(c.most-0.003*(air-25)))))
				}
			}
			return worst
		},
		"auxiliary-undercharged": func(v *Vehicle, id string) float64 {
			c, known := v.cellOf(id)
			if !known {
				return math.NaN()
			}
			for _, charger := range v.IDs("chargers") {
				if v.metal().same(charger+".pos", id+".pos") {
					return 0
				}
			}
			most := 0.0
			for _, h := range v.holders(id) {
				if v.Kind(h.id) == "converters" {
					most = max(most, h.volts*(1-h.share))
				}
			}
			if most == 0 {
				return 0
			}
			return even(v.Number("batteries."+id+".series", 0) * c.float / most)
		},
		"auxiliary-recharge-high": func(v *Vehicle, id string) float64 { return v.recharge(id) },
		"converter-stalls-on-battery": func(v *Vehicle, id string) float64 {
			if v.Text("converters."+id+".output.at_limit") != "hiccup" {
				return 0
			}
			worst := 0.0
			for _, b := range v.IDs("batteries") {
				for _, h := range v.holders(b) {
					if gap := h.volts - v.Number("batteries."+b+".min_V", 0); h.id == id && gap > 0 {
						worst = max(worst, over(gap/v.BatteryResistance(b, "typ"), h.limit))
					}
				}
			}
			return worst
		},
		"backfeed-unfused": func(v *Vehicle, id string) float64 {
			fuses := map[string]bool{}
			for _, f := range v.IDs("fuses") {
				fuses[f] = true
			}
			bare := v.metalWithout(fuses)
			for _, b := range v.IDs("batteries") {
				for _, h := range v.holders(b) {
					if h.id == id && bare.same(h.pos, b+".pos") && bare.same(h.neg, b+".neg") {
						return math.Inf(1)
					}
				}
			}
			return 0
		},
		"charge-path-open": func(v *Vehicle, id string) float64 {
			asked := false
			for _, mode := range v.Modes(false) {
				if !contains(v.List("modes."+mode+".connected"), id) {
					continue
				}
				asked = true
				metal := v.metalWithout(v.openIn(mode))
				for _, b := range v.IDs("batteries") {
					if metal.same(id+".pos", b+".pos") && metal.same(id+".neg", v.lowest(b)) {
						return 0
					}
				}
			}
			if !asked {
				return math.NaN()
			}
			return math.Inf(1)
		},
	}
}

// openIn are the contacts that a mode leaves open while a full battery feeds the
// coils, and resistors, over which nothing is charged to speak of. A changeover
// contact is closed one way or the other.
func (v *Vehicle) openIn(mode string) map[string]bool {
	c := Case{Mode: mode, Supply: "full", Copper: 20}
	s, gone := v.Solve(c), map[string]bool{}
	for _, kind := range []string{"contactors", "relays", "timers"} {
		for _, id := range v.IDs(kind) {
			gone[id] = !s.Closed(id) && v.Text("relays."+id+".form") != "changeover"
		}
	}
	for _, id := range v.IDs("disconnects") {
		gone[id] = !c.closedByHand(v, id, "")
	}
	for _, id := range v.IDs("switches") {
		for _, pole := range v.IDs("switches." + id + ".poles") {
			gone[id+"."+pole] = !c.closedByHand(v, id, pole)
		}
	}
	for _, id := range v.IDs("resistors") {
		gone[id] = true
	}
	return gone
}

// fillsUp is what the converters drive into a flat auxiliary battery against its own
// limit, A: all that they give into lithium cells, into others what the resistances
// let through, nothing into lead-acid cells that float by their sheet on no more than
// 2.30 V, where they limit their current themselves (common practice).
func (v *Vehicle) fillsUp(battery string) float64 {
	path := "batteries." + battery
	asks, gives, _ := v.intoFlat(battery)
	if v.Text(path+".chemistry") != "lead-acid" {
		return gives
	}
	floats := v.Has(path + ".float_A")
	for _, h := range v.holders(battery) {
		floats = floats && h.volts/v.Number(path+".series", 6) < 2.305
	}
	if floats {
		return 0
	}
	return max(0, min(asks, gives))
}

// recharge is the current into a flat auxiliary battery against what carries it:
// each fuse and wire that parts the battery from a converter by being taken away
// carries all that this converter gives. It gives its limit, or what the
// resistances let through.
func (v *Vehicle) recharge(battery string) float64 {
	path := "batteries." + battery
	if v.Text(path+".role") != "auxiliary" {
		return 0
	}
	asks, gives, carries := v.intoFlat(battery)
	if asks <= 0 {
		return 0
	}
	amps, worst := min(asks, gives), 0.0
	hours := v.Number(path+".capacity_Ah", math.NaN()) / amps
	for id, share := range carries {
		can := v.Number("fuses."+id+".rated_A", 0)
		if v.Kind(id) == "wires" {
			can = v.Carries(id)
		} else if hours >= 3 || v.severe {
			can *= v.classFactor(id)
		}
		worst = max(worst, over(min(amps, share), can))
	}
	return worst
}

// intoFlat is what the resistances between converters and a flat battery let through,
// what the converters give at most, and how much of that each fuse and wire carries, A.
func (v *Vehicle) intoFlat(battery string) (asks, gives float64, carries map[string]float64) {
	carries = map[string]float64{}
	for _, h := range v.holders(battery) {
		if v.Kind(h.id) != "converters" {
			continue
		}
		ohms := v.BatteryResistance(battery, "typ")
		var on []string
		for _, kind := range []string{"fuses", "wires"} {
			for _, id := range v.IDs(kind) {
				cut := v.metalWithout(map[string]bool{id: true})
				if cut.same(h.pos, battery+".pos") && cut.same(h.neg, battery+".neg") {
					continue
				}
				on = append(on, id)
				if kind == "fuses" {
					ohms += v.fuseOhm(id)
				} else {
					ohms += v.resistance(id, v.hot())
				}
			}
		}
		asks = max(asks, (h.volts-v.Number("batteries."+battery+".min_V", 0))/ohms)
		gives += h.limit
		for _, id := range on {
			carries[id] += h.limit
		}
	}
	return asks, gives, carries
}
