package precharge

import (
	"math"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestPrechargeLeftHigh(t *testing.T) {
	left := func(s float64) float64 { return 100 * math.Exp(-s/0.47) } // percent, by RC = 0.47 s
	fixture.Play(t, prechargeLeftHigh(), []ruletest.Scene{
		{Name: "six time constants", Subject: "k", Want: ruletest.Want{Verdict: rules.Passed, Demand: left(3), Capability: 10}},
		// 90 % take 2.3026 x 0.47 s = 1.08 s. But the 600 A of its making capacity leave
		// 600 x 11.1 mOhm = 6.7 V of 96 V, 6.9 %, which take 2.67 x 0.47 s = 1.25 s.
		{Name: "one time constant", Subject: "k", Replace: after("0.47"), Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Warning, Demand: left(0.47), Fix: "closes_after_s of k from 0.47 to 1.1"}},
		{Name: "of a contact that may close on more", Subject: "k", Replace: join(after("0.47"), []string{"make_A: 600", "make_A: 2000"}),
			Want: ruletest.Want{Verdict: rules.Failed, Demand: left(0.47), Fix: "closes_after_s of k from 0.47 to 1.1"}},
		{Name: "just right", Subject: "k", Replace: after("1.09"), Want: ruletest.Want{Verdict: rules.Passed, Demand: left(1.09)}},
		{Name: "the policy requires more", Subject: "k", Replace: join(after("1.09"), []string{"modes:", "policy: {precharge_left_percent: 5}\nmodes:"}),
			Want: ruletest.Want{Verdict: rules.Failed, Capability: 5, Fix: "closes_after_s of k from 1.09 to 1.5"}},
		{Name: "at 95 percent", Subject: "k", Replace: waitsFor("95"), Want: ruletest.Want{Verdict: rules.Passed, Demand: 5, Relative: 5e-3}},
		{Name: "at 80 percent", Subject: "k", Replace: waitsFor("80"), Want: ruletest.Want{Verdict: rules.Failed, Demand: 20, Relative: 5e-3}},
		{Name: "at a voltage that it never reaches", Subject: "k", Replace: join(waitsFor("95"), bleed("0.9")), Want: ruletest.Want{Verdict: rules.NotChecked,
			Missing: "a pre-charge that comes to its end", Primary: "precharge-stalls/k"}},
		{Name: "because it settles too low", Subject: "k", Replace: bleed("0.8"), Want: ruletest.Want{Verdict: rules.Failed, Demand: 100./9 + 800./9*math.Exp(-3/0.47*9/8), Primary: "precharge-stalls/k"}},
		// 4 W at 96 V: 96 (1 + sqrt(1 - 4 4 100 / 96^2)) / 2 = 91.64 V, 4.54 % left.
		{Name: "a converter draws meanwhile", Subject: "k", Replace: join(converter("50", "45", "3.6"), after("6")), Want: ruletest.Want{Verdict: rules.Passed, Demand: 4.54, Relative: 0.01}},
		{Name: "unknown delay", Subject: "k", Replace: []string{"    closes_after_s: 3\n", ""}, Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "contactors.k.closes_after_s"}},
	})
}
