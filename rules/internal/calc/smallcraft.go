package calc

import "strings"

// smallCraftRatings are the insulation ratings in C of the columns of
// [smallCraftTable].
var smallCraftRatings = [...]float64{60, 75, 80, 90, 105, 125, 200}

// engineSpaceFactors are the factors of the same columns inside engine spaces
// (50 C). Source: 33 CFR 183.425 Table 5 note; the one of 105 C read, the
// others from memory.
var engineSpaceFactors = [...]float64{0.58, 0.75, 0.78, 0.82, 0.85, 0.89, 1}

// smallCraftTable is the ampacity in A of insulated copper conductors at 30 C
// by insulation rating. Source: 33 CFR 183.425 Table 5. areaMM2 is the copper
// that a row asks for: the least area of the SAE size, or of AWG 3, which SAE
// does not have.
var smallCraftTable = [...]struct {
	gauge   string
	areaMM2 float64
	amps    [len(smallCraftRatings)]float64
}{
	{"18", 0.7788, [...]float64{10, 10, 15, 20, 20, 25, 25}},
	{"16", 1.1837, [...]float64{15, 15, 20, 25, 25, 30, 35}},
	{"14", 1.8758, [...]float64{20, 20, 25, 30, 35, 40, 45}},
	{"12", 2.9556, [...]float64{25, 25, 35, 40, 45, 50, 55}},
	{"10", 4.7342, [...]float64{40, 40, 50, 55, 60, 70, 70}},
	{"8", 7.5043, [...]float64{55, 65, 70, 70, 80, 90, 100}},
	{"6", 12.4336, [...]float64{80, 95, 100, 100, 120, 125, 135}},
	{"4", 18.9306, [...]float64{105, 125, 130, 135, 160, 170, 180}},
	{"3", 26.6705, [...]float64{120, 145, 150, 155, 180, 195, 210}},
	{"2", 31.6436, [...]float64{140, 170, 175, 180, 210, 225, 240}},
	{"1", 39.4166, [...]float64{165, 195, 210, 210, 245, 265, 280}},
	{"1/0", 50.1537, [...]float64{195, 230, 245, 245, 285, 305, 325}},
	{"2/0", 63.3886, [...]float64{225, 265, 285, 285, 330, 355, 370}},
	{"3/0", 80.3631, [...]float64{260, 310, 330, 330, 385, 410, 430}},
	{"4/0", 104.1276, [...]float64{300, 360, 385, 385, 445, 475, 510}},
}

// SmallCraftAmpacity is the ampacity in A of a conductor by the small-craft
// table, at 30 C or, inside an engine space, at 50 C. An AWG or SAE size has
// its own row; any other size takes the next thinner row, and an insulation
// rating between two columns the lower one. Source: 33 CFR 183.425 Table 5, the
// same figures as ABYC E-11 for 105 C insulation.
func SmallCraftAmpacity(s Size, insulationC float64, engineSpace bool) (Line, error) {
	column := -1
	for i, rating := range smallCraftRatings {
		if insulationC >= rating {
			column = i
		}
	}
	if column < 0 {
		return Line{}, quantity{"insulation rating", insulationC, "C"}.fault("must be 60 C or more for the small-craft table")
	}
	gauge, _, _ := strings.Cut(s.Label, " ")
	amps := 0.0
	for _, row := range smallCraftTable {
		if s.System != Metric && gauge == row.gauge {
			amps = row.amps[column]
			break
		}
		if s.AreaMM2 >= row.areaMM2 {
			amps = row.amps[column]
		}
	}
	if amps == 0 {
		return Line{}, quantity{"conductor " + s.Label + " of area", s.AreaMM2, "mm2"}.fault("has no row in the small-craft table (18 to 4/0)")
	}
	if engineSpace {
		amps *= engineSpaceFactors[column]
	}
	return standard(amps, "A", "33 CFR 183.425 Table 5"), nil
}
