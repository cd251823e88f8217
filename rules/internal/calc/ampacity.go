package calc

import (
	"errors"
	"math"
)

// Cable is an insulated single-core cable where it lies.
type Cable struct {
	Size Size
	// WallMM is the thickness of the insulation; 0 takes the usual wall of the
	// size.
	WallMM float64
	// Derating is what grouping and enclosure leave of the ampacity, above 0 to
	// 1; 0 means nothing is lost. See [GroupingFactor] and [SheathedFactor].
	Derating float64
}

// ErrNoEquilibrium says that a current has no steady conductor temperature
// below 400 C, where no insulation is left.
var ErrNoEquilibrium = errors.New("no steady temperature below 400 C: the conductor burns out")

const (
	// insulationResistivity is the thermal resistivity of insulation, K m/W:
	// PVC and rubber; cross-linked polyethylene is better with 3.5. Source:
	// IEC 60287-2-1 Table 1.
	insulationResistivity = 5.0
	hottestC              = 400.0
	coldestC              = -60.0
)

// The calibration of the heat balance. Textbook correlations describe a
// cylinder that hangs free; the published tables describe laid cables, with
// supports and walls near, and were stepped and rounded by committees. One
// factor on the heat given off, falling slowly with the diameter and the rise,
// brings every row of NFPA 70 Table 310.17 (75 and 90 C) and of DIN VDE 0298-4
// Table 11 (70 C, free air) within +2/-15 %.
const (
	calibration         = 0.74
	calibrationDiameter = 0.15 // exponent of 10 mm over the outer diameter
	calibrationRise     = 0.05 // exponent of 40 K over the surface's rise
)

// heatFlow is the geometry of a cable's heat flow per metre.
type heatFlow struct {
	diameterM  float64 // outer
	insulation float64 // thermal resistance, K m/W
	scale      float64 // calibration for the diameter, times the derating squared
	ambientC   float64
}

// OuterDiameterMM is the diameter over the insulation.
func (c Cable) OuterDiameterMM() float64 { return c.Size.DiameterMM + 2*c.wallMM() }

func (c Cable) wallMM() float64 {
	if c.WallMM > 0 {
		return c.WallMM
	}
	return c.Size.WallMM
}

func (c Cable) check() error {
	return firstError(
		positive(
			quantity{"conductor area", c.Size.AreaMM2, "mm2"},
			quantity{"resistance per metre", c.Size.R20, "Ohm/m"},
			quantity{"conductor diameter", c.Size.DiameterMM, "mm"}),
		notNegative(quantity{"insulation wall", c.wallMM(), "mm"}),
		within(quantity{"derating factor", c.Derating, ""}, 0, 1),
	)
}

func (c Cable) heatFlow(ambientC float64) (heatFlow, error) {
	if err := firstError(c.check(), within(quantity{"ambient temperature", ambientC, "C"}, coldestC, hottestC)); err != nil {
		return heatFlow{}, err
	}
	d := c.OuterDiameterMM()
	h := heatFlow{
		diameterM:  d / 1000,
		insulation: insulationResistivity / (2 * math.Pi) * math.Log(d/c.Size.DiameterMM),
		scale:      calibration * math.Pow(10/d, calibrationDiameter),
		ambientC:   ambientC,
	}
	if c.Derating > 0 {
		// At equal conductor temperature the losses fall with the square of the
		// current, so a factor on the current is its square on every heat flow.
		h.scale *= c.Derating * c.Derating
		h.insulation /= c.Derating * c.Derating
	}
	return h, nil
}

// given is the heat in W/m that the surface gives off.
func (h heatFlow) given(surfaceC float64) float64 {
	rise := surfaceC - h.ambientC
	if rise <= 0 {
		return 0
	}
	free := convection(h.diameterM, surfaceC, h.ambientC) + radiation(h.diameterM, surfaceC, h.ambientC, emissivity)
	return h.scale * math.Pow(40/rise, calibrationRise) * free
}

// loss is the heat in W/m that leaves a conductor of a temperature.
func (h heatFlow) loss(conductorC float64) float64 {
	if conductorC <= h.ambientC {
		return 0
	}
	surfaceC := root(func(s float64) float64 {
		return s + h.given(s)*h.insulation - conductorC
	}, h.ambientC, conductorC, 1e-6)
	return h.given(surfaceC)
}

// FreeAirAmpacity is the current in A that holds the conductor of a single
// cable in still air at a temperature: I = sqrt(W / R(T)), where W is the heat
// that insulation, natural convection and radiation carry off per metre. It is
// 0 if the air is not cooler than the conductor may be. The temperature to give
// is the lowest of the insulation's and both terminals' limits.
//
// Source: heat balance in the form of IEC 60287, surface by Churchill and Chu
// and by radiation, calibrated to NFPA 70 Table 310.17 and DIN VDE 0298-4 Table
// 11 within +2/-15 %. A thin-wall cable below 2.5 mm2 carries up to 8 % less
// than one of usual wall.
func FreeAirAmpacity(c Cable, conductorC, ambientC float64) (float64, error) {
	h, err := c.heatFlow(ambientC)
	if err == nil {
		err = within(quantity{"conductor temperature", conductorC, "C"}, coldestC, hottestC)
	}
	if err != nil {
		return 0, err
	}
	return math.Sqrt(h.loss(conductorC) / (c.Size.R20 * CopperFactor(conductorC))), nil
}

// GroupingFactor is what bundling leaves of the ampacity of each of a number of
// loaded conductors: 1 up to 3, then 0.80 (4 to 6), 0.70 (7 to 9), 0.50 (10 to
// 20), 0.45 (21 to 30), 0.40 (31 to 40), 0.35. Source: NFPA 70 Table
// 310.15(C)(1).
func GroupingFactor(conductors int) (Line, error) {
	if conductors < 1 {
		return Line{}, quantity{"number of conductors", float64(conductors), ""}.fault("must be 1 or more")
	}
	factor := 0.35
	for _, band := range []struct {
		upTo   int
		factor float64
	}{{3, 1}, {6, 0.80}, {9, 0.70}, {20, 0.50}, {30, 0.45}, {40, 0.40}} {
		if conductors <= band.upTo {
			factor = band.factor
			break
		}
	}
	return standard(factor, "", "NFPA 70 Table 310.15(C)(1)"), nil
}

// SheathedFactor is what a common sheath on a surface leaves of the free-air
// ampacity: 0.80, of 0.75 to 0.86.
func SheathedFactor() Line {
	return standard(0.80, "", "DIN VDE 0298-4 Table 11, column 5 over column 2")
}
