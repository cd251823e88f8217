package calc

import (
	"math"
	"testing"
)

func TestCoilTemperature(t *testing.T) {
	near(t, "at nominal", followed(t)(CoilTemperature(40, 50, 12, 12)), 90, 1e-9)
	near(t, "at 14.6 of 12 V", followed(t)(CoilTemperature(40, 50, 14.6, 12)), 40+50*(14.6/12)*(14.6/12), 1e-9)
	for _, tc := range [][4]float64{{40, -1, 12, 12}, {40, 50, 12, 0}, {40, 50, -1, 12}, {math.NaN(), 50, 12, 12}} {
		if c, err := CoilTemperature(tc[0], tc[1], tc[2], tc[3]); err == nil {
			t.Errorf("CoilTemperature%v = %g, want an error", tc, c.Value)
		}
	}
}

func TestCoilMaxVoltage(t *testing.T) {
	// At the limit the resistance is fixed, so V2 goes with the rise left.
	near(t, "at 20 C", followed(t)(CoilMaxVoltage(18, 20, 130, 20)), 18, 1e-9)
	near(t, "at 75 C", followed(t)(CoilMaxVoltage(18, 20, 130, 75)), 18*math.Sqrt(0.5), 1e-9)
	near(t, "at the limit", followed(t)(CoilMaxVoltage(18, 20, 130, 130)), 0, 0)
	near(t, "above the limit", followed(t)(CoilMaxVoltage(18, 20, 130, 150)), 0, 0)
	near(t, "stated for 60 C", followed(t)(CoilMaxVoltage(18, 60, 130, 95)), 18*math.Sqrt(0.5), 1e-9)
	for _, tc := range [][4]float64{{0, 20, 130, 20}, {18, 20, 20, 20}, {18, 130, 130, 100}, {18, 20, math.NaN(), 20}, {18, 20, 130, math.NaN()}} {
		if v, err := CoilMaxVoltage(tc[0], tc[1], tc[2], tc[3]); err == nil {
			t.Errorf("CoilMaxVoltage%v = %g, want an error", tc, v.Value)
		}
	}
	// The promise of the formula: at that voltage a coil of the rise that 18 V
	// give in 20 C reaches just 130 C.
	v := followed(t)(CoilMaxVoltage(18, 20, 130, 60))
	near(t, "temperature then", followed(t)(CoilTemperature(60, 110, v, 18)), 130, 1e-9)
}
