package circuit

import (
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/schema"
)

// BatteryVoltage is a battery's source voltage at a supply corner, in V.
func BatteryVoltage(b *schema.Battery, s Supply) float64 {
	switch s {
	case Lowest:
		return b.MinV
	case Highest:
		return b.MaxV
	}
	return b.NominalV
}

// BatteryResistance is a battery's internal resistance at a bound, in Ohm. A range that
// the spec gives is believed as it is, for it is that of the vehicle; what it leaves out
// follows from what it gives by the factors of the policy, and the greatest one by the
// cold if that is more. With neither resistance nor short-circuit current it is not
// known.
func (n *Network) BatteryResistance(b *schema.Battery, bound Bound) (ohm float64, known bool) {
	return n.BatteryResistanceIn("", b, bound)
}

// BatteryResistanceIn is [Network.BatteryResistance] in a mode, as cold as that is.
func (n *Network) BatteryResistanceIn(mode string, b *schema.Battery, bound Bound) (ohm float64, known bool) {
	r, p := b.ResistanceMOhm, n.Spec.Policy
	typical := r.Typ
	if !typical.Known {
		switch {
		case r.Min.Known && r.Max.Known:
			typical = schema.Some((r.Min.Value + r.Max.Value) / 2)
		case r.Min.Known:
			typical = schema.Some(r.Min.Value / p.BatteryResistanceMin)
		case r.Max.Known:
			typical = schema.Some(r.Max.Value / p.BatteryResistanceMax)
		case b.ShortCircuitA.Known:
			typical = schema.Some(1000 * b.MaxV / b.ShortCircuitA.Value / p.BatteryResistanceMin)
		default:
			return 0, false
		}
	}
	switch bound {
	case Least:
		least := r.Min.Or(typical.Value * p.BatteryResistanceMin)
		if b.ShortCircuitA.Known {
			least = 1000 * b.MaxV / b.ShortCircuitA.Value
		}
		return least / 1000, true
	case Greatest, GreatestShort:
		if r.Max.Known {
			return r.Max.Value / 1000, true
		}
		factor := p.BatteryResistanceMax
		if cold := n.BatteryCold(mode, b, bound); cold.Known {
			factor = max(factor, cold.Factor.Value)
		}
		return typical.Value * factor / 1000, true
	}
	return typical.Value / 1000, true
}

// BatteryCold is how cold a battery gets, and what that does to its resistance.
type BatteryCold struct {
	C      float64   // lowest temperature of its cells
	Path   string    // of that value in the spec
	Factor calc.Line // resistance there over that at 25 C, at a bound
	Known  bool      // whether the factor is: a chemistry is declared of which it is known
}

// BatteryCold is that of a battery in a mode, "" for the vehicle's whole range: of the
// air, unless the cells are kept warmer.
func (n *Network) BatteryCold(mode string, b *schema.Battery, bound Bound) BatteryCold {
	cold := BatteryCold{C: n.Spec.Vehicle.AmbientC.Min, Path: "vehicle.ambient_C.min"}
	if m := n.Mode(mode); m != nil && m.AmbientC.Known {
		cold.C, cold.Path = m.AmbientC.Value, m.Path()+".ambient_C"
	}
	if b.CellsMinC.Known && b.CellsMinC.Value > cold.C {
		cold.C, cold.Path = b.CellsMinC.Value, b.Path()+".cells_min_C"
	}
	if bound == GreatestShort {
		cold.Factor, cold.Known = calc.ColdShortFactor(b.Chemistry, cold.C)
	} else {
		cold.Factor, cold.Known = calc.ColdFactor(b.Chemistry, cold.C)
	}
	return cold
}

// assumedBatteryOhm stands in for a battery whose resistance is not known, so
// that the rest of the network can be solved; checks that rest on it say that
// they need the resistance.
const assumedBatteryOhm = 0.02
