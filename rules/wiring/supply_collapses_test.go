package wiring

import (
	"math"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestSupplyCollapses(t *testing.T) {
	rule := supplyCollapses()
	t.Run("the working can be reproduced", func(t *testing.T) {
		r := ruletest.Verdict(t, ruletest.On(t, rule, "heron"), "drive", rules.Passed)
		value := map[string]float64{}
		for _, s := range r.Working {
			value[s.Symbol] = s.Value
		}
		most := value["V_min"] * value["V_min"] / (4 * value["R_max"] / 1000)
		if math.Abs(value["P_max"]-most) > 1e-6*most {
			t.Errorf("P_max %v, by hand %v", value["P_max"], most)
		}
		if math.Abs(r.Capability.Value-0.5*most) > 1e-6*most {
			t.Errorf("capability %v, want half of %v", r.Capability, most)
		}
	})
	t.Run("an assumed factor of the resistance is named", func(t *testing.T) {
		r := ruletest.Verdict(t, ruletest.On(t, rule, "heron", ruletest.Edits("batteries.pack.resistance_mOhm", "25", "batteries.pack.chemistry", "")...), "drive", rules.Passed)
		if !slices.ContainsFunc(r.Working, func(s rules.Step) bool {
			return s.Value == 2 && s.Origin.Kind == rules.FromDefault && s.Origin.Ref == "policy.battery_resistance_max_factor"
		}) {
			t.Errorf("the factor is not in the working:\n%+v", r.Working)
		}
	})
	t.Run("without the battery's resistance it is not checked", func(t *testing.T) {
		got := ruletest.On(t, rule, "heron", ruletest.Edits("batteries.pack.resistance_mOhm", "")...)
		r := ruletest.Verdict(t, got, "drive", rules.NotChecked)
		if want := "batteries.pack.resistance_mOhm"; r.Missing != want {
			t.Errorf("missing %q, want %q", r.Missing, want)
		}
	})
	t.Run("beyond the limit it is an error, short of the margin a warning", func(t *testing.T) {
		// 84 kW is beyond V^2/4R of any corner; no current limit comes first.
		uncapped := ruletest.Edits("controllers.drive.battery_peak_A", "")
		got := ruletest.On(t, rule, "heron", append(uncapped, ruletest.Edits("modes.climb.draw.drive.power_W", "84000")...)...)
		if r := ruletest.Verdict(t, got, "drive", rules.Failed); r.Level != rules.Error || !strings.Contains(r.Message, "its supply collapses at 84 kW") {
			t.Errorf("level %s, want error: %s", r.Level, r.Message)
		}
		got = ruletest.On(t, rule, "heron", append(uncapped, ruletest.Edits("modes.climb.draw.drive.power_W", "11000")...)...)
		if r := ruletest.Verdict(t, got, "drive", rules.Failed); r.Level != rules.Warning {
			t.Errorf("level %s, want warning: %s", r.Level, r.Message)
		}
	})
}

// Of a current the power at 44 V, the lowest voltage of the controller, counts. The
// limit of 110 A, at 60 V behind no more than 55 mOhm some 5.9 kW, holds back what is more.
func TestPowerThatIsDrawn(t *testing.T) {
	for draw, watts := range map[string]float64{`{"current_A": 100}`: 4400, `{"power_W": 5000}`: 5000} {
		r := ruletest.Verdict(t, ruletest.On(t, supplyCollapses(), "heron", ruletest.Edits("modes.climb.draw.drive", draw)...), "drive", rules.Passed)
		if r.Demand.Value != watts {
			t.Errorf("%s draws %v, want %v W", draw, r.Demand, watts)
		}
	}
}

// 44.8 V behind some 26 mOhm are 43 V at 69 A, and the converter draws little.
func TestCollapseFixHolds(t *testing.T) {
	ruletest.Follow(t, Rules(), []ruletest.Advice{
		{Name: "less power", File: filepath.Join(ruletest.Fleet(), "mole"), Mistake: ruletest.Edits("controllers.drive.min_V", "43"),
			Rule: "supply-collapses", Subject: "drive", Says: []string{"reduce what drive draws in mode climb to at most 2.9 kW (battery-side limit 69 A)"},
			Done: ruletest.Edits("modes.climb.draw.drive.power_W", "2900")},
	})
}
