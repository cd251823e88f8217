package conductor

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestTorqueMissing(t *testing.T) {
	fixture.Play(t, torqueMissing(), []ruletest.Scene{
		{Name: "on record", Subject: "main", Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "missing", Subject: "main", Edits: ruletest.Edits("fuses.main.torque_Nm", ""), Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Note}},
		{Name: "one note for the vehicle", Subject: "main", Edits: ruletest.Edits("fuses.main.torque_Nm", "", "batteries.pack.torque_Nm", ""),
			Want: ruletest.Want{Verdict: rules.Failed, Primary: "torque-missing/pack"}},
		{Name: "a small current", Subject: "main", Edits: ruletest.Edits("fuses.main.torque_Nm", "", "modes.roll.draw.drive.current_A", "40")},
		{Name: "no bolts", Subject: "feed"},
		{Name: "a blade has none", Subject: "main", Edits: ruletest.Edits("fuses.main.torque_Nm", "", "fuses.main.thread", "", "fuses.main.class", `"blade"`)},
		{Name: "nor has a link in a holder", Subject: "main", Edits: ruletest.Edits("fuses.main.torque_Nm", "", "fuses.main.thread", "", "fuses.main.holder", `{"rated_A": 200}`)},
		{Name: "one with a stud has", Subject: "main", Edits: ruletest.Edits("fuses.main.torque_Nm", "", "fuses.main.class", `"blade"`, "fuses.main.thread", `"M5"`),
			Want: ruletest.Want{Verdict: rules.Failed}},
		{Name: "nor has a pack on a plug", Subject: "pack", Edits: ruletest.Edits("batteries.pack.torque_Nm", "", "batteries.pack.thread", "", "batteries.pack.pluggable", "true")},
	})
}
