package oracle

import (
	"math"
	"strconv"
	"strings"
)

// Copper at a temperature against 20 C (IEC 60028: 0.00393 per kelvin).
func warm(celsius float64) float64 { return 1 + 0.00393*(celsius-20) }

// metric holds, by the area in mm2, the greatest resistance of a flexible
// conductor in Ohm/km at 20 C (IEC 60228, class 5, plain) and the current of a
// single core in free air at 30 C with its conductor at 70 C, A (DIN VDE
// 0298-4, table 11, column 2; 0.5 mm2 from memory).
var metric = map[float64][2]float64{
	0.5: {39, 12}, 0.75: {26, 15}, 1: {19.5, 19}, 1.5: {13.3, 24}, 2.5: {7.98, 32}, 4: {4.95, 42},
	6: {3.3, 54}, 10: {1.91, 73}, 16: {1.21, 98}, 25: {0.78, 129}, 35: {0.554, 158}, 50: {0.386, 198},
	70: {0.272, 245}, 95: {0.206, 292}, 120: {0.161, 344}, 150: {0.129, 391}, 185: {0.106, 448}, 240: {0.0801, 528},
}

// american holds, by the gauge, the area in mm2 (ASTM B258), the area of
// vehicle cable of that number (SAE J1127, J1128) and the current in free air
// at 30 C with the conductor at 90 C, A (NFPA 70, table 310.17).
var american = map[string][3]float64{
	"14": {2.081, 1.876, 35}, "12": {3.309, 2.956, 40}, "10": {5.261, 4.734, 55}, "8": {8.366, 7.504, 80},
	"6": {13.30, 12.43, 105}, "4": {21.15, 18.93, 140}, "2": {33.63, 31.64, 190}, "1": {42.41, 39.42, 220},
	"1/0": {53.48, 50.15, 260}, "2/0": {67.43, 63.39, 300}, "3/0": {85.03, 80.36, 350}, "4/0": {107.2, 104.1, 405},
}

// MetricSizes lists the sizes of the metric table in mm2, rising.
var MetricSizes = [...]float64{0.5, 0.75, 1, 1.5, 2.5, 4, 6, 10, 16, 25, 35, 50, 70, 95, 120, 150, 185, 240}

// wireSize returns area in mm2, resistance in Ohm/m at 20 C, and the current in
// free air at 30 C together with the conductor temperature for which it holds.
func wireSize(size string) (area, ohmPerMetre, amps, at float64, known bool) {
	number, unit, _ := strings.Cut(size, " ")
	switch unit {
	case "mm2":
		area, err := strconv.ParseFloat(number, 64)
		row, ok := metric[area]
		return area, row[0] / 1000, row[1], 70, err == nil && ok
	case "AWG", "SAE":
		row, ok := american[number]
		area = row[0]
		if unit == "SAE" {
			area = row[1]
		}
		return area, 0.017241 / area * 1.02, row[2], 90, ok
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
	_, _, amps, at, ok := wireSize(v.Text("wires." + wire + ".size"))
	limit, ambient := v.conductorLimit(wire), v.Ambient(wire, true)
	if !ok || limit <= ambient {
		return math.NaN()
	}
	amps *= math.Sqrt((limit - ambient) / (at - 30) * warm(at) / warm(limit))
	if bundle := v.Text("wires." + wire + ".bundle"); bundle != "" {
		together := 0
		for _, id := range v.IDs("wires") {
			if v.Text("wires."+id+".bundle") == bundle {
				together++
			}
		}
		amps *= []float64{1, 1, 0.8, 0.7, 0.65, 0.57}[min(together, 5)]
	}
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
