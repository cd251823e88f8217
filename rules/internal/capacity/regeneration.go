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

// Burst is how long a current flows at a time, in s, and for what share of all time. The
// zero Burst flows continuously.
type Burst struct{ S, Share float64 }

// ChargeA is the charging current in A that a battery takes in a burst, and the field
// that sets it: its peak as long as that may last, and in the mean of all time no more
// than it takes continuously. Beyond that time no more than that either: lithium plates
// by the current and does not wait for heat. Nor, however short, more than the switch in
// the pack lets in, which opens on it.
func ChargeA(b *schema.Battery, u Burst) (a schema.Number, field string) {
	a, field = cellsChargeA(b, u)
	if b.BMS != nil && a.Known && b.BMS.ChargeA.Known && b.BMS.ChargeA.Value < a.Value {
		return b.BMS.ChargeA, SwitchCharge
	}
	return a, field
}

// SwitchCharge is the field of a battery that says what the switch in it lets in.
const SwitchCharge = "bms.charge_A"

// cellsChargeA is ChargeA without the switch.
func cellsChargeA(b *schema.Battery, u Burst) (a schema.Number, field string) {
	if u.S <= 0 || !b.ChargePeakA.Known || !b.ChargePeakS.Known || u.S > b.ChargePeakS.Value || b.ChargePeakA.Value <= b.ChargeMaxA.Or(0) {
		return b.ChargeMaxA, "charge_max_A"
	}
	if b.ChargeMaxA.Known && u.Share*b.ChargePeakA.Value > b.ChargeMaxA.Value {
		return schema.Some(b.ChargeMaxA.Value / u.Share), "charge_max_A"
	}
	return b.ChargePeakA, "charge_peak_A"
}

// LeastCharge is the least of [ChargeA] over a string's batteries, the path of what sets
// it, and the path of what the spec does not give.
func LeastCharge(s circuit.SeriesString, spec *schema.Spec, u Burst) (a float64, path, missing string) {
	for i, b := range s {
		own, field := ChargeA(spec.Batteries[b.ID], u)
		if !own.Known {
			return 0, "", b.Path + "." + field
		}
		if i == 0 || own.Value < a {
			a, path = own.Value, b.Path+"."+field
		}
	}
	return a, path, ""
}

// ChargeLimit is the charging current limit of the strings that a controller feeds
// back into, all together, in A; missing is the path of what the spec does not
// give. Strings in parallel take it by their resistances, so the one that reaches
// its limit first decides.
func ChargeLimit(n *circuit.Network, parallel []circuit.SeriesString, u Burst) (a float64, missing string) {
	for i, s := range parallel {
		own, _, path := LeastCharge(s, n.Spec, u)
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
// batteries take in a burst.
func ChargeExceeded(n *circuit.Network, k *schema.Controller, u Burst) bool {
	a, _ := Regeneration(n.Spec, k)
	takes, missing := ChargeLimit(n, n.StringsFeeding(k.ID), u)
	return missing == "" && takes > 0 && a > takes*(1+1e-9)
}
