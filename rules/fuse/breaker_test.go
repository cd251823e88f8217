package fuse

import (
	"math"
	"slices"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/capacity"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/ruletest"
)

// withBreaker puts a breaker in the place of the fixture's branch fuse; more edits follow.
func withBreaker(edits ...string) []rules.Edit {
	return slices.Concat(ruletest.Edits(
		"breakers.cb", `{"kind": "thermal-magnetic", "standard": "IEC 60947-2", "rated_A": 10, "rated_V_dc": 80, "breaking_A_dc": 10000, "polarized": false,
			"calibrated_C": 30, "instant": {"min": 5, "max": 10, "clears_s": 0.02}, "total_I2t_A2s": 20000, "trip_free": true, "reset": "manual",
			"trip": {"max": [{"current_A": 20, "s": 60}, {"current_A": 100, "s": 2}]}}`,
		"fuses.branch.spare", "true", "wires.w_branch.to", `"cb.a"`, "wires.w_lamp.from", `"cb.b"`,
		"modes.light.closed", `["cb"]`), ruletest.Edits(edits...))
}

// A breaker is what protects its conductors: I_2 = 1.3 x 10 A x (1 + 0.7 % x 10 K) =
// 13.9 A at 20 C, of 1.45 I_z.
func TestBreakerProtects(t *testing.T) {
	fixture.Play(t, aboveAmpacity(), []ruletest.Scene{
		{Name: "10 A before 2.5 mm2", Subject: "w_lamp", Edits: withBreaker(), Want: ruletest.Want{Verdict: rules.Passed, Demand: 10}},
		{Name: "63 A before 2.5 mm2", Subject: "w_lamp", Edits: withBreaker("breakers.cb.rated_A", "63"),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 63, Fix: "a breaker of at most"}},
		// 1.45 x 63 A x 1.07 = 97.7 A over 1.45 are 67.4 A, more than I_n.
		{Name: "in the cold I_2 counts", Subject: "w_lamp", Edits: withBreaker("breakers.cb.rated_A", "63", "breakers.cb.standard", `"IEC 60898"`),
			Want: ruletest.Want{Verdict: rules.Failed, Demand: 67.41}},
	})
	for _, rule := range []*rules.Rule{withstandShort(), slowerThanDamage(), farFaultSlow()} {
		fixture.Play(t, rule, []ruletest.Scene{
			{Name: rule.ID, Subject: "w_lamp", Edits: withBreaker(), Want: ruletest.Want{Verdict: rules.Passed}},
		})
	}
}

// Nobody knows when a breaker without standard, curve or magnet trips, nor from its magnet
// alone when it does on an overload: the larger fuse before it is not asked in its place.
func TestBreakerWithoutCurve(t *testing.T) {
	bare := withBreaker("breakers.cb.standard", "", "breakers.cb.kind", `"thermal"`, "breakers.cb.trip", "", "breakers.cb.instant", "")
	magnet := withBreaker("breakers.cb.standard", `"UL 1077"`, "breakers.cb.trip", "")
	nowhere := withBreaker("breakers.cb.standard", "", "breakers.cb.calibrated_C", "", "breakers.cb.instant", "", "breakers.cb.trip", `{"must_trip_percent": 130, "must_trip_s": 3600}`)
	needs := func(field string) ruletest.Want {
		return ruletest.Want{Verdict: rules.NotChecked, Missing: "breakers.cb." + field}
	}
	for _, rule := range []*rules.Rule{aboveAmpacity(), slowerThanDamage(), withstandShort(), farFaultSlow()} {
		fixture.Play(t, rule, []ruletest.Scene{
			{Name: rule.ID, Subject: "w_lamp", Edits: thinAndLong(bare), Want: needs("trip.must_trip_percent")},
			{Name: rule.ID + " without its ambient", Subject: "w_lamp", Edits: thinAndLong(nowhere), Want: needs("calibrated_C")},
		})
	}
	fixture.Play(t, aboveAmpacity(), []ruletest.Scene{
		{Name: "magnet alone", Subject: "w_lamp", Edits: magnet, Want: needs("trip.must_trip_percent")},
		// Whatever its curve, I_n <= I_z has to hold.
		{Name: "63 A", Subject: "w_lamp", Edits: append(slices.Clone(bare), ruletest.Edits("breakers.cb.rated_A", "63")...), Want: ruletest.Want{Verdict: rules.Failed, Demand: 63, Message: "by the 63 A breaker cb"}},
		{Name: "protected by the fuse before it", Subject: "w_lamp", Edits: append(slices.Clone(bare), ruletest.Edits("wires.w_lamp.size", `"70 mm2"`)...), Want: ruletest.Want{Verdict: rules.Passed}},
	})
}

// thinAndLong makes of the lamp's feed one that the main fuse protects from nothing.
func thinAndLong(edits []rules.Edit) []rules.Edit {
	return append(slices.Clone(edits), ruletest.Edits("wires.w_lamp.length_m", "12", "wires.w_lamp.size", `"1.5 mm2"`)...)
}

// The guards of a conductor name the breaker before it, and with it open the branch is dead.
func TestBreakerGuards(t *testing.T) {
	spec := fixture.Spec(t, withBreaker()...)
	n := circuit.New(spec)
	var ids []string
	for _, g := range n.Guards()["w_lamp"] {
		ids = append(ids, g.Fuses...)
		if g.Exposed {
			t.Errorf("w_lamp counts as without protection against %s", g.Source.ID)
		}
	}
	if !slices.Contains(ids, "cb") || !slices.Contains(ids, "main") {
		t.Errorf("w_lamp is guarded by %v", ids)
	}
	lit, dark := n.Solve(circuit.Case{Mode: "light"}), n.Solve(circuit.Case{Mode: "cruise"})
	if !lit.Closed("cb") || dark.Closed("cb") {
		t.Errorf("closed in light %v, in cruise %v", lit.Closed("cb"), dark.Closed("cb"))
	}
	from, sure := circuit.InstantA(spec.Breakers["cb"])
	if from < 70.7 || from > 70.72 || sure < 141.4 || sure > 141.43 {
		t.Errorf("the magnet of C 10 A trips between %v and %v A on DC", from, sure)
	}
	curve, err := capacity.Curve(n.Device("cb"))
	if err != nil || curve.MaxTime(142) != 0.02 || curve.MaxTime(1000) != 0.02 {
		t.Errorf("trips at 142 A within %v s, %v", curve.MaxTime(142), err)
	}
}

// The shortest times go on to where the magnet may trip: between the points of the sheet
// where they lead beyond it, and never above the longest.
func TestBreakerShortestTimes(t *testing.T) {
	for _, x := range []struct {
		name, trip string
		want       float64 // just below 50 A, s
	}{
		{"a point where the magnet begins", `{"min": [{"current_A": 20, "s": 20}, {"current_A": 50, "s": 1}], "max": [{"current_A": 20, "s": 60}, {"current_A": 50, "s": 3}]}`, 1},
		{"points beyond", `{"min": [{"current_A": 20, "s": 20}, {"current_A": 125, "s": 0.2}], "max": [{"current_A": 20, "s": 60}]}`, 2},
		{"by the integral", `{"min": [{"current_A": 20, "s": 20}], "max": [{"current_A": 20, "s": 60}]}`, 3.2},
		{"no later than the longest", `{"min": [{"current_A": 20, "s": 20}], "max": [{"current_A": 20, "s": 60}, {"current_A": 50, "s": 3}]}`, 3},
	} {
		spec := fixture.Spec(t, withBreaker("breakers.cb.kind", `"hydraulic-magnetic"`, "breakers.cb.trip", x.trip, "breakers.cb.instant.stated_for", `"dc"`)...)
		curve, err := capacity.Curve(circuit.New(spec).Device("cb"))
		if err != nil {
			t.Errorf("%s: %v", x.name, err)
			continue
		}
		if got := curve.MinTime(49.999999); math.Abs(got-x.want) > 1e-3 {
			t.Errorf("%s: never before %v s, want %v", x.name, got, x.want)
		}
	}
}

// Outside the ambients that its sheet has, a breaker is not rated, but trips all the same:
// sooner in the heat, and in the cold at no more than the line through the first two
// points: 110 % + 5 K x 15 % / 35 K = 112.1 % of 13 A at 20 C.
func TestBreakerOutsideItsAmbients(t *testing.T) {
	points := func(from, to string) []rules.Edit {
		return withBreaker("breakers.cb.ambient", `[{"at_C": `+from+`, "percent": 110}, {"at_C": `+to+`, "percent": 95}]`)
	}
	for _, rule := range []*rules.Rule{aboveAmpacity(), farFaultSlow(), slowerThanDamage(), withstandShort()} {
		fixture.Play(t, rule, []ruletest.Scene{
			{Name: rule.ID + " above the last", Subject: "w_lamp", Edits: points("0", "35"), Want: ruletest.Want{Verdict: rules.Passed}},
			{Name: rule.ID + " below the first", Subject: "w_lamp", Edits: points("25", "60"), Want: ruletest.Want{Verdict: rules.Passed}},
		})
	}
	curve, err := capacity.Curve(circuit.New(fixture.Spec(t, points("25", "60")...)).Device("cb"))
	if err != nil {
		t.Fatal(err)
	}
	if least, _ := curve.MustOpenA(); math.Abs(least-14.58) > 0.01 {
		t.Errorf("surely trips at %v A at 20 C", least)
	}
}
