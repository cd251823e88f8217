package disconnect

import (
	"testing"

	"example.org/headroom/rules/ruletest"
)

// The cart with a breaker in the place of its disconnect.
func TestBreakerAsDisconnect(t *testing.T) {
	on := func(operations string) string {
		return `{"kind": "thermal", "standard": "IEC 60947-2", "rated_A": 250, "isolates": true` + operations + `}`
	}
	for _, tc := range []struct {
		name, breaker string
		finding       bool
	}{
		{"not stated", on(""), true},
		{"a thousand times", on(`, "operations": 1000`), true},
		{"ten thousand times", on(`, "operations": 10000`), false},
	} {
		edits := ruletest.Edits("breakers.q", tc.breaker, "disconnects.isolator.spare", "true", "wires.w_fuse_isolator.to", `"q.a"`, "wires.w_isolator_plus.from", `"q.b"`)
		r, ok := ruletest.On(t, breakerAsDisconnect(), "mole", edits...)["q"]
		if !ok || r.IsFinding() != tc.finding {
			t.Errorf("%s: %s: %s", tc.name, r.Verdict, r.Message)
		}
		if missing := ruletest.On(t, disconnectMissing(), "mole", edits...)["pack"]; missing.IsFinding() {
			t.Errorf("%s: %s", tc.name, missing.Message)
		}
	}
	// A charger before it is none of what the pack feeds.
	charged := ruletest.Edits("breakers.q", on(""), "disconnects.isolator.spare", "true", "wires.w_fuse_isolator.to", `"q.a"`, "wires.w_isolator_plus.from", `"q.b"`,
		"busbars.b_comb_1.from", `"main.b"`, "busbars.b_comb_2.from", `"plus.stud"`)
	if r := ruletest.On(t, breakerAsDisconnect(), "mole", charged...)["q"]; !r.IsFinding() {
		t.Errorf("with a charger before it: %s: %s", r.Verdict, r.Message)
	}
	if r := ruletest.On(t, disconnectMissing(), "mole", charged...)["pack"]; r.IsFinding() {
		t.Errorf("with a charger before it: %s", r.Message)
	}
	if r, ok := ruletest.On(t, breakerAsDisconnect(), "mole")["solar_breaker"]; ok {
		t.Errorf("a breaker beside a disconnect: %s", r.Message)
	}
}
