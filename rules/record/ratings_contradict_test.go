package record

import (
	"strings"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestRatingsContradict(t *testing.T) {
	rule := ratingsContradict()
	tests := []struct {
		name, subject string
		edits         []rules.Edit
		says          string // "" where the values agree
	}{
		// 84 V / 30 mOhm = 2800 A: up to 2.5 times as much, 7000 A, may be the first milliseconds'.
		{"short-circuit current within its resistance", "pack", ruletest.Edits(
			"batteries.pack.resistance_mOhm", `{"min": 30, "typ": 40, "max": 80}`, "batteries.pack.max_V", "84",
			"batteries.pack.short_circuit_A", "6900"), ""},
		{"short-circuit current of another pack", "pack", ruletest.Edits(
			"batteries.pack.resistance_mOhm", `{"min": 30, "typ": 40, "max": 80}`, "batteries.pack.max_V", "84",
			"batteries.pack.short_circuit_A", "7100"), "short_circuit_A is 7100 A, but the lowest resistance requires 2380 to 7000 A"},
		{"fuse that opens below its rating", "aux_fuse", ruletest.Edits(
			"fuses.aux_fuse.opening", `{"min": [{"current_A": 28, "s": 60}]}`), "opening.min.0.current_A is 28 A, but rated_A requires at least 30 A"},
		{"contact that breaks beyond its voltage", "main_contactor", ruletest.Edits(
			"contactors.main_contactor.contact.rated_V_dc", "90", "contactors.main_contactor.contact.break", `[{"V": 96, "A": 400}]`),
			"contact.break.0.V is 96 V, but rated_V_dc requires at most 90 V"},
		{"short-time current below the continuous one", "main_contactor", ruletest.Edits(
			"contactors.main_contactor.contact.carry_A", "250", "contactors.main_contactor.contact.short_time", `[{"A": 240, "s": 60}]`),
			"contact.short_time.0.A is 240 A, but carry_A requires at least 250 A"},
		// 12 V / 8 Ohm = 1.5 A.
		{"economiser whose pick-up current is its holding one", "main_contactor", ruletest.Edits(
			"contactors.main_contactor.coil.nominal_V", "12", "contactors.main_contactor.coil.resistance_Ohm", "8",
			"contactors.main_contactor.coil.pickup_A", "0.3"), "coil.pickup_A is 0.3 A, but the coil's resistance requires 1.05 to 2.1 A"},
		{"plain diode that clamps at 36 V", "main_contactor", ruletest.Edits(
			"contactors.main_contactor.coil.suppression", `"diode"`, "contactors.main_contactor.coil.clamp_V", "36"),
			"coil.clamp_V is 36 V, but a plain diode (suppression: diode) requires at most 3 V"},
		{"motor that stalls at less than it runs at", "horn", ruletest.Edits(
			"loads.horn.power_W", "48", "loads.horn.at_V", "12", "loads.horn.stall_A", "2"),
			"stall_A is 2 A, but the running current requires at least 4 A"},
		{"PVC at 125 C", "w_aux_pos", ruletest.Edits("wires.w_aux_pos.insulation.max_C", "125"),
			"insulation.max_C is 125 C, but insulation of PVC requires at most 105 C"},
		{"bar whose sides are swapped, creepage below clearance", "bar", ruletest.Edits("busbars.bar", `{"from": "house_plus.stud", "to": "house_minus.stud", "width_mm": 3, "thickness_mm": 25, "length_mm": 50, "clearance_mm": 10, "creepage_mm": 6}`),
			"thickness_mm is 25 mm, but width_mm requires at most 3 mm; creepage_mm is 6 mm, but clearance_mm requires at least 10 mm"},
		// 13.8 V x 16 A / (0.9 x 120 V) = 2.04 A at the least.
		{"converter whose input cannot cover its output", "converter", ruletest.Edits(
			"converters.converter.efficiency_percent", "90", "converters.converter.input.max_V", "120", "converters.converter.input.max_A", "1"),
			"input.max_A is 1 A"},
		// 13.8 V x 16 A / (0.5 x 120 V) = 3.68 A, of which 95 % are 3.496 A; without the losses 1.748 A.
		{"converter whose input covers its output but not its losses", "converter", ruletest.Edits(
			"converters.converter.efficiency_percent", "50", "converters.converter.input.max_V", "120", "converters.converter.input.max_A", "3"),
			"requires at least 3.496 A"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			got := ruletest.On(t, rule, "heron", test.edits...)
			want := rules.Failed
			if test.says == "" {
				want = rules.Passed
			}
			r := ruletest.Verdict(t, got, test.subject, want)
			if !strings.Contains(r.Message, test.says) {
				t.Errorf("message %q does not say %q", r.Message, test.says)
			}
		})
	}
}
