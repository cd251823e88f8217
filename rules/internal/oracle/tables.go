package oracle

import (
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"
)

// Copper at a temperature against 20 C (IEC 60028: 0.00393 per kelvin).
func warm(celsius float64) float64 { return 1 + 0.00393*(celsius-20) }

// MetricSizes lists the sizes of the metric table in mm2, rising.
func MetricSizes() []float64 { return slices.Sorted(maps.Keys(published().metric)) }

// wireSize returns area in mm2, resistance in Ohm/m at 20 C, and the current in
// free air at 30 C together with the conductor temperature for which it holds.
func wireSize(size string) (area, ohmPerMetre, amps, at float64, known bool) {
	number, unit, _ := strings.Cut(size, " ")
	switch unit {
	case "mm2":
		area, err := strconv.ParseFloat(number, 64)
		row, ok := published().metric[area]
		return area, row.ohmPerKm / 1000, row.amps, 70, err == nil && ok
	case "AWG", "SAE":
		row, ok := published().american[number]
		area = row.area
		if unit == "SAE" {
			area = row.vehicle
		}
		return area, 0.017241 / area * 1.02, row.amps, 90, ok
	}
	return 0, 0, 0, 0, false
}

// Area is the copper section of a wire in mm2.
func (v *Vehicle) Area(wire string) float64 {
	area, _, _, _, _ := wireSize(v.Text("wires." + wire + ".size"))
	return area
}

// conductorLimit is the highest temperature that a wire may reach continuously, C:
// what its insulation and the terminals at its ends bear.
func (v *Vehicle) conductorLimit(wire string) float64 {
	return min(v.Number("wires."+wire+".insulation.max_C", 70), v.Number("policy.terminal_max_C", 90))
}

// Carries is the current that a wire carries continuously where it runs, A: the
// row of the table, scaled with the square root of the temperature rise and
// the resistance of the warmer copper. Bundles count by table B.52.17 of IEC
// 60364-5-52 (bunched: 2 circuits 0.80, 3 0.70, 4 0.65, more 0.57).
func (v *Vehicle) Carries(wire string) float64 {
	amps := v.inFreeAir(v.Text("wires."+wire+".size"), v.conductorLimit(wire), v.Ambient(wire, true))
	if bundle := v.Text("wires." + wire + ".bundle"); bundle != "" {
		together := 0
		for _, id := range v.IDs("wires") {
			if v.Text("wires."+id+".bundle") == bundle {
				together++
			}
		}
		amps *= []float64{1, 1, 0.8, 0.7, 0.65, 0.57}[min(together, 5)]
	}
	return amps
}

// inFreeAir is what one wire of a size carries at a temperature of its conductor
// in still air, A; NaN for a size that is in no table, and in air that is hotter.
func (v *Vehicle) inFreeAir(size string, limit, ambient float64) float64 {
	_, _, amps, at, ok := wireSize(size)
	if !ok || limit <= ambient {
		return math.NaN()
	}
	amps *= math.Sqrt((limit - ambient) / (at - 30) * warm(at) / warm(limit))
	if v.severe {
		amps *= 0.85 // the band that a heat balance may lie below the tables
	}
	return amps
}

// resistance is that of a conductor at a temperature, Ohm.
func (v *Vehicle) resistance(id string, celsius float64) float64 {
	if v.kinds[id] == "busbars" {
		path := "busbars." + id
		rho := 0.017241e-3 // Ohm mm2 per mm of copper
		if v.Text(path+".material") == "aluminium" {
			rho = 0.0283e-3
		}
		return rho * v.Number(path+".length_mm", 0) / (v.Number(path+".width_mm", 1) * v.Number(path+".thickness_mm", 1)) * warm(celsius)
	}
	_, perMetre, _, _, _ := wireSize(v.Text("wires." + id + ".size"))
	return perMetre * v.Number("wires."+id+".length_m", 0) * warm(celsius)
}

// withstandA2s is k2 S2 of a wire, A2s, from the temperature at which it may
// run to the short-time limit of its insulation (IEC 60364-5-54, annex A).
func (v *Vehicle) withstandA2s(wire string) float64 {
	final := map[string]float64{"XLPE": 250, "EPR": 250, "silicone": 350}[v.Text("wires."+wire+".insulation.material")]
	if final == 0 {
		final = 160 // PVC, and what does not say
	}
	final = v.Number("wires."+wire+".insulation.short_time_C", final)
	// Started cool the wire bears more: the lenient side for a fault.
	start := v.Ambient(wire, true)
	if v.severe {
		start = v.conductorLimit(wire)
	}
	k := 226 * math.Sqrt(math.Log((234.5+final)/(234.5+start)))
	area := v.Area(wire)
	return k * k * area * area
}
