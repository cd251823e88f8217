package calc

import "math"

// HeatBalance is what holds a conductor of a cable in still air at a steady
// temperature, term by term, so that it can be followed by hand. It is that of
// a single cable: grouping and enclosure leave [Cable.Derating] squared of the
// heat, at the same temperatures.
type HeatBalance struct {
	ConductorC, SurfaceC, AmbientC float64

	DiameterMM, OuterDiameterMM, WallMM float64
	InsulationKmW                       float64 // thermal resistance of the insulation, K m/W

	CopperShare float64 // of the circle over the strands

	// The air at the mean temperature of surface and ambient.
	FilmC           float64
	ConductivityWmK float64
	ViscosityM2s    float64 // kinematic
	Prandtl         float64
	Rayleigh        float64
	Nusselt         float64

	ConvectionWm2K float64 // film coefficient of natural convection
	RadiationWm2K  float64 // film coefficient of radiation
	Calibration    float64 // factor on the heat given off, from the published tables
	HeatWm         float64 // what the cable gives off, W/m
}

// The constants of [HeatBalance] that are inputs of a textbook formula.
const (
	Emissivity            = emissivity
	InsulationResistivity = insulationResistivity // thermal, K m/W
)

// FreeAirBalance works out the heat balance of a single cable at a conductor
// temperature above that of the air. Source: as [FreeAirAmpacity], whose
// current it is: I2 R(T) = W times the derating squared.
func FreeAirBalance(c Cable, conductorC, ambientC float64) (HeatBalance, error) {
	c.Derating = 0
	h, err := c.heatFlow(ambientC)
	if err == nil {
		err = within(quantity{"conductor temperature", conductorC, "C"}, math.Nextafter(ambientC, math.Inf(1)), hottestC)
	}
	if err != nil {
		return HeatBalance{}, err
	}
	d := c.Size.DiameterMM
	b := HeatBalance{
		ConductorC: conductorC, AmbientC: ambientC,
		DiameterMM: d, OuterDiameterMM: c.OuterDiameterMM(), WallMM: c.wallMM(),
		InsulationKmW: h.insulation, CopperShare: c.Size.AreaMM2 / (math.Pi / 4 * d * d),
		HeatWm: h.loss(conductorC),
	}
	b.SurfaceC = conductorC - b.HeatWm*b.InsulationKmW
	rise := b.SurfaceC - ambientC
	film := filmAt(h.diameterM, b.SurfaceC, ambientC)
	b.FilmC, b.ConductivityWmK, b.ViscosityM2s, b.Prandtl = film.tempC, film.air.conductivity, film.air.viscosity, film.air.prandtl
	b.Rayleigh, b.Nusselt = film.rayleigh, film.nusselt
	b.ConvectionWm2K = film.nusselt * film.air.conductivity / h.diameterM
	b.RadiationWm2K = radiation(h.diameterM, b.SurfaceC, ambientC, emissivity) / (math.Pi * h.diameterM * rise)
	b.Calibration = h.scale * math.Pow(40/rise, calibrationRise)
	return b, nil
}

// HeatStore is the heat capacity of a cable per metre, term by term.
type HeatStore struct {
	CopperJmK     float64 // of the copper
	InsulationMM2 float64 // section of the insulation
	Share         float64 // of the insulation that follows the copper (van Wormer)
	TotalJmK      float64
}

// HeatStoreOf works out the heat capacity of a cable. Source: as [HeatCapacity].
func HeatStoreOf(c Cable) (HeatStore, error) {
	if err := c.check(); err != nil {
		return HeatStore{}, err
	}
	d, outer := c.Size.DiameterMM, c.OuterDiameterMM()
	s := HeatStore{CopperJmK: copperHeat * c.Size.AreaMM2 * 1e-6}
	if ratio := outer / d; ratio > 1 {
		s.Share = 1/(2*math.Log(ratio)) - 1/(ratio*ratio-1)
		s.InsulationMM2 = math.Pi / 4 * (outer*outer - d*d)
	}
	s.TotalJmK = s.CopperJmK + s.Share*insulationHeat*s.InsulationMM2*1e-6
	return s, nil
}
