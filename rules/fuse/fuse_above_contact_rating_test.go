package fuse

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// isolated puts an isolator between two terminals of the fixture, in place of the
// first end of a wire.
func isolated(wire, end, terminal, carry string, more []rules.Edit) []rules.Edit {
	size := `"size": "35 mm2", "length_m": 0.1, "insulation": {"max_C": 90, "rated_V": 600, "material": "XLPE"}`
	return append(ruletest.Edits(
		"disconnects.isolator", `{"rated_V_dc": 80, "carry_A": `+carry+`}`,
		"wires.w_isolator", `{"from": "`+terminal+`", "to": "isolator.a", `+size+`}`,
		"wires."+wire+"."+end, `"isolator.b"`,
		"disconnects.isolator.carry_A", carry,
	), more...)
}

// By hand: the drive draws 60 A for long. The lamp of 230.4 W at 48 V is 10 Ohm
// and draws 5.6 A at 56 V; the converter 13.8 V * 12 A / (0.85 * 36 V) = 5.412 A;
// together 11.01 A, but their fuse has 10 A.
func TestAboveContact(t *testing.T) {
	drive := func(carry string, more []rules.Edit) []rules.Edit {
		return isolated("w_drive", "from", "main.b", carry, more)
	}
	pack := func(carry string, more []rules.Edit) []rules.Edit {
		return isolated("w_pack", "from", "pack.pos", carry, more)
	}
	unknown := ruletest.Edits("controllers.drive.battery_continuous_A", "", "controllers.drive.battery_peak_A", "")
	partial := ruletest.Edits("controllers.drive.battery_continuous_A", "", "controllers.drive.battery_peak_A", "", "fuses.main.min_breaking_A", "400")
	fixture.Play(t, aboveContact(), []ruletest.Scene{
		{Name: "a load that cannot overload it", Edits: drive("70", nil), Subject: "isolator", Want: ruletest.Want{Verdict: rules.Passed, Demand: 60, Capability: 70}},
		{Name: "a load that can", Edits: drive("57", nil), Subject: "isolator", Want: ruletest.Want{Verdict: rules.Failed, Demand: 60, Level: rules.Warning, Message: "up to 60 A, rated 57 A; limited only by drive"}},
		{Name: "less than an overload", Edits: drive("57.2", nil), Subject: "isolator", Want: ruletest.Want{Verdict: rules.Passed, Demand: 60}},
		{Name: "exactly twice", Edits: drive("30", nil), Subject: "isolator", Want: ruletest.Want{Verdict: rules.Failed, Demand: 60, Level: rules.Warning, Primary: "disconnect-carry-low/isolator"}},
		{Name: "more than twice", Edits: drive("29.9", nil), Subject: "isolator", Want: ruletest.Want{Verdict: rules.Failed, Demand: 60, Level: rules.Error, Primary: "disconnect-carry-low/isolator"}},
		{Name: "the fuse bounds it", Edits: drive("95", unknown), Subject: "isolator", Want: ruletest.Want{Verdict: rules.Failed, Demand: 100, Message: "the 100 A fuse main"}},
		{Name: "the fuse suits it", Edits: drive("100", unknown), Subject: "isolator", Want: ruletest.Want{Verdict: rules.Passed, Demand: 100}},
		{Name: "a partial-range fuse bounds nothing", Edits: drive("99", partial), Subject: "isolator", Want: ruletest.Want{Verdict: rules.NotChecked,
			Missing: "controllers.drive.battery_continuous_A"}},
		{Name: "branches add up, each to its fuse", Edits: pack("80", nil), Subject: "isolator", Want: ruletest.Want{Verdict: rules.Passed, Demand: 70}},
		{Name: "a branch below its fuse", Edits: pack("80", ruletest.Edits("fuses.branch.rated_A", "15")), Subject: "isolator", Want: ruletest.Want{Verdict: rules.Passed, Demand: 71.01}},
		{Name: "the battery's own fuse", Edits: pack("80", ruletest.Edits("batteries.pack.internal_fuse_A", "50")), Subject: "isolator", Want: ruletest.Want{Verdict: rules.Passed, Demand: 50}},
		{Name: "in the negative side", Edits: isolated("w_drive_neg", "to", "pack.neg", "80", nil), Subject: "isolator", Want: ruletest.Want{Verdict: rules.Passed, Demand: 70}},
		{Name: "rating unknown", Edits: drive("70", ruletest.Edits("disconnects.isolator.carry_A", "")), Subject: "isolator", Want: ruletest.Want{Verdict: rules.NotChecked,
			Missing: "disconnects.isolator.carry_A"}},
		{Name: "other contacts beside it", Edits: drive("50", ruletest.Edits(
			"disconnects.second", `{"rated_V_dc": 80, "carry_A": 100}`,
			"wires.w_second_a", `{"from": "isolator.a", "to": "second.a", "size": "35 mm2", "length_m": 0.1}`,
			"wires.w_second_b", `{"from": "isolator.b", "to": "second.b", "size": "35 mm2", "length_m": 0.1}`,
		)), Subject: "isolator", Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "a single path through isolator"}},
	})
}

// A motor is taken stalled: 9 A of a pump that runs on 3 A.
func TestAboveContactStalled(t *testing.T) {
	pump := func(stall string) []rules.Edit {
		wire := func(from, to string) string {
			return `{"from": "` + from + `", "to": "` + to + `", "size": "2.5 mm2", "length_m": 0.5, "insulation": {"max_C": 90}}`
		}
		return ruletest.Edits(
			"loads.pump", `{"kind": "motor", "power_W": 144, "at_V": 48`+stall+`}`,
			"switches.button.poles", `{"p": {"carry_A": 5, "rated_V_dc": 80}}`,
			"wires.q1", wire("branch.b", "button.p_a"),
			"wires.q2", wire("button.p_b", "pump.pos"),
			"wires.q3", wire("pump.neg", "lamp.neg"),
		)
	}
	fixture.Play(t, aboveContact(), []ruletest.Scene{
		{Name: "stalled", Edits: pump(`, "stall_A": 9`), Subject: "button.p", Want: ruletest.Want{Verdict: rules.Failed, Demand: 9}},
		{Name: "not stated", Edits: pump(""), Subject: "button.p", Want: ruletest.Want{Verdict: rules.Passed, Demand: 3}},
		{Name: "more than the fuse", Edits: pump(`, "stall_A": 14`), Subject: "button.p", Want: ruletest.Want{Verdict: rules.Failed, Demand: 10, Message: "10 A fuse branch"}},
	})
}

// A freewheel diode lets no current of the battery through: a loop over it would
// have to pass the battery's negative pole twice.
func TestAboveContactBesideFreewheelDiode(t *testing.T) {
	lead := func(from, to string) string {
		return `{"from": "` + from + `", "to": "` + to + `", "size": "1.5 mm2", "length_m": 0.05, "insulation": {"max_C": 105, "rated_V": 600}}`
	}
	got := ruletest.On(t, aboveContact(), "../sound/external-suppression.yaml", ruletest.Edits(
		"diodes.wheel", `{"continuous_A": 3, "reverse_V": 40}`,
		"wires.x1", lead("wheel.cathode", "main_contactor.coil_pos"), "wires.x2", lead("wheel.anode", "main_contactor.coil_neg"))...)
	ruletest.Verdict(t, got, "key.drive", rules.Passed)
}

// What limits the battery's side says nothing of the current of a motor's phase.
func TestContactInPhase(t *testing.T) {
	results := ruletest.On(t, aboveContact(), "mole", ruletest.Edits("disconnects.joint", `{"carry_A": 300, "rated_V_dc": 80}`, "wires.w_phase_u.to", `"joint.a"`,
		"wires.w_far", `{"from": "joint.b", "to": "motor.u", "size": "70 mm2", "length_m": 0.3, "insulation": {"max_C": 105, "rated_V": 600}}`)...)
	ruletest.Expect(t, results, "joint", ruletest.Want{Verdict: rules.NotChecked, Missing: "the switching of the phases of drive"})
}
