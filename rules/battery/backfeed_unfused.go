package battery

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

func backfeedUnfused() *rules.Rule {
	return &rules.Rule{
		ID:     "backfeed-unfused",
		Family: family,
		Title:  "no fuse at the battery's end of the output lead of a converter or solar regulator",
		Why: "A converter limits what it gives, and so its lead to the battery is often run without a fuse. Few of them have a diode at the output: when its output stage fails " +
			"as a short circuit, or the lead is crushed, the battery feeds it with a thousand amperes from the other end.",
		Relation: "the loop from the battery through the output lead holds a fuse, in either pole, within the allowed length from the battery",
		Source:   "common practice; 33 CFR 183.455 asks for a device at each source of current; distances as in conductor-unprotected",
		Level:    rules.Error,
		Policy:   []string{"policy.fuse_distance_m", "policy.fuse_distance_sheathed_m", "policy.fuse_distance_at_battery_m"},
		Fix:      "fit a fuse for the output lead at its battery end",
		Example: rules.Example{Vehicle: "mole", Subject: "roof", Edits: []rules.Edit{
			{Path: "wires.w_solar_pos.from", Value: `"pack.pos"`}}},
		Check: checkBackfeed,
	}
}

func checkBackfeed(p *rules.Pass) {
	for id, v := range schema.Sorted(p.Spec.Converters) {
		if !v.Spare && p.Circuit.Connected(id+".out_pos") && p.Circuit.Connected(id+".out_neg") {
			evalBackfeed(p, id, v.Path(), p.Circuit.Edge(id+".out"), id+".out_pos", id+".out_neg")
		}
	}
	for id, s := range schema.Sorted(p.Spec.Solar) {
		if !s.Spare && p.Circuit.Connected(id+".pos") && p.Circuit.Connected(id+".neg") {
			evalBackfeed(p, id, s.Path(), p.Circuit.Edge(id), id+".pos", id+".neg")
		}
	}
}

func evalBackfeed(p *rules.Pass, id, path string, out *circuit.Edge, pos, neg string) {
	c := p.Subject(id, path)
	if p.Unsound(c, pos, neg) {
		return
	}
	protected := ""
	for _, s := range p.Circuit.Strings() {
		if !p.Circuit.MetalJoins(out.From, s.Pos()) || !p.Circuit.MetalJoins(out.To, s.Neg()) {
			continue // not connected, or a diode keeps the battery from it
		}
		found := fuseBefore(p, s, out)
		if !found.ok {
			reportChargerFuse(c, id, s, found)
			return
		}
		protected = found.by
	}
	if protected != "" {
		c.Holds(true, "%s protects the output of %s", protected, id)
	}
}
