package battery

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestBackfeedUnfused(t *testing.T) {
	rule := backfeedUnfused()
	sun := func(from string) []rules.Edit {
		return ruletest.Edits("solar.roof", `{"Voc_V": 22.3, "Isc_A": 6, "in_series": 3, "regulator": {"max_pv_V": 100, "output_V": 53, "max_A": 5}}`,
			"wires.s1", `{"from": "`+from+`", "to": "roof.pos", "size": "4 mm2", "length_m": 1}`,
			"wires.s2", `{"from": "roof.neg", "to": "minus.stud", "size": "4 mm2", "length_m": 1}`)
	}
	fixture.Play(t, rule, []ruletest.Scene{
		{Name: "behind a fuse", Subject: "roof", Edits: sun("charge_fuse.b"), Want: ruletest.Want{Verdict: rules.Passed, Message: "charge_fuse protects"}},
		{Name: "on the pole", Subject: "roof", Edits: sun("pack.pos"), Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Primary: "conductor-unprotected/s1"}},
		{Name: "none", Subject: "roof"},
	})
	// The converter of a vehicle without a fuse at its auxiliary battery.
	r := ruletest.Verdict(t, ruletest.On(t, rule, "heron", ruletest.Edits("wires.w_aux_house.from", `"aux.pos"`)...), "converter", rules.Failed)
	if r.Level != rules.Error {
		t.Errorf("level %s, want an error", r.Level)
	}
	ruletest.Silent(t, rule, "heron")
}
