package fuse

import (
	"fmt"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

func voltageLow() *rules.Rule {
	return &rules.Rule{
		ID:     "fuse-voltage-low",
		Family: family,
		Title:  "the DC voltage rating of a fuse is below the working voltage of its circuit",
		Why: "A fuse melts at any voltage, but it interrupts only up to its rated voltage: above it the arc goes on burning in the open link, " +
			"and the fault is fed until the holder burns. The working voltage is that of a full pack on its charger, not the nominal one.",
		Relation: "rated_V_dc >= the greatest of the pack's max_V, the charger's max_V and V_max + I_regen R_b (for a string: the sum)",
		Source:   "IEC 60269-1, 5.2 and ISO 8820-1 (rated voltage); working voltage by ISO 6469-3",
		Level:    rules.Error,
		Required: 1,
		Vital:    []string{"fuses.rated_V_dc"},
		Fix:      "use a fuse with a DC rating of at least the working voltage",
		Example: rules.Example{Vehicle: "mole", Subject: "converter_fuse", Edits: []rules.Edit{
			{Path: "fuses.converter_fuse.rated_V_dc", Value: "32"}}},
		Check: checkVoltageLow,
	}
}

func checkVoltageLow(p *rules.Pass) {
	s := newSupply(p)
	s.fuses(func(f *schema.Fuse, c *rules.Check) bool {
		evalVoltage(s, c, f.ID, f.RatedVdc, f.Path()+".rated_V_dc", "")
		return true
	})
}

// evalVoltage compares a DC voltage rating of a fuse, or of its holder, with
// the highest working voltage there.
func evalVoltage(s *supply, c *rules.Check, id string, rated schema.Number, path, of string) {
	if !rated.Known {
		c.NotChecked(path, "%s%s: its DC voltage rating is not declared", of, id)
		return
	}
	feeds := s.feeds(id)
	if len(feeds) == 0 {
		c.NotChecked("a source that feeds "+id, "%s: no source feeds it, so its working voltage is not known", id)
		return
	}
	have := c.Given("V_n", "DC voltage rating of "+of+id, rated.Value, "V", path)
	v, err := demand.HighestVoltage(s.Pass, c.Working, sources(feeds))
	if demand.VoltageUnknown(c, err, have >= s.Required()*v, "of the circuit of "+id) {
		return
	}
	c.In("", "pack full")
	text := fmt.Sprintf("use %s rated at least %s V DC", article(of), rules.Figure(rules.RoundUp(v*s.Required(), 1)))
	if x, ok := s.greatestShort(id, feeds, true); of == "" && ok && v*s.Required() > have {
		text += fmt.Sprintf(", with a breaking capacity of at least %s A at that voltage", rules.Figure(rules.RoundUp(x.amperes(), breakingStepA)))
	}
	c.Fix("%s", text)
	c.AtMost(rules.Volts(v), rules.Volts(have), "%s%s: working voltage %s V, rated %s V DC", of, id, rules.Figure(v), rules.Figure(have))
}

// article names what a fix asks for.
func article(of string) string {
	if of != "" {
		return "a holder"
	}
	return "a fuse"
}
