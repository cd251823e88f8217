package converter

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestCriticalLoadSingleFuse(t *testing.T) {
	rule := criticalLoadSingleFuse()
	ruletest.Example(t, rule)
	for _, vehicle := range []string{"heron", "mole", "badger"} {
		ruletest.Silent(t, rule, vehicle)
	}
	play(t, rule, []scene{
		{"without a battery the converter's fuse takes all", nil, "input_fuse", outcome{verdict: rules.Failed, level: rules.Warning}},
		{"a branch fuse takes only its own", nil, "lamp_fuse", outcome{verdict: rules.Passed}},
		{"with a battery the lamps go on", auxiliary(nil), "input_fuse", outcome{verdict: rules.Passed}},
		// Stop lamps moved behind the fuse of the head lamps.
		{"all of them behind one branch fuse", auxiliary(edits{"wires.w20.from": `"lamp_fuse.b"`}), "lamp_fuse", outcome{verdict: rules.Failed}},
	})
	t.Run("off the road nothing is reported", func(t *testing.T) {
		for id, r := range bench(t, rule, edits{"vehicle.use": `"off-road"`}) {
			t.Errorf("%s: %s", id, r.Message)
		}
	})
	// Both brake lamps on one fuse, alone in a mode: the head lamps of other
	// modes are not affected.
	t.Run("a mode with brake lamps alone is silent", func(t *testing.T) {
		got := bench(t, rule, auxiliary(edits{"modes.stopping": `{"closed": ["main", "brake"], "on": ["stop_left", "stop_right"]}`}))
		expect(t, got, "stop_fuse", outcome{verdict: rules.Passed})
	})
	// The quick answer from the metal alone must agree with the solved circuit:
	// a fuse whose opening lets a relay go takes all lamps that the relay feeds.
	t.Run("a fuse that holds a relay", func(t *testing.T) {
		got := bench(t, rule, auxiliary(edits{
			"fuses.coil_fuse": `{"class": "blade", "rated_A": 5, "rated_V_dc": 32}`,
			"relays.lamps":    `{"form": "no", "contact": {"carry_A": 40}, "coil": {"nominal_V": 12, "operate_V": 8, "release_V": 1.2, "resistance_Ohm": 90}}`,
			"wires.w12.from":  `"lamps.no"`, "wires.w20.from": `"lamps.no"`,
			"wires.w70": `{"from": "plus.stud", "to": "lamps.common", "size": "16 mm2", "length_m": 0.1}`,
			"wires.w71": `{"from": "plus.stud", "to": "coil_fuse.a", "size": "1.5 mm2", "length_m": 0.1}`,
			"wires.w72": `{"from": "coil_fuse.b", "to": "lamps.coil_pos", "size": "1.5 mm2", "length_m": 0.1}`,
			"wires.w73": `{"from": "lamps.coil_neg", "to": "minus.stud", "size": "1.5 mm2", "length_m": 0.1}`}))
		expect(t, got, "coil_fuse", outcome{verdict: rules.Failed})
	})
}

// A fuse of which one end is on nothing takes nothing with it.
func TestFuseOnOneEnd(t *testing.T) {
	wire := `{"from": "loose.b", "to": "house_plus.stud", "size": "2.5 mm2", "length_m": 0.1, "insulation": {"max_C": 105, "rated_V": 60}}`
	results := ruletest.On(t, criticalLoadSingleFuse(), "heron",
		rules.Edit{Path: "fuses.loose", Value: `{"class": "blade", "rated_A": 10, "rated_V_dc": 32, "breaking_A_dc": 1000}`},
		rules.Edit{Path: "wires.w_loose", Value: wire})
	if r, ok := results["loose"]; ok {
		t.Errorf("it is a subject: %s", r.Message)
	}
	if len(results) < 5 {
		t.Errorf("only %d fuses are subjects", len(results))
	}
}
