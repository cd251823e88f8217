package contactor

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestCoilOutputOverloaded(t *testing.T) {
	rule := coilOutputOverloaded()
	spec := ruletest.Load(t, ruletest.Fleet()+"/mole")
	coil, pack := spec.Contactors["main_contactor"].Coil, spec.Batteries["pack"]
	// V_max over the cold coil: 1 + 0.00393 (T - 20) times its resistance at 20 C.
	cold := coil.ResistanceOhm.Value * (1 + 0.00393*(spec.Vehicle.AmbientC.Min-20))
	r := ruletest.Verdict(t, ruletest.On(t, rule, "mole"), "drive", rules.Passed)
	if want := pack.MaxV / cold; r.Demand.Value > want || r.Demand.Value < 0.97*want {
		t.Errorf("%v, by hand %.4f A less the drops on the way", r.Demand, want)
	}
	r = ruletest.Verdict(t, ruletest.On(t, rule, "mole", ruletest.Edits("controllers.drive.coil_out.max_A", "")...), "drive", rules.NotChecked)
	if r.Missing != "controllers.drive.coil_out.max_A" {
		t.Errorf("missing %q", r.Missing)
	}
	t.Run("pick-up of an economiser", func(t *testing.T) {
		got := ruletest.On(t, rule, "mole",
			ruletest.Edits("contactors.main_contactor.coil.drive", `"economiser"`,
				"contactors.main_contactor.coil.resistance_Ohm", "",
				"contactors.main_contactor.coil.pickup_A", "3.8",
				"contactors.main_contactor.coil.pickup_s", "0.1",
				"contactors.main_contactor.coil.hold_A", "0.2")...)
		ruletest.Verdict(t, got, "drive", rules.Failed)
	})
}
