package capacity

import (
	"example.org/headroom/rules"
	"example.org/headroom/schema"
)

// Air is the air at a part or conductor: that around the vehicle, and in a hotter
// zone its rise.
type Air struct {
	OutsideC, RiseK float64
	id, zone        string // the zone "" where it is in no hotter one
	what, path      string // of OutsideC
}

// AirAt is the air at a part or conductor: the hottest, or that of a mode which says
// how warm it is.
func AirAt(p *rules.Pass, b *schema.Base, m *schema.Mode) Air {
	a := Air{OutsideC: p.Spec.Vehicle.AmbientC.Max, id: b.ID, what: "hottest air around the vehicle", path: "vehicle.ambient_C.max"}
	if m != nil && m.AmbientC.Known {
		a.OutsideC, a.what, a.path = m.AmbientC.Value, "air around the vehicle in mode "+m.ID, m.Path()+".ambient_C"
	}
	if z, ok := p.Spec.Zones[b.Zone]; ok {
		a.zone, a.RiseK = b.Zone, z.RiseK
	}
	return a
}

// C is the temperature in C.
func (a Air) C() float64 { return a.OutsideC + a.RiseK }

// Explain adds the temperature to a working as T_a, and returns it.
func (a Air) Explain(w *rules.Working) float64 {
	if a.zone == "" {
		return w.Given("T_a", a.what+"; "+a.id+" is in no hotter zone", a.OutsideC, "C", a.path)
	}
	outside := w.Given("T_air", a.what, a.OutsideC, "C", a.path)
	rise := w.Given("dT_zone", "temperature rise of zone "+a.zone, a.RiseK, "K", "zones."+a.zone+".rise_K")
	return w.Calc("T_a", "air at "+a.id, "T_air + dT_zone", rules.Term(outside)+" + "+rules.Term(rise), a.C(), "C")
}
