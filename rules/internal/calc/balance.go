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

	cable Cable
}

// FreeAirBalance works out the heat balance of a single cable at a conductor
// temperature above that of the air. Source: as [FreeAirAmpacity], whose
// current it is: I2 R(T) = W times the derating squared.
func FreeAirBalance(c Cable, conductorC, ambientC float64) (HeatBalance, error) {
	single := c
	single.Derating = 0
	h, err := single.heatFlow(ambientC)
	if err == nil {
		err = within(quantity{"conductor temperature", conductorC, "C"}, math.Nextafter(ambientC, math.Inf(1)), hottestC)
	}
	if err != nil {
		return HeatBalance{}, err
	}
	b := HeatBalance{
		ConductorC: conductorC, AmbientC: ambientC,
		DiameterMM: c.Size.DiameterMM, OuterDiameterMM: c.OuterDiameterMM(), WallMM: c.wallMM(),
		InsulationKmW: h.insulation, CopperShare: c.copperShare(),
		HeatWm: h.loss(conductorC), cable: c,
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

// copperShare is the share of copper in the circle over the strands.
func (c Cable) copperShare() float64 {
	d := c.Size.DiameterMM
	return c.Size.AreaMM2 / (math.Pi / 4 * d * d)
}

// MetreSteps are the section, where the label of the size does not give it, and
// the resistance per metre, at 20 C and at a temperature T_c. Source: as
// [ParseSize] and [CopperFactor].
func (c Cable) MetreSteps(conductorC float64) []Step {
	s, source := c.Size, c.Size.ResistanceSource()
	var steps []Step
	if s.System != Metric {
		steps = append(steps, Step{"A", "section of " + s.Label, standard(s.AreaMM2, "mm2", source)})
	}
	r20 := 1000 * s.R20
	return append(steps,
		Step{"R'_20", "resistance per metre of " + s.Label + " at 20 C", standard(r20, "mOhm/m", source)},
		Step{"alpha", "temperature coefficient of copper", standard(CopperAlpha20, "1/K", "IEC 60028")},
		Step{"R'", "resistance per metre at T_c", line(r20*CopperFactor(conductorC), "mOhm/m",
			"R'_20 (1 + alpha (T_c - 20))", "$1 * (1 + $2 * ($3 - 20))", r20, CopperAlpha20, conductorC)})
}

// DiameterSteps are the diameters over strands and insulation.
func (c Cable) DiameterSteps() []Step {
	d, outer, share := c.Size.DiameterMM, c.OuterDiameterMM(), c.copperShare()
	wall, source := (outer-d)/2, "wall of single-core cable of that size, IEC 60227-3, from memory"
	if c.Size.System != Metric {
		source = "wall of thermoplastic wire of that gauge, UL 83, from memory"
	}
	return []Step{
		{"d", "diameter over the strands, copper filling " + Term(100*share) + " % of the circle", line(d, "mm",
			"sqrt(4 / pi A / share)", "sqrt(4 / 3.1416 * $1 / $2)", c.Size.AreaMM2, share)},
		{"t_w", "usual wall of the insulation", standard(wall, "mm", source)},
		{"D", "diameter over the insulation", line(outer, "mm", "d + 2 t_w", "$1 + 2 * $2", d, wall)},
	}
}

// InsulationStep is the thermal resistance of the insulation, from the diameters.
func (b HeatBalance) InsulationStep() Step {
	return Step{"R_ins", "thermal resistance of the insulation, 5 K m/W of IEC 60287-2-1 Table 1", line(b.InsulationKmW, "K m/W",
		"5 / (2 pi) ln(D / d)", "$1 / (2 * 3.1416) * ln($2 / $3)", insulationResistivity, b.OuterDiameterMM, b.DiameterMM)}
}

// SurfaceSteps are how the surface of a cable, called by its name, gives off its
// heat, to the thermal resistance R_th that this comes to.
func (b HeatBalance) SurfaceSteps(name string) []Step {
	const air = "dry air at T_m, U.S. Standard Atmosphere 1976"
	d, rise, viscosity := b.OuterDiameterMM, b.SurfaceC-b.AmbientC, b.ViscosityM2s*1e6
	return []Step{
		{"T_s", "surface temperature, found by trial so that it agrees with W below", line(b.SurfaceC, "C",
			"T_c - R_ins W", "$1 - $2 * $3", b.ConductorC, b.InsulationKmW, b.HeatWm)},
		{"T_m", "mean temperature of the air film", line(b.FilmC, "C", "(T_s + T_a) / 2", "($1 + $2) / 2", b.SurfaceC, b.AmbientC)},
		{"k_a", "conductivity of the air", standard(b.ConductivityWmK, "W/(m K)", air)},
		{"nu_a", "kinematic viscosity of the air", standard(viscosity, "mm2/s", air)},
		{"Pr", "Prandtl number of the air", standard(b.Prandtl, "", air)},
		{"Ra", "Rayleigh number", line(b.Rayleigh, "", "g / (T_m + 273.15) (T_s - T_a) D^3 / nu_a^2 Pr",
			"9.8067 / ($1 + 273.15) * $2 * ($3/1000)^3 / ($4/1000000)^2 * $5", b.FilmC, rise, d, viscosity, b.Prandtl)},
		{"Nu", "Nusselt number of a horizontal cylinder, Churchill and Chu (1975)", line(b.Nusselt, "",
			"(0.60 + 0.387 Ra^(1/6) / (1 + (0.559 / Pr)^(9/16))^(8/27))^2",
			"(0.60 + 0.387 * $1^(1/6) / (1 + (0.559 / $2)^(9/16))^(8/27))^2", b.Rayleigh, b.Prandtl)},
		{"h_c", "film coefficient of natural convection", line(b.ConvectionWm2K, "W/(m2 K)",
			"Nu k_a / D", "$1 * $2 / ($3/1000)", b.Nusselt, b.ConductivityWmK, d)},
		{"h_r", "film coefficient of radiation, emissivity 0.9", line(b.RadiationWm2K, "W/(m2 K)",
			"0.9 * 5.6704e-8 ((T_s + 273.15)^4 - (T_a + 273.15)^4) / (T_s - T_a)", "$1 * 5.6704e-8 * ($2^4 - $3^4) / $4",
			emissivity, b.SurfaceC+zeroCelsiusK, b.AmbientC+zeroCelsiusK, rise)},
		{"F", "calibration to NFPA 70 Table 310.17 and DIN VDE 0298-4 Table 11 (+2/-15 %)", line(b.Calibration, "",
			"0.74 (10 mm / D)^0.15 (40 K / (T_s - T_a))^0.05", "0.74 * (10 / $1)^0.15 * (40 / $2)^0.05", d, rise)},
		{"W", "heat loss of " + name + " by itself at T_c, heat balance in the form of IEC 60287", line(b.HeatWm, "W/m",
			"F pi D (h_c + h_r) (T_s - T_a)", "$1 * 3.1416 * $2/1000 * ($3 + $4) * $5", b.Calibration, d, b.ConvectionWm2K, b.RadiationWm2K, rise)},
		{"R_th", "thermal resistance of " + name + " to still air", line(b.resistanceKmW(), "K m/W",
			"(T_c - T_a) / W", "($1 - $2) / $3", b.ConductorC, b.AmbientC, b.HeatWm)},
	}
}

// resistanceKmW is the thermal resistance in K m/W from the conductor to the air.
func (b HeatBalance) resistanceKmW() float64 { return (b.ConductorC - b.AmbientC) / b.HeatWm }

// Ampacity is the current in A of the balance, with what grouping and enclosure
// leave of it. Source: as [FreeAirAmpacity], whose value it is.
func (b HeatBalance) Ampacity() (Line, error) {
	a, err := FreeAirAmpacity(b.cable, b.ConductorC, b.AmbientC)
	f := b.cable.Derating
	if f == 0 {
		f = 1
	}
	return line(a, "A", "f sqrt((T_c - T_a) / (R' R_th))", "$1 * sqrt(($2 - $3) / ($4/1000 * $5))",
		f, b.ConductorC, b.AmbientC, 1000*b.cable.Size.R20*CopperFactor(b.ConductorC), b.resistanceKmW()), err
}

// NoAmpacity is the ampacity of a conductor that the air does not cool.
func NoAmpacity() Line { return line(0, "A", "0 when T_a >= T_c", "") }

// HeatStore is the heat capacity of a cable per metre, term by term.
type HeatStore struct {
	CopperJmK     float64 // of the copper
	InsulationMM2 float64 // section of the insulation
	Share         float64 // of the insulation that follows the copper (van Wormer)
	TotalJmK      float64

	cable Cable
}

// HeatStoreOf works out the heat capacity of a cable. Source: as [HeatCapacity].
func HeatStoreOf(c Cable) (HeatStore, error) {
	if err := c.check(); err != nil {
		return HeatStore{}, err
	}
	d, outer := c.Size.DiameterMM, c.OuterDiameterMM()
	s := HeatStore{CopperJmK: copperHeat * c.Size.AreaMM2 * 1e-6, cable: c}
	if ratio := outer / d; ratio > 1 {
		s.Share = 1/(2*math.Log(ratio)) - 1/(ratio*ratio-1)
		s.InsulationMM2 = math.Pi / 4 * (outer*outer - d*d)
	}
	s.TotalJmK = s.CopperJmK + s.Share*insulationHeat*s.InsulationMM2*1e-6
	return s, nil
}

// Steps are how the heat capacity of a cable, called by its name, comes about
// from its section and diameters.
func (s HeatStore) Steps(name string) []Step {
	d, outer := s.cable.Size.DiameterMM, s.cable.OuterDiameterMM()
	return []Step{
		{"C_Cu", "heat capacity of the copper, IEC 60949", line(s.CopperJmK, "J/(m K)", "3.45 A", "3.45 * $1", s.cable.Size.AreaMM2)},
		{"p", "share of the insulation that follows the copper, van Wormer, IEC 60853-2", line(s.Share, "",
			"1 / (2 ln(D / d)) - 1 / ((D / d)^2 - 1)", "1 / (2 * ln($1 / $2)) - 1 / (($1 / $2)^2 - 1)", outer, d)},
		{"C", "heat capacity of " + name + ", insulation 1.7 J/(m K) per mm2", line(s.TotalJmK, "J/(m K)",
			"C_Cu + p 1.7 pi / 4 (D^2 - d^2)", "$1 + $2 * 1.7 * 3.1416 / 4 * ($3^2 - $4^2)", s.CopperJmK, s.Share, outer, d)},
	}
}
