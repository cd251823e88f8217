package calc

import (
	"math"
	"testing"
)

func TestChargingWithBleed(t *testing.T) {
	// 96 V through 100 Ohm into 4.7 mF with 900 Ohm across it settles on 9/10.
	c := Charging{SourceV: 96, SeriesOhm: 100, CapacitanceF: 4.7e-3, BleedOhm: 900}
	near(t, "final", followed(t)(c.FinalV()), 86.4, 1e-9)
	near(t, "time constant", followed(t)(c.TimeConstant()), 90*4.7e-3, 1e-9)
	near(t, "first current", must[float64](t)(c.FirstCurrentA()), 0.96, 1e-9)
	for _, v := range []float64{1, 40, 86} {
		s := must[float64](t)(c.TimeTo(v))
		near(t, "round trip", followed(t)(c.VoltageAfter(s)), v, 1e-6)
	}
	if s := must[float64](t)(c.TimeTo(90)); !math.IsInf(s, 1) {
		t.Errorf("it reaches 90 V in %g s", s)
	}
	near(t, "empty at first", followed(t)(c.VoltageAfter(0)), 0, 0)
	near(t, "settled", followed(t)(c.VoltageAfter(1e6)), 86.4, 1e-9)
	var heat float64
	const n = 20000
	for i := range n { // the integral over 2 s, summed over small steps
		v := followed(t)(c.VoltageAfter((float64(i) + 0.5) * 2 / n))
		heat += (96 - v) * (96 - v) / 100 * 2 / n
	}
	near(t, "heat with a bleed", followed(t)(c.HeatAfter(2)), heat, 1e-6)
	c.BleedOhm = 0
	near(t, "heat of a whole charge", followed(t)(c.HeatAfter(1e6)), 21.6576, 1e-6)
	near(t, "without bleed", followed(t)(c.FinalV()), 96, 1e-9)
	for _, bad := range []Charging{{}, {96, 0, 1, 0}, {96, 1, 0, 0}, {96, 1, 1, -1}, {math.NaN(), 1, 1, 0}} {
		if v, err := bad.TimeTo(1); err == nil {
			t.Errorf("%+v takes %g s, want an error", bad, v)
		}
		if v, err := bad.VoltageAfter(1); err == nil {
			t.Errorf("%+v has %g V, want an error", bad, v.Value)
		}
	}
}

func TestChargingAgainstIntegration(t *testing.T) {
	// The energy in the resistor is C V2/2 whatever the resistance: summed over
	// small steps.
	for _, r := range []float64{10, 100, 470} {
		c := Charging{SourceV: 84, SeriesOhm: r, CapacitanceF: 3.3e-3}
		tau := followed(t)(c.TimeConstant())
		var energy float64
		const n = 20000
		dt := 12 * tau / n
		for i := range n {
			v := followed(t)(c.VoltageAfter((float64(i) + 0.5) * dt))
			a := (84 - v) / r
			energy += a * a * r * dt
		}
		near(t, "resistor energy", followed(t)(c.ResistorEnergy()), energy, 0.01)
	}
}

func TestTouchEnergy(t *testing.T) {
	near(t, "at 84 V", follow(t, TouchEnergy(3.3e-3, 84)), 3.3e-3*(84*84-3600)/2, 1e-9)
	near(t, "at 60 V", follow(t, TouchEnergy(3.3e-3, 60)), 0, 0)
	near(t, "at 48 V", follow(t, TouchEnergy(3.3e-3, 48)), 0, 0)
}

func TestDischargeBoundaries(t *testing.T) {
	near(t, "already there", followed(t)(DischargeTime(1e4, 1e-3, 50, 60)), 0, 0)
	r := must[float64](t)(DischargeResistor(60, 3.3e-3, 84, 60))
	near(t, "round trip", followed(t)(DischargeTime(r, 3.3e-3, 84, 60)), 60, 1e-9)
	for name, f := range map[string]func() (float64, error){
		"no bleed":              valueOf(DischargeTime(0, 1, 84, 60)),
		"down to nothing":       valueOf(DischargeTime(1, 1, 84, 0)),
		"resistor for no fall":  func() (float64, error) { return DischargeResistor(1, 1, 60, 60) },
		"loop of no resistance": valueOf(Inrush(84, 80, 0)),
	} {
		if v, err := f(); err == nil {
			t.Errorf("%s: %g, want an error", name, v)
		}
	}
}
