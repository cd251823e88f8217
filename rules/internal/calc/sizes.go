package calc

import (
	"fmt"
	"math"
	"sync"
)

// metricRow is one metric size: resistances in Ohm/km at 20 C, wall in mm.
type metricRow struct {
	areaMM2, plain, coated, wallMM float64
}

// metricTable is IEC 60228 Table 3, class 5; rows without a coated resistance
// are labels of road-vehicle cable (ISO 19642-3, plain copper, from memory).
// Where both standards have a label IEC 60228 allows 2 to 7 % more resistance,
// which is the safe side. Walls are those of single-core flexible cable of
// IEC 60227-3 (from memory); the thick walls of ISO 19642-3 differ by 0.1 mm.
var metricTable = [...]metricRow{
	{0.35, 54.4, 0, 0.6},
	{0.5, 39.0, 40.1, 0.6},
	{0.75, 26.0, 26.7, 0.6},
	{1, 19.5, 20.0, 0.6},
	{1.25, 14.9, 0, 0.6},
	{1.5, 13.3, 13.7, 0.7},
	{2, 9.42, 0, 0.7},
	{2.5, 7.98, 8.21, 0.8},
	{3, 6.15, 0, 0.8},
	{4, 4.95, 5.09, 0.8},
	{5, 3.94, 0, 0.8},
	{6, 3.30, 3.39, 0.8},
	{8, 2.38, 0, 0.8},
	{10, 1.91, 1.95, 1.0},
	{12, 1.52, 0, 1.0},
	{16, 1.21, 1.24, 1.0},
	{20, 0.955, 0, 1.0},
	{25, 0.780, 0.795, 1.2},
	{30, 0.647, 0, 1.2},
	{35, 0.554, 0.565, 1.2},
	{40, 0.473, 0, 1.2},
	{50, 0.386, 0.393, 1.4},
	{60, 0.315, 0, 1.4},
	{70, 0.272, 0.277, 1.4},
	{95, 0.206, 0.210, 1.6},
	{120, 0.161, 0.164, 1.6},
	{150, 0.129, 0.132, 1.8},
	{185, 0.106, 0.108, 2.0},
	{240, 0.0801, 0.0817, 2.2},
}

// saeTable is the least conductor area of SAE J1128 (18 to 8) and J1127 (6 and
// thicker), in circular mils by gauge number.
var saeTable = [...]struct {
	gauge        int // 0 for 1/0, -1 for 2/0 and so on
	circularMils float64
}{
	{18, 1537}, {16, 2336}, {14, 3702}, {12, 5833}, {10, 9343}, {8, 14810}, {6, 24538},
	{4, 37360}, {2, 62450}, {1, 77790}, {0, 98980}, {-1, 125100}, {-2, 158600}, {-3, 205500},
}

const (
	// concentricFill is the share of copper in a concentric-lay strand of 19
	// or 37 wires: the diameters of ASTM B8 over those of solid wire.
	concentricFill = 0.76
	// flexibleFill is the same for a bunched or rope-lay class 5 strand. It
	// gives diameters 3 to 8 % below the greatest of IEC 60228 Annex C (from
	// memory).
	flexibleFill = 0.60
	// thinnestAWG is the thinnest gauge taken: thinner wire is not in use for
	// power.
	thinnestAWG = 30
)

// tables holds every size of each system, thinnest first. It is made once and
// never changed.
var tables = sync.OnceValue(func() map[System][]Size {
	t := map[System][]Size{}
	for _, r := range metricTable {
		t[Metric] = append(t[Metric], metricSize(r))
	}
	for n := thinnestAWG; n >= -3; n-- {
		d := AWGDiameterMM(n)
		t[AWG] = append(t[AWG], gaugeSize(n, AWG, math.Pi/4*d*d))
	}
	for _, r := range saeTable {
		t[SAE] = append(t[SAE], gaugeSize(r.gauge, SAE, AreaMM2(r.circularMils)))
	}
	return t
})

// allSizes lists every size of a system, thinnest first; not to be changed.
func allSizes(system System) []Size { return tables()[system] }

// AWGDiameterMM is the diameter in mm of solid wire of an American gauge
// number; 1/0 is 0, 2/0 is -1, 4/0 is -3: 0.127 mm * 92^((36-n)/39).
// Source: ASTM B258.
func AWGDiameterMM(n int) float64 { return 0.127 * math.Pow(92, float64(36-n)/39) }

func metricSize(r metricRow) Size {
	s := Size{
		Label:      fmt.Sprintf("%g mm2", r.areaMM2),
		System:     Metric,
		AreaMM2:    r.areaMM2,
		R20:        r.plain / 1000,
		DiameterMM: strandDiameterMM(r.areaMM2, flexibleFill),
		WallMM:     r.wallMM,
		coating:    1.03,
	}
	if r.coated > 0 {
		s.coating = r.coated / r.plain
	}
	return s
}

func gaugeSize(n int, system System, areaMM2 float64) Size {
	label := fmt.Sprint(n)
	if n <= 0 {
		label = fmt.Sprintf("%d/0", 1-n)
	}
	return Size{
		Label:      label + " " + string(system),
		System:     system,
		AreaMM2:    areaMM2,
		R20:        strandingFactor * CopperResistivity20 / areaMM2,
		DiameterMM: strandDiameterMM(areaMM2, concentricFill),
		WallMM:     gaugeWallMM(n),
		coating:    1.04,
	}
}

func strandDiameterMM(areaMM2, fill float64) float64 {
	return math.Sqrt(4 / math.Pi * areaMM2 / fill)
}

// gaugeWallMM is the insulation wall of thin-wall thermoplastic building wire
// by gauge: 15, 20, 30, 40 and 50 mil. Source: UL 83, from memory. Vehicle
// cable has the same wall or a thicker one, and a thin cable cools better with
// a thicker wall.
func gaugeWallMM(n int) float64 {
	switch {
	case n >= 12:
		return 0.38
	case n >= 10:
		return 0.51
	case n >= 6:
		return 0.76
	case n >= 2:
		return 1.02
	}
	return 1.27
}
