package fuse

import (
	"testing"

	"example.org/headroom/rules"
)

// isolated puts an isolator between two terminals of the bench, in place of the
// first end of a wire.
func isolated(wire, end, terminal, carry string, more edits) edits {
	size := `"size": "35 mm2", "length_m": 0.1, "insulation": {"max_C": 90, "rated_V": 600, "material": "XLPE"}`
	e := edits{
		"disconnects.isolator":         `{"rated_V_dc": 80, "carry_A": ` + carry + `}`,
		"wires.w_isolator":             `{"from": "` + terminal + `", "to": "isolator.a", ` + size + `}`,
		"wires." + wire + "." + end:    `"isolator.b"`,
		"disconnects.isolator.carry_A": carry,
	}
	for k, v := range more {
		e[k] = v
	}
	return e
}

// By hand: the drive draws 60 A for long. The lamp of 230.4 W at 48 V is 10 Ohm
// and draws 5.6 A at 56 V; the converter 13.8 V * 12 A / (0.85 * 36 V) = 5.412 A;
// together 11.01 A, but their fuse has 10 A.
func TestAboveContact(t *testing.T) {
	drive := func(carry string, more edits) edits { return isolated("w_drive", "from", "main.b", carry, more) }
	pack := func(carry string, more edits) edits { return isolated("w_pack", "from", "pack.pos", carry, more) }
	unknown := edits{"controllers.drive.battery_continuous_A": "", "controllers.drive.battery_peak_A": ""}
	partial := edits{"controllers.drive.battery_continuous_A": "", "controllers.drive.battery_peak_A": "", "fuses.main.min_breaking_A": "400"}
	check(t, aboveContact(), []expectation{
		{name: "a load that cannot overload it", change: drive("70", nil), subject: "isolator", verdict: rules.Passed, demand: 60, capability: 70},
		{name: "a load that can", change: drive("57", nil), subject: "isolator", verdict: rules.Failed, demand: 60, level: rules.Warning, says: "what hangs on it can draw 60 A"},
		{name: "less than an overload", change: drive("57.2", nil), subject: "isolator", verdict: rules.Passed, demand: 60},
		{name: "exactly twice", change: drive("30", nil), subject: "isolator", verdict: rules.Failed, demand: 60, level: rules.Warning},
		{name: "more than twice", change: drive("29.9", nil), subject: "isolator", verdict: rules.Failed, demand: 60, level: rules.Error},
		{name: "the fuse bounds it", change: drive("95", unknown), subject: "isolator", verdict: rules.Failed, demand: 100, says: "the 100 A fuse main"},
		{name: "the fuse suits it", change: drive("100", unknown), subject: "isolator", verdict: rules.Passed, demand: 100},
		{name: "a partial-range fuse bounds nothing", change: drive("99", partial), subject: "isolator", verdict: rules.NotChecked,
			missing: "controllers.drive.battery_continuous_A"},
		{name: "branches add up, each to its fuse", change: pack("80", nil), subject: "isolator", verdict: rules.Passed, demand: 70},
		{name: "a branch below its fuse", change: pack("80", edits{"fuses.branch.rated_A": "15"}), subject: "isolator", verdict: rules.Passed, demand: 71.01},
		{name: "the battery's own fuse", change: pack("80", edits{"batteries.pack.internal_fuse_A": "50"}), subject: "isolator", verdict: rules.Passed, demand: 50},
		{name: "in the negative side", change: isolated("w_drive_neg", "to", "pack.neg", "80", nil), subject: "isolator", verdict: rules.Passed, demand: 70},
		{name: "rating unknown", change: drive("70", edits{"disconnects.isolator.carry_A": ""}), subject: "isolator", verdict: rules.NotChecked,
			missing: "disconnects.isolator.carry_A"},
		{name: "other contacts beside it", change: drive("50", edits{
			"disconnects.second": `{"rated_V_dc": 80, "carry_A": 100}`,
			"wires.w_second_a":   `{"from": "isolator.a", "to": "second.a", "size": "35 mm2", "length_m": 0.1}`,
			"wires.w_second_b":   `{"from": "isolator.b", "to": "second.b", "size": "35 mm2", "length_m": 0.1}`,
		}), subject: "isolator", verdict: rules.NotChecked},
	})
}

// A motor is taken stalled: 9 A of a pump that runs on 3 A.
func TestAboveContactStalled(t *testing.T) {
	pump := func(stall string) edits {
		wire := func(from, to string) string {
			return `{"from": "` + from + `", "to": "` + to + `", "size": "2.5 mm2", "length_m": 0.5, "insulation": {"max_C": 90}}`
		}
		return edits{
			"loads.pump":            `{"kind": "motor", "power_W": 144, "at_V": 48` + stall + `}`,
			"switches.button.poles": `{"p": {"carry_A": 5, "rated_V_dc": 80}}`,
			"wires.q1":              wire("branch.b", "button.p_a"),
			"wires.q2":              wire("button.p_b", "pump.pos"),
			"wires.q3":              wire("pump.neg", "lamp.neg"),
		}
	}
	check(t, aboveContact(), []expectation{
		{name: "stalled", change: pump(`, "stall_A": 9`), subject: "button.p", verdict: rules.Failed, demand: 9},
		{name: "not stated", change: pump(""), subject: "button.p", verdict: rules.Passed, demand: 3},
		{name: "more than the fuse", change: pump(`, "stall_A": 14`), subject: "button.p", verdict: rules.Failed, demand: 10, says: "10 A fuse branch"},
	})
}
