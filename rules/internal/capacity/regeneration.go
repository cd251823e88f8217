package capacity

import (
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

// LeastOf is the smallest of a rating over the string's batteries, and the path of
// its field; missing is the path of the first battery's that the spec does not
// give.
func LeastOf(s circuit.SeriesString, spec *schema.Spec, field string, of func(*schema.Battery) schema.Number) (value float64, path, missing string) {
	for i, b := range s {
		n := of(spec.Batteries[b.ID])
		if !n.Known {
			return 0, "", b.Path + "." + field
		}
		if i == 0 || n.Value < value {
			value, path = n.Value, b.Path+"."+field
		}
	}
	return value, path, ""
}

// Regeneration is the most that a controller feeds back, in A, and the path of
// the value: its own limit, or what a mode asks of it if that is more.
func Regeneration(spec *schema.Spec, k *schema.Controller) (a float64, path string) {
	if k.RegenA.Known {
		a, path = k.RegenA.Value, k.Path()+".regen_A"
	}
	for _, m := range schema.Sorted(spec.Modes) {
		if d := m.Draw[k.ID]; d != nil && d.RegenA.Known && d.RegenA.Value > a {
			a, path = d.RegenA.Value, m.Path()+".draw."+k.ID+".regen_A"
		}
	}
	return a, path
}

// ChargeLimit is the charging current limit of the strings that a controller feeds
// back into, all together, in A; missing is the path of what the spec does not
// give. Strings in parallel take it by their resistances, so the one that reaches
// its limit first decides.
func ChargeLimit(n *circuit.Network, parallel []circuit.SeriesString) (a float64, missing string) {
	for i, s := range parallel {
		own, _, path := LeastOf(s, n.Spec, "charge_max_A", func(b *schema.Battery) schema.Number { return b.ChargeMaxA })
		if path != "" {
			return 0, path
		}
		if all := own / n.Share(parallel, s); i == 0 || all < a {
			a = all
		}
	}
	return a, ""
}

// ChargeExceeded reports whether a controller can feed back more than its
// batteries take.
func ChargeExceeded(n *circuit.Network, k *schema.Controller) bool {
	a, _ := Regeneration(n.Spec, k)
	takes, missing := ChargeLimit(n, n.StringsFeeding(k.ID))
	return missing == "" && takes > 0 && a > takes*(1+1e-9)
}
