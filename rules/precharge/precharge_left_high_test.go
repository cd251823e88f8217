package precharge

import (
	"math"
	"testing"

	"example.org/headroom/rules"
)

func TestPrechargeLeftHigh(t *testing.T) {
	left := func(s float64) float64 { return 100 * math.Exp(-s/0.47) } // percent, by RC = 0.47 s
	run(t, prechargeLeftHigh(), []benchCase{
		{name: "six time constants", subject: "k", verdict: rules.Passed, demand: left(3), capability: 10},
		// 90 % take 2.3026 x 0.47 s = 1.08 s. But the 600 A that it may close on leave
		// 600 x 11.1 mOhm = 6.7 V of 96 V, 6.9 %, which take 2.67 x 0.47 s = 1.25 s.
		{name: "one time constant", subject: "k", change: after("0.47"), verdict: rules.Failed, level: rules.Warning, demand: left(0.47), fix: "wait 1.3 s"},
		{name: "of a contact that may close on more", subject: "k", change: join(after("0.47"), []string{"make_A: 600", "make_A: 2000"}),
			verdict: rules.Failed, demand: left(0.47), fix: "wait 1.1 s"},
		{name: "just right", subject: "k", change: after("1.09"), verdict: rules.Passed, demand: left(1.09)},
		{name: "the policy asks for more", subject: "k", change: join(after("1.09"), []string{"modes:", "policy: {precharge_left_percent: 5}\nmodes:"}),
			verdict: rules.Failed, capability: 5, fix: "wait 1.5 s"},
		{name: "at 95 percent", subject: "k", change: waitsFor("95"), verdict: rules.Passed, demand: 5, relative: 5e-3},
		{name: "at 80 percent", subject: "k", change: waitsFor("80"), verdict: rules.Failed, demand: 20, relative: 5e-3},
		{name: "at a voltage that it never comes to", subject: "k", change: join(waitsFor("95"), bleed("0.9")), verdict: rules.NotChecked,
			missing: "a pre-charge that comes to its end", primary: "precharge-stalls/k"},
		{name: "because it settles too low", subject: "k", change: bleed("0.8"), verdict: rules.Failed, demand: 100./9 + 800./9*math.Exp(-3/0.47*9/8), primary: "precharge-stalls/k"},
		// 4 W at 96 V: 96 (1 + sqrt(1 - 4 4 100 / 96^2)) / 2 = 91.64 V, 4.54 % left.
		{name: "a converter draws meanwhile", subject: "k", change: join(converter("50", "45", "3.6"), after("6")), verdict: rules.Passed, demand: 4.54, relative: 0.01},
		{name: "unknown delay", subject: "k", change: []string{"    closes_after_s: 3\n", ""}, verdict: rules.NotChecked, missing: "contactors.k.closes_after_s"},
	})
}
