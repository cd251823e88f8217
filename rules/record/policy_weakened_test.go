package record

import (
	"reflect"
	"strings"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
	"example.org/headroom/schema"
)

// known stands for the rules that a policy may tune.
func known() []*rules.Rule {
	return []*rules.Rule{
		{ID: "fuse-voltage-low", Level: rules.Error, Required: 1},
		{ID: "coil-hold-low", Level: rules.Warning, Required: 1.1},
		{ID: "stud-crowded", Level: rules.Note, Required: 1},
		{ID: "enable-not-keyed", Level: rules.Warning, Varies: "error where the controller's power supply bypasses the key too"},
		policyWeakened(nil),
	}
}

func TestPolicyWeakened(t *testing.T) {
	for _, scene := range []struct {
		name  string
		edits []rules.Edit
		level rules.Level // "" if it passes
		says  []string
	}{
		{"stricter", ruletest.Edits("policy.required.fuse-voltage-low", "1.25", "policy.levels.coil-hold-low", `"error"`, "policy.fuse_distance_m", "0.1",
			"policy.standby_days", "60", "policy.terminal_max_C", "75", "policy.collapse_fraction", "0.7"), "", nil},
		{"as the rules have it", ruletest.Edits("policy.required.coil-hold-low", "1.1", "policy.levels.coil-hold-low", `"warning"`), "", nil},
		{"a smaller headroom", ruletest.Edits("policy.required.coil-hold-low", "1.05"), rules.Warning, []string{"required.coil-hold-low is 1.05 (default 1.1)"}},
		{"half the headroom", ruletest.Edits("policy.required.fuse-voltage-low", "0.5"), rules.Error,
			[]string{"switches checks off: required.fuse-voltage-low is 0.5 (default 1)"}},
		{"half the headroom of a warning", ruletest.Edits("policy.required.coil-hold-low", "0.5"), rules.Warning, []string{"switches checks off"}},
		{"a lower level", ruletest.Edits("policy.levels.fuse-voltage-low", `"warning"`), rules.Warning, []string{"levels.fuse-voltage-low is warning (default error)"}},
		{"a note of an error", ruletest.Edits("policy.levels.fuse-voltage-low", `"note"`), rules.Error, []string{"switches checks off"}},
		{"a note of what may be an error", ruletest.Edits("policy.levels.enable-not-keyed", `"note"`), rules.Error, []string{"(default error)"}},
		{"a longer unfused lead", ruletest.Edits("policy.fuse_distance_m", "0.3"), rules.Warning, []string{"fuse_distance_m is 0.3 m (default 0.178)"}},
		{"no fuse at all", ruletest.Edits("policy.fuse_distance_m", "10"), rules.Error, []string{"fuse_distance_m is 10 m (default 0.178, sensible at most 0.457"}},
		{"fuses without resistance", ruletest.Edits("policy.fuse_drop_mV", "2000"), rules.Error, []string{"sensible 20 to 1000"}},
		{"days of standing", ruletest.Edits("policy.standby_days", "14"), rules.Warning, []string{"standby_days is 14 d (default 30)"}},
		{"what only notes rest on", ruletest.Edits("policy.torque_above_A", "80", "policy.required.stud-crowded", "0.5", "policy.material_group", `"I"`), rules.Note, nil},
		{"several", ruletest.Edits("policy.standby_days", "14", "policy.precharge_left_percent", "60"), rules.Error,
			[]string{"switches checks off: precharge_left_percent is 60 %", "; and asks for less than the defaults: standby_days is 14 d"}},
		{"its own level", ruletest.Edits("policy.levels.policy-weakened", `"note"`, "policy.terminal_max_C", "200"), rules.Error, []string{"terminal_max_C is 200 C"}},
	} {
		r := ruletest.Verdict(t, ruletest.On(t, policyWeakened(known()), "heron", scene.edits...), "policy", map[bool]rules.Verdict{true: rules.Passed, false: rules.Failed}[scene.level == ""])
		if scene.level != "" && r.Level != scene.level {
			t.Errorf("%s: %s, want %s", scene.name, r.Level, scene.level)
		}
		for _, text := range scene.says {
			if !strings.Contains(r.Message, text) {
				t.Errorf("%s: %q does not say %q", scene.name, r.Message, text)
			}
		}
	}
	if r := ruletest.On(t, policyWeakened(known()), "heron"); len(r) != 0 {
		t.Errorf("%v of a policy as the rules have it", r)
	}
}

// Each number of the policy is a limit, so that none can be loosened unseen, and its
// default is none of the values that switch checks off.
func TestLimitsOfPolicy(t *testing.T) {
	fallback := schema.DefaultPolicy()
	named := map[string]bool{"required": true, "levels": true, "ampacity": true, "material_group": true} // not numbers
	for _, l := range limits() {
		if named[l.name] {
			t.Errorf("%s stands twice", l.name)
		}
		named[l.name] = true
		v := l.value(fallback)
		if level, _ := l.judge(v, v); level != "" {
			t.Errorf("the default %v of %s is a finding", v, l.name)
		}
		if l.least > v || l.most > 0 && l.most < v {
			t.Errorf("the default %v of %s is outside %v to %v", v, l.name, l.least, l.most)
		}
	}
	for _, field := range reflect.VisibleFields(reflect.TypeFor[schema.Policy]()) {
		if name := field.Tag.Get("json"); !named[name] {
			t.Errorf("policy.%s has no limit: add it to limits()", name)
		}
	}
}
