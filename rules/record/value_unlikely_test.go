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
		{"a wire in millimetres", "w_aux_pos", "wires.w_aux_pos.length_m", "120", "a value 1000 times lower would be usual"},
		{"a wire of 2 Ohm", "w_display_neg", "wires.w_display_neg", `{"from": "display.neg", "to": "ready_lamp.neg", "size": "0.35 mm2", "length_m": 29}`, "the wire has"},
		{"a shunt in volts", "shunt", "shunts.shunt", `{"rated_A": 100, "drop_mV": 0.06, "source": "s"}`, "1000 times higher"},
		{"a pack in ohms", "pack", "batteries.pack.resistance_mOhm", `0.00002`, "a short circuit of 20 A to 100 kA"},
		{"a capacity in mAh", "pack", "batteries.pack.capacity_Ah", "6000", "a value 1000 times lower would be usual"},
		{"a coil in kiloohms", "main_contactor", "contactors.main_contactor.coil.resistance_Ohm", "0.024", "a coil of 0.5 to 80 W"},
		{"a standby current in uA", "converter", "converters.converter.input.standby_mA", "8000", "a value 1000 times lower would be usual"},
		{"a torque of another thread", "house_plus", "studs.house_plus.torque_Nm", "60", "thread M8"},
		{"a summer of four degrees", "vehicle", "vehicle.ambient_C.max", "4", "check the decimal point"},
		{"two slips would do", "soft", "resistors.soft.pulse_J", "15", "as would one 10 times higher: check unit and decimal point"},
		{"a lamp in milliwatts", "horn", "loads.horn.power_W", "45000", "a value 1000 times lower would be usual"},
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
