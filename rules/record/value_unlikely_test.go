package record

import (
	"path/filepath"
	"strings"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestValueUnlikely(t *testing.T) {
	rule := valueUnlikely()
	sound, err := filepath.Glob("../../testdata/sound/*.yaml")
	if err != nil || len(sound) < 6 {
		t.Fatal(err, sound)
	}
	for _, file := range append(sound, "../../testdata/first/first.yaml") {
		for _, r := range ruletest.Run(t, ruletest.Load(t, file), []*rules.Rule{rule}) {
			if r.Verdict != rules.Passed {
				t.Errorf("%s: %s", file, r.Message)
			}
		}
	}
	tests := []struct{ name, subject, path, value, says string }{
		{"a 300 A fuse of 0.3 A on 16 mm2", "main", "fuses.main.rated_A", "0.3", "a value 1000 times higher would be usual"},
		{"a wire in millimetres", "w_aux_pos", "wires.w_aux_pos.length_m", "120", "check unit and decimal point"},
		{"a wire of 2 Ohm", "w_display_neg", "wires.w_display_neg", `{"from": "display.neg", "to": "ready_lamp.neg", "size": "0.35 mm2", "length_m": 29}`, "the wire has"},
		{"a shunt in volts", "shunt", "shunts.shunt", `{"rated_A": 100, "drop_mV": 0.06, "source": "s"}`, "1000 times higher"},
		{"a pack in ohms", "pack", "batteries.pack.resistance_mOhm", `0.00002`, "a short circuit of 20 A to 100 kA"},
		{"a capacity in mAh", "pack", "batteries.pack.capacity_Ah", "6000", "check unit and decimal point"},
		{"a coil in kiloohms", "main_contactor", "contactors.main_contactor.coil.resistance_Ohm", "0.024", "a coil of 0.5 to 80 W"},
		{"a standby current in uA", "converter", "converters.converter.input.standby_mA", "8000", "check unit and decimal point"},
		{"a torque of another thread", "house_plus", "studs.house_plus.torque_Nm", "60", "thread M8"},
		{"a summer of four degrees", "vehicle", "vehicle.ambient_C.max", "4", "check the decimal point"},
		{"two slips would do", "soft", "resistors.soft.pulse_J", "15", "check unit and decimal point"},
		{"a torque of one terminal", "main_contactor", "contactors.main_contactor.terminals", `{"a": {"thread": "M6", "torque_Nm": 60}}`, "terminals.a.torque_Nm is 60 Nm"},
		{"a lamp in milliwatts", "horn", "loads.horn.power_W", "45000", "check unit and decimal point"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			got := ruletest.On(t, rule, "heron", ruletest.Edits(test.path, test.value)...)
			r := ruletest.Verdict(t, got, test.subject, rules.Failed)
			if !strings.Contains(r.Message, test.says) {
				t.Errorf("message %q does not say %q", r.Message, test.says)
			}
		})
	}
}

// Where a usual range rests on another value, that value is the right one.
func TestUsualRangeOfAnotherValue(t *testing.T) {
	rule := valueUnlikely()
	for name, edits := range map[string][]rules.Edit{
		// 2 % of 5 A/mm2: on 70 mm2 at least 7 A, on the 0.5 mm2 at its other end 0.05 A.
		"a fuse between a thick and a thin wire": ruletest.Edits("fuses.tap", `{"class": "blade", "rated_A": 1, "rated_V_dc": 32}`,
			"wires.w_thick", `{"from": "house_plus.stud", "to": "tap.a", "size": "70 mm2", "length_m": 0.1}`,
			"wires.a_thin", `{"from": "tap.b", "to": "horn.pos", "size": "0.5 mm2", "length_m": 0.1}`),
		"a fuse whose thin wire comes last": ruletest.Edits("fuses.tap", `{"class": "blade", "rated_A": 1, "rated_V_dc": 32}`,
			"wires.a_thick", `{"from": "house_plus.stud", "to": "tap.a", "size": "70 mm2", "length_m": 0.1}`,
			"wires.w_thin", `{"from": "tap.b", "to": "horn.pos", "size": "0.5 mm2", "length_m": 0.1}`),
		// 12 V and 1000 Ohm are 0.144 W; of an economiser the resistance is that of neither state.
		"a coil with an economiser": ruletest.Edits("contactors.main_contactor.coil",
			`{"nominal_V": 12, "operate_V": 8, "resistance_Ohm": 1000, "drive": "economiser", "pickup_A": 3, "hold_A": 0.1}`),
	} {
		t.Run(name, func(t *testing.T) { ruletest.Silent(t, rule, "heron", edits...) })
	}
	// 12 V / 0.5 W: more than 288 Ohm is unlikely.
	r := ruletest.Verdict(t, ruletest.On(t, rule, "heron", ruletest.Edits("contactors.main_contactor.coil.nominal_V", "12",
		"contactors.main_contactor.coil.operate_V", "8", "contactors.main_contactor.coil.resistance_Ohm", "300")...), "main_contactor", rules.Failed)
	if !strings.Contains(r.Message, "usual 1.8 to 288 Ohm") {
		t.Errorf("%s", r.Message)
	}
	// A length beyond what any wire has is one slip, not two.
	r = ruletest.Verdict(t, ruletest.On(t, rule, "heron", ruletest.Edits("wires.w_display_neg",
		`{"from": "display.neg", "to": "ready_lamp.neg", "size": "0.35 mm2", "length_m": 190}`)...), "w_display_neg", rules.Failed)
	if strings.Count(r.Message, "length_m") != 1 {
		t.Errorf("%s", r.Message)
	}
}
