package conductor

import (
	"fmt"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/ruletest"
)

// followed is how hot a cycle makes a single 16 mm2 cable in still air of 40 C,
// by small steps of time over many turns: an answer that shares no more with the
// rule's than the heat balance of the cable.
//
// It also returns for how many seconds the first step could go on until 90 C.
func followed(t *testing.T, cycle []calc.Interval) (peakC, leftS float64) {
	t.Helper()
	size, err := calc.ParseSize("16 mm2")
	if err != nil {
		t.Fatal(err)
	}
	cable := calc.Cable{Size: size}
	capacity, err := calc.HeatCapacity(cable)
	if err != nil {
		t.Fatal(err)
	}
	loss := make([]float64, 400)
	for i := range loss {
		if a, err := calc.FreeAirAmpacity(cable, float64(i), 40); err == nil {
			ohm, _ := calc.Resistance(size, 1, float64(i)) // a size of the table
			loss[i] = a * a * ohm
		}
	}
	const dt = 0.05
	tempC := 40.0
	flow := func(currentA float64) {
		i := int(tempC)
		away := loss[i] + (loss[i+1]-loss[i])*(tempC-float64(i))
		ohm, _ := calc.Resistance(size, 1, tempC)
		tempC += dt * (currentA*currentA*ohm - away) / capacity
	}
	for range 40 {
		peakC = 0
		for _, step := range cycle {
			for at := 0.0; at < step.S; at += dt {
				flow(step.CurrentA)
			}
			peakC = max(peakC, tempC)
		}
	}
	for tempC = peakC; tempC < 90; leftS += dt {
		flow(cycle[0].CurrentA)
	}
	return peakC, leftS
}

func TestConductorPeakHot(t *testing.T) {
	cycle := ruletest.Edits("modes", hill, "cycle", `[{"mode": "hill", "for_s": 30}, {"mode": "roll", "for_s": 600}]`)
	// Against the limit of 90 C: a rise of 50 K.
	const allowed = 50.0
	brief, left := followed(t, []calc.Interval{{CurrentA: 220, S: 30}, {CurrentA: 50, S: 600}})
	long, _ := followed(t, []calc.Interval{{CurrentA: 220, S: 60}, {CurrentA: 50, S: 600}})
	brief, long = brief-40, long-40
	if brief > allowed || long < allowed {
		t.Fatalf("rises of %v and %v K", brief, long)
	}
	fixture.Play(t, conductorPeakHot(), []ruletest.Scene{
		{Name: "a cycle that it withstands", Edits: cycle, Subject: "out",
			Want: ruletest.Want{Verdict: rules.Passed, Mode: "hill", Demand: brief, Capability: allowed, Relative: 5e-3, Message: fmt.Sprintf("the peak may last another %.1f s", rules.RoundDown(left-0.05, 0.1))}},
		{Name: "a longer hill", Edits: ruletest.Edits("modes", hill, "cycle", `[{"mode": "hill", "for_s": 60}, {"mode": "roll", "for_s": 600}]`), Subject: "out",
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: long, Capability: allowed, Relative: 5e-3, Message: "the limit is reached after"}},
		{Name: "a peak below the ampacity", Edits: ruletest.Edits("modes.hill", `{"draw": {"drive": {"current_A": 90}}, "lasts_s": 600}`), Subject: "out",
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 38.4134, Message: "78.41 C after 10 min at 90 A"}},
		{Name: "no peaks at all", Subject: "out"},
		{Name: "the controller's own limit, for a minute", Subject: "out",
			Edits: ruletest.Edits("controllers.drive.battery_continuous_A", "80", "controllers.drive.battery_peak_A", "300", "controllers.drive.peak_s", "60"),
			Want:  ruletest.Want{Verdict: rules.Failed, Message: "the battery-side peak of drive"}},
		{Name: "what it feeds back, whether or not a mode says so", Subject: "out",
			Edits: ruletest.Edits("controllers.drive.battery_continuous_A", "80", "controllers.drive.regen_A", "300", "controllers.drive.peak_s", "60"),
			Want:  ruletest.Want{Verdict: rules.Failed, Message: "the regeneration of drive"}},
		{Name: "and where the modes do nothing but brake", Subject: "out",
			Edits: ruletest.Edits("modes", `{"descend": {"draw": {"drive": {"regen_A": 20}}}}`, "controllers.drive.battery_continuous_A", "80", "controllers.drive.regen_A", "300", "controllers.drive.peak_s", "60"),
			Want:  ruletest.Want{Verdict: rules.Failed, Message: "the regeneration of drive"}},
		{Name: "the same without a time", Subject: "out", Edits: ruletest.Edits("controllers.drive.battery_continuous_A", "80", "controllers.drive.battery_peak_A", "300"),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "controllers.drive.peak_s"}},
		{Name: "the controller's peak in a branch beside", Subject: "feed_pos", Edits: ruletest.Edits("controllers.drive.battery_continuous_A", "80", "controllers.drive.battery_peak_A", "300"),
			Want: ruletest.Want{Verdict: rules.Passed, Message: "with horn on"}},
		{Name: "hot already in the mean", Subject: "out",
			Edits: ruletest.Edits("modes", hill, "cycle", `[{"mode": "hill", "for_s": 90}, {"mode": "roll", "for_s": 90}]`),
			Want:  ruletest.Want{Verdict: rules.Failed, Primary: "conductor-overloaded/out"}},
		{Name: "short, between studs", Subject: "out",
			Edits: ruletest.Edits("modes", hill, "cycle", `[{"mode": "hill", "for_s": 60}, {"mode": "roll", "for_s": 600}]`, "wires.out.length_m", "0.1"),
			Want:  ruletest.Want{Verdict: rules.Failed, Level: rules.Note}},
	})
}
