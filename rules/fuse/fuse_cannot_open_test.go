package fuse

import (
	"testing"

	"example.org/headroom/rules"
)

// ISO 8820-3: a blade fuse surely opens from 135 % on, 5 A from 6.75 A. The
// converter gives 12 A: 1.78 times that, where 1.3 times are asked.
func TestCannotOpen(t *testing.T) {
	check(t, cannotOpen(), []expectation{
		{name: "opens", subject: "house", verdict: rules.Passed, demand: 6.75, capability: 12, headroom: 12 / 6.75},
		{name: "too near", change: edits{"fuses.house.rated_A": "7.5"}, subject: "house", verdict: rules.Failed, demand: 10.125, headroom: 12 / 10.125, level: rules.Warning},
		{name: "assumed limit", change: edits{"converters.converter.output.limit_A": "", "converters.converter.output.peak_A": ""},
			subject: "house", verdict: rules.Passed, capability: 11},
		{name: "hiccup", change: edits{"converters.converter.output.at_limit": `"hiccup"`}, subject: "house", verdict: rules.Failed, says: "hiccup"},
		{name: "foldback", change: edits{"converters.converter.output.at_limit": `"foldback"`}, subject: "house", verdict: rules.Failed},
		{name: "no curve", change: edits{"fuses.house.class": `"other"`}, subject: "house", verdict: rules.NotChecked, missing: "fuses.house.opening"},
		{name: "a battery feeds it", subject: "branch"},
	})
}
