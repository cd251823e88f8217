package switches

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

// cutout is a thermal cut-out that is wired.
type cutout struct {
	*schema.Cutout
	set demand.Element
}

// field is the path of a field of the cut-out.
func (k cutout) field(name string) string { return k.Path() + "." + name }

// eachCutout starts the result on every cut-out whose circuit is sound, and leaves the
// verdict to eval.
func eachCutout(eval func(*rules.Check, *rules.Pass, cutout)) func(*rules.Pass) {
	return func(p *rules.Pass) {
		for id, k := range schema.Sorted(p.Spec.Cutouts) {
			if k.Spare || !p.Circuit.Connected(id+".a") || !p.Circuit.Connected(id+".b") {
				continue // a free terminal has a finding of its own
			}
			c := p.Subject(id, k.Path())
			if !p.Unsound(c, id+".a", id+".b") {
				eval(c, p, cutout{k, demand.Element{p.Circuit.Edge(id)}})
			}
		}
	}
}
