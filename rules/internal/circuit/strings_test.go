package circuit_test

import (
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"

	"example.org/headroom/rules/internal/circuit"
)

func sound(t *testing.T, name string) (*circuit.Network, []circuit.SeriesString) {
	t.Helper()
	n := circuit.New(loadVehicle(t, "../../../testdata/sound/"+name+".yaml"))
	return n, n.Strings()
}

func TestStrings(t *testing.T) {
	for name, want := range map[string][]string{
		"series-string":   {"b4 and b3 and b2 and b1"}, // from the negative end up
		"parallel-packs":  {"pack", "pack2"},
		"house-12v":       {"aux"},
		"shared-negative": {"aux", "pack"},
	} {
		n, all := sound(t, name)
		var got []string
		for _, s := range all {
			got = append(got, s.Name())
		}
		if diff := cmp.Diff(want, got); diff != "" {
			t.Errorf("%s: strings (-want +got):\n%s", name, diff)
		}
		for _, s := range all {
			if again := n.StringsAcross(s.Pos(), s.Neg()); len(again) == 0 {
				t.Errorf("%s: %s is not across itself", name, s.Name())
			}
		}
	}
}

// Four batteries of 11.2 to 14.6 V and 4 mOhm.
func TestStringOfFour(t *testing.T) {
	n, all := sound(t, "series-string")
	s := all[0]
	if v := s.V(n.Spec, circuit.Highest); math.Abs(v-58.4) > 1e-9 {
		t.Errorf("full: %v V, want 58.4", v)
	}
	if v := s.V(n.Spec, circuit.Lowest); math.Abs(v-44.8) > 1e-9 {
		t.Errorf("empty: %v V, want 44.8", v)
	}
	if ohm, missing := s.Ohm(n, circuit.Typical); missing != "" || math.Abs(ohm-0.016) > 1e-12 {
		t.Errorf("%v Ohm, missing %q, want 0.016", ohm, missing)
	}
	if !n.Feeds(s, n.Edge("drive")) {
		t.Error("the string does not feed the controller")
	}
	if n.Feeds(s[:1], n.Edge("drive")) {
		t.Error("one battery of the string feeds the controller")
	}
}
