package converter

import (
	"math"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestInrushHigh(t *testing.T) {
	rule := inrushHigh()
	ruletest.Example(t, rule)
	for _, vehicle := range []string{"heron", "mole", "badger"} {
		ruletest.Silent(t, rule, vehicle)
	}
	play(t, rule, []scene{
		{"the key closes on it", nil, "", outcome{verdict: rules.Passed, capability: 5000}},
		{"a key that is not made for it", edits{"switches.main.poles.drive.make_A": "100"}, "", outcome{verdict: rules.Failed, level: rules.Warning, capability: 100}},
		{"not given", edits{"switches.main.poles.drive.make_A": ""}, "", outcome{verdict: rules.NotChecked, missing: "switches.main.poles.drive.make_A"}},
		{"capacitance not given", edits{"converters.dcdc.input.capacitance_uF": ""}, "", outcome{verdict: rules.NotChecked, missing: "converters.dcdc.input.capacitance_uF"}},
		{"pre-charged by a resistor", edits{"resistors.soft": `{"role": "precharge", "resistance_Ohm": 100}`, "switches.main.poles.drive.make_A": "100",
			"wires.w60": `{"from": "main.drive_a", "to": "soft.a", "size": "2.5 mm2", "length_m": 0.1}`,
			"wires.w61": `{"from": "soft.b", "to": "main.drive_b", "size": "2.5 mm2", "length_m": 0.1}`}, "", outcome{verdict: rules.Passed}},
		{"nothing switches it", edits{"wires.w2.to": `"dcdc.in_pos"`, "wires.w3": ""}, "", outcome{verdict: rules.Passed}},
	})
}

// The series RLC circuit by its textbook cases. Critically damped, R = 2
// sqrt(L/C), the current is V t/L exp(-t/T) with T = sqrt(LC), and peaks at
// t = T: V/(e sqrt(L/C)). Without damping it is V/sqrt(L/C); with all of it, V/R.
func TestStepPeak(t *testing.T) {
	const volt, henry, farad = 100, 4e-6, 250e-6
	wave := math.Sqrt(henry / farad) // 0.12649 Ohm
	for _, tt := range []struct {
		name      string
		ohm, want float64
	}{
		{"critical", 2 * wave, volt / (math.E * wave)},
		{"hardly damped", 1e-9, volt / wave},
		{"overdamped", 1e4 * wave, volt / (1e4 * wave)},
		// R = 0.1 Ohm: a = 12500, w0 = 31622.8, w = 29047.4 1/s, t = 40.09 us, so
		// 790.57 A exp(-0.50113) = 478.98 A; a numerical integration gives the same.
		{"usual", 0.1, integrate(volt, 0.1, henry, farad)},
		{"overdamped a little", 0.4, integrate(volt, 0.4, henry, farad)},
	} {
		got, _ := stepPeak(volt, tt.ohm, henry, farad)
		if math.Abs(got-tt.want) > 1e-3*tt.want {
			t.Errorf("%s: %v, want %v", tt.name, got, tt.want)
		}
	}
	if got, _ := stepPeak(volt, 0.1, 0, farad); got != 1000 {
		t.Errorf("without inductance: %v, want 1000", got)
	}
}

// integrate finds the peak current by small steps (semi-implicit Euler).
func integrate(volt, ohm, henry, farad float64) (peak float64) {
	var i, v float64
	const dt = 1e-9
	for range 200_000 {
		i += dt / henry * (volt - v - ohm*i)
		v += dt / farad * i
		peak = max(peak, i)
	}
	return peak
}
