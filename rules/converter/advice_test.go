package converter

import (
	"testing"

	"example.org/headroom/rules/ruletest"
)

// Somebody who does what a fix says has no finding of the family after it that was
// not there before.
func TestFixesHold(t *testing.T) {
	const file = "testdata/fixture.yaml"
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
	})
}
