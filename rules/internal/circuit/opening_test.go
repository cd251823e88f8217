package circuit_test

import (
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/repository"
	"example.org/headroom/rules/ruletest"
)

// openings lists what can cut a controller off in a mode of a sound vehicle, and what
// stays connected to it then.
func openings(t *testing.T, vehicle []string, mode string, edits ...rules.Edit) map[string][]string {
	t.Helper()
	n := circuit.New(ruletest.Changed(t, repository.Testdata(vehicle...), edits...))
	out := map[string][]string{}
	for _, o := range n.Solve(circuit.Case{Mode: mode}).Openings(n.Edge("drive")) {
		by := "the batteries"
		if o.By != nil {
			by = o.By.ID
		}
		for _, e := range o.Beside {
			switch e.Kind {
			case circuit.ControllerEdge, circuit.ConverterInput, circuit.BatteryEdge:
				out[by] = append(out[by], e.ID)
			}
		}
		slices.Sort(out[by])
	}
	return out
}

func TestOpenings(t *testing.T) {
	for _, tc := range []struct {
		name    string
		vehicle []string
		mode    string
		edits   []rules.Edit
		want    map[string][]string
	}{
		{"a single way", []string{"first", "first.yaml"}, "cruise", nil, map[string][]string{
			"main": {"drive"}, "isolator": {"drive"}, "main_contactor.contact": {"drive"}, "the batteries": {"drive", "pack"}}},
		// The converter hangs on the battery side of the contactor.
		{"a converter before the contactor", []string{"fleet", "mole"}, "cruise", nil, map[string][]string{
			"main": {"converter.in", "drive"}, "isolator": {"converter.in", "drive"}, "main_contactor.contact": {"drive"}, "the batteries": {"converter.in", "drive", "pack"}}},
		// What opens in one of the packs leaves the other.
		{"two packs", []string{"sound", "parallel-packs.yaml"}, "cruise", nil, map[string][]string{
			"isolator": {"drive"}, "main_contactor.contact": {"drive"}, "the batteries": {"drive", "pack", "pack2"}}},
		{"nothing joins it to a battery", []string{"first", "first.yaml"}, "parked", nil, map[string][]string{}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			if diff := cmp.Diff(tc.want, openings(t, tc.vehicle, tc.mode, tc.edits...)); diff != "" {
				t.Errorf("(-want +got)\n%s", diff)
			}
		})
	}
	t.Run("a string of batteries", func(t *testing.T) {
		got := openings(t, []string{"sound", "series-string.yaml"}, "cruise")
		if len(got["main_contactor.contact"]) != 1 || got["the batteries"] == nil {
			t.Errorf("%v", got)
		}
	})
}

func TestPhaseCables(t *testing.T) {
	path := repository.Testdata("fleet", "mole")
	for _, tc := range []struct {
		name  string
		edits []rules.Edit
		by    string
		want  []string
	}{
		{"three cables", nil, "drive", []string{"w_phase_u", "w_phase_v", "w_phase_w"}},
		{"two phases exchanged", ruletest.Edits("wires.w_phase_u.to", `"motor.v"`, "wires.w_phase_v.to", `"motor.u"`), "drive", []string{"w_phase_u", "w_phase_v", "w_phase_w"}},
		{"over a stud", ruletest.Edits("studs.joint", `{}`, "wires.w_phase_u.to", `"joint.stud"`, "wires.far", `{"from": "joint.stud", "to": "motor.u", "size": "70 mm2", "length_m": 0.2}`),
			"drive", []string{"far", "w_phase_u", "w_phase_v", "w_phase_w"}},
		{"no motor", ruletest.Edits("wires.w_phase_u", "", "wires.w_phase_v", "", "wires.w_phase_w", ""), "", nil},
	} {
		t.Run(tc.name, func(t *testing.T) {
			n := circuit.New(ruletest.Changed(t, path, tc.edits...))
			var ids []string
			for _, e := range n.PhaseCables("drive", "motor") {
				ids = append(ids, e.ID)
			}
			slices.Sort(ids)
			if by := n.DrivenBy("motor"); by != tc.by || !cmp.Equal(ids, tc.want) {
				t.Errorf("driven by %q over %v, want %q over %v", by, ids, tc.by, tc.want)
			}
		})
	}
}
