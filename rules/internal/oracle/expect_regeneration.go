package oracle

import "math"

// openingVolts is the voltage across the contact of a device as it opens while a
// controller behind it feeds back, V: what that may charge its side to, less the pack when
// it is empty. 0 where no controller does, or packs are in series.
func (v *Vehicle) openingVolts(id string) float64 {
	worst := 0.0
	all, cut := v.metal(), v.metalWithout(map[string]bool{id: true})
	for _, c := range v.IDs("controllers") {
		path := "controllers." + c
		amps := v.Number(path+".regen_A", 0)
		for _, mode := range v.Modes(false) {
			amps = max(amps, v.Number("modes."+mode+".draw."+c+".regen_A", 0))
		}
		if amps == 0 {
			continue
		}
		bus := v.Number(path+".max_V", 0)
		if v.Has(path+".overvoltage_V") && v.Has(path+".overvoltage_reaction_us") && v.Has(path+".capacitance_uF") {
			bus = v.Number(path+".overvoltage_V", 0) + amps*v.Number(path+".overvoltage_reaction_us", 0)/v.Number(path+".capacitance_uF", math.NaN())
		}
		for _, b := range v.IDs("batteries") {
			joined := func(m *joined) bool { return m.same(b+".pos", c+".pos") && m.same(b+".neg", c+".neg") }
			if joined(all) && !joined(cut) {
				worst = max(worst, bus-v.Number("batteries."+b+".min_V", 0))
			}
		}
	}
	return worst
}
