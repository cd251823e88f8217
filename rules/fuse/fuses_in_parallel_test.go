package fuse

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// Row WF46 of the worked examples: two fuses of 100 A with 0.50 and 0.55 mOhm carry
// 94.3 and 85.7 A of 180 A, and 190.9 A at the most.
func TestInParallel(t *testing.T) {
	wire := func(from, to, length string) string {
		return `{"from": "` + from + `", "to": "` + to + `", "size": "35 mm2", "length_m": ` + length + `, "insulation": {"max_C": 90}}`
	}
	second := ruletest.Edits("fuses.beside", `{"class": "bolt-down", "rated_A": 100, "rated_V_dc": 80, "breaking_A_dc": 10000, "drop_mV": 55}`,
		"wires.w_beside", wire("main.a", "beside.a", "0.05"))
	third := append(second, ruletest.Edits("fuses.far", `{"class": "bolt-down", "rated_A": 100, "rated_V_dc": 80, "breaking_A_dc": 10000}`,
		"fuses.far2", `{"class": "bolt-down", "rated_A": 100, "rated_V_dc": 80, "breaking_A_dc": 10000}`,
		"wires.w_drive.to", `"far.a"`, "wires.w_far", wire("far.b", "drive.pos", "0.05"),
		"wires.w_beside2", wire("beside.b", "far2.a", "1"), "wires.w_far2", wire("far2.b", "drive.pos", "0.05"))...)
	fixture.Play(t, inParallel(), []ruletest.Scene{
		{Name: "two on one conductor", Edits: append(second, ruletest.Edits("wires.w_beside2", wire("beside.b", "main.b", "0.05"))...), Subject: "main",
			Want: ruletest.Want{Verdict: rules.Failed, Primary: "fuses-in-parallel/beside", Message: "beside and main are in parallel and taken as one fuse of 200 A: by their resistances alone the first is at its rating from 190.9 A on"}},
		{Name: "two conductors, each fused at the supply alone", Edits: append(second, ruletest.Edits("wires.w_beside2", wire("beside.b", "drive.pos", "1"))...), Subject: "beside",
			Want: ruletest.Want{Verdict: rules.Failed}},
		{Name: "two conductors, each fused at both ends", Edits: third, Subject: "main"},
		{Name: "one", Subject: "main"},
	})
}
