package conductor

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestTorqueMissing(t *testing.T) {
	play(t, torqueMissing(),
		ruletest.Scene{Name: "on record", Subject: "main", Want: ruletest.Want{Verdict: rules.Passed}},
		ruletest.Scene{Name: "missing", Subject: "main", Edits: edits("fuses.main.torque_Nm", ""), Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Note}},
		ruletest.Scene{Name: "one note for the vehicle", Subject: "main", Edits: edits("fuses.main.torque_Nm", "", "batteries.pack.torque_Nm", ""),
			Want: ruletest.Want{Verdict: rules.Failed, Primary: "torque-missing/pack"}},
		ruletest.Scene{Name: "a small current", Subject: "main", Edits: edits("fuses.main.torque_Nm", "", "modes.roll.draw.drive.current_A", "40")},
		ruletest.Scene{Name: "no bolts", Subject: "feed"},
	)
}
