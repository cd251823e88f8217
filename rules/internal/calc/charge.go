package calc

import "math"

// ChargeWindow is what the cells of a chemistry want of a source that charges them at
// a fixed voltage, in V at 25 C.
type ChargeWindow struct {
	// FloatMinV is what keeps a cell full; below StarvedV it is never even half full, or,
	// of lead-acid, below its own voltage at rest, so that it sulphates.
	FloatMinV, StarvedV float64
	// HalfV is at rest with half of the charge in it, or below: what holds a cell no
	// higher never brings it there. Of lead-acid the density of the acid then and 0.84.
	HalfV     float64
	FloatMaxV float64 // the most for weeks on end
	NeverV    float64 // the most at any time
	MVPerK    float64 // how the float voltage follows the temperature
}

// leadAcidMVPerK is how the float voltage of a lead-acid cell follows its temperature,
// in mV/K: 30 mV per cell and 10 K. Source: public charging guides.
const leadAcidMVPerK = -3

// ChargeVoltages is the window of a chemistry, and of lead-acid of a construction
// (flooded, AGM, gel; "" where it is not known, which is the widest), or false if the
// chemistry has none. Source: cell data for the ends of charge of lithium cells; the
// rest common practice, from memory.
func ChargeVoltages(chemistry, construction string) (ChargeWindow, bool) {
	switch chemistry {
	case "LFP":
		return ChargeWindow{FloatMinV: 3.35, StarvedV: 3.25, HalfV: 3.25, FloatMaxV: 3.45, NeverV: 3.65}, true
	case "NMC", "NCA", "LCO":
		return ChargeWindow{FloatMinV: 3.60, StarvedV: 3.60, HalfV: 3.60, FloatMaxV: 4.10, NeverV: 4.20}, true
	case "LTO":
		return ChargeWindow{FloatMinV: 2.30, StarvedV: 2.20, HalfV: 2.20, FloatMaxV: 2.50, NeverV: 2.80}, true
	case "lead-acid":
	default:
		return ChargeWindow{}, false
	}
	w := ChargeWindow{FloatMinV: 2.20, StarvedV: 2.13, HalfV: 2.03, FloatMaxV: 2.30, NeverV: 2.50, MVPerK: leadAcidMVPerK}
	switch construction {
	case "AGM":
		w.FloatMinV, w.NeverV = 2.25, 2.45
	case "gel":
		w.FloatMinV, w.NeverV = 2.25, 2.40
	case "flooded":
		w.FloatMaxV = 2.27
	}
	return w, true
}

// SealedHotC is the temperature in C above which a sealed lead-acid battery on a fixed
// float voltage heats itself on and on (common practice).
const SealedHotC = 35

// AtBattery is a voltage in V per cell at 25 C for another temperature of a battery,
// in V for its cells. Source: as [ChargeVoltages].
func AtBattery(cells int, cellV, mVPerK, tempC float64) Line {
	return line(float64(cells)*(cellV+mVPerK/1000*(tempC-25)), "V", "n (V_cell + k (T - 25))", "$1 * ($2 + $3/1000 * ($4 - 25))",
		float64(cells), cellV, mVPerK, tempC)
}

// Cells is the number of cells in series of a battery that does not state it, where
// its nominal and its full voltage speak of the same number; else false. Source: as
// [CellVoltages].
func Cells(chemistry string, nominalV, fullV float64) (cells int, ok bool) {
	cell, known := CellVoltages(chemistry)
	if !known || nominalV <= 0 {
		return 0, false
	}
	byNominal, byFull := math.Round(nominalV/cell.NominalV), math.Round(fullV/cell.MaxV)
	return int(byNominal), byNominal == byFull && byNominal >= 1
}
