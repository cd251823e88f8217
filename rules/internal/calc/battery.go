package calc

import "math"

// ResistanceRange is the resistance of a battery in Ohm: Min warm, new and in
// the first milliseconds; Max cold, aged or nearly empty.
type ResistanceRange struct {
	Min, Typ, Max float64
}

// BatteryRange spreads a typical resistance by factors for its least and
// greatest. The factors 0.6 and 2.0 are common practice: a data sheet's figure
// is mostly that of a 10 to 30 s pulse, of which the ohmic part is about half,
// and the resistance doubles at the end of life and more in the cold.
func BatteryRange(typOhm, minFactor, maxFactor float64) (ResistanceRange, error) {
	if err := firstError(
		positive(quantity{"battery resistance", typOhm, "Ohm"}),
		within(quantity{"factor of the least resistance", minFactor, ""}, math.SmallestNonzeroFloat64, 1),
		within(quantity{"factor of the greatest resistance", maxFactor, ""}, 1, math.MaxFloat64),
	); err != nil {
		return ResistanceRange{}, err
	}
	return ResistanceRange{typOhm * minFactor, typOhm, typOhm * maxFactor}, nil
}

// Sag is the terminal voltage in V of a source at a current drawn; a current
// fed back is negative and raises it. Source: circuit theory.
func Sag(openV, resistanceOhm, currentA float64) float64 { return openV - resistanceOhm*currentA }

// CollapsePower is the greatest power in W that a source delivers through its
// resistance: V2/4R. Above it the voltage collapses. Source: circuit theory
// (maximum power transfer).
func CollapsePower(openV, resistanceOhm float64) (Line, error) {
	if err := positive(quantity{"source voltage", openV, "V"}, quantity{"loop resistance", resistanceOhm, "Ohm"}); err != nil {
		return Line{}, err
	}
	return line(openV*openV/(4*resistanceOhm), "W", "V_min^2 / (4 R_max)", "$1^2 / (4 * $2 / 1000)", openV, 1000*resistanceOhm), nil
}

// PowerLoad is the voltage in V and current in A at a load that draws constant
// power through a resistance: V/2 + sqrt(V2/4 - P R), the upper of the two
// solutions, on which it settles. It is false above [CollapsePower]. Source:
// circuit theory.
func PowerLoad(openV, resistanceOhm, powerW float64) (loadV, currentA float64, ok bool) {
	if positive(quantity{value: openV}) != nil || notNegative(quantity{value: resistanceOhm}, quantity{value: powerW}) != nil {
		return 0, 0, false
	}
	root := openV*openV/4 - powerW*resistanceOhm
	if root < 0 {
		return 0, 0, false
	}
	loadV = openV/2 + math.Sqrt(root)
	return loadV, powerW / loadV, true
}

// FaultCurrent is the current in A of a bolted short circuit: the open voltage
// over the sum of the resistances in its loop. Inductance and arc are left out,
// which overstates it. For the maximum take the highest voltage, the least
// battery resistance and cold copper; for the minimum the opposite. Source:
// circuit theory; IEC 61660-1 for the form.
func FaultCurrent(openV float64, resistancesOhm ...float64) (float64, error) {
	if err := positive(quantity{"source voltage", openV, "V"}); err != nil {
		return 0, err
	}
	var sum float64
	for _, r := range resistancesOhm {
		if err := notNegative(quantity{"resistance", r, "Ohm"}); err != nil {
			return 0, err
		}
		sum += r
	}
	if err := positive(quantity{"loop resistance", sum, "Ohm"}); err != nil {
		return 0, err
	}
	return openV / sum, nil
}

// ParallelingCurrent is the current in A that flows when two packs of different
// voltage are joined. Source: circuit theory.
func ParallelingCurrent(highV, lowV float64, resistancesOhm ...float64) (float64, error) {
	if highV <= lowV {
		return 0, notNegative(quantity{"lower pack voltage", lowV, "V"})
	}
	return FaultCurrent(highV-lowV, resistancesOhm...)
}

// StarterBatteryInterruptingA is the least interrupting rating in A of the main
// and branch devices on 12 and 24 V lead-acid batteries by their total cold
// cranking amperes. Above 2200 A the batteries' own figure counts: false.
// Source: ABYC E-11 Table V-A.
func StarterBatteryInterruptingA(coldCrankingA float64) (mainA, branchA float64, ok bool) {
	switch {
	case !(coldCrankingA > 0) || coldCrankingA > 2200:
		return 0, 0, false
	case coldCrankingA <= 650:
		return 1500, 750, true
	case coldCrankingA <= 1100:
		return 3000, 1500, true
	}
	return 5000, 2500, true
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
