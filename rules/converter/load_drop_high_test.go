package converter

import (
	"strings"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestLoadDropHigh(t *testing.T) {
	rule := loadDropHigh()
	// The heater of 10 A over 2 x 2 m of 4 mm2 (IEC 60228 class 5: 4.95 mOhm/m)
	// at 90 C: 25.25 mOhm. It is a resistance of 1.35 Ohm: of 13.5 V it loses
	// 13.5 x 0.02525 / 1.37525 = 0.248 V, 1.84 %.
	heater := func(kind, metres string) []rules.Edit {
		return ruletest.Edits("loads.extra", `{"kind": "`+kind+`", "power_W": 135, "at_V": 13.5, "min_V": 5}`, "modes.night.on", `["extra"]`, "modes.sounding.on", `["electronics"]`,
			"wires.w60", `{"from": "dcdc.out_pos", "to": "extra.pos", "size": "4 mm2", "length_m": `+metres+`}`,
			"wires.w61", `{"from": "extra.neg", "to": "dcdc.out_neg", "size": "4 mm2", "length_m": `+metres+`}`)
	}
	limited := ruletest.Want{Verdict: rules.Passed, Demand: 1.84, Capability: 10, Relative: 5e-3}
	fixture.Play(t, rule, []ruletest.Scene{
		{Name: "a heater", Edits: heater("resistive", "2"), Subject: "extra", Want: limited},
		// 4 m each way: 13.5 x 0.0505 / 1.4005 = 0.487 V, 3.6 %.
		{Name: "a lamp that loses 3.6 %", Edits: heater("filament", "4"), Subject: "extra", Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Warning, Demand: 3.606, Capability: 3, Relative: 5e-3, Primary: "converter-overloaded/dcdc"}},
		{Name: "what a heater may lose", Edits: heater("resistive", "4"), Subject: "extra", Want: ruletest.Want{Verdict: rules.Passed, Demand: 3.606, Capability: 10, Relative: 5e-3}},
	})
	t.Run("the fix names a size that does", func(t *testing.T) {
		fix := fixture.On(t, rule, heater("filament", "4")...)["extra"].Fix
		// 0.4050 V may be lost and 0.4868 are: one lead may keep 0.1614 V of its
		// 0.2432. 6 mm2, at 3.30 mOhm/m instead of 4.95, still loses 0.1621 V.
		if want := "use at least 10 mm2 for w60, which drops 0.2432 V over 4 m of 4 mm2"; fix != want {
			t.Errorf("fix %q, want %q", fix, want)
		}
	})
	t.Run("one thin cable makes one finding", func(t *testing.T) {
		got := fixture.On(t, rule, ruletest.Edits("wires.w13.size", `"1.5 mm2"`, "wires.w13.length_m", "5")...)
		ruletest.Expect(t, got, "dipped_right", ruletest.Want{Verdict: rules.Failed})
		for _, id := range []string{"dipped_left", "tail_left", "tail_right", "plate"} {
			ruletest.Expect(t, got, id, ruletest.Want{Verdict: rules.Failed, Primary: "load-drop-high/dipped_right"})
		}
	})
	t.Run("relative to the battery's nominal voltage beside a converter", func(t *testing.T) {
		more := heater("resistive", "2")
		got := fixture.On(t, rule, auxiliary(more)...)
		// 0.248 V of 12.6 V.
		ruletest.Expect(t, got, "extra", ruletest.Want{Verdict: rules.Passed, Demand: 1.967, Capability: 10, Relative: 5e-3})
	})
}

// The working shows where the drop arises: what takes more than a tenth of it.
func TestDropShowsItsLargestParts(t *testing.T) {
	shown := 0
	for id, r := range ruletest.On(t, loadDropHigh(), "heron") {
		var lost float64
		for _, s := range r.Working {
			switch {
			case s.Symbol == "dU":
				lost = s.Value
			case strings.HasPrefix(s.Symbol, "dU_"):
				if shown++; s.Value <= 0.1*lost {
					t.Errorf("%s: %s is %v V of %v V", id, s.Symbol, s.Value, lost)
				}
			}
		}
	}
	if shown < 10 {
		t.Errorf("only %d parts of the drop are shown", shown)
	}
}
