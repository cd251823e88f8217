package oracle

import (
	"math"
	"testing"
)

// Relations of breakers and cut-outs against numbers worked out by hand.
func TestBreakerExpectations(t *testing.T) {
	v := vehicle(t, `{
		"vehicle": {"ambient_C": {"min": -10, "max": 60}},
		"batteries": {"pack": {"role": "traction", "nominal_V": 48, "min_V": 40, "max_V": 56, "resistance_mOhm": 20}},
		"breakers": {
			"main": {"kind": "thermal", "standard": "IEC 60898", "rated_A": 100, "rated_V_dc": 48, "breaking_A_dc": 2000, "breaking_at_V": 60, "polarized": true,
				"calibrated_C": 25, "trip_element_C": 120, "trip": {"max": [{"current_A": 200, "s": 60}, {"current_A": 1000, "s": 2}]},
				"trip_free": false, "reset": "automatic", "isolates": true, "operations": 1500},
			"mid": {"kind": "thermal-magnetic", "standard": "UL 1077", "rated_A": 10, "instant": {"min": 5, "max": 10}, "trip_free": false, "reset": "automatic"}},
		"controllers": {"drive": {"battery_peak_A": 90}},
		"motors": {"motor": {"limit_C": 155}},
		"cutouts": {"hot": {"guards": "motor", "opens_C": 150, "contact": {"carry_A": 2, "rated_V_dc": 28}}},
		"wires": {
			"w1": {"from": "pack.pos", "to": "main.a", "size": "50 mm2", "length_m": 0.001},
			"w2": {"from": "main.b", "to": "drive.pos", "size": "50 mm2", "length_m": 0.001},
			"w3": {"from": "drive.neg", "to": "pack.neg", "size": "50 mm2", "length_m": 0.001},
			"w4": {"from": "main.b", "to": "mid.a", "size": "50 mm2", "length_m": 0.001},
			"w5": {"from": "mid.b", "to": "hot.a", "size": "50 mm2", "length_m": 0.001}},
		"modes": {
			"drive": {"closed": ["main", "mid"], "draw": {"drive": {"current_A": 50}}},
			"brake": {"closed": ["main", "mid"], "draw": {"drive": {"regen_A": 20}}, "lasts_s": 5}}}`)
	all := Expectations()
	regen := 56 + 20*0.02
	for _, x := range []struct {
		rule, subject string
		want          float64
	}{
		{"breaker-voltage-low", "main", regen / 48},
		{"breaker-breaking-low", "main", 56 / 0.012 / 2000}, // the least resistance is 0.6 of the typical
		{"breaker-reversed", "main", math.Inf(1)},
		{"breaker-reversed", "mid", 0},
		{"breaker-overloaded", "main", 50 / (100 * 0.79472)}, // sqrt(60/95)
		{"breaker-resets-itself", "main", math.Inf(1)},
		{"breaker-resets-itself", "mid", 0}, // neither drive, coil nor lamp
		{"breaker-not-trip-free", "main", math.Inf(1)},
		{"breaker-not-trip-free", "mid", 0},
		{"breaker-supplementary", "main", 0},
		{"breaker-supplementary", "mid", 0}, // main is before it
		{"breaker-slower-than-fuse", "main", 0},
		{"breaker-as-disconnect", "main", 2},
		{"breaker-as-disconnect", "mid", 0},
		{"cutout-contact-low", "hot", regen / 28},
		{"cutout-opens-late", "hot", 155.0 / 145},
		{"cutout-restarts-drive", "hot", 0},
	} {
		got := all[x.rule](v, x.subject)
		if math.IsInf(x.want, 1) {
			if !math.IsInf(got, 1) {
				t.Errorf("%s of %s: %v", x.rule, x.subject, got)
			}
			continue
		}
		near(t, x.rule+" of "+x.subject, got, x.want, 2e-3)
	}
	// In the cold, sqrt(130/95) = 1.170: 1.45 times 100 A become 169.6 A.
	near(t, "surely trips", v.surelyTrips("main"), 169.6, 1e-3)
	near(t, "trips at 500 A", v.trips("main", 500), 60*math.Pow(2.0/60, math.Log(500/234.0)/math.Log(5)), 3e-3)
	least, most := v.magnet("mid")
	near(t, "its magnet, from", least, 70.71, 1e-3)
	near(t, "its magnet, surely", most, 141.4, 1e-3)
	near(t, "by a table", stepped([]any{map[string]any{"at_C": 40.0, "percent": 100.0}, map[string]any{"at_C": 60.0, "percent": 80.0}}, 50), 0.9, 1e-9)
}
