package calc

import "math"

// Charging is a capacitor charged from a voltage through a resistor, with or
// without a bleed resistor across it.
type Charging struct {
	SourceV      float64
	SeriesOhm    float64
	CapacitanceF float64
	BleedOhm     float64 // 0 for none
}

func (c Charging) check() error {
	return firstError(
		positive(
			quantity{"source voltage", c.SourceV, "V"},
			quantity{"series resistance", c.SeriesOhm, "Ohm"},
			quantity{"capacitance", c.CapacitanceF, "F"}),
		notNegative(quantity{"bleed resistance", c.BleedOhm, "Ohm"}),
	)
}

// divider is the share of the source voltage that the bleed resistor leaves.
func (c Charging) divider() float64 {
	if c.BleedOhm == 0 {
		return 1
	}
	return c.BleedOhm / (c.BleedOhm + c.SeriesOhm)
}

// FinalV is the voltage in V on which the capacitor settles. Source: circuit
// theory (voltage divider).
func (c Charging) FinalV() (Line, error) {
	if err := c.check(); err != nil {
		return Line{}, err
	}
	numbers := "$1"
	if c.BleedOhm > 0 {
		numbers = "$1 * $2 / ($2 + $3)"
	}
	return line(c.SourceV*c.divider(), "V", "V_w R_b / (R_b + R_s), or V_w without a bleed resistor", numbers,
		c.SourceV, c.BleedOhm, c.SeriesOhm), nil
}

// TimeConstant is the time constant in s: C times both resistors in parallel.
// Source: circuit theory.
func (c Charging) TimeConstant() (Line, error) {
	if err := c.check(); err != nil {
		return Line{}, err
	}
	numbers := "$1e-6 * $2"
	if c.BleedOhm > 0 {
		numbers = "$1e-6 * $2 * $3 / ($3 + $2)"
	}
	return line(c.SeriesOhm*c.divider()*c.CapacitanceF, "s", "C R_s R_b / (R_b + R_s), or C R_s", numbers,
		1e6*c.CapacitanceF, c.SeriesOhm, c.BleedOhm), nil
}

// timeConstantS is the time constant where the numbers hold.
func (c Charging) timeConstantS() (float64, error) {
	l, err := c.TimeConstant()
	return l.Value, err
}

// VoltageAfter is the voltage in V after s seconds from empty. Source: circuit
// theory, v = Vf (1 - exp(-t/tau)).
func (c Charging) VoltageAfter(s float64) (Line, error) {
	tau, err := c.timeConstantS()
	if err := firstError(err, notNegative(quantity{"time", s, "s"})); err != nil {
		return Line{}, err
	}
	return line(-c.SourceV*c.divider()*math.Expm1(-s/tau), "V", "V_f (1 - exp(-t / tau))", "$1 * (1 - exp(-$2 / $3))",
		c.SourceV*c.divider(), s, tau), nil
}

// TimeTo is the time in s from empty to a voltage; +Inf if it settles below.
// Source: circuit theory.
func (c Charging) TimeTo(voltageV float64) (float64, error) {
	tau, err := c.timeConstantS()
	if err := firstError(err, notNegative(quantity{"voltage", voltageV, "V"})); err != nil {
		return 0, err
	}
	final := c.SourceV * c.divider()
	if voltageV >= final {
		return math.Inf(1), nil
	}
	return -tau * math.Log1p(-voltageV/final), nil
}

// FirstCurrentA is the current in A at the start, into the empty capacitor.
// Source: circuit theory.
func (c Charging) FirstCurrentA() (float64, error) {
	if err := c.check(); err != nil {
		return 0, err
	}
	return c.SourceV / c.SeriesOhm, nil
}

// ResistorEnergy is the heat in J in the series resistor of one whole charge
// without bleed current: C V2/2, whatever the resistance. Source: circuit
// theory.
func (c Charging) ResistorEnergy() (Line, error) {
	if err := c.check(); err != nil {
		return Line{}, err
	}
	return line(CapacitorEnergyJ(c.CapacitanceF, c.SourceV), "J", "C V^2 / 2", "$1e-6 * $2^2 / 2", 1e6*c.CapacitanceF, c.SourceV), nil
}

// HeatAfter is the heat in J in the series resistor within s seconds from empty,
// with what the bleed resistor draws through it: the integral of R i^2 with i =
// V/R (1 - d + d exp(-t/tau)), d being the share of the source on which the
// capacitor settles. Source: circuit theory.
func (c Charging) HeatAfter(s float64) (Line, error) {
	tau, err := c.timeConstantS()
	if err := firstError(err, notNegative(quantity{"time", s, "s"})); err != nil {
		return Line{}, err
	}
	d := c.divider()
	rest, once, twice := 1-d, -math.Expm1(-s/tau), -math.Expm1(-2*s/tau)
	return line(c.SourceV*c.SourceV/c.SeriesOhm*(rest*rest*s+2*d*rest*tau*once+d*d*tau/2*twice), "J",
		"V_w^2 / R_s ((1-d)^2 t + 2 d (1-d) tau (1 - exp(-t/tau)) + d^2 tau/2 (1 - exp(-2t/tau)))",
		"$1^2 / $2 * ((1-$3)^2 * $4 + 2 * $3 * (1-$3) * $5 * (1 - exp(-$4/$5)) + $3^2 * $5/2 * (1 - exp(-2*$4/$5)))",
		c.SourceV, c.SeriesOhm, d, s, tau), nil
}

// Inrush is the current in A when a contact joins a source with a capacitor at
// a lower voltage: their difference over the loop resistance. Inductance, left
// out, lowers it. Source: circuit theory.
func Inrush(sourceV, capacitorV, loopOhm float64) (Line, error) {
	if err := firstError(
		notNegative(quantity{"source voltage", sourceV, "V"}, quantity{"capacitor voltage", capacitorV, "V"}),
		positive(quantity{"loop resistance", loopOhm, "Ohm"}),
	); err != nil {
		return Line{}, err
	}
	difference := math.Abs(sourceV - capacitorV)
	return line(difference/loopOhm, "A", "dV / R_loop", "$1 / ($2 / 1000)", difference, 1000*loopOhm), nil
}

// CapacitorEnergyJ is the energy in J of a charged capacitor: C V2/2. Source:
// circuit theory.
func CapacitorEnergyJ(capacitanceF, voltageV float64) float64 {
	return capacitanceF * voltageV * voltageV / 2
}

// TouchEnergy is the energy in J above the limit of voltage class A: C (V2 -
// 60^2)/2, and 0 up to 60 V. Source: UN R94 and R95 count it so (from memory).
func TouchEnergy(capacitanceF, voltageV float64) Line {
	above := CapacitorEnergyJ(capacitanceF, voltageV) - CapacitorEnergyJ(capacitanceF, ClassALimitV)
	if above <= 0 {
		return line(0, "J", "0 up to V_A", "")
	}
	return line(above, "J", "C (V^2 - V_A^2) / 2", "$1e-6 * ($2^2 - $3^2) / 2", 1e6*capacitanceF, voltageV, ClassALimitV)
}

// DischargeTime is the time in s in which a bleed resistor brings a capacitor
// from one voltage to another: R C ln(V0/V). It is 0 if it starts lower.
// Source: circuit theory.
func DischargeTime(bleedOhm, capacitanceF, fromV, toV float64) (Line, error) {
	if err := positive(
		quantity{"bleed resistance", bleedOhm, "Ohm"}, quantity{"capacitance", capacitanceF, "F"},
		quantity{"starting voltage", fromV, "V"}, quantity{"final voltage", toV, "V"},
	); err != nil {
		return Line{}, err
	}
	if fromV <= toV {
		return line(0, "s", "0 when V <= V_A", ""), nil
	}
	return line(bleedOhm*capacitanceF*math.Log(fromV/toV), "s", "R C ln(V / V_A)", "$1 * $2e-6 * ln($3 / $4)",
		bleedOhm, 1e6*capacitanceF, fromV, toV), nil
}

// DischargeResistor is the bleed resistance in Ohm that does so in a time.
// Source: circuit theory.
func DischargeResistor(s, capacitanceF, fromV, toV float64) (float64, error) {
	if err := positive(
		quantity{"time", s, "s"}, quantity{"capacitance", capacitanceF, "F"},
		quantity{"starting voltage", fromV, "V"}, quantity{"final voltage", toV, "V"},
	); err != nil {
		return 0, err
	}
	if fromV <= toV {
		return 0, quantity{"starting voltage", fromV, "V"}.fault("must be above the final voltage")
	}
	return s / (capacitanceF * math.Log(fromV/toV)), nil
}
