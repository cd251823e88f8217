package measurement

import (
	"math"
	"testing"

	"example.org/headroom/rules/ruletest"
)

// A voltmeter on four batteries of 14.6 V in series reads what it is wired across.
func TestMeterAcrossPartOfAString(t *testing.T) {
	for _, tt := range []struct {
		name, pos, neg string
		want           float64
	}{
		{"the lowest", "b4.pos", "b4.neg", 14.6},
		{"one in the middle", "b2.pos", "b2.neg", 14.6},
		{"the lower two", "b2.neg", "b4.neg", 29.2},
		{"all", "b1.pos", "b4.neg", 58.4},
		{"all but for switches", "main_contactor.a", "drive.neg", 58.4},
	} {
		t.Run(tt.name, func(t *testing.T) {
			wire := func(from, to string) string {
				return `{"from": "` + from + `", "to": "` + to + `", "size": "1.5 mm2", "length_m": 0.5, "insulation": {"max_C": 105, "rated_V": 600}}`
			}
			results := ruletest.On(t, meterRangeLow(), "../sound/series-string.yaml", ruletest.Edits(
				"meters.volts", `{"shows": "voltage", "full_scale_V": 80, "supply_mA": 5, "max_V": 90, "source": "sheet"}`,
				"wires.volts_pos", wire(tt.pos, "volts.pos"), "wires.volts_neg", wire("volts.neg", tt.neg))...)
			if len(results) != 1 {
				t.Errorf("%d results, want one", len(results))
			}
			for _, r := range results {
				if math.Abs(r.Demand.Value-tt.want) > 1e-9 {
					t.Errorf("%v for %v V: %s", r.Demand, tt.want, r.Message)
				}
			}
		})
	}
}
