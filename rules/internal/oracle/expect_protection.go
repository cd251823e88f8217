package oracle

import (
	"math"
	"slices"
)

// protectionExpectations are of fuses where they stand, those inside batteries
// among them, and of what has none.
func protectionExpectations() map[string]Expectation {
	return map[string]Expectation{
		"fuse-curve-unlike-rating": func(v *Vehicle, id string) float64 {
			path := "fuses." + id
			if !v.Has(path + ".opening") {
				return 0
			}
			rated, worst := v.Number(path+".rated_A", 0), 0.0
			for _, p := range slices.Concat(v.curve(id, "min"), v.curve(id, "max")) {
				worst = max(worst, over(rated, p.amps))
			}
			for _, p := range v.curve(id, "max") {
				if p.seconds >= 600 && len(v.fullRange([]string{id})) > 0 {
					worst = max(worst, p.amps/(2.1*rated))
				}
			}
			return worst
		},
		"fuse-in-earthed-pole": func(v *Vehicle, id string) float64 {
			all, cut := v.metal(), v.metalWithout(map[string]bool{id: true})
			for _, pole := range v.earthedPoles() {
				for _, c := range v.consumers() {
					if all.same(c.neg, pole) && !cut.same(c.neg, pole) {
						return math.Inf(1)
					}
				}
			}
			return 0
		},
		"fuses-in-parallel": func(v *Vehicle, id string) float64 {
			bolted := v.conductorsAlone()
			for _, other := range v.IDs("fuses") {
				if other == id || v.True("fuses."+other+".spare") {
					continue
				}
				along := bolted.same(id+".a", other+".a") && bolted.same(id+".b", other+".b")
				across := bolted.same(id+".a", other+".b") && bolted.same(id+".b", other+".a")
				if along || across {
					return math.Inf(1)
				}
			}
			return 0
		},
		"internal-fuse-breaking-low": func(v *Vehicle, id string) float64 {
			if !v.reliesOnInternal(id) {
				return 0
			}
			path := "batteries." + id
			return over(v.Number(path+".max_V", 0)/v.BatteryResistance(id, "min"), v.Number(path+".internal_fuse_breaking_A", 0))
		},
		"internal-fuse-opens-first": func(v *Vehicle, id string) float64 {
			worst := 0.0
			for _, b := range v.IDs("batteries") {
				inside := v.Number("batteries."+b+".internal_fuse_A", 0)
				if inside == 0 || !v.metal().same(id+".a", b+".pos") || len(v.Before(id+".a")) > 1 {
					continue // of a fuse that stands alone before its terminal the list is itself or empty
				}
				worst = max(worst, v.Number("fuses."+id+".rated_A", 0)/(0.62*inside))
			}
			return worst
		},
		"parallel-pack-unfused": func(v *Vehicle, id string) float64 {
			all, less := v.metal(), v.fuseless()
			role := v.Text("batteries." + id + ".role")
			fused := v.Has("batteries." + id + ".internal_fuse_A")
			foot, parallel, loose := v.lowest(id), false, false
			for _, other := range v.IDs("batteries") {
				if other == id || v.Text("batteries."+other+".role") != role || !all.same(id+".pos", other+".pos") || !all.same(foot, v.lowest(other)) {
					continue
				}
				parallel = true
				loose = loose || less.same(id+".pos", other+".pos") && less.same(foot, v.lowest(other))
			}
			for _, c := range v.consumers() {
				loose = loose || less.same(id+".pos", c.pos) && less.same(foot, c.neg)
			}
			return certain(parallel && loose && !fused)
		},
		"string-link-long": func(v *Vehicle, id string) float64 {
			from, to := v.Ends(id)
			_, a := split(from)
			_, b := split(to)
			if !v.inPack(id) || a == b {
				return 0 // no link of a string: poles of one kind are side by side
			}
			distance := v.Number("policy.fuse_distance_m", 0.178)
			if v.True(v.Path(id)+".sheathed") || v.True(v.Path(id)+".enclosed") {
				distance = v.Number("policy.fuse_distance_sheathed_m", 1.016)
			}
			return v.Length(id) / (2 * distance)
		},
		"busbar-hole-wide": func(v *Vehicle, id string) float64 {
			path := "busbars." + id
			width, thickness := v.Number(path+".width_mm", math.NaN()), v.Number(path+".thickness_mm", math.NaN())
			own, widest := v.hole(path), 0.0
			from, to := v.Ends(id)
			for _, end := range []string{from, to} {
				part, _ := split(end)
				widest = max(widest, v.hole(v.Path(part)))
			}
			if v.Has(path + ".hole_mm") {
				widest = 0 // what is drilled is known
			}
			widest = max(widest, own)
			density := 6.0
			if v.Text(path+".material") == "aluminium" {
				density = 4
			}
			if widest >= width {
				return math.Inf(1)
			}
			amps := v.Steadily(id)
			worst := over(amps, density*(width-widest)*thickness)
			if widest > 0 && (amps > v.Number("policy.torque_above_A", 50) || v.severe) {
				worst = max(worst, widest/width*3/2, own/width*2)
			}
			return worst
		},
		"coil-never-off": func(v *Vehicle, id string) float64 {
			gone := map[string]bool{}
			for _, kind := range []string{"switches", "disconnects", "contactors", "relays", "timers", "resistors", "meters"} {
				for _, part := range v.IDs(kind) {
					gone[part] = true
				}
			}
			metal := v.joinMetal(gone)
			for _, d := range v.IDs("diodes") {
				if v.severe || metal.same(d+".cathode", id+".coil_pos") {
					metal.join(d+".anode", d+".cathode")
				}
			}
			for _, b := range v.IDs("batteries") {
				if metal.same(id+".coil_pos", b+".pos") && metal.same(id+".coil_neg", v.lowest(b)) {
					return certain(!v.True(v.Path(id) + ".always_live"))
				}
			}
			return 0
		},
	}
}

// hole is the least diameter of a bolt hole, mm: the one that is stated or, of
// a thread, that of the bolt itself. To the severe side with the clearance that
// the policy leaves a lug. Of what has neither it is 0.
func (v *Vehicle) hole(path string) float64 {
	if stated := v.Number(path+".hole_mm", 0); stated > 0 {
		return stated
	}
	bolt := map[string]float64{"M4": 4, "M5": 5, "M6": 6, "M8": 8, "M10": 10, "M12": 12, "M16": 16}[v.Text(path+".thread")]
	if bolt > 0 && v.severe {
		bolt += 1
	}
	return bolt
}

// earthedPoles lists the negative terminals of the sources that are connected to
// the chassis: by a conductor or, where none is drawn, by what the vehicle says
// of its house network.
func (v *Vehicle) earthedPoles() []string {
	metal, drawn := v.metal(), len(v.At("chassis")) > 0
	house := v.Text("vehicle.chassis") == "house-negative"
	var out []string
	add := func(pole string, low bool) {
		if drawn && metal.same(pole, "chassis") || !drawn && house && low {
			out = append(out, pole)
		}
	}
	for _, id := range v.IDs("batteries") {
		add(v.lowest(id), v.Text("batteries."+id+".role") == "auxiliary")
	}
	for _, id := range v.IDs("converters") {
		add(id+".out_neg", true)
	}
	return out
}

// conductorsAlone joins what wires, bars and distribution blocks join.
func (v *Vehicle) conductorsAlone() *joined {
	j := &joined{up: map[string]string{}}
	for _, id := range v.Conductors() {
		from, to := v.Ends(id)
		j.join(from, to)
	}
	j.joinWays(v, nil)
	return j
}

// fuseless is the metal without any fuse.
func (v *Vehicle) fuseless() *joined {
	gone := map[string]bool{}
	for _, id := range v.IDs("fuses") {
		gone[id] = true
	}
	for _, id := range v.IDs("resistors") {
		gone[id] = true
	}
	return v.metalWithout(gone)
}

// reliesOnInternal reports whether a battery has a fuse inside, and a conductor
// at its positive terminal that runs farther without another than a tap may.
func (v *Vehicle) reliesOnInternal(id string) bool {
	if !v.Has("batteries." + id + ".internal_fuse_A") {
		return false
	}
	for _, wire := range v.IDs("wires") {
		allowed := v.Number("policy.fuse_distance_m", 0.178)
		if v.True("wires."+wire+".sheathed") || v.True("wires."+wire+".enclosed") {
			allowed = v.Number("policy.fuse_distance_sheathed_m", 1.016)
		}
		from, _ := v.Ends(wire)
		if far := v.Unfused(wire); !v.inPack(wire) && v.fuseless().same(id+".pos", from) && !math.IsInf(far, 1) && far > allowed {
			return true
		}
	}
	return false
}
