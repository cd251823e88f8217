package calc

import (
	"math"
)

// Bar is a single flat metal bar.
type Bar struct {
	WidthMM, ThicknessMM float64
	Metal                Metal
	// ConductivityPercent is the conductivity over that of standard annealed
	// copper (or of the pure metal); 0 takes 100.
	ConductivityPercent float64
	Painted             bool
}

// paintedFactor is how much more a painted bar carries than a bare one: at
// least 1.14 in every row of DIN 43671.
const paintedFactor = 1.14

func (b Bar) check() error {
	return firstError(
		positive(quantity{"bar width", b.WidthMM, "mm"}, quantity{"bar thickness", b.ThicknessMM, "mm"},
			quantity{"resistivity of the bar", b.Metal.Resistivity20, "Ohm mm2/m"}),
		within(quantity{"conductivity", b.ConductivityPercent, "%"}, 0, 110),
	)
}

// AreaMM2 is the cross-section.
func (b Bar) AreaMM2() float64 { return b.WidthMM * b.ThicknessMM }

// resistivity20 is that of the bar's metal at its conductivity, in Ohm mm2/m.
func (b Bar) resistivity20() float64 {
	percent := b.ConductivityPercent
	if percent == 0 {
		percent = 100
	}
	return b.Metal.Resistivity20 * 100 / percent
}

// r20 is the resistance per metre at 20 C in Ohm/m.
func (b Bar) r20() float64 { return b.resistivity20() / b.AreaMM2() }

// JointedMOhm is [Size.JointedMOhm] for a bar, which is taken to warm like copper
// with its joints. Source: as [BarResistance].
func (b Bar) JointedMOhm(lengthM, jointMOhm, tempC float64) Line {
	return jointed(b.r20()*lengthM, "$1 / ($6 * $7) * $2", 1000*b.resistivity20(), lengthM, jointMOhm, tempC, b.WidthMM, b.ThicknessMM)
}

// BarResistance is the resistance in Ohm of a length of bar at a temperature,
// without its joints. Source: IEC 60028.
func BarResistance(b Bar, lengthM, tempC float64) (float64, error) {
	if err := firstError(b.check(),
		notNegative(quantity{"length", lengthM, "m"}),
		within(quantity{"bar temperature", tempC, "C"}, -100, 1000),
	); err != nil {
		return 0, err
	}
	return b.r20() * lengthM * (1 + b.Metal.alpha20()*(tempC-20)), nil
}

// BarAmpacity is the current in A of a single bar on edge in still air:
// 7.73 A^0.5 p^0.39 for a copper bar 50 K above 40 C (A in mm2, p the perimeter
// in mm); other rises with rise^0.61, other bar temperatures and metals with
// the root of the resistance. It is 0 if the air is not cooler than the bar may
// be. It lies 5 to 10 % below the ampacity table of its own publisher and within
// 4 % of the bare bars of DIN 43671.
//
// Source: Copper Development Association, Publication 22. A painted bar carries
// 1.14 times as much: DIN 43671.
func BarAmpacity(b Bar, barC, ambientC float64) (float64, error) {
	if err := firstError(b.check(),
		within(quantity{"ambient temperature", ambientC, "C"}, coldestC, hottestC),
		within(quantity{"bar temperature", barC, "C"}, coldestC, hottestC),
	); err != nil {
		return 0, err
	}
	if barC <= ambientC {
		return 0, nil
	}
	reference := b.reference()
	referenceOhm := CopperResistivity20 / b.AreaMM2() * CopperFactor(90)
	ohm := b.r20() * (1 + b.Metal.alpha20()*(barC-20))
	amps := RiseScaled(reference, 50, barC-ambientC) * math.Sqrt(referenceOhm/ohm)
	if b.Painted {
		amps *= paintedFactor
	}
	return amps, nil
}

// perimeterMM is the perimeter of the cross-section.
func (b Bar) perimeterMM() float64 { return 2 * (b.WidthMM + b.ThicknessMM) }

// reference is the current in A of a copper bar of that size 50 K above 40 C.
func (b Bar) reference() float64 {
	return 7.73 * math.Sqrt(b.AreaMM2()) * math.Pow(b.perimeterMM(), 0.39)
}

// AmpacitySteps are how the ampacity of a bar, called by its name, comes about at a
// temperature T_c in air of T_a. Source: as [BarAmpacity], whose value it is.
func (b Bar) AmpacitySteps(name string, barC, ambientC float64) ([]Step, error) {
	const handbook = "Copper Development Association Publication 22"
	a, err := BarAmpacity(b, barC, ambientC)
	if err != nil {
		return nil, err
	}
	area, perimeter, at50 := b.AreaMM2(), b.perimeterMM(), b.reference()
	steps := []Step{
		{"A", "section of " + name, line(area, "mm2", "w d", "$1 * $2", b.WidthMM, b.ThicknessMM)},
		{"p", "perimeter", line(perimeter, "mm", "2 (w + d)", "2 * ($1 + $2)", b.WidthMM, b.ThicknessMM)},
		{"I_50", "copper bar on edge in still air, 50 K above 40 C, " + handbook, line(at50, "A",
			"7.73 A^0.5 p^0.39", "7.73 * $1^0.5 * $2^0.39", area, perimeter)},
	}
	if a == 0 {
		return append(steps, Step{"I_z", "ampacity of " + name, NoAmpacity()}), nil
	}
	rho, alpha, rise := b.resistivity20(), b.Metal.alpha20(), RiseScaled(1, 50, barC-ambientC)
	resistance := math.Sqrt(CopperResistivity20 * CopperFactor(90) / (rho * (1 + alpha*(barC-20))))
	steps = append(steps,
		Step{"f_rise", "correction for the temperature rise, " + handbook, line(rise, "",
			"((T_c - T_a) / 50)^0.61", "(($1 - $2) / 50)^0.61", barC, ambientC)},
		Step{"rho", "resistivity of " + b.Metal.Name + " at 20 C", standard(rho, "Ohm mm2/m", "IEC 60028; aluminium by IEC 60949")},
		Step{"alpha", "temperature coefficient of " + b.Metal.Name, standard(alpha, "1/K", "IEC 60949")},
		Step{"f_R", "correction for the resistance, against copper at 90 C", line(resistance, "",
			"sqrt(0.017241 (1 + 0.00393 * 70) / (rho (1 + alpha (T_c - 20))))",
			"sqrt(0.017241 * (1 + 0.00393 * 70) / ($1 * (1 + $2 * ($3 - 20))))", rho, alpha, barC)})
	ampacity := line(a, "A", "I_50 f_rise f_R", "$1 * $2 * $3", at50, rise, resistance)
	if b.Painted {
		paint := a / (at50 * rise * resistance)
		steps = append(steps, Step{"f_p", "painted: higher heat loss", standard(paint, "", "DIN 43671")})
		ampacity = line(a, "A", "I_50 f_rise f_R f_p", "$1 * $2 * $3 * $4", at50, rise, resistance, paint)
	}
	return append(steps, Step{"I_z", "ampacity of " + name + " at T_c", ampacity}), nil
}

// HeatCapacity is the heat capacity of a bar per metre. Source: IEC 60949.
func (b Bar) HeatCapacity() Line {
	return line(b.Metal.heat*b.AreaMM2()*1e-6, "J/(m K)", "", "$1 * $2", b.Metal.heat*1e-6, b.AreaMM2())
}

// RiseScaled carries the current of a bar from one temperature rise to another
// at equal resistance: with rise^0.61. Source: Copper Development Association,
// Publication 22.
func RiseScaled(currentA, fromK, toK float64) float64 {
	if !(fromK > 0) || !(toK > 0) {
		return 0
	}
	return currentA * math.Pow(toK/fromK, 0.61)
}

// NewBarHeating prepares the heating of a bar in time up to hottestC, as
// [NewHeating] does for a cable. Source: losses at each temperature by
// [BarAmpacity], heat capacities of IEC 60949.
func NewBarHeating(b Bar, ambientC, hottest float64) (*Heating, error) {
	if _, err := BarAmpacity(b, ambientC, ambientC); err != nil {
		return nil, err
	}
	alpha := b.Metal.alpha20()
	h := Heating{ambientC: ambientC, metal: b.Metal.Name, capacity: b.HeatCapacity().Value, r20: b.r20(), alpha: alpha}
	return tabulate(h, hottest, func(barC float64) float64 {
		amps, _ := BarAmpacity(b, barC, ambientC) // the domain was checked above
		return amps * amps * b.r20() * (1 + alpha*(barC-20))
	})
}

// BarForce is the force in N on each of two long parallel conductors over a
// length, at a peak current: 2e-7 I2 l/a. Source: IEC 60865-1.
func BarForce(currentA, spacingMM, lengthMM float64) (Line, error) {
	if err := firstError(
		positive(quantity{"spacing", spacingMM, "mm"}),
		notNegative(quantity{"current", currentA, "A"}, quantity{"length", lengthMM, "mm"}),
	); err != nil {
		return Line{}, err
	}
	return line(2e-7*currentA*currentA*(lengthMM/1000)/(spacingMM/1000), "N",
		"2e-7 I_k^2 l / a", "0.0000002 * $1^2 * $2 / $3", currentA, lengthMM, spacingMM), nil
}
