package review

import (
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"example.org/headroom/cmd/internal/report"
	"example.org/headroom/rules"
	"example.org/headroom/rules/catalogue"
	"example.org/headroom/rules/ruletest"
	"example.org/headroom/schema"
)

func heron(t *testing.T, edits ...rules.Edit) Revision {
	t.Helper()
	spec := ruletest.Edited(t, "heron", edits)
	return Revision{spec, ruletest.Run(t, spec, catalogue.All())}
}

func compare(t *testing.T, old, now Revision) *report.Comparison {
	t.Helper()
	c, err := Compare(t.Context(), old, now, catalogue.All(), 0.01)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func editsOf(c *report.Comparison) []string {
	var out []string
	for _, e := range c.Edits {
		out = append(out, e.String())
	}
	return out
}

func TestEdits(t *testing.T) {
	old := ruletest.Edited(t, "heron", nil)
	now := ruletest.Edited(t, "heron", []rules.Edit{
		{Path: "wires.w_head_neg.length_m", Value: "2.4"},
		{Path: "policy.fault_clearing_s", Value: "5"}, // the default, written out
		{Path: "policy.live_V", Value: "6"},
		{Path: "wires.w_turn_front_neg"},
		{Path: "fuses.extra", Value: `{"class": "blade", "rated_A": 5}`},
		{Path: "modes.idle", Value: `{}`},
		{Path: "fuses.main.opening.max", Value: `[{"current_A": 400, "s": 1800}]`},
	})
	var got []string
	for _, e := range Edits(old, now) {
		got = append(got, e.String())
	}
	for _, want := range []string{"w_head_neg length_m 1.8 m -> 2.4 m", "policy live_V 5 V -> 6 V", "w_turn_front_neg removed", "extra added", "mode idle added"} {
		found := false
		for _, g := range got {
			found = found || g == want
		}
		if !found {
			t.Errorf("no edit %q in\n%s", want, strings.Join(got, "\n"))
		}
	}
	if len(got) != 6 {
		t.Errorf("%d edits, want 6:\n%s", len(got), strings.Join(got, "\n"))
	}
}

// TestNoEdits compares a vehicle with itself in other formats.
func TestNoEdits(t *testing.T) {
	load := func(name string) *schema.Spec { return ruletest.Load(t, "../../../testdata/formats/"+name) }
	for _, other := range []string{"tern.cue", "tern.json"} {
		if diff := cmp.Diff([]report.Edit(nil), Edits(load("tern.yaml"), load(other))); diff != "" {
			t.Errorf("%s: %s", other, diff)
		}
	}
}

// TestSingleEditIsNamedAlone checks that a change of one value is the cause of
// all that moved.
func TestSingleEditIsNamedAlone(t *testing.T) {
	old := heron(t)
	for _, edit := range []rules.Edit{
		{Path: "wires.w_head_neg.length_m", Value: "6"},
		{Path: "vehicle.ambient_C.max", Value: "46"},
		{Path: "batteries.pack.resistance_mOhm", Value: `{"min": 12, "typ": 30, "max": 60}`},
		{Path: "loads.headlamp.power_W", Value: "40"},
	} {
		t.Run(edit.Path, func(t *testing.T) {
			c := compare(t, old, heron(t, edit))
			if len(c.Changes) != 1 || len(c.Moves) == 0 {
				t.Fatalf("%d changes, %d moves", len(c.Changes), len(c.Moves))
			}
			for _, m := range c.Moves {
				if len(m.Cause.Shares) != 1 || m.Cause.Interact || m.Cause.Shares[0].Change.Edits[0].Path != edit.Path {
					t.Errorf("%s: %d shares, interact %v", m.Key(), len(m.Cause.Shares), m.Cause.Interact)
				}
				if m.Factor > 0 && math.Abs(m.Cause.Shares[0].Factor/m.Factor-1) > 1e-6 {
					t.Errorf("%s: share %v of the whole %v", m.Key(), m.Cause.Shares[0].Factor, m.Factor)
				}
			}
		})
	}
}

// TestIndependentEditsMultiply checks that the shares of two edits that have
// nothing to do with each other multiply to the whole.
func TestIndependentEditsMultiply(t *testing.T) {
	old := heron(t)
	now := heron(t,
		rules.Edit{Path: "fuses.main.breaking_A_dc", Value: "9000"},
		rules.Edit{Path: "batteries.pack.max_V", Value: "83"},
		rules.Edit{Path: "wires.w_horn_button.length_m", Value: "3"})
	c := compare(t, old, now)
	for _, m := range c.Moves {
		product := 1.0
		for _, s := range m.Cause.Shares {
			product *= s.Factor
		}
		if m.Factor > 0 && math.Abs(product/m.Factor-1) > 0.005 {
			t.Errorf("%s: shares multiply to %v, whole %v", m.Key(), product, m.Factor)
		}
	}
	find := func(key string) report.Move {
		for _, m := range c.Moves {
			if m.Key() == key {
				return m
			}
		}
		t.Fatalf("%s did not move", key)
		return report.Move{}
	}
	// I_k goes with max_V: 84 -> 83; the capacity 10000 -> 9000.
	breaking := find("fuse-breaking-low/main")
	if len(breaking.Cause.Shares) != 2 || breaking.Cause.Interact {
		t.Fatalf("breaking capacity: %+v", breaking.Cause)
	}
	want := map[string]float64{"fuses.main.breaking_A_dc": 0.9, "batteries.pack.max_V": 84.0 / 83}
	for _, s := range breaking.Cause.Shares {
		if w := want[s.Change.Edits[0].Path]; math.Abs(s.Factor-w) > 1e-4 {
			t.Errorf("%s: factor %v, want %v", s.Change, s.Factor, w)
		}
	}
	horn := find("load-drop-high/horn")
	if len(horn.Cause.Shares) != 1 || horn.Cause.Shares[0].Change.Edits[0].Path != "wires.w_horn_button.length_m" {
		t.Errorf("horn: %+v", horn.Cause)
	}
}

// TestWiringIsOneChange adds a branch of a fuse, a load and its wires, which
// make no sense one by one.
func TestWiringIsOneChange(t *testing.T) {
	old := heron(t)
	now := heron(t,
		rules.Edit{Path: "fuses.pump_fuse", Value: `{"class": "blade", "rated_A": 10, "rated_V_dc": 32, "breaking_A_dc": 1000, "source": "sheet FU-L rev E"}`},
		rules.Edit{Path: "loads.pump", Value: `{"kind": "motor", "power_W": 60, "at_V": 13.2, "min_V": 10, "max_V": 16}`},
		rules.Edit{Path: "wires.w_p1", Value: `{"from": "house_plus.stud", "to": "pump_fuse.a", "size": "2.5 mm2", "length_m": 0.1, "insulation": {"max_C": 105, "rated_V": 60}}`},
		rules.Edit{Path: "wires.w_p2", Value: `{"from": "pump_fuse.b", "to": "pump.pos", "size": "2.5 mm2", "length_m": 1, "insulation": {"max_C": 105, "rated_V": 60}}`},
		rules.Edit{Path: "wires.w_p3", Value: `{"from": "pump.neg", "to": "house_minus.stud", "size": "2.5 mm2", "length_m": 1, "insulation": {"max_C": 105, "rated_V": 60}}`},
		rules.Edit{Path: "modes.parked.on", Value: `["pump"]`},
		rules.Edit{Path: "wires.w_horn_button.length_m", Value: "2"})
	c := compare(t, old, now)
	if len(c.Changes) != 2 {
		t.Fatalf("changes: %v", c.Changes)
	}
	for _, f := range c.Findings {
		if f.Subject == "horn" || f.State != report.New {
			continue
		}
		if len(f.Cause.Shares) != 1 || len(f.Cause.Shares[0].Change.Edits) != 6 {
			t.Errorf("%s: %+v", f.Key(), f.Cause)
		}
	}
}

func TestFindingStates(t *testing.T) {
	weak := rules.Edit{Path: "fuses.main.breaking_A_dc", Value: "2000"}
	old := heron(t, weak, rules.Edit{Path: "fuses.aux_fuse.rated_V_dc", Value: "5"})
	now := heron(t, rules.Edit{Path: "fuses.main.breaking_A_dc", Value: "1500"}, rules.Edit{Path: "fuses.usb_fuse.rated_V_dc", Value: "5"})
	got := map[string]report.State{}
	for _, f := range compare(t, old, now).Findings {
		got[f.Key()] = f.State
	}
	for key, want := range map[string]report.State{
		"fuse-breaking-low/main":    report.Worse,
		"fuse-voltage-low/aux_fuse": report.Fixed,
		"fuse-voltage-low/usb_fuse": report.New,
	} {
		if got[key] != want {
			t.Errorf("%s is %q, want %q", key, got[key], want)
		}
	}
	same := compare(t, old, old)
	if len(same.Edits) != 0 || len(same.Moves) != 0 {
		t.Errorf("a vehicle differs from itself: %v, %d moves", editsOf(same), len(same.Moves))
	}
	for _, f := range same.Findings {
		if f.State != report.Standing {
			t.Errorf("%s is %s", f.Key(), f.State)
		}
	}
}

func TestTransfer(t *testing.T) {
	fleet := filepath.Join(ruletest.Fleet(), "heron")
	spec := ruletest.Load(t, fleet)
	to, from := given(spec), given(spec)
	from["batteries"].(map[string]any)["pack"].(map[string]any)["resistance_mOhm"] = 30
	delete(from["wires"].(map[string]any), "w_aux_pos")
	transfer(to, from, []string{"batteries", "pack", "resistance_mOhm"})
	transfer(to, from, []string{"wires", "w_aux_pos"})
	if diff := cmp.Diff(from, to); diff != "" {
		t.Error(diff)
	}
}

// TestUnreadableFixesNothing compares with a revision that could not be read as
// a whole: what is not found there any more is not fixed by that.
func TestUnreadableFixesNothing(t *testing.T) {
	old := heron(t, rules.Edit{Path: "fuses.main.breaking_A_dc", Value: "2000"}, rules.Edit{Path: "fuses.aux_fuse.rated_V_dc", Value: "5"})
	now := Revision{Results: []rules.Result{{Rule: "fuse-voltage-low", Subject: "aux_fuse", Verdict: rules.Passed}}}
	got := map[string]report.State{}
	for _, f := range compare(t, old, now).Findings {
		got[f.Key()] = f.State
	}
	if diff := cmp.Diff(map[string]report.State{"fuse-voltage-low/aux_fuse": report.Fixed}, got); diff != "" {
		t.Error(diff)
	}
}

func TestInputs(t *testing.T) {
	result := rules.Result{Working: []rules.Step{
		{Origin: rules.Origin{Kind: rules.FromSpec, Path: "wires.w1.size"}},
		{Origin: rules.Origin{Kind: rules.FromSpec, Path: "batteries.pack.resistance_mOhm"}},
		{Origin: rules.Origin{Kind: rules.FromCircuit, Ref: "climb"}},
	}}
	var edits []report.Edit
	for _, path := range []string{"wires.w1", "wires.w1.size", "wires.w1.length_m", "wires.w10.size", "batteries.pack.resistance_mOhm.max", "loads.horn"} {
		edits = append(edits, report.Edit{Path: path})
	}
	var got []string
	for _, e := range Inputs(edits, rules.Result{}, result) {
		got = append(got, e.Path)
	}
	if diff := cmp.Diff([]string{"wires.w1", "wires.w1.size", "batteries.pack.resistance_mOhm.max"}, got); diff != "" {
		t.Error(diff)
	}
}

// TestSharedEditIsPlacedInThePackage edits a value in the shared package, and
// takes another part from it: the first has its place there, the second in the
// vehicle.
func TestSharedEditIsPlacedInThePackage(t *testing.T) {
	fleet := func(edits map[string][2]string) *schema.Spec {
		t.Helper()
		dir := t.TempDir()
		if err := os.CopyFS(dir, os.DirFS(ruletest.Fleet())); err != nil {
			t.Fatal(err)
		}
		for name, edit := range edits {
			path := filepath.Join(dir, filepath.FromSlash(name))
			text, err := os.ReadFile(path)
			if err != nil {
				t.Fatal(err)
			}
			if n := strings.Count(string(text), edit[0]); n != 1 {
				t.Fatalf("%q stands %d times in %s", edit[0], n, name)
			}
			if err := os.WriteFile(path, []byte(strings.Replace(string(text), edit[0], edit[1], 1)), 0o666); err != nil {
				t.Fatal(err)
			}
		}
		return ruletest.Load(t, filepath.Join(dir, "heron"))
	}
	old := fleet(nil)
	for _, test := range []struct {
		edits  map[string][2]string
		path   string
		file   string
		shared bool
	}{
		// One more line above it, so that it is not told by its number.
		{map[string][2]string{"parts/fuses.cue": {`_blade: {class: "blade", rated_V_dc: 32`, "// Checked.\n" + `_blade: {class: "blade", rated_V_dc: 30`}},
			"fuses.horn_fuse.rated_V_dc", "fuses.cue", true},
		{map[string][2]string{"heron/house.cue": {"w_rear_ret: parts.cables.house_4", "w_rear_ret: parts.cables.house_2_5"}},
			"wires.w_rear_ret.size", "house.cue", false},
		{map[string][2]string{"heron/vehicle.cue": {"max: 40}", "max: 45}"}},
			"vehicle.ambient_C.max", "vehicle.cue", false},
	} {
		t.Run(test.path, func(t *testing.T) {
			for _, e := range Edits(old, fleet(test.edits)) {
				if e.Path != test.path {
					continue
				}
				if e.Shared != test.shared || filepath.Base(e.NewAt.File) != test.file || filepath.Base(e.OldAt.File) != test.file {
					t.Errorf("shared %v, old place %s, new place %s; want %v, %s", e.Shared, e.OldAt, e.NewAt, test.shared, test.file)
				}
				return
			}
			t.Error("no such edit")
		})
	}
}

// TestShownUnits checks that a range is said with its unit and in its order.
func TestShownUnits(t *testing.T) {
	for _, test := range []struct{ path, value, want string }{
		{"vehicle.ambient_C.max", "45", "45 C"},
		{"batteries.pack.resistance_mOhm", `{"max":27,"min":8,"typ":13}`, "min 8 typ 13 max 27 mOhm"},
		{"wires.w4.length_m", "1.5", "1.5 m"},
		{"fuses.main.opening.min", `[{"current_A":338,"s":60}]`, "[current_A 338 s 60]"},
		{"converters.from_12V.max", "3", "3"}, // the name of a part is no unit
	} {
		if got := shown(test.path, test.value); got != test.want {
			t.Errorf("%s is shown as %q, want %q", test.path, got, test.want)
		}
	}
}
