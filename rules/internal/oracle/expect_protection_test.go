package oracle

import "testing"

// Relations of fuses and links against numbers worked out by hand.
func TestProtectionExpectations(t *testing.T) {
	v := vehicle(t, `{
		"batteries": {
			"up": {"role": "traction", "nominal_V": 24, "min_V": 20, "max_V": 28, "resistance_mOhm": 10, "internal_fuse_A": 125, "internal_fuse_breaking_A": 2000},
			"low": {"role": "traction", "nominal_V": 24, "min_V": 20, "max_V": 28, "resistance_mOhm": 10}},
		"fuses": {
			"main": {"class": "ul", "rated_A": 100, "opening": {"min": [{"current_A": 80, "s": 60}], "max": [{"current_A": 252, "s": 3600}]}}},
		"wires": {
			"link": {"from": "up.neg", "to": "low.pos", "size": "16 mm2", "length_m": 0.712},
			"lead": {"from": "up.pos", "to": "main.a", "size": "16 mm2", "length_m": 0.5}}}`)
	all := Expectations()
	for _, x := range []struct {
		rule, subject string
		want          float64
	}{
		{"fuse-curve-unlike-rating", "main", 1.25}, // 100/80, more than 252/(2.1 * 100)
		{"internal-fuse-opens-first", "main", 100 / (0.62 * 125)},
		{"internal-fuse-breaking-low", "up", 28 / 0.006 / 2000}, // the least resistance is 0.6 of the typical
		{"string-link-long", "link", 2},
		{"string-link-long", "lead", 0},
	} {
		near(t, x.rule+" of "+x.subject, all[x.rule](v, x.subject), x.want, 1e-9)
	}
}
