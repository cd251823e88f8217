package circuit

import (
	"fmt"
	"slices"
	"strings"

	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/schema"
)

// Supply is where in its range a battery's voltage is taken.
type Supply int8

// The supply corners.
const (
	Nominal Supply = iota
	Lowest
	Highest
)

// Bound is which end of a range is taken.
type Bound int8

// The bounds of a battery's internal resistance: least when warm, new and
// full, greatest when cold, aged and nearly empty. In a short circuit the cold does
// less than under load.
const (
	Typical Bound = iota
	Least
	Greatest
	GreatestShort
)

// House is the state of the house network. The two are never mixed: while a
// converter regulates, the auxiliary battery floats; with the converter off
// the battery stands alone.
type House int8

// The states of the house network.
const (
	Running House = iota
	Alone
)

// Start is the contact state from which a case is solved. Contacts have
// memory, so pulling in and dropping out are different questions.
type Start int8

// The starting states.
const (
	FromClosed Start = iota // every coil-operated contact operated: holding and drop-out
	FromOpen                // none operated: pull-in
)

// Coil is the temperature at which coils are taken.
type Coil int8

// The coil temperatures.
const (
	CoilAt20 Coil = iota
	CoilHot       // hottest ambient and self-heating: least current, highest operate voltage
	CoilCold      // coldest ambient, no self-heating: most current, lowest release voltage
)

// Case is a mode in a corner: everything that decides the state of the
// circuit. The zero Case is the vehicle switched off at nominal values.
type Case struct {
	Mode        string // "" closes no switch and turns on no load
	Pack        Supply
	House       House
	Auxiliary   Supply
	Resistance  Bound
	Coil        Coil
	Start       Start
	NoDraw      bool    // controllers draw nothing
	NoLoads     bool    // loads are off as well
	NoInputs    bool    // logic inputs and meters draw next to nothing, as they may below their working voltage
	AllClosed   bool    // every switch, contact and output closed, whatever the mode says
	NoAuxiliary bool    // auxiliary batteries taken out
	Recharge    bool    // with the converters running, auxiliary batteries take what these give, and do not just float
	NoChargers  bool    // chargers unplugged, whatever the mode says
	CopperSet   bool    // CopperC is given
	CopperC     float64 // temperature of conductors; 0 means 20 C unless CopperSet
	Idle        string  // ids of loads and controllers that draw nothing, whatever the mode says, separated by spaces
	// Open and Closed force edges by id, against the mode: "k1.contact", "key.house".
	Open, Closed string // ids separated by spaces
	// Waiting lists contactors and relays, by id, that have not moved yet,
	// whatever their coils see: what a coil gets while it is still to pull in.
	Waiting string // ids separated by spaces
}

// WithCopper returns the case with its conductors at a temperature in C.
func (c Case) WithCopper(temperature float64) Case {
	c.CopperC, c.CopperSet = temperature, true
	return c
}

// Off returns the case with loads and controllers, by id, that draw nothing.
func (c Case) Off(ids ...string) Case {
	all := append(splitIDs(c.Idle), ids...)
	slices.Sort(all)
	c.Idle = strings.Join(slices.Compact(all), " ")
	return c
}

func (c Case) copper() float64 {
	if c.CopperSet {
		return c.CopperC
	}
	return 20
}

// String describes the corner in words, for workings: the batteries, and what is
// not as usual.
func (c Case) String() string {
	var words []string
	words = append(words, map[Supply]string{Nominal: "pack at nominal voltage", Lowest: "pack empty", Highest: "pack full"}[c.Pack])
	if c.House == Alone { // running converters are the rule, and not said
		words = append(words, map[Supply]string{
			Nominal: "auxiliary battery alone", Lowest: "auxiliary battery alone and flat", Highest: "auxiliary battery alone and full",
		}[c.Auxiliary])
	}
	if c.House == Running && c.Recharge {
		words = append(words, map[Supply]string{
			Nominal: "auxiliary battery half full, recharged", Lowest: "auxiliary battery flat, recharged", Highest: "auxiliary battery full, recharged",
		}[c.Auxiliary])
	}
	words = append(words, map[Bound]string{Typical: "", Least: "least battery resistance", Greatest: "greatest battery resistance", GreatestShort: "greatest battery resistance in a short circuit"}[c.Resistance])
	words = append(words, fmt.Sprintf("copper at %g C", c.copper()))
	words = append(words, map[Coil]string{CoilAt20: "", CoilHot: "coils hot", CoilCold: "coils cold"}[c.Coil])
	words = slices.DeleteFunc(words, func(w string) bool { return w == "" })
	return strings.Join(words, ", ")
}

// ConductorResistance is the resistance of a wire or bus bar at a temperature, in Ohm.
func (n *Network) ConductorResistance(id string, temperature float64) float64 {
	return n.resistance[id] * calc.CopperFactor(temperature)
}

// contactResistance is what a closed contact of a carrying capacity adds, in
// Ohm: its declared resistance, else the drop that the policy allows at the
// end of its life.
func (n *Network) contactResistance(declared schema.Number, carry schema.Number) (ohm float64, assumed bool) {
	if declared.Known {
		return declared.Value / 1000, false
	}
	return n.Spec.Policy.ContactDropMV / 1000 / carry.Or(AssumedPoleA), true
}

// AssumedPoleA is the rating in A taken for a contact without one.
const AssumedPoleA = 10

// FuseResistance is the resistance of a fuse-link at its rated current, in Ohm.
func (n *Network) FuseResistance(f *schema.Fuse) float64 {
	return f.DropMV.Or(n.Spec.Policy.FuseDropMV) / 1000 / f.RatedA
}

// ShuntResistance is the resistance of a shunt, in Ohm.
func (n *Network) ShuntResistance(s *schema.Shunt) float64 {
	r, _ := calc.ShuntResistance(s.RatedA, s.DropMV) // both above 0 by the schema
	return r
}

// ConverterLimitA is the current at which a converter's output stops holding
// its voltage, in A, and the path of the value it was taken from.
func (n *Network) ConverterLimitA(id string) (amperes float64, from string) {
	c := n.Spec.Converters[id]
	switch path := c.Path() + ".output."; {
	case c.Output.LimitA.Known:
		return c.Output.LimitA.Value, path + "limit_A"
	case c.Output.PeakA.Known:
		return c.Output.PeakA.Value, path + "peak_A"
	}
	return c.Output.ContinuousA * n.Spec.Policy.ConverterLimitFactor, "policy.converter_limit_factor"
}

// CoilTemperature is the temperature of the coil of a contactor or relay, in
// C, and the parts it is made of. Hot means the hottest ambient of its place
// and the self-heating of continuous use at the voltage it then sees.
func (n *Network) CoilTemperature(id string, at Coil) CoilHeat {
	base, coil := n.coil(id)
	if coil == nil || at == CoilAt20 {
		return CoilHeat{C: 20, AmbientC: 20}
	}
	return n.heat.get(heatKey{id, at}, func() CoilHeat { return n.coilHeat(id, at, base, coil) })
}

type heatKey struct {
	id string
	at Coil
}

func (n *Network) coilHeat(id string, at Coil, base *schema.Base, coil *schema.Coil) CoilHeat {
	h := CoilHeat{AmbientC: n.ambientC(base, at == CoilHot)}
	h.C = h.AmbientC
	if at == CoilHot && coil.Drive != "economiser" {
		h.V = n.coilRunningV(id, coil)
		// The schema keeps these numbers within the domain.
		if hot, err := calc.CoilTemperature(h.AmbientC, coil.RiseK.Or(n.Spec.Policy.CoilRiseK), h.V, coil.NominalV); err == nil {
			h.C = hot.Value
		}
	}
	return h
}

// CoilHeat is how a coil's temperature comes about.
type CoilHeat struct {
	AmbientC float64 // air at its place
	V        float64 // its highest voltage in use, where it heats itself
	C        float64 // temperature of the winding
}

// ambientC is the air temperature at a part, in C: the vehicle's, and its zone's rise.
func (n *Network) ambientC(b *schema.Base, hottest bool) float64 {
	if !hottest {
		return n.Spec.Vehicle.AmbientC.Min
	}
	return n.Spec.Vehicle.AmbientC.Max + n.Spec.Zones[b.Zone].RiseK
}

// coil returns the coil of a contactor or relay; the electronics of a timer count as
// one that operates within its range of supply, whatever the temperature.
func (n *Network) coil(id string) (*schema.Base, *schema.Coil) {
	if k, ok := n.Spec.Contactors[id]; ok {
		return &k.Base, &k.Coil
	}
	if r, ok := n.Spec.Relays[id]; ok {
		return &r.Base, &r.Coil
	}
	if t, ok := n.Spec.Timers[id]; ok {
		c := &schema.Coil{NominalV: t.SupplyV.Min, Drive: "economiser",
			OperateV: schema.Some(t.SupplyV.Min), ReleaseV: schema.Some(timerReleases * t.SupplyV.Min)}
		if t.SupplyMA.Or(0) > 0 {
			c.HoldA = schema.Some(t.SupplyMA.Value / 1000)
		}
		return &t.Base, c
	}
	return nil, nil
}

// coilRunningV is the highest voltage that a coil sees over the modes, with
// the converter running, the pack at nominal voltage and the coil at 20 C;
// its nominal voltage if no mode operates it.
func (n *Network) coilRunningV(id string, coil *schema.Coil) float64 {
	var most float64
	for _, mode := range n.States() {
		s := n.Solve(Case{Mode: mode})
		if v, ok := s.Across(id+".coil_pos", id+".coil_neg"); ok {
			most = max(most, v)
		}
	}
	if most < 0.3*coil.NominalV {
		return coil.NominalV
	}
	return most
}

// OperateV is the least voltage at which a coil surely operates at a
// temperature, in V. It is unknown when the spec does not give it.
func OperateV(c *schema.Coil, heat CoilHeat) (volts float64, known bool) {
	if !c.OperateV.Known {
		return 0, false
	}
	if c.Drive == "economiser" || c.OperateValidToC.Known && c.OperateValidToC.Value >= heat.AmbientC {
		return c.OperateV.Value, true
	}
	return c.OperateV.Value * calc.CopperFactor(heat.C), true
}

// ReleaseV is the voltage below which a coil surely releases at a temperature, in V.
func ReleaseV(c *schema.Coil, heat CoilHeat) (volts float64, known bool) {
	if !c.ReleaseV.Known {
		return 0, false
	}
	if c.Drive == "economiser" {
		return c.ReleaseV.Value, true
	}
	return c.ReleaseV.Value * calc.CopperFactor(heat.C), true
}

// Fractions of the nominal voltage that stand in for operate and release
// voltages that the spec does not give, so that contact states can be found
// (common practice for DC coils: must operate at 75 %, must release at 10 %).
const (
	assumedOperate = 0.75
	assumedRelease = 0.10
)

// thresholds returns the voltages between which a coil keeps its state.
func (n *Network) thresholds(id string, at Coil) (release, operate float64) {
	_, coil := n.coil(id)
	heat := CoilHeat{C: 20, AmbientC: 20}
	if at != CoilAt20 {
		heat = n.CoilTemperature(id, at)
	}
	operate, ok := OperateV(coil, heat)
	if !ok {
		operate = assumedOperate * coil.NominalV * calc.CopperFactor(heat.C)
	}
	release, ok = ReleaseV(coil, heat)
	if !ok {
		release = assumedRelease * coil.NominalV * calc.CopperFactor(heat.C)
	}
	return release, operate
}

// CoilOf is the coil of a contactor or relay, or what stands for it in a timer.
func (n *Network) CoilOf(id string) *schema.Coil {
	_, c := n.coil(id)
	return c
}

// timerReleases is the share of its least supply below which a timer surely lets go;
// above it the electronics may hold its contact (common practice).
const timerReleases = 0.5

// splitIDs splits a list of ids separated by spaces.
func splitIDs(list string) []string { return strings.Fields(list) }
