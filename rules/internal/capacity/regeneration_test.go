package capacity

import (
	"math"
	"testing"

	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/ruletest"
	"example.org/headroom/schema"
)

func sound(t *testing.T, name string) (*circuit.Network, []circuit.SeriesString) {
	t.Helper()
	n := circuit.New(ruletest.Load(t, "../../../testdata/sound/"+name+".yaml"))
	return n, n.Strings()
}

// Packs of 10 and 30 mOhm share three to one. What takes 50 A of each takes
// 66.7 A in all, since the first has three quarters of it.
func TestShare(t *testing.T) {
	n, all := sound(t, "parallel-packs")
	pair := n.StringsAcross(all[0].Pos(), all[0].Neg())
	if len(pair) != 2 {
		t.Fatalf("%d packs in parallel, want 2", len(pair))
	}
	n.Spec.Batteries["pack"].ResistanceMOhm.Typ = schema.Some(10)
	n.Spec.Batteries["pack2"].ResistanceMOhm.Typ = schema.Some(30)
	if share := n.Share(pair, pair[0]); math.Abs(share-0.75) > 1e-9 {
		t.Errorf("share of the first %v, want 0.75", share)
	}
	if a, missing := ChargeLimit(n, pair, Burst{}); missing != "" || math.Abs(a-50/0.75) > 1e-9 {
		t.Errorf("they take %v A, missing %q, want 66.7", a, missing)
	}
	n.Spec.Batteries["pack2"].ChargeMaxA = schema.Number{}
	if _, missing := ChargeLimit(n, pair, Burst{}); missing != "batteries.pack2.charge_max_A" {
		t.Errorf("missing %q", missing)
	}
}

// A pack that takes 50 A continuously and 120 A for 10 s: so it does while that is no
// more than 50 A in the mean of all time.
func TestChargeA(t *testing.T) {
	b := &schema.Battery{ChargeMaxA: schema.Some(50), ChargePeakA: schema.Some(120), ChargePeakS: schema.Some(10)}
	for name, tc := range map[string]struct {
		u     Burst
		want  float64
		field string
	}{
		"continuous":       {Burst{}, 50, "charge_max_A"},
		"a brake":          {Burst{8, 0.1}, 120, "charge_peak_A"},
		"as long as it is": {Burst{10, 0}, 120, "charge_peak_A"},
		"longer":           {Burst{11, 0.1}, 50, "charge_max_A"},
		"every other time": {Burst{8, 0.5}, 100, "charge_max_A"},
		"all the time":     {Burst{8, 1}, 50, "charge_max_A"},
	} {
		if a, field := ChargeA(b, tc.u); math.Abs(a.Value-tc.want) > 1e-9 || field != tc.field {
			t.Errorf("%s: %v A by %s, want %v A by %s", name, a.Value, field, tc.want, tc.field)
		}
	}
	if a, _ := ChargeA(&schema.Battery{ChargePeakA: schema.Some(120)}, Burst{8, 0}); a.Known {
		t.Errorf("a peak without its time: %v A", a.Value)
	}
}
