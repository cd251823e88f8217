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
	if a, missing := ChargeLimit(n, pair); missing != "" || math.Abs(a-50/0.75) > 1e-9 {
		t.Errorf("they take %v A, missing %q, want 66.7", a, missing)
	}
	n.Spec.Batteries["pack2"].ChargeMaxA = schema.Number{}
	if _, missing := ChargeLimit(n, pair); missing != "batteries.pack2.charge_max_A" {
		t.Errorf("missing %q", missing)
	}
}
