package fuse

import (
	"testing"

	"example.org/headroom/rules"
)

func TestVoltageACOnly(t *testing.T) {
	check(t, voltageACOnly(), []expectation{
		{name: "DC given", subject: "main", verdict: rules.Passed},
		{name: "AC alone", change: edits{"fuses.main.rated_V_dc": "", "fuses.main.rated_V_ac": "250"}, subject: "main", verdict: rules.Failed, says: "250 V"},
		{name: "both", change: edits{"fuses.main.rated_V_ac": "250"}, subject: "main", verdict: rules.Passed},
		{name: "neither is for another rule", change: edits{"fuses.main.rated_V_dc": ""}, subject: "main"},
	})
}
