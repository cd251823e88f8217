package catalogue_test

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/catalogue"
	"example.org/headroom/rules/ruletest"
)

// A freewheel diode the wrong way round shorts a coil: hundreds of amperes
// overload fuses, poles and the disconnect, and leave lamps dark. All of that is
// one mistake, and none of it is mended by something larger.
func TestReversedDiodeIsOneFinding(t *testing.T) {
	// Across the coil that the timer does not feed: with its own supply shorted, a timer
	// does not time, and nothing behind it comes to rest.
	const cause = "suppression-reversed/soft_relay"
	reversed := ruletest.Edits(
		"diodes.freewheel", `{"forward_V": 0.8, "forward_at_A": 1, "continuous_A": 3, "reverse_V": 100, "source": "sheet"}`,
		"wires.freewheel_a", `{"from": "soft_relay.coil_pos", "to": "freewheel.anode", "size": "1.5 mm2", "length_m": 0.05}`,
		"wires.freewheel_k", `{"from": "freewheel.cathode", "to": "soft_relay.coil_neg", "size": "1.5 mm2", "length_m": 0.05}`)
	results := ruletest.Run(t, ruletest.Edited(t, "heron", reversed), catalogue.All())
	byKey := map[string]rules.Result{}
	for _, r := range results {
		byKey[r.Key()] = r
	}
	followers := 0
	for _, r := range results {
		if !r.IsFinding() || r.Key() == cause || r.Level == rules.Note {
			continue
		}
		followers++
		head := r
		for head.Primary != "" {
			head = byKey[head.Primary]
		}
		if head.Key() != cause {
			t.Errorf("%s stands by itself: %s", r.Key(), r.Message)
		}
		if r.Rule == "fuse-overloaded" && r.Fix != byKey[cause].Fix {
			t.Errorf("%s advises: %s", r.Key(), r.Fix)
		}
	}
	if followers < 10 {
		t.Errorf("only %d findings follow", followers)
	}
	// What is wrong without the diode as well keeps standing by itself.
	edits := append(reversed, rules.Edit{Path: "fuses.head_fuse.rated_A", Value: "2"})
	for _, r := range ruletest.Run(t, ruletest.Edited(t, "heron", edits), catalogue.All()) {
		if r.Key() == "fuse-overloaded/head_fuse" && (!r.IsFinding() || r.Primary != "") {
			t.Errorf("%s %s, primary %q", r.Key(), r.Verdict, r.Primary)
		}
	}
}
