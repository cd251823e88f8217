package calc

import (
	"math"
	"testing"
)

// Rows of the worked examples, by hand: RL relay of a textbook, a contactor at three
// supplies, two pairs of cables, a fixed pre-charge time, a coil with a capacitor.
func TestClosing(t *testing.T) {
	near := func(what string, got, want, percent float64) {
		t.Helper()
		if math.Abs(got-want) > percent/100*math.Abs(want) {
			t.Errorf("%s: %v, want %v", what, got, want)
		}
	}
	value := func(v float64, err error) float64 {
		t.Helper()
		if err != nil {
			t.Error(err)
		}
		return v
	}
	near("pull-in of 50 mA at 12 V, 150 Ohm, 30 mH", value(OperateTime(0.030, 150, 7.5, 12)), 0.196166e-3, 0.1)
	for volt, ms := range map[float64]float64{14.6: 10.0263, 12: 13.3085, 8: 29.0495} {
		near("operate time", 1000*value(OperateTime(0.4, 24, 6.6, volt)), ms, 0.2)
	}
	if s, err := OperateTime(0.4, 24, 6.6, 6); err != nil || !math.IsInf(s, 1) {
		t.Errorf("below its operate voltage: %v s, %v", s, err)
	}
	near("race of relay and contactor", 1000*(value(OperateTime(0.4, 24, 6.6, 12))-value(OperateTime(0.5, 90, 7.2, 12))), 13.3085-5.0905, 0.3)
	near("cables 20 mm apart", 1e6*value(PairInductance(20, 4)), 0.743775, 0.3)
	near("cables 200 mm apart", 1e6*value(PairInductance(200, 4)), 1.66481, 0.3)
	for c, want := range map[Charging]float64{
		{SourceV: 84, SeriesOhm: 100, CapacitanceF: 3300e-6}: 1.51971,
		{SourceV: 84, SeriesOhm: 22, CapacitanceF: 1000e-6}:  0.550657,
	} {
		l, err := c.FixedTime()
		near("fixed time", value(l.Value, err), want, 0.1)
		follow(t, l)
	}
	coil := SlowCoil{SeriesOhm: 10, CoilOhm: 24, CapacitanceF: 0.047}
	near("final voltage of a coil behind 10 Ohm", coil.FinalV(12), 8.47059, 0.1)
	near("closes after", value(coil.ClosesAfter(12, 6.6)), 0.50108, 0.2)
	near("opens after", coil.OpensAfter(12, 1.2), 2.20443, 0.2)
	if s, err := coil.ClosesAfter(12, 8.80473); err != nil || !math.IsInf(s, 1) {
		t.Errorf("a hot coil closes after %v s, %v", s, err)
	}
}

// Inrush and ringing as a simulator has them: a controller, a converter, a pack that is
// plugged onto capacitors.
func TestRing(t *testing.T) {
	for name, tt := range map[string]struct{ volt, ohm, inside, henry, farad, zeta, peakA, peakV float64 }{
		"controller":  {84, 0.025, 0, 2e-6, 3300e-6, 0.507752, 1850.43, 97.1869},
		"converter":   {84, 0.025, 0, 2e-6, 220e-6, 0.131101, 728.304, 139.444},
		"plug":        {58.4, 0.030, 0, 3e-6, 1000e-6, 0.273861, 737.745, 82.2732},
		"overdamped":  {84, 0.1, 0, 1e-6, 3300e-6, 2.872281, 0, 84},
		"ten percent": {84, 0.025, 0, 2e-6, 220e-6, 0.131101, 0, 84 + 8.4*0.660046},
		// Series resistance of the capacitors, as the simulator has the voltage at their
		// terminals. With all of the resistance there and zeta = 1 it is 1 + exp(-2) times.
		"mostly inside": {109.5, 0.22, 0.2, 3.4e-6, 330e-6, 1.083703, 0, 117.42},
		"half inside":   {84, 0.05, 0.025, 2e-6, 220e-6, 0.262202, 0, 121.1},
		"all inside":    {84, 0.2, 0.2, 1e-6, 100e-6, 1, 0, 84 * (1 + 0.1353353)},
		"creeps":        {84, 0.5, 0.5, 1e-6, 100e-6, 2.5, 0, 86.75},
		"creeps, half":  {84, 0.5, 0.25, 1e-6, 100e-6, 2.5, 0, 84},
	} {
		missing := tt.volt
		if name == "ten percent" {
			missing = 8.4 // left by a pre-charge
		}
		r, err := RingUp(tt.volt, missing, tt.ohm, tt.inside, tt.henry, tt.farad)
		if err != nil || math.Abs(r.Zeta-tt.zeta) > 1e-3*tt.zeta || math.Abs(r.V-tt.peakV) > 5e-4*tt.peakV {
			t.Errorf("%s: damping %v and %v V, want %v and %v V; %v", name, r.Zeta, r.V, tt.zeta, tt.peakV, err)
		}
		for _, s := range r.Steps() {
			follow(t, s.Line)
		}
		if p, err := StepPeak(tt.volt, tt.ohm, tt.henry, tt.farad); tt.peakA > 0 && (err != nil || math.Abs(p.A-tt.peakA) > 2e-3*tt.peakA) {
			t.Errorf("%s: %v A, want %v A", name, p.A, tt.peakA)
		}
	}
}
