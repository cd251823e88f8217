package calc

import "testing"

func TestShuntTable(t *testing.T) {
	for _, r := range published(t, "shunts") {
		a, mV := r.num(t, "rated_A"), r.num(t, "drop_mV")
		near(t, "resistance", 1e6*must[float64](t)(ShuntResistance(a, mV)), r.num(t, "resistance_uohm"), 0.001)
	}
	if _, err := ShuntResistance(0, 50); err == nil {
		t.Error("a shunt of no current is taken")
	}
	if _, err := MeterReading(300, 50, 0, 50, 100); err == nil {
		t.Error("a meter of no scale is taken")
	}
}
