package calc

import "math"

// Bounds of what makes the inductance of a loop, in H: of a metre of conductor, which
// is half of that of a metre of the pair, and of the parts in it. Source: the pair of
// round conductors, (mu0/pi)(ln d/r + 1/4): 0.5 uH/m of pair with the cables touching,
// 2 uH/m with them far apart; battery, fuse and contacts 0.2 to 1 uH (common practice).
const (
	UsualHenryPerM     = 0.5e-6
	GreatestHenryPerM  = 1e-6
	GreatestHenryParts = 1e-6
)

// PairInductance is the inductance in H of a metre of a pair of round conductors, there
// and back, by the distance of their axes and their radius in mm: (mu0/pi)(ln d/r + 1/4)
// with current throughout the copper. Source: magnetostatics.
func PairInductance(spacingMM, radiusMM float64) (float64, error) {
	if err := positive(quantity{"spacing", spacingMM, "mm"}, quantity{"radius", radiusMM, "mm"}); err != nil {
		return 0, err
	}
	return 4e-7 * (math.Log(spacingMM/radiusMM) + 0.25), nil
}

// Ring is the voltage at a capacitor on which a loop of resistance and inductance is
// switched: its damping, and its highest voltage in V.
type Ring struct {
	Zeta, V float64

	volt, missing, ohm, inside, henry, farad float64
	share, at                                float64 // of the resistance inside; damping times the time of the peak
}

// RingUp is the highest voltage at the terminals of a capacitor that a contact connects to
// a source of some volts, which lacks a voltage then; of the loop's resistance some Ohm are
// inside the capacitor, its series resistance. With zeta = R/2 sqrt(C/L) and r of R inside
// it is V + dV sqrt(1 - 4 r (1 - r) zeta^2) exp(-a t_p), a t_p = zeta/sqrt(1 - zeta^2) times
// the angle at which the slope is nothing, pi with nothing inside; and V where the loop is
// damped so far that it does not swing. What is inside damps the current, but its own
// voltage comes on top of the capacitor's. Source: circuit theory, series RLC circuit, the
// step response of (2 r zeta w_0 s + w_0^2)/(s^2 + 2 zeta w_0 s + w_0^2).
func RingUp(volt, missing, ohm, insideOhm, henry, farad float64) (Ring, error) {
	if err := firstError(
		positive(quantity{"voltage", volt, "V"}, quantity{"resistance", ohm, "Ohm"}, quantity{"capacitance", farad, "F"}, quantity{"inductance", henry, "H"}),
		notNegative(quantity{"missing voltage", missing, "V"}, quantity{"series resistance", insideOhm, "Ohm"}),
	); err != nil {
		return Ring{}, err
	}
	r := Ring{Zeta: ohm / 2 * math.Sqrt(farad/henry), V: volt, volt: volt, missing: missing, ohm: ohm, inside: insideOhm, henry: henry, farad: farad}
	r.share = min(1, insideOhm/ohm)
	if r.at = r.decay(); !math.IsInf(r.at, 1) {
		r.V += missing * math.Sqrt(1-4*r.share*(1-r.share)*r.Zeta*r.Zeta) * math.Exp(-r.at)
	}
	return r, nil
}

// decay is the damping times the time of the highest voltage, +Inf if there is none above
// that of the source. Overdamped there is one only where r exceeds (1 + sqrt(1 - 1/zeta^2))/2.
func (r Ring) decay() float64 {
	lags, leads := r.lags(), r.leads()
	w := math.Sqrt(math.Abs(1 - r.Zeta*r.Zeta))
	switch {
	case r.Zeta < 1 && w > 1e-6:
		return r.Zeta / w * math.Atan2(lags, leads)
	case lags >= leads:
		return math.Inf(1)
	case w <= 1e-6:
		return 2 * r.share / leads
	}
	return r.Zeta / w * math.Atanh(lags/leads)
}

// lags and leads are the two sides of the tangent of the angle of the peak.
func (r Ring) lags() float64 { return 2 * r.share * r.Zeta * math.Sqrt(math.Abs(1-r.Zeta*r.Zeta)) }

func (r Ring) leads() float64 { return 2*r.share*r.Zeta*r.Zeta - 1 }

// Steps are how the voltage comes about.
func (r Ring) Steps() []Step {
	steps := []Step{{"zeta", "damping of the loop", line(r.Zeta, "", "R/2 sqrt(C/L)", "$1/2 * sqrt($2/$3)", r.ohm, r.farad, r.henry)}}
	add := func(symbol, what string, l Line) { steps = append(steps, Step{symbol, what, l}) }
	const highest = "highest voltage at the capacitors"
	switch {
	case math.IsInf(r.at, 1):
		add("V_pk", highest, line(r.V, "V", "V, as the loop does not swing", "$1", r.volt))
	case r.inside == 0:
		add("V_pk", highest, line(r.V, "V", "V + dV exp(-pi zeta / sqrt(1 - zeta^2))", "$1 + $2 * exp(-3.14159265 * $3 / sqrt(1 - $3^2))", r.volt, r.missing, r.Zeta))
	default:
		add("r", "share of the resistance that is inside the capacitors", line(r.share, "", "R_C / R", "$1 / $2", r.inside, r.ohm))
		if r.Zeta > 1 {
			add("d", "what is left of the tangent's sides", line(r.leads()-r.lags(), "", "2 r zeta^2 - 1 - 2 r zeta sqrt(zeta^2 - 1)",
				"2 * $1 * $2^2 - 1 - 2 * $1 * $2 * sqrt($2^2 - 1)", r.share, r.Zeta))
		}
		add("a t_p", "damping times the time of the highest voltage", r.decayLine())
		add("V_pk", highest+", with what drops in them", line(r.V, "V", "V + dV sqrt(1 - 4 r (1 - r) zeta^2) exp(-a t_p)",
			"$1 + $2 * sqrt(1 - 4 * $3 * (1 - $3) * $4^2) * exp(-$5)", r.volt, r.missing, r.share, r.Zeta, r.at))
	}
	return steps
}

// decayLine is how decay comes about: in the tangent of half the angle, overdamped by
// the difference that the step before shows.
func (r Ring) decayLine() Line {
	lags, leads, w := r.lags(), r.leads(), math.Sqrt(math.Abs(1-r.Zeta*r.Zeta))
	switch {
	case w <= 1e-6 && r.Zeta >= 1:
		return line(r.at, "", "2 r / (2 r zeta^2 - 1)", "2 * $1 / $2", r.share, leads)
	case r.Zeta > 1:
		return line(r.at, "", "zeta/(2 w) ln((2 x - d)/d), w = sqrt(zeta^2 - 1), x = 2 r zeta^2 - 1", "$1/(2 * $2) * ln((2 * $3 - $4)/$4)", r.Zeta, w, leads, leads-lags)
	}
	return line(r.at, "", "zeta/w 2 atan(y / (sqrt(x^2 + y^2) + x)), w = sqrt(1 - zeta^2), y = 2 r zeta w, x = 2 r zeta^2 - 1",
		"$1/$2 * 2 * atan($3 / (sqrt(($4)^2 + $3^2) + ($4)))", r.Zeta, w, lags, leads)
}

// OperateTime is the time in s that the current of a coil takes to what its armature
// needs: L/R ln(1 / (1 - V_op/V)); +Inf where that is never reached. The armature's
// travel comes on top. Source: circuit theory, with the inductance of the open armature.
func OperateTime(henry, ohm, operateV, volt float64) (float64, error) {
	if err := positive(quantity{"inductance", henry, "H"}, quantity{"resistance", ohm, "Ohm"}, quantity{"operate voltage", operateV, "V"},
		quantity{"voltage", volt, "V"}); err != nil {
		return 0, err
	}
	if operateV >= volt {
		return math.Inf(1), nil
	}
	return henry / ohm * -math.Log1p(-operateV/volt), nil
}

// Travel of an armature and operate times of coils of which nothing is given, in s,
// bounce left out. Source: common practice; small relays 5 to 15 ms, contactors 15 to
// 50 ms.
const (
	LeastTravelS, MostTravelS       = 0.002, 0.010
	LeastRelayS, MostRelayS         = 0.005, 0.015
	LeastContactorS, MostContactorS = 0.015, 0.050
)

// FixedTime is the time in s that a pre-charge needs which ends by time alone: the
// longer of twice the time to 90 % and that time and half a second. Source: rules of
// student competitions for vehicles above 60 V, EV.5.6.2.
func (c Charging) FixedTime() (Line, error) {
	tau, err := c.timeConstantS()
	if err != nil {
		return Line{}, err
	}
	t90 := tau * math.Ln10
	return line(max(2*t90, t90+0.5), "s", "max(2 t_90, t_90 + 0.5 s), t_90 = 2.303 tau", "max(2 * 2.302585 * $1, 2.302585 * $1 + 0.5)", tau), nil
}

// SlowCoil is a coil with a capacitor across it, fed through a resistor.
type SlowCoil struct {
	SeriesOhm, CoilOhm, CapacitanceF float64
}

// FinalV is the voltage that the coil comes to, of a supply in V.
func (c SlowCoil) FinalV(volt float64) float64 { return volt * c.CoilOhm / (c.SeriesOhm + c.CoilOhm) }

// ClosesAfter is the time in s until the coil has its operate voltage; +Inf if it never
// has. Source: circuit theory, -tau ln(1 - V_op/V_f) with tau = (R_s || R_c) C.
func (c SlowCoil) ClosesAfter(volt, operateV float64) (float64, error) {
	if err := positive(quantity{"series resistance", c.SeriesOhm, "Ohm"}, quantity{"coil resistance", c.CoilOhm, "Ohm"},
		quantity{"capacitance", c.CapacitanceF, "F"}, quantity{"supply", volt, "V"}, quantity{"operate voltage", operateV, "V"}); err != nil {
		return 0, err
	}
	final := c.FinalV(volt)
	if operateV >= final {
		return math.Inf(1), nil
	}
	tau := c.SeriesOhm * c.CoilOhm / (c.SeriesOhm + c.CoilOhm) * c.CapacitanceF
	return -tau * math.Log1p(-operateV/final), nil
}

// OpensAfter is the time in s that the capacitor still holds the coil once the supply
// has gone. Source: circuit theory, R_c C ln(V_f/V_rel).
func (c SlowCoil) OpensAfter(volt, releaseV float64) float64 {
	return c.CoilOhm * c.CapacitanceF * math.Log(c.FinalV(volt)/releaseV)
}
