package fuse

import (
	"strings"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// first is a vehicle whose battery cables are w1 to w5, with the pre-charge
// resistor on the stubs w6 and w7 and the key's fuse on the stub w8.
func first(t *testing.T, edits []rules.Edit) map[string]rules.Result {
	t.Helper()
	spec := ruletest.Changed(t, ruletest.First(), edits...)
	out := map[string]rules.Result{}
	for _, r := range ruletest.Run(t, spec, Rules()) {
		out[r.Key()] = r
	}
	return out
}

// A run of cables too thin for its fuse is one finding, on the run: on the cable
// with the least headroom, the longest of equals. The stubs on it follow, whatever
// their own numbers: short as they are they would pass if the run were sound.
func TestThinRunIsOneFinding(t *testing.T) {
	thin := func(size string, wires ...string) (list []rules.Edit) {
		for _, w := range wires {
			list = append(list, ruletest.Edits("wires."+w+".size", `"`+size+`"`)...)
		}
		return list
	}
	run := []string{"w1", "w2", "w3", "w4", "w5"}
	mixed := append(thin("16 mm2", run...), thin("10 mm2", "w2")...)
	for _, tc := range []struct {
		name    string
		change  []rules.Edit
		primary string
		also    []string // subjects that follow
	}{
		{"alike", thin("16 mm2", run...), "w5", []string{"w1", "w2", "w3", "w4", "w6", "w7", "w8"}},
		{"one thinner than the rest", mixed, "w2", []string{"w1", "w5", "w6", "w8"}},
		{"one alone", thin("16 mm2", "w3"), "w3", nil},
		{"a stub too long", ruletest.Edits("wires.w6.length_m", "0.5"), "w6", nil},
	} {
		t.Run(tc.name, func(t *testing.T) {
			found := first(t, tc.change)
			want := "fuse-above-ampacity/" + tc.primary
			subjects := map[string]bool{}
			for key, r := range found {
				if !r.IsFinding() {
					continue
				}
				subjects[r.Subject] = true
				switch {
				case key == want && r.Primary != "":
					t.Errorf("%s follows from %s", key, r.Primary)
				case key != want && r.Primary != want:
					t.Errorf("%s: primary %q, want %s", key, r.Primary, want)
				}
			}
			for _, id := range append(tc.also, tc.primary) {
				if !subjects[id] {
					t.Errorf("no finding on %s", id)
				}
			}
		})
	}
}

// Each part of a fault loop says whether it is declared, worked out or assumed.
func TestLoopNamesWhatIsAssumed(t *testing.T) {
	r := first(t, nil)["fuse-far-fault-slow/w10"]
	want := map[string]string{ // the part, and how its resistance comes about
		"wire w10,":          "13.3 * 1.2 * (1 + 0.00393 * (90 - 20))",
		"contact key.drive:": "75 / 3",
		"fuse key_fuse:":     "100 / 3",
		"fuse main:":         "100 / 125",
		"contact isolator:":  "75 / 200",
	}
	for part, numbers := range want {
		found := false
		for _, s := range r.Working {
			if !strings.HasPrefix(s.What, part) {
				continue
			}
			found = true
			assumed := !strings.HasPrefix(part, "wire")
			if s.Numbers != numbers || s.Unit != "mOhm" || (s.Origin.Kind == rules.FromDefault) != assumed {
				t.Errorf("%s: %s %s from %s %s", s.What, s.Numbers, s.Unit, s.Origin.Kind, s.Origin.Ref)
			}
		}
		if !found {
			t.Errorf("no step for %s", part)
		}
	}
}
