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
func (c Charging) FinalV() (float64, error) {
	if err := c.check(); err != nil {
		return 0, err
	}
	return c.SourceV * c.divider(), nil
}

// TimeConstantS is the time constant in s: C times both resistors in parallel.
// Source: circuit theory.
func (c Charging) TimeConstantS() (float64, error) {
	if err := c.check(); err != nil {
		return 0, err
	}
	return c.SeriesOhm * c.divider() * c.CapacitanceF, nil
}

// VoltageAfter is the voltage in V after s seconds from empty. Source: circuit
// theory, v = Vf (1 - exp(-t/tau)).
func (c Charging) VoltageAfter(s float64) (float64, error) {
	tau, err := c.TimeConstantS()
	if err := firstError(err, notNegative(quantity{"time", s, "s"})); err != nil {
		return 0, err
	}
	return -c.SourceV * c.divider() * math.Expm1(-s/tau), nil
}

// TimeTo is the time in s from empty to a voltage; +Inf if it settles below.
// Source: circuit theory.
func (c Charging) TimeTo(voltageV float64) (float64, error) {
	tau, err := c.TimeConstantS()
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

// ResistorEnergyJ is the heat in J in the series resistor of one whole charge
// without bleed current: C V2/2, whatever the resistance. Source: circuit
// theory.
func (c Charging) ResistorEnergyJ() (float64, error) {
	if err := c.check(); err != nil {
		return 0, err
	}
	return CapacitorEnergyJ(c.CapacitanceF, c.SourceV), nil
}

// HeatAfterJ is the heat in J in the series resistor within s seconds from empty,
// with what the bleed resistor draws through it: the integral of R i^2 with i =
// V/R (1 - d + d exp(-t/tau)), d being the share of the source on which the
// capacitor settles. Source: circuit theory.
func (c Charging) HeatAfterJ(s float64) (float64, error) {
	tau, err := c.TimeConstantS()
	if err := firstError(err, notNegative(quantity{"time", s, "s"})); err != nil {
		return 0, err
	}
	d := c.divider()
	rest, once, twice := 1-d, -math.Expm1(-s/tau), -math.Expm1(-2*s/tau)
	return c.SourceV * c.SourceV / c.SeriesOhm * (rest*rest*s + 2*d*rest*tau*once + d*d*tau/2*twice), nil
}

// ChargeResistor is the resistance in Ohm that charges a capacitor to a share
// of the source in a time. Source: circuit theory.
func ChargeResistor(capacitanceF, fraction, s float64) (float64, error) {
	if err := firstError(
		positive(quantity{"capacitance", capacitanceF, "F"}, quantity{"time", s, "s"}),
		fractionBelowOne(fraction),
	); err != nil {
		return 0, err
	}
	return -s / (capacitanceF * math.Log1p(-fraction)), nil
}

func fractionBelowOne(f float64) error {
	if !(f > 0 && f < 1) {
		return quantity{"charged share", f, ""}.fault("must be above 0 and below 1")
	}
	return nil
}

// ChargedFraction is the share of the final voltage after a number of time
// constants: 1 - exp(-n). Source: circuit theory.
func ChargedFraction(timeConstants float64) float64 { return -math.Expm1(-max(0, timeConstants)) }

// InrushA is the current in A when a contact joins a source with a capacitor at
// a lower voltage: their difference over the loop resistance. Inductance, left
// out, lowers it. Source: circuit theory.
func InrushA(sourceV, capacitorV, loopOhm float64) (float64, error) {
	if err := firstError(
		notNegative(quantity{"source voltage", sourceV, "V"}, quantity{"capacitor voltage", capacitorV, "V"}),
		positive(quantity{"loop resistance", loopOhm, "Ohm"}),
	); err != nil {
		return 0, err
	}
	return math.Abs(sourceV-capacitorV) / loopOhm, nil
}

// InrushI2t is the I2t in A2s of that current as the capacitor fills:
// (dV)2 C / 2R. Source: circuit theory.
func InrushI2t(differenceV, loopOhm, capacitanceF float64) (float64, error) {
	if err := firstError(
		positive(quantity{"loop resistance", loopOhm, "Ohm"}),
		notNegative(quantity{"capacitance", capacitanceF, "F"}),
		within(quantity{"voltage difference", differenceV, "V"}, -math.MaxFloat64, math.MaxFloat64),
	); err != nil {
		return 0, err
	}
	return differenceV * differenceV * capacitanceF / (2 * loopOhm), nil
}

// CapacitorEnergyJ is the energy in J of a charged capacitor: C V2/2. Source:
// circuit theory.
func CapacitorEnergyJ(capacitanceF, voltageV float64) float64 {
	return capacitanceF * voltageV * voltageV / 2
}

// TouchEnergyJ is the energy in J above the limit of voltage class A: C (V2 -
// 60^2)/2, and 0 up to 60 V. Source: UN R94 and R95 count it so (from memory).
func TouchEnergyJ(capacitanceF, voltageV float64) float64 {
	return max(0, CapacitorEnergyJ(capacitanceF, voltageV)-CapacitorEnergyJ(capacitanceF, ClassALimitV))
}

// EnergyLimitF is the capacitance in F that holds an energy at a voltage.
// Source: circuit theory.
func EnergyLimitF(energyJ, voltageV float64) (float64, error) {
	if err := positive(quantity{"energy", energyJ, "J"}, quantity{"voltage", voltageV, "V"}); err != nil {
		return 0, err
	}
	return 2 * energyJ / (voltageV * voltageV), nil
}

// DischargeTime is the time in s in which a bleed resistor brings a capacitor
// from one voltage to another: R C ln(V0/V). It is 0 if it starts lower.
// Source: circuit theory.
func DischargeTime(bleedOhm, capacitanceF, fromV, toV float64) (float64, error) {
	if err := positive(
		quantity{"bleed resistance", bleedOhm, "Ohm"}, quantity{"capacitance", capacitanceF, "F"},
		quantity{"starting voltage", fromV, "V"}, quantity{"final voltage", toV, "V"},
	); err != nil {
		return 0, err
	}
	return bleedOhm * capacitanceF * max(0, math.Log(fromV/toV)), nil
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
