package conductor

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestStudOverloaded(t *testing.T) {
	fixture.Play(t, studOverloaded(), []ruletest.Scene{
		// 60 A to the controller, and some to the converter that idles.
		{Name: "rated by thread and metal", Subject: "joint", Want: ruletest.Want{Verdict: rules.Passed, Demand: 62.0212, Capability: 160, Relative: 0.01}},
		{Name: "rated by its maker", Subject: "ground", Want: ruletest.Want{Verdict: rules.Passed, Demand: 62.0212, Capability: 500, Relative: 0.01}},
		{Name: "too much", Subject: "joint", Edits: ruletest.Edits("modes.roll.draw.drive.current_A", "200"),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Warning, Demand: 202.069, Relative: 0.01, Fix: "use a stud rated at least 203 A"}},
		// Half a minute in ten: sqrt(60^2 + (250^2 - 60^2) (1 - exp(-30/600)) / (1 - exp(-1))) = 90.9 A.
		{Name: "a short peak", Subject: "joint", Edits: ruletest.Edits("modes.hill", `{"draw": {"drive": {"current_A": 250}}, "lasts_s": 30, "every_s": 600}`),
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 91.4984, Relative: 0.01}},
		{Name: "nothing known of it", Subject: "joint", Edits: ruletest.Edits("studs.joint.material", ""),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "studs.joint.rated_A"}},
	})
}
