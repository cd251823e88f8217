package converter

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// One weakness makes one finding: what follows from it names it.
func TestFollowers(t *testing.T) {
	thin := ruletest.Edits("wires.w13.size", `"0.5 mm2"`, "wires.w13.length_m", "20", "loads.dipped_left.min_V", "12.5")
	// The converter is overloaded continuously, and its own lead is thin: 3.3 % with
	// the horn, which at 15 / 1.1 A instead of 16.52 would be 2.8 %.
	lead := ruletest.Edits("converters.dcdc.output.continuous_A", "15", "wires.w10.size", `"1.5 mm2"`, "wires.w10.length_m", "1.3")
	// Enough continuously, too little with the horn: 20.963 A of 19.5 A.
	horn := ruletest.Edits("converters.dcdc.output.continuous_A", "19", "converters.dcdc.output.peak_A", "19.5", "converters.dcdc.output.limit_A", "19.5",
		"loads.electronics.min_V", "13.3")
	// LED lamps draw more as the voltage falls: without the battery the
	// converter, far too small, collapses.
	dark := auxiliary(ruletest.Edits(
		"fuses.aux_fuse", `{"class": "blade", "rated_A": 30, "rated_V_dc": 32}`,
		"wires.w50", `{"from": "aux.pos", "to": "aux_fuse.a", "size": "70 mm2", "length_m": 0.1}`,
		"wires.w52", `{"from": "aux_fuse.b", "to": "plus.stud", "size": "70 mm2", "length_m": 0.1}`,
		"converters.dcdc.output.continuous_A", "10", "converters.dcdc.output.peak_A", "12", "converters.dcdc.output.limit_A", "12",
	))
	for _, id := range []string{"dipped_left", "dipped_right", "tail_left", "tail_right", "stop_left", "stop_right"} {
		dark = append(dark, ruletest.Edits("loads."+id+".kind", `"led"`)...)
	}
	for _, tt := range []struct {
		name    string
		rule    *rules.Rule
		edits   []rules.Edit
		subject string
		primary string
	}{
		{"a drop that leaves too little", loadDropHigh(), thin, "dipped_left", "load-voltage-low/dipped_left"},
		{"a drop in the lead of an overloaded converter", loadDropHigh(), lead, "electronics", "converter-overloaded/dcdc"},
		{"too little on a converter beyond its peak", loadVoltageLow(), horn, "electronics", "converter-peak-overloaded/dcdc"},
		{"darkness for want of converter", criticalLoadSingleFuse(), dark, "aux_fuse", "converter-overloaded/dcdc"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			ruletest.Expect(t, fixture.On(t, tt.rule, tt.edits...), tt.subject, ruletest.Want{Verdict: rules.Failed, Primary: tt.primary})
		})
	}
	t.Run("a cable too thin for any converter does not follow", func(t *testing.T) {
		lead = append(lead, ruletest.Edits("wires.w10.length_m", "5")...)
		r := fixture.On(t, loadDropHigh(), lead...)["electronics"]
		if !r.IsFinding() || r.Primary == "converter-overloaded/dcdc" {
			t.Errorf("%s, following from %q: %s", r.Verdict, r.Primary, r.Message)
		}
	})
}
