package calc

import "math"

// FuseClass is a family of fuse-links with common time limits and rules of
// loading. Its values are those of a specification.
type FuseClass string

// The classes of fuses.
const (
	ClassBlade       FuseClass = "blade"              // ISO 8820-3 types C and F
	ClassHighCurrent FuseClass = "blade-high-current" // ISO 8820-3 type E
	ClassBoltDown    FuseClass = "bolt-down"          // ISO 8820-5, 51 mm studs
	ClassGlass       FuseClass = "glass"              // UL 248-14
	ClassUL          FuseClass = "ul"                 // UL 248 power fuses
	ClassGG          FuseClass = "gG"                 // IEC 60269, full range, general
	ClassGR          FuseClass = "gR"                 // IEC 60269-4, full range, semiconductor
	ClassAR          FuseClass = "aR"                 // IEC 60269-4, partial range, semiconductor
	ClassRewirable   FuseClass = "rewirable"          // BS 3036
	ClassOther       FuseClass = "other"
)

// FuseLoading is how a class of fuse may be loaded.
type FuseLoading struct {
	// ContinuousFactor is the share of the rating that may flow for ever at
	// the reference ambient.
	ContinuousFactor float64
	// ReferenceC is the ambient up to which the rating holds, DeratingPerK the
	// share of it lost for each K above.
	ReferenceC   float64
	DeratingPerK float64
	// FusingMultiple is the conventional fusing current I2 over the rating; 0
	// where the class has none.
	FusingMultiple float64
	// PartialRange is true of a class that does not open small overloads.
	PartialRange bool
	Source       string
}

// Loading returns how a class may be loaded, or false for a class without
// published rules.
//
// Continuous load: 0.80 of a vehicle or UL rating, the rule of NFPA 70
// 210.20(A) (device at least 125 % of the continuous load) and common practice
// in vehicles; 0.75 of a small glass fuse (fuse application notes); the whole
// rating of IEC 60269 fuses. Ambient: IEC 60269 links lose 0.5 %/K above 40 C
// (application notes of that class); for the vehicle and UL classes 0.2 %/K
// above 25 C, common practice, between the 0.13 %/K of a zinc element and the
// 0.24 %/K of a tin alloy that follow from I2 proportional to melting point
// less ambient.
func (class FuseClass) Loading() (FuseLoading, bool) {
	switch class {
	case ClassBlade, ClassHighCurrent:
		return FuseLoading{0.80, 25, 0.002, 1.35, false, "ISO 8820-3; continuous load and ambient by common practice"}, true
	case ClassBoltDown:
		return FuseLoading{0.80, 25, 0.002, 1.35, false, "ISO 8820-5; continuous load and ambient by common practice"}, true
	case ClassGlass:
		return FuseLoading{0.75, 25, 0.002, 1.35, false, "UL 248-14; continuous load and ambient by common practice"}, true
	case ClassUL:
		return FuseLoading{0.80, 25, 0.002, 1.35, false, "UL 248, NFPA 70 210.20(A); ambient by common practice"}, true
	case ClassGG, ClassGR:
		return FuseLoading{1, 40, 0.005, 1.6, false, "IEC 60269"}, true
	case ClassAR:
		return FuseLoading{1, 40, 0.005, 0, true, "IEC 60269-4"}, true
	case ClassRewirable:
		return FuseLoading{1, 40, 0, 2, false, "BS 3036; I_n <= 0.725 I_z by BS 7671, 433.1, from memory"}, true
	}
	return FuseLoading{}, false
}

// ContinuousFuse is the current in A that a fuse carries for ever in an
// ambient. Below the reference ambient the rating is not raised. Source: as
// [FuseClass.Loading].
func ContinuousFuse(class FuseClass, ratedA, ambientC float64) (Line, error) {
	l, _ := class.Loading() // known, or holding says so
	return holding(class, l.ContinuousFactor, ratedA, ambientC)
}

// ContinuousLoadH is the time in h from which on a load counts as continuous. Source:
// NFPA 70 Article 100.
const ContinuousLoadH = 3

// HeldFuse is the current in A that a fuse carries in an ambient for less than
// [ContinuousLoadH]. Source: as [ContinuousFuse].
func HeldFuse(class FuseClass, ratedA, ambientC float64) (Line, error) {
	return holding(class, 1, ratedA, ambientC)
}

// holding is a share of the rating of a fuse in an ambient.
func holding(class FuseClass, factor, ratedA, ambientC float64) (Line, error) {
	if err := firstError(
		positive(quantity{"rated current", ratedA, "A"}),
		within(quantity{"ambient temperature", ambientC, "C"}, -273, 1000),
	); err != nil {
		return Line{}, err
	}
	l, ok := class.Loading()
	if !ok {
		return Line{}, quantity{"rated current of a fuse of class " + string(class), ratedA, "A"}.fault("needs a class with published rules of loading")
	}
	return line(ratedA*factor*l.Derating(ambientC).Value, "A", "f I_n (1 - k (T_f - T_ref))", "$1 * $2 (1 - $3/100 ($4 - $5))",
		factor, ratedA, 100*l.DeratingPerK, max(ambientC, l.ReferenceC), l.ReferenceC), nil
}

// Derating is the share of its rating that a fuse keeps in an ambient: 1 up to the
// reference ambient. Source: as [FuseClass.Loading].
func (l FuseLoading) Derating(ambientC float64) Line {
	return line(max(0, 1-l.DeratingPerK*max(0, ambientC-l.ReferenceC)), "", "1 - d (T_a - T_ref)", "1 - $1 * ($2 - $3)",
		l.DeratingPerK, ambientC, l.ReferenceC)
}

// ConventionalFusingA is I2, the current in A that opens a fuse within its
// conventional time, or false for a class that has none. Source: ISO 8820 and
// UL 248, 1.35 times the rating; IEC 60269, 1.6 times from 16 A on, 1.9 times
// below and 2.1 times up to 4 A (the last two from memory).
func ConventionalFusingA(class FuseClass, ratedA float64) (float64, bool) {
	l, ok := class.Loading()
	if !ok || l.FusingMultiple == 0 || ratedA <= 0 {
		return 0, false
	}
	if class == ClassGG || class == ClassGR {
		_, fusing, _ := conventionalGG(ratedA)
		return fusing * ratedA, true
	}
	return l.FusingMultiple * ratedA, true
}

// OverloadLimitA is the greatest rating in A of a fuse that protects a
// conductor of ampacity I_z from overload, from I_n <= I_z and I2 <= 1.45 I_z.
// For gG I_n <= I_z suffices: the 1.6 I_n of its fusing test is not what it does
// on a cable, for which IEC 60269-1 has a test of its own; gR, which is made for
// semiconductors, has none (from memory). A partial-range fuse protects from no
// overload: false. Source: IEC 60364-4-43, 433.1.
func OverloadLimitA(class FuseClass, ampacityA float64) (ratedA float64, ok bool) {
	l, known := class.Loading()
	switch {
	case !known || l.PartialRange || l.FusingMultiple == 0:
		return 0, false
	case class == ClassGG:
		return ampacityA, true
	}
	return ampacityA * min(1, 1.45/l.FusingMultiple), true
}

// SelectiveGGRatio is the ratio of ratings from which on two gG links grade. It says
// nothing about any other pair. Source: IEC 60269-1.
const SelectiveGGRatio = 1.6

// SelectiveI2tFactor is the share of the upstream fuse's melting I2t that the
// total I2t of the downstream fuse may reach. Common practice.
const SelectiveI2tFactor = 0.75

// conventionalGG is the non-fusing and fusing current of a gG link over its
// rating, and the conventional time in s in which they are tested. Source: IEC
// 60269-1 Table 2, from memory; below 16 A IEC 60269-3, from memory.
func conventionalGG(ratedA float64) (nonFusing, fusing, s float64) {
	switch {
	case ratedA <= 4:
		return 1.5, 2.1, 3600
	case ratedA < 16:
		return 1.5, 1.9, 3600
	case ratedA <= 63:
		return 1.25, 1.6, 3600
	case ratedA <= 160:
		return 1.25, 1.6, 2 * 3600
	case ratedA <= 400:
		return 1.25, 1.6, 3 * 3600
	}
	return 1.25, 1.6, 4 * 3600
}

// gate is what a class promises of every fuse in it.
type gate struct {
	nonFusing float64 // multiple of the rating that it carries
	min, max  []Point // CurrentA as a multiple of the rating
	source    string
}

// classGate is the gate of a class, or false for one that promises nothing.
// Sources are in the gates.
func classGate(class FuseClass, ratedA float64) (gate, bool) {
	switch class {
	case ClassBlade:
		return gate{1.10,
			[]Point{{1.35, 0.75}, {1.60, 0.25}, {2, 0.15}, {3.5, 0.04}, {6, 0.02}},
			[]Point{{1.35, 600}, {1.60, 50}, {2, 5}, {3.5, 0.5}, {6, 0.1}},
			"ISO 8820-3 types C and F, from memory"}, true
	case ClassHighCurrent:
		return gate{1.00,
			[]Point{{1.35, 60}, {2, 2}, {3.5, 0.2}, {6, 0.04}},
			[]Point{{1.35, 1800}, {2, 60}, {3.5, 7}, {6, 1}},
			"ISO 8820-3 type E; the 600 % row from memory"}, true
	case ClassBoltDown:
		return gate{1.00,
			[]Point{{1.35, 120}, {2, 1}, {3.5, 0.3}, {5, 0.1}},
			[]Point{{1.35, 1800}, {2, 15}, {3.5, 5}, {5, 1}},
			"ISO 8820-5, 51 mm studs, from memory"}, true
	case ClassGlass:
		double := 120.0
		if ratedA > 30 {
			double = 240
		}
		return gate{1.00, nil, []Point{{1.35, 3600}, {2, double}}, "UL 248-14"}, true
	case ClassUL:
		return gateUL(ratedA), true
	case ClassGG:
		return gateGG(ratedA), true
	}
	return gate{}, false
}

// gateUL is the gate of UL 248 power fuses: 110 % is carried (UL 248-9); the
// longest times at 135 and 200 % are common to the parts of the standard, from
// memory.
func gateUL(ratedA float64) gate {
	small, double := 3600.0, 120.0
	for _, r := range []struct{ upTo, s float64 }{{30, 120}, {60, 240}, {100, 360}, {200, 480}, {400, 600}, {math.Inf(1), 720}} {
		if ratedA <= r.upTo {
			double = r.s
			break
		}
	}
	if ratedA > 60 {
		small = 7200
	}
	return gate{1.10, nil, []Point{{1.35, small}, {2, double}}, "UL 248; times from memory"}
}

// ggGates are the currents in A of the gates of gG links: least that may open
// them in 10 s, greatest that must in 5 s, and the same for 0.1 s. Source: IEC
// 60269-1 Table 3, from memory.
var ggGates = [...]struct{ ratedA, min10, max5, min01, max01 float64 }{
	{16, 33, 65, 85, 150},
	{20, 42, 85, 110, 200},
	{25, 52, 110, 150, 260},
	{32, 75, 150, 200, 350},
	{40, 95, 190, 260, 450},
	{50, 125, 250, 350, 610},
	{63, 160, 320, 450, 820},
	{80, 215, 425, 610, 1100},
	{100, 290, 580, 820, 1450},
	{125, 355, 715, 1100, 1910},
	{160, 460, 950, 1450, 2590},
	{200, 610, 1250, 1910, 3420},
	{250, 750, 1650, 2590, 4500},
	{315, 1050, 2200, 3420, 6000},
	{400, 1420, 2840, 4500, 8060},
	{500, 1780, 3800, 6000, 10600},
	{630, 2200, 5100, 8060, 14140},
	{800, 3060, 7000, 10600, 19000},
	{1000, 4000, 9500, 14140, 24000},
	{1250, 5000, 13000, 19000, 35000},
}

// gateGG is the gate of a gG link. A rating outside the table has its
// conventional currents only.
func gateGG(ratedA float64) gate {
	nonFusing, fusing, s := conventionalGG(ratedA)
	g := gate{nonFusing: nonFusing, max: []Point{{fusing, s}}, source: "IEC 60269-1, from memory"}
	for _, r := range ggGates {
		if r.ratedA == ratedA {
			g.min = []Point{{r.min10 / ratedA, 10}, {r.min01 / ratedA, 0.1}}
			g.max = append(g.max, Point{r.max5 / ratedA, 5}, Point{r.max01 / ratedA, 0.1})
		}
	}
	return g
}
