package switches

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

func cutoutRestartsDrive() *rules.Rule {
	return &rules.Rule{
		ID:     "cutout-restarts-drive",
		Family: family,
		Title:  "a thermal cut-out starts the drive again by itself when it has cooled",
		Why:    "The drive goes out on the hill; the driver gets off and looks under the cover. Some minutes later the contactor closes again, and what was on is on.",
		Relation: "after a self-resetting cut-out has opened and closed again, with all else as in the mode, no contactor that it opened closes, and no enable input that it cut off is fed: " +
			"a contact that holds itself, a cut-out that is reset by hand, or a link is in the way",
		Source: "IEC 60204-1, 7.4 and 9.2 (no restart by itself, from memory); common practice",
		Level:  rules.Error,
		Vital:  []string{"cutouts.reset"},
		Fix:    "use a cut-out that is reset by hand, or put it in the circuit of a relay that holds itself in",
		Example: rules.Example{Vehicle: "mole", Subject: "motor_cutout", Edits: []rules.Edit{
			{Path: "cutouts.motor_cutout.reset", Value: `"automatic"`}}},
		Check: eachCutout(evalCutoutRestarts),
	}
}

func evalCutoutRestarts(c *rules.Check, p *rules.Pass, k cutout) {
	switch {
	case k.OneShot:
		c.AsDeclared(k.field("one_shot"), k.ID+" is a link that stays open")
		c.Holds(true, "%s opens once and stays open", k.ID)
		return
	case k.Reset == "manual":
		c.AsDeclared(k.field("reset"), k.ID+" stays open until its button is pressed")
		c.Holds(true, "%s stays open until it is reset by hand", k.ID)
		return
	}
	starts, mode, failed := k.starts(p)
	switch {
	case failed != nil:
		c.Unsettled(failed, k.ID)
	case starts == "":
		c.Holds(true, "%s: nothing that it opened closes again by itself", k.ID)
	case k.Reset == "" && !k.ResetsC.Known:
		c.NotChecked(k.field("reset"), "%s: whether it closes by itself when it has cooled is not stated; %s would be on again", k.ID, starts)
	default:
		c.In(mode, "the cut-out open, then closed again")
		c.SolvedText("state", "contacts after the cut-out has closed again, from all of them open", starts+" is on", "mode "+mode)
		c.Fail("%s closes by itself when it has cooled, and %s is on again in mode %s", k.ID, starts, mode)
	}
}

// starts names a contactor or controller that is off with the cut-out open and on again
// once it has closed, with all contacts open before, and the mode.
func (k cutout) starts(p *rules.Pass) (id, mode string, failed *circuit.Solution) {
	for _, mode := range p.Circuit.Modes() {
		on := demand.Full(mode)
		on.Start = circuit.FromOpen
		off := on
		off.Open = k.ID
		again, without := p.Circuit.Solve(on), p.Circuit.Solve(off)
		for _, s := range []*circuit.Solution{again, without} {
			if s.Failed != "" {
				return "", "", s
			}
		}
		for id := range schema.Sorted(p.Spec.Contactors) {
			if again.Closed(id+".contact") && !without.Closed(id+".contact") {
				return id, mode, nil
			}
		}
		for id := range schema.Sorted(p.Spec.Controllers) {
			if isFed(again, id) && !isFed(without, id) {
				return id, mode, nil
			}
		}
	}
	return "", "", nil
}

// isFed reports whether the enable input of a controller has a voltage.
func isFed(s *circuit.Solution, id string) bool {
	const leastV = 1 // V: what leaks is less
	v, ok := s.Across(id+".enable", id+".neg")
	return ok && v > leastV
}
