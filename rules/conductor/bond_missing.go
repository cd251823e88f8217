package conductor

import (
	"fmt"
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

const bondMissingID = "bond-missing"

func bondMissing() *rules.Rule {
	return &rules.Rule{
		ID:     bondMissingID,
		Family: family,
		Title:  "a metal case above 60 V is not bonded to the chassis",
		Why: "When insulation fails inside a case, the case is at pack potential. If it is bonded, there is no voltage between it and the frame, and the isolation monitor detects the fault; " +
			"if not, the next fault elsewhere gives a shock to whoever touches the case.",
		Relation: "every controller, converter, fitted charger and motor in a network whose highest working voltage is above 60 V DC, and every metal panel that carries one, " +
			"has a bond to the chassis, directly or through other bonded parts. At 60 V and below no bond is needed",
		Source:   "UN R100, 5.1.2.2; UN R136 for light vehicles; ISO 6469-3",
		Level:    rules.Error,
		Required: 0,
		Fix:      "bond the case with its own strap or wire, and list it under bonds with its measured resistance",
		Example: rules.Example{Vehicle: "heron", Subject: "converter", Edits: []rules.Edit{
			{Path: "bonds.bond_converter", Value: ""}}},
		Check: checkBonds,
	}
}

// exposed is a case of metal that may be touched.
type exposed struct {
	id, path string
	v        float64 // highest working voltage inside
}

// cases lists the metal cases above 60 V: of a pluggable charger the mains' own
// earth takes care, and whether a load has one is known of motors alone.
func cases(p *rules.Pass, l *demand.Demands) (out []exposed) {
	inside := map[string]float64{}
	add := func(base *schema.Base, terminal string) {
		v, ok := p.Circuit.Node(terminal)
		if !ok || base.Spare || base.Pluggable {
			return
		}
		if volt, _ := l.Volts(l.SourcesAt(v)); volt > calc.ClassALimitV {
			inside[base.ID] = volt
			out = append(out, exposed{base.ID, base.Path(), volt})
		}
	}
	for id, k := range schema.Sorted(p.Spec.Converters) {
		add(&k.Base, id+".in_pos")
	}
	for id, k := range schema.Sorted(p.Spec.Chargers) {
		add(&k.Base, id+".pos")
	}
	for id, k := range schema.Sorted(p.Spec.Controllers) {
		add(&k.Base, id+".pos")
	}
	for id, m := range schema.Sorted(p.Spec.Motors) {
		if k := p.Circuit.DrivenBy(id); k != "" {
			add(&m.Base, k+".pos") // its phases carry what the controller switches
		}
	}
	for id, load := range schema.Sorted(p.Spec.Loads) {
		if load.LoadKind == "motor" {
			add(&load.Base, id+".pos")
		}
	}
	for id, panel := range schema.Sorted(p.Spec.Panels) {
		var most float64
		for part := range schema.Sorted(panel.Parts) {
			most = max(most, inside[part])
		}
		if most > 0 && isMetal(panel.Material) {
			out = append(out, exposed{id, panel.Path(), most})
		}
	}
	return out
}

func isMetal(material string) bool {
	text := strings.ToLower(material)
	for _, name := range []string{"alumin", "steel", "iron", "brass", "copper", "metal"} {
		if strings.Contains(text, name) {
			return true
		}
	}
	return false
}

// bondOf finds the bond of a part or panel: the one with the least id.
func bondOf(spec *schema.Spec, id string) *schema.Bond {
	for _, b := range schema.Sorted(spec.Bonds) {
		if b.Of == id && !b.Spare {
			return b
		}
	}
	return nil
}

// toChassis lists the bonds from a part to the chassis; end is where they lead.
func toChassis(spec *schema.Spec, id string) (chain []*schema.Bond, end string) {
	seen := map[string]bool{}
	for id != schema.Chassis && !seen[id] {
		seen[id] = true
		b := bondOf(spec, id)
		if b == nil {
			return chain, id
		}
		chain = append(chain, b)
		id = b.To
	}
	return chain, id
}

func checkBonds(p *rules.Pass) {
	l := demand.For(p)
	lead := ""
	for _, x := range cases(p, l) {
		c := p.Subject(x.id, x.path)
		c.Solved("V_w", "highest working voltage inside "+x.id, x.v, "V", "the greatest over its sources")
		c.Standard("V_A", "highest working voltage of voltage class A", calc.ClassALimitV, "V", "ISO 6469-3, UN R100, UN R136")
		chain, end := toChassis(p.Spec, x.id)
		if end == schema.Chassis {
			for _, b := range chain {
				c.GivenText("bond", "bond of "+b.Of, "to "+b.To, b.Path()+".to")
			}
			c.Holds(true, "%s is bonded to the chassis", x.id)
			continue
		}
		// A vehicle without bonds is one weakness; each strap is still listed.
		if lead == "" {
			lead = x.id
		} else {
			c.Because(bondMissingID, lead)
		}
		what := fmt.Sprintf("%s has up to %s V inside and no bond to the chassis", x.id, rules.Figure(x.v))
		if len(chain) > 0 {
			what = fmt.Sprintf("%s has up to %s V inside; its bond ends at %s, which is not bonded", x.id, rules.Figure(x.v), end)
		}
		c.Fail("%s", what)
	}
}
