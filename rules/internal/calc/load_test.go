package calc

import "testing"

func TestLoadCurrent(t *testing.T) {
	for _, tc := range []struct {
		kind         LoadKind
		want, linear float64 // at 14.4 V, of 60 W at 12 V
	}{
		{"led", 60 / 14.4, 60 / 14.4},
		{"electronic", 60 / 14.4, 60 / 14.4},
		{"motor", 5, 5},
		{"filament", 5.5274, 6}, // 5 A * 1.2^0.55
		{"resistive", 6, 6},
		{"inductive", 6, 6},
	} {
		l := Load{tc.kind.Law(), 60, 12}
		near(t, string(tc.kind), follow(t, l.Current("V", 14.4)), tc.want, 0.01)
		near(t, string(tc.kind)+" where it is stated", follow(t, l.Current("V", 12)), l.RatedA(), 0)
		l.Law = l.Law.Linear()
		near(t, string(tc.kind)+" in a circuit", follow(t, l.Current("V", 14.4)), tc.linear, 1e-9)
		if l.Law == ConstantResistance {
			near(t, string(tc.kind)+" as a resistance", 14.4/l.Ohm(), tc.linear, 1e-9)
		}
	}
	if got := (Load{Filament, 60, 12}).Current("V_out", 14).Formula(); got != "P / U (V_out / U)^0.55" {
		t.Errorf("formula %q", got)
	}
}

func TestOhmicCurrent(t *testing.T) {
	near(t, "a resistor", follow(t, OhmicCurrent("V_max", 84, 100)), 0.84, 0)
	near(t, "a stated current", follow(t, Milliamperes("i", 250)), 0.25, 0)
}

func TestInrush(t *testing.T) {
	least, greatest := FilamentInrush()
	for kind, want := range map[LoadKind]float64{"motor": 6, "filament": follow(t, least), "led": 1, "inductive": 1} {
		near(t, string(kind), follow(t, kind.Inrush()), want, 0)
	}
	if least.Value >= greatest.Value {
		t.Errorf("from %g to %g", least.Value, greatest.Value)
	}
}
