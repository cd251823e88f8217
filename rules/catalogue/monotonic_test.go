package catalogue_test

import (
	"slices"
	"strings"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/catalogue"
	"example.org/headroom/rules/ruletest"
)

// better is a change for the better of a whole vehicle, and the rules whose headroom it
// may lower, each with the reason.
type better struct {
	name   string
	change func(tree map[string]any)
	lowers map[string]string
}

// slack is the share by which a headroom may fall in passing: consumers that are
// resistances take a little more from a supply that sags less.
const slack = 0.02

var betters = []better{
	{"thicker cable", func(tree map[string]any) {
		fields(tree, "wires", func(w map[string]any) { w["size"] = thicker(w["size"].(string)) })
	}, lowersByLessResistance},
	{"wider bars", func(tree map[string]any) {
		fields(tree, "busbars", func(b map[string]any) { scale(b, 1.25, "width_mm") })
	}, lowersByLessResistance},
	{"larger contacts", func(tree map[string]any) {
		for _, kind := range []string{"contactors", "relays"} {
			fields(tree, kind, func(k map[string]any) { enlarge(k["contact"]) })
		}
		fields(tree, "disconnects", func(d map[string]any) { enlarge(d) })
		fields(tree, "switches", func(s map[string]any) {
			fields(s, "poles", func(pole map[string]any) {
				scale(pole, 1.25, "carry_A", "make_A", "lamp_A", "motor_A", "inductive_A", "rated_V_dc")
			})
		})
	}, lowersByLessResistance},
	{"lower load", func(tree map[string]any) {
		fields(tree, "loads", func(l map[string]any) { scale(l, 0.8, "power_W", "stall_A") })
		fields(tree, "controllers", func(k map[string]any) {
			scale(k, 0.8, "battery_continuous_A", "battery_peak_A", "regen_A")
		})
		fields(tree, "modes", func(m map[string]any) {
			fields(m, "draw", func(d map[string]any) { scale(d, 0.8, "current_A", "power_W", "regen_A") })
		})
	}, map[string]string{
		"house-energy-high":        "the share of the house in all that is drawn: it grows as the drive draws less",
		"fuse-controller-mismatch": "the fuse is to be near the controller's limit, from above too",
		"meter-unreadable":         "less current is harder to read",
		"load-voltage-high":        "what is lost on the way falls",
		"coil-overvoltage":         "what is lost on the way falls",
		"meter-voltage-high":       "what is lost on the way falls",
	}},
	{"modes in cooler air", func(tree map[string]any) {
		// Within the range of all vehicles here, so that nothing gets colder than it may be.
		fields(tree, "modes", func(m map[string]any) { m["ambient_C"] = 30 })
	}, map[string]string{}},
	{"stronger batteries", func(tree map[string]any) {
		fields(tree, "batteries", func(b map[string]any) {
			scale(b, 1.25, "continuous_A", "peak_A", "charge_max_A", "capacity_Ah")
		})
	}, nil},
	{"stronger converters", func(tree map[string]any) {
		fields(tree, "converters", func(v map[string]any) {
			if out, ok := v["output"].(map[string]any); ok {
				scale(out, 1.25, "continuous_A", "peak_A")
			}
			if in, ok := v["input"].(map[string]any); ok {
				scale(in, 1.25, "max_A")
			}
		})
	}, map[string]string{
		"limited-source-unprotected": "it can drive more through a conductor without a fuse",
		"converter-input-overloaded": "its input takes more at its own limit",
		"fuse-overloaded":            "the fuse of its input carries what the output may give",
		"fuse-opens-in-use":          "the fuse of its input carries what the output may give",
	}},
}

// lowersByLessResistance are rules that less resistance in the circuit makes harder.
var lowersByLessResistance = map[string]string{
	"fuse-breaking-low":        "a short circuit drives more",
	"bms-break-low":            "a short circuit drives more",
	"breaker-breaking-low":     "a short circuit drives more",
	"fuse-withstand-short":     "a short circuit drives more",
	"contactor-welds-on-short": "a short circuit drives more",
	"busbar-force-high":        "a short circuit drives more",
	"battery-parallel-inrush":  "the batteries drive more through each other",
	"contactor-make-low":       "the inrush is greater",
	"disconnect-make-low":      "the inrush is greater",
	"converter-inrush-high":    "the inrush is greater",
	"relay-make-low":           "the inrush is greater",
	"pole-make-low":            "the inrush is greater",
	"load-voltage-high":        "less is lost on the way",
	"coil-overvoltage":         "less is lost on the way",
	"coil-output-overloaded":   "coils get more voltage",
	"stud-crowded":             "lugs of a larger size need more room",
	"lug-hole-mismatch":        "lugs of a larger size have other holes",
	"fuse-not-selective":       "a short circuit drives more, and the fuse behind lets through more before it opens",
	"fuse-slower-than-damage":  "a short circuit drives more, and what is thicker is compared at that",
	"battery-charge-high":      "less is lost on the way",
	"busbar-overlap-short":     "the overlap is to be a multiple of the width",
}

// Whatever is larger, or carries less, never has less headroom for it.
func TestMonotonic(t *testing.T) {
	for _, path := range soundVehicles(t) {
		t.Run(vehicleName(path), func(t *testing.T) {
			t.Parallel()
			before := headrooms(t, path, func(map[string]any) {})
			for _, b := range betters {
				after := headrooms(t, path, b.change)
				for key, h := range before {
					rule, _, _ := strings.Cut(key, " ")
					now, still := after[key]
					if _, argued := b.lowers[rule]; argued || !still {
						continue
					}
					if now < h*(1-slack) {
						t.Errorf("%s: %s: headroom %.4g becomes %.4g", b.name, key, h, now)
					}
				}
			}
		})
	}
}

// headrooms are those of a changed vehicle, by rule and subject, below those of demands
// so small that they hardly are any.
func headrooms(t *testing.T, path string, change func(map[string]any)) map[string]float64 {
	t.Helper()
	const plenty = 1000
	out := map[string]float64{}
	for _, r := range ruletest.Run(t, ruletest.Rebuilt(t, path, change), catalogue.All()) {
		if r.Verdict != rules.NotChecked && r.Required > 0 && r.Headroom < plenty {
			out[r.Rule+" "+r.Subject] = r.Headroom
		}
	}
	return out
}

// fields calls each for the parts of a kind.
func fields(tree map[string]any, kind string, each func(map[string]any)) {
	parts, _ := tree[kind].(map[string]any)
	for _, part := range parts {
		if part, ok := part.(map[string]any); ok {
			each(part)
		}
	}
}

// scale multiplies numbers of a part where it has them.
func scale(part map[string]any, by float64, names ...string) {
	for _, name := range names {
		switch v := part[name].(type) {
		case float64:
			part[name] = v * by
		case int:
			part[name] = float64(v) * by
		}
	}
}

// enlarge makes a contact larger in all that it is rated for.
func enlarge(contact any) {
	c, ok := contact.(map[string]any)
	if !ok {
		return
	}
	scale(c, 1.25, "carry_A", "make_A", "rated_V_dc", "reverse_break_A")
	for _, list := range []string{"short_time", "break"} {
		points, _ := c[list].([]any)
		for _, point := range points {
			if point, ok := point.(map[string]any); ok {
				scale(point, 1.25, "A")
			}
		}
	}
}

// sizes are those of conductors in order.
var sizes = []string{"0.5", "0.75", "1", "1.5", "2.5", "4", "6", "10", "16", "25", "35", "50", "70", "95", "120", "150", "185"}

// thicker is the next size of a conductor in mm2; others stay.
func thicker(size string) string {
	if i := slices.Index(sizes, strings.TrimSuffix(size, " mm2")); i >= 0 && i+1 < len(sizes) {
		return sizes[i+1] + " mm2"
	}
	return size
}
