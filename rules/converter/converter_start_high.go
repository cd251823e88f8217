package converter

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

func startHigh() *rules.Rule {
	return &rules.Rule{
		ID:     "converter-start-high",
		Family: family,
		Title:  "the converter does not start on an empty pack",
		Why: "A converter needs more volts to start than to keep running. If the pack may be emptier than that, the vehicle drives home but " +
			"cannot be switched on again: no coil supply, no instruments, no charging display.",
		Relation: "input.start_V <= V_in at rest with the pack at min_V, in a mode in which it runs",
		Source:   "data sheet start threshold; common practice",
		Level:    rules.Warning, Required: 1,
		Policy: []string{"policy.required.converter-start-high"},
		Fix:    "use a converter with a lower input.start_V, or raise the pack's cut-off min_V above it",
		Example: rules.Example{Vehicle: "heron", Subject: "converter", Edits: []rules.Edit{
			{Path: "converters.converter.input.start_V", Value: "64"}}},
		Check: checkStartHigh,
	}
}

func checkStartHigh(p *rules.Pass) {
	for _, v := range wired(p) {
		c := p.Subject(v.ID, v.Path())
		switch {
		case p.Unsound(c, v.ID+".in_pos"):
		case !v.Input.StartV.Known:
			c.NotChecked(v.Path()+".input.start_V", "%s: the voltage at which it starts is not stated", v.ID)
		default:
			checkStart(c, p, v)
		}
	}
}

func checkStart(c *rules.Check, p *rules.Pass, v *schema.Converter) {
	rest, ok := inputV{}, false
	for _, mode := range p.Circuit.States() {
		if !runs(idle(p.Circuit, mode), v.ID) {
			continue
		}
		state := demand.Empty(mode)
		state.NoDraw, state.NoLoads = true, true
		s := p.Circuit.Solve(state)
		if c.Unsettled(s, v.ID+".in") {
			return
		}
		if u := acrossInput(s, v.ID); !ok || u < rest.v {
			rest, ok = inputV{v: u, mode: mode, state: state}, true
		}
	}
	if !ok {
		c.NotChecked("a mode in which "+v.ID+" runs", "%s runs in no mode", v.ID)
		return
	}
	c.In(rest.mode, rest.state.String())
	start := c.Given("V_start", "voltage at which "+v.ID+" starts", v.Input.StartV.Value, "V", v.Path()+".input.start_V")
	showInput(c, "V_in", "voltage at its input at rest", rest)
	c.Fix("use a converter with input.start_V of at most %s V%s", rules.Figure(rules.RoundDown(rest.v/p.Required(), 1)), orCutoff(p, v.ID, start*p.Required()-rest.v))
	c.AtMost(rules.Volts(start), rules.Volts(rest.v), "%s: starts at %s V, input at %s V with the pack empty", v.ID, rules.Figure(start), rules.Figure(rest.v))
}
