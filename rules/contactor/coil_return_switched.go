package contactor

import (
	"slices"
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

func coilReturnSwitched() *rules.Rule {
	return &rules.Rule{
		ID:     "coil-return-switched",
		Family: family,
		Title:  "key or emergency stop open only the return of the main contactor's coil",
		Why: "The coil's other end stays fed. One chafe of its return to the metalwork, which is the negative side of that network, closes the contactor, " +
			"with the key in the pocket and the emergency stop struck.",
		Relation: "where chassis is house-negative and the coil's network is on it: the coil is cut off by the key, and by the emergency stop, without those of their contacts that are in its return",
		Source:   "IEC 60204-1 9.4.3 (earth faults in control circuits, from memory); common practice",
		Level:    rules.Error,
		Fix:      "move the contact from the coil's return to its feed, and lead the return straight home",
		Example: rules.Example{Vehicle: "heron", Subject: "main_contactor", Edits: []rules.Edit{
			{Path: "wires.w_coil_stop.from", Value: `"coil_fuse.b"`},
			{Path: "wires.w_coil_ret.from", Value: `"key.house_b"`},
			{Path: "wires.w_coil_key", Value: `{"from": "main_contactor.coil_neg", "to": "key.house_a", "size": "1.5 mm2", "length_m": 1, "insulation": {"max_C": 105, "rated_V": 60}}`}}},
		Check: checkReturnSwitched,
	}
}

func checkReturnSwitched(p *rules.Pass) {
	chassis, ok := p.Circuit.Node(schema.Chassis)
	if !ok || p.Spec.Vehicle.Chassis != "house-negative" {
		return
	}
	for _, d := range drives(p) {
		coil := p.Circuit.Edge(d.coilID())
		if !p.Circuit.SameNetwork(coil.To, chassis) {
			continue
		}
		for _, role := range []string{"key", "emergency-stop"} {
			inReturn := polesInReturn(p, coil, role)
			cut, found := newCutoff(p, role, true)
			chafed, _ := newCutoff(p, role, true, inReturn...)
			if !found || len(inReturn) == 0 || !cut.off[d.id] || chafed.off[d.id] {
				continue
			}
			if c, ok := onCoil(p, d.device); ok {
				c.GivenText("poles", "contacts in the return", strings.Join(inReturn, ", "), d.base.Path())
				c.Fail("%s: only %s, in the return of its coil, keeps it open; one chafe of that return to the chassis closes it", d.id, strings.Join(inReturn, ", "))
			}
			break
		}
	}
}

// polesInReturn lists the poles of the switches of a role through which, with everything
// closed, the current of a coil returns.
func polesInReturn(p *rules.Pass, coil *circuit.Edge, role string) (poles []string) {
	all := &cutoff{p: p, open: map[string]bool{}}
	for _, s := range p.Circuit.Sources() {
		if !all.alive(s) || p.Circuit.PlainPath(s.Pos, coil.From, all.cost(s.ID)) == nil {
			continue
		}
		for _, e := range p.Circuit.PlainPath(coil.To, s.Neg, all.cost(s.ID)) {
			if sw := p.Spec.Switches[e.Part]; sw != nil && sw.Role == role && !slices.Contains(poles, e.ID) {
				poles = append(poles, e.ID)
			}
		}
	}
	return poles
}
