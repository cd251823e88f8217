package calc

import (
	"fmt"
	"math"
)

// ToolClearanceMM is the distance in mm through air that bare metal of opposite
// poles keeps on a panel built by hand, so that neither a dropped washer nor a
// spanner bridges it: common practice. What the standard asks for at battery
// voltages is a millimetre.
const ToolClearanceMM = 10.0

// OvervoltageCategory says how well a circuit is shielded from surges. Source:
// IEC 60664-1, 4.3.3.2.
type OvervoltageCategory int

// The categories that occur on a vehicle: a network that stands by itself, and
// one that is joined to the mains by a charger without isolation. Both count as
// II, the second at the voltage of the mains.
const (
	CategoryI  OvervoltageCategory = 1
	CategoryII OvervoltageCategory = 2
)

// impulseTable is the rated impulse voltage in V by the voltage to neutral in V
// and the category. Source: IEC 60664-1 Table F.1, from memory.
var impulseTable = [...]struct{ upToV, catI, catII float64 }{
	{50, 330, 500}, {100, 500, 800}, {150, 800, 1500}, {300, 1500, 2500}, {600, 2500, 4000},
}

// ImpulseVoltage is the rated impulse voltage in V that a circuit of a working
// voltage in V must withstand. Source: IEC 60664-1 Table F.1, from memory.
func ImpulseVoltage(workingV float64, category OvervoltageCategory) (Line, error) {
	last := impulseTable[len(impulseTable)-1].upToV
	if err := within(quantity{"working voltage", workingV, "V"}, 0, last); err != nil {
		return Line{}, err
	}
	for _, row := range impulseTable {
		if workingV <= row.upToV {
			impulse := row.catII
			if category == CategoryI {
				impulse = row.catI
			}
			return standard(impulse, "V", "IEC 60664-1 Table F.1, from memory"), nil
		}
	}
	return Line{}, quantity{"working voltage", workingV, "V"}.fault("must lie within IEC 60664-1 Table F.1")
}

// clearanceTable is the least clearance in mm by the impulse voltage in kV in an
// inhomogeneous field, at pollution degree 1. Source: IEC 60664-1 Table F.2 case
// A; the rows of 1.5, 2.5, 4 and 6 kV were seen in print, the others are from
// memory.
var clearanceTable = [...]struct{ kV, mm float64 }{
	{0.33, 0.01}, {0.4, 0.02}, {0.5, 0.04}, {0.6, 0.06}, {0.8, 0.1}, {1.0, 0.15}, {1.2, 0.25}, {1.5, 0.5},
	{2.0, 1.0}, {2.5, 1.5}, {3.0, 2.0}, {4.0, 3.0}, {5.0, 4.0}, {6.0, 5.5}, {8.0, 8.0},
}

// Clearance is the least distance through air in mm that withstands an impulse
// voltage in V at a pollution degree, up to 2000 m: the next row up. Pollution
// bridges what is smaller than 0.2 mm (degree 2) or 0.8 mm (degree 3). Source:
// IEC 60664-1 Table F.2 case A.
func Clearance(impulseV float64, pollutionDegree int) (Line, error) {
	floor, ok := map[int]float64{1: 0, 2: 0.2, 3: 0.8}[pollutionDegree]
	if !ok {
		return Line{}, quantity{"pollution degree", float64(pollutionDegree), ""}.fault("must be 1, 2 or 3")
	}
	if err := positive(quantity{"impulse voltage", impulseV, "V"}); err != nil {
		return Line{}, err
	}
	for _, row := range clearanceTable {
		if impulseV <= 1000*row.kV*(1+1e-9) {
			return standard(math.Max(row.mm, floor), "mm", "IEC 60664-1 Table F.2, case A"), nil
		}
	}
	return Line{}, quantity{"impulse voltage", impulseV, "V"}.fault("must lie within IEC 60664-1 Table F.2, up to 8 kV")
}

// altitudeTable is the factor on clearances by altitude in m. Source: IEC
// 60664-1 Table A.2.
var altitudeTable = [...]struct{ m, factor float64 }{
	{2000, 1}, {3000, 1.14}, {4000, 1.29}, {5000, 1.48}, {6000, 1.7}, {7000, 1.95}, {8000, 2.25}, {9000, 2.62}, {10000, 3.02},
}

// AltitudeFactor is the factor by which clearances grow in the thinner air of an
// altitude in m: straight between the rows, 1 up to 2000 m. Source: IEC 60664-1
// Table A.2.
func AltitudeFactor(altitudeM float64) (Line, error) {
	last := altitudeTable[len(altitudeTable)-1].m
	if err := within(quantity{"altitude", altitudeM, "m"}, -500, last); err != nil {
		return Line{}, err
	}
	below := altitudeTable[0]
	for _, row := range altitudeTable {
		if altitudeM <= row.m {
			factor := row.factor
			if row != below {
				factor = below.factor + (row.factor-below.factor)*(altitudeM-below.m)/(row.m-below.m)
			}
			return standard(factor, "", "IEC 60664-1 Table A.2"), nil
		}
		below = row
	}
	return Line{}, quantity{"altitude", altitudeM, "m"}.fault("must lie within IEC 60664-1 Table A.2")
}

// creepageTable is the least creepage in mm by voltage in V: at pollution degree
// 1, at degree 2 for the material groups I, II and III, and at degree 3 for the
// same. Source: IEC 60664-1:2020 Table F.5, other than printed wiring.
var creepageTable = [...]struct {
	v, pd1   float64
	pd2, pd3 [3]float64
}{
	{10, 0.08, [3]float64{0.4, 0.4, 0.4}, [3]float64{1, 1, 1}},
	{12.5, 0.09, [3]float64{0.42, 0.42, 0.42}, [3]float64{1.05, 1.05, 1.05}},
	{16, 0.1, [3]float64{0.45, 0.45, 0.45}, [3]float64{1.1, 1.1, 1.1}},
	{20, 0.11, [3]float64{0.48, 0.48, 0.48}, [3]float64{1.2, 1.2, 1.2}},
	{25, 0.125, [3]float64{0.5, 0.5, 0.5}, [3]float64{1.25, 1.25, 1.25}},
	{32, 0.14, [3]float64{0.53, 0.53, 0.53}, [3]float64{1.3, 1.3, 1.3}},
	{40, 0.16, [3]float64{0.56, 0.8, 1.1}, [3]float64{1.4, 1.6, 1.8}},
	{50, 0.18, [3]float64{0.6, 0.85, 1.2}, [3]float64{1.5, 1.7, 1.9}},
	{63, 0.2, [3]float64{0.63, 0.9, 1.25}, [3]float64{1.6, 1.8, 2}},
	{80, 0.22, [3]float64{0.67, 0.95, 1.3}, [3]float64{1.7, 1.9, 2.1}},
	{100, 0.25, [3]float64{0.71, 1, 1.4}, [3]float64{1.8, 2, 2.2}},
	{125, 0.28, [3]float64{0.75, 1.05, 1.5}, [3]float64{1.9, 2.1, 2.4}},
	{160, 0.32, [3]float64{0.8, 1.1, 1.6}, [3]float64{2, 2.2, 2.5}},
	{200, 0.42, [3]float64{1, 1.4, 2}, [3]float64{2.5, 2.8, 3.2}},
	{250, 0.56, [3]float64{1.25, 1.8, 2.5}, [3]float64{3.2, 3.6, 4}},
	{320, 0.75, [3]float64{1.6, 2.2, 3.2}, [3]float64{4, 4.5, 5}},
	{400, 1, [3]float64{2, 2.8, 4}, [3]float64{5, 5.6, 6.3}},
	{500, 1.3, [3]float64{2.5, 3.6, 5}, [3]float64{6.3, 7.1, 8}},
	{630, 1.8, [3]float64{3.2, 4.5, 6.3}, [3]float64{8, 9, 10}},
}

// Creepage is the least distance in mm along insulation of a material group
// ("I", "II" or "III") that withstands a DC working voltage in V, taken as the
// r.m.s. value, at a pollution degree; and the row of the table, the next one up.
// It must not be less than the clearance. Source: IEC 60664-1:2020 Table F.5.
func Creepage(workingV float64, pollutionDegree int, materialGroup string) (l Line, rowV float64, err error) {
	last := creepageTable[len(creepageTable)-1].v
	if err := within(quantity{"working voltage", workingV, "V"}, 0, last); err != nil {
		return Line{}, 0, err
	}
	group, ok := map[string]int{"I": 0, "II": 1, "III": 2}[materialGroup]
	if !ok {
		return Line{}, 0, fmt.Errorf("material group %q: must be I, II or III", materialGroup)
	}
	for _, row := range creepageTable {
		if workingV > row.v {
			continue
		}
		const source = "IEC 60664-1:2020 Table F.5"
		switch pollutionDegree {
		case 1:
			return standard(row.pd1, "mm", source), row.v, nil
		case 2:
			return standard(row.pd2[group], "mm", source), row.v, nil
		case 3:
			return standard(row.pd3[group], "mm", source), row.v, nil
		}
		break
	}
	return Line{}, 0, quantity{"pollution degree", float64(pollutionDegree), ""}.fault("must be 1, 2 or 3")
}
