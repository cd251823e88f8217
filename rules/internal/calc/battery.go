package calc

import "math"

// CollapsePower is the greatest power in W that a source delivers through its
// resistance: V2/4R. Above it the voltage collapses. Source: circuit theory
// (maximum power transfer).
func CollapsePower(openV, resistanceOhm float64) (Line, error) {
	if err := positive(quantity{"source voltage", openV, "V"}, quantity{"loop resistance", resistanceOhm, "Ohm"}); err != nil {
		return Line{}, err
	}
	return line(openV*openV/(4*resistanceOhm), "W", "V_min^2 / (4 R_max)", "$1^2 / (4 * $2 / 1000)", openV, 1000*resistanceOhm), nil
}

// PowerLoad is the voltage in V at a load that draws constant power through a
// resistance: (V + sqrt(V2 - 4 P R))/2, the upper of the two solutions, on which it
// settles. It is false from [CollapsePower] on. Source: circuit theory.
func PowerLoad(openV, resistanceOhm, powerW float64) (loadV float64, ok bool) {
	root := openV*openV - 4*resistanceOhm*powerW
	return (openV + math.Sqrt(max(0, root))) / 2, root > 0
}

// CellWindow is the voltages in V of one cell: discharge end, nominal, charge
// end.
type CellWindow struct {
	MinV, NominalV, MaxV float64
}

// CellVoltages is the window of a chemistry, or false if it is not known.
// Source: published cell data; LTO and lead-acid from memory. Lead-acid ends at
// the absorption voltage.
func CellVoltages(chemistry string) (CellWindow, bool) {
	switch chemistry {
	case "LFP":
		return CellWindow{2.5, 3.2, 3.65}, true
	case "NMC", "NCA":
		return CellWindow{3.0, 3.6, 4.2}, true
	case "LCO":
		return CellWindow{2.6, 3.6, 4.2}, true
	case "LTO":
		return CellWindow{1.5, 2.4, 2.8}, true
	case "lead-acid":
		return CellWindow{1.75, 2.0, 2.45}, true
	}
	return CellWindow{}, false
}
