package converter

import (
	"path/filepath"
	"testing"

	"example.org/headroom/rules/ruletest"
)

// Somebody who does what a fix says has no finding of the family after it that was
// not there before.
func TestFixesHold(t *testing.T) {
	const file = "testdata/fixture.yaml"
	heron := filepath.Join(ruletest.Fleet(), "heron")
	low := ruletest.Edits("converters.dcdc.input.min_V", "80", "converters.dcdc.input.start_V", "84", "converters.dcdc.input.stop_V", "70")
	ruletest.Follow(t, Rules(), []ruletest.Advice{
		{Name: "a window", File: file, Mistake: low,
			Rule: "converter-input-low", Subject: "dcdc", Says: []string{"use a converter with input.min_V of at most 74 V and input.max_V of at least 110 V", "or raise the cut-off of pack, and min_V with it, from 75 to 80.1 V"},
			Done: ruletest.Edits("converters.dcdc.input.min_V", "74", "converters.dcdc.input.max_V", "110")},
		{Name: "or a cut-off", File: file, Mistake: low,
			Rule: "converter-input-low", Subject: "dcdc", Done: ruletest.Edits("batteries.pack.min_V", "80.1")},
		{Name: "a highest voltage", File: file, Mistake: ruletest.Edits("converters.dcdc.input.max_V", "100"),
			Rule: "converter-input-high", Subject: "dcdc", Says: []string{"use a converter with input.max_V of at least 110 V and input.min_V of at most 74 V"},
			Done: ruletest.Edits("converters.dcdc.input.max_V", "110", "converters.dcdc.input.min_V", "74")},
		{Name: "a start voltage", File: file, Mistake: ruletest.Edits("converters.dcdc.input.start_V", "78"),
			Rule: "converter-start-high", Subject: "dcdc", Says: []string{"use a converter with input.start_V of at most 74 V, or raise the cut-off of pack, and min_V with it, from 75 to 78.1 V"},
			Done: ruletest.Edits("batteries.pack.min_V", "78.1")},
		// The lamps and the rest take 1.55 A at 75 V from a fuse of 1 A.
		{Name: "an input fuse", File: file, Mistake: ruletest.Edits("fuses.input_fuse.rated_A", "1"),
			Rule: "converter-input-overloaded", Subject: "dcdc", Says: []string{"use a fuse of 6 A instead of 1 A for input_fuse, behind it wires with an ampacity and contacts with a rating of at least 6 A"},
			Done: ruletest.Edits("fuses.input_fuse.rated_A", "6")},
		{Name: "a making capacity", File: file, Mistake: ruletest.Edits("switches.main.poles.drive.make_A", "10"),
			Rule: "converter-inrush-high", Subject: "dcdc", Says: []string{"through a contact with a making capacity of at least"},
			Done: ruletest.Edits("switches.main.poles.drive.make_A", "5000")},
		{Name: "a consumer that works lower", File: file, Mistake: ruletest.Edits("loads.electronics.min_V", "13.5"),
			Rule: "load-voltage-low", Subject: "electronics", Says: []string{"or use a consumer that works down to 13.4 V"},
			Done: ruletest.Edits("loads.electronics.min_V", "13.4")},
		{Name: "thin wires one after the other", File: heron, Mistake: ruletest.Edits("wires.w_head_switch.size", `"0.5 mm2"`, "wires.w_head_pos.size", `"0.5 mm2"`, "wires.w_head_neg.size", `"0.5 mm2"`),
			Rule: "load-drop-high", Subject: "headlamp", Says: []string{"use at least 1 mm2 for w_head_neg, w_head_pos, w_head_switch"},
			Done: ruletest.Edits("wires.w_head_switch.size", `"1 mm2"`, "wires.w_head_pos.size", `"1 mm2"`, "wires.w_head_neg.size", `"1 mm2"`)},
		{Name: "a consumer on a flat battery", File: heron, Mistake: ruletest.Edits("loads.headlamp.min_V", "10.2"),
			Rule: "load-voltage-low", Subject: "headlamp", Says: []string{"disconnect aux earlier and raise its min_V from 10.5 to 11.1"},
			Done: ruletest.Edits("batteries.aux.min_V", "11.1")},
		// Some 9.8 V of 12.2 V: the cut-off would be above the battery's 12.6 V.
		{Name: "a cut-off above the battery's voltage", File: heron, Mistake: ruletest.Edits("loads.headlamp.min_V", "12.2"),
			Rule: "load-voltage-low", Subject: "headlamp", Says: []string{"use a consumer that works down to"}, Not: "cut-off",
			Done: ruletest.Edits("loads.headlamp.min_V", "9")},
		// One size for all would be 25 mm2.
		{Name: "no size that fits a lamp", File: heron, Mistake: ruletest.Edits("loads.headlamp.power_W", "120"),
			Rule: "load-drop-high", Subject: "headlamp", Says: []string{"larger cables along the way"}, Not: "25 mm2",
			Done: ruletest.Edits("loads.headlamp.power_W", "28")},
		// A lamp for 24 V on 12 V: no cable and no cut-off helps.
		{Name: "a consumer for another voltage", File: heron, Mistake: ruletest.Edits("loads.headlamp.at_V", "24", "loads.headlamp.min_V", "20", "loads.headlamp.max_V", "30"),
			Rule: "load-voltage-low", Subject: "headlamp", Says: []string{"use a consumer that works down to 9.8 V, or feed headlamp from a supply of at least 20 V"}, Not: "cable",
			Done: ruletest.Edits("loads.headlamp.at_V", "13.2", "loads.headlamp.min_V", "9", "loads.headlamp.max_V", "16")},
	})
}
