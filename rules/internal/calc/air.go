package calc

import "math"

const (
	standardGravity = 9.80665        // m/s2
	stefanBoltzmann = 5.670374419e-8 // W/m2K4
	zeroCelsiusK    = 273.15
	emissivity      = 0.9 // of plastic and rubber of any colour; heat transfer textbooks
)

// air is dry air at sea level at one temperature.
type air struct {
	conductivity float64 // W/mK
	viscosity    float64 // kinematic, m2/s
	prandtl      float64
}

// airAt gives the properties of air. Source: U.S. Standard Atmosphere 1976
// (Sutherland's law and its formula for conductivity), ideal gas, specific heat
// 1006 J/kgK. At 2000 m the thinner air costs a cable about 2 % of ampacity.
func airAt(tempC float64) air {
	t := tempC + zeroCelsiusK
	root3 := t * math.Sqrt(t)
	dynamic := 1.458e-6 * root3 / (t + 110.4)
	density := 101325 / (287.05 * t)
	k := 2.64638e-3 * root3 / (t + 245.4*math.Pow(10, -12/t))
	return air{conductivity: k, viscosity: dynamic / density, prandtl: dynamic * 1006 / k}
}

// film is the layer of air round a horizontal cylinder that gives heat to it.
type film struct {
	tempC    float64 // mean of surface and ambient
	air      air     // at that temperature
	rayleigh float64
	nusselt  float64
}

// filmAt works out the film of still air. Source: S. W. Churchill and H. H. S.
// Chu, International Journal of Heat and Mass Transfer 18 (1975) 1049,
// properties at the film temperature.
func filmAt(diameterM, surfaceC, ambientC float64) film {
	f := film{tempC: (surfaceC + ambientC) / 2}
	f.air = airAt(f.tempC)
	f.rayleigh = standardGravity / (f.tempC + zeroCelsiusK) * (surfaceC - ambientC) * diameterM * diameterM * diameterM /
		(f.air.viscosity * f.air.viscosity) * f.air.prandtl
	x := 0.387 * math.Pow(f.rayleigh, 1.0/6) / math.Pow(1+math.Pow(0.559/f.air.prandtl, 9.0/16), 8.0/27)
	f.nusselt = (0.60 + x) * (0.60 + x)
	return f
}

// convection is the heat in W/m that a horizontal cylinder gives to still air.
// Source: as [filmAt].
func convection(diameterM, surfaceC, ambientC float64) float64 {
	rise := surfaceC - ambientC
	if rise <= 0 {
		return 0
	}
	f := filmAt(diameterM, surfaceC, ambientC)
	return math.Pi * f.air.conductivity * f.nusselt * rise
}

// radiation is the heat in W/m that a cylinder gives to surroundings at the
// temperature of the air. Source: Stefan-Boltzmann law.
func radiation(diameterM, surfaceC, ambientC, emissivity float64) float64 {
	s, a := surfaceC+zeroCelsiusK, ambientC+zeroCelsiusK
	return math.Pi * diameterM * emissivity * stefanBoltzmann * (s*s*s*s - a*a*a*a)
}
