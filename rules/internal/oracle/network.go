package oracle

import (
	"slices"
	"strconv"
	"strings"
)

// Case is what a circuit is solved for.
type Case struct {
	Mode string
	// Supply is the state of the batteries: "empty", "nominal" or "full".
	Supply string
	// Resistance of the batteries: "min", "typ", "max" or "cold"; typ if left out.
	Resistance string
	Copper     float64 // temperature of the conductors, C
	// Alone: converters stand still and the auxiliary battery feeds its network.
	Alone bool
	// Idle: controllers draw nothing.
	Idle bool
	// Quiet: logic inputs draw nothing, as they do once their supply has gone.
	Quiet bool
	// PickUp: coils with an economiser draw what they pull in with.
	PickUp bool
	// Start says where contacts begin: closed, or open if not set. With Fixed
	// they stay as they began.
	Start bool
	Fixed bool
	// Hand overrides what the mode says is closed, by switch, pole or disconnect.
	Hand map[string]bool
	// Gone parts and conductors are taken out.
	Gone map[string]bool
	// Short joins two terminals through 1 uOhm, if given.
	Short [2]string
	// Probe puts 1 kOhm across each load, controller and converter input.
	Probe bool
}

// edge is a branch of the circuit: a conductance with a current source beside
// it, from a to b.
type edge struct {
	id   string
	a, b int
	g    float64 // S
	i    float64 // A, flowing from a to b inside the branch
	// draw, where it is set, gives i anew from the voltage a to b.
	draw func(volts float64) float64
}

// gate is a branch that is closed or open by what happens in the circuit.
type gate struct {
	edge
	control   func(s *solver, energised bool) (wanted, now bool)
	closed    bool
	energised bool    // what its coil did last: a contact remembers
	drop      float64 // forward voltage of a diode, or the voltage of a converter
}

// network is a circuit with its nodes numbered.
type network struct {
	v     *Vehicle
	c     Case
	nodes map[string]int
	edges []edge
	gates []gate
	// solved are the voltages of the last solution.
	solved []float64
}

func (n *network) node(terminal string) int {
	if i, ok := n.nodes[terminal]; ok {
		return i
	}
	i := len(n.nodes)
	n.nodes[terminal] = i
	return i
}

func (n *network) resistor(id, a, b string, ohms float64) {
	if ohms <= 0 {
		ohms = 1e-6
	}
	n.edges = append(n.edges, edge{id: id, a: n.node(a), b: n.node(b), g: 1 / ohms})
}

func (n *network) consumer(id, a, b string, draw func(float64) float64) {
	n.edges = append(n.edges, edge{id: id, a: n.node(a), b: n.node(b), draw: draw})
}

// constant draws a current that fades below a voltage, so that nothing draws
// from a dead network.
func constant(amps, fades float64) func(float64) float64 {
	return func(v float64) float64 { return amps * max(-1, min(1, v/fades)) }
}

// power draws P/V, and like a resistor below a voltage.
func power(watts, fades float64) func(float64) float64 {
	return func(v float64) float64 {
		if v < fades {
			return watts / fades * v / fades
		}
		return watts / v
	}
}

// closedByHand reports whether a mode closes a disconnect, pole or output.
func (c Case) closedByHand(v *Vehicle, id, pole string) bool {
	name := id
	if pole != "" {
		name = id + "." + pole
	}
	for _, key := range []string{name, id} {
		if state, ok := c.Hand[key]; ok {
			return state
		}
	}
	closed := v.List("modes." + c.Mode + ".closed")
	return slices.Contains(closed, id) || slices.Contains(closed, name)
}

// contactOhm is the resistance of a closed contact: stated, or 75 mV at its
// carrying current.
func (v *Vehicle) contactOhm(path string) float64 {
	if r := v.Number(path+".resistance_mOhm", 0); r > 0 {
		return r / 1000
	}
	if a := v.Number(path+".carry_A", 0); a > 0 {
		return v.Number("policy.contact_drop_mV", 75) / 1000 / a
	}
	return 1e-3
}

func (v *Vehicle) fuseOhm(fuse string) float64 {
	return v.Number("fuses."+fuse+".drop_mV", v.Number("policy.fuse_drop_mV", 100)) / 1000 / v.Number("fuses."+fuse+".rated_A", 1)
}

// build sets the circuit of a case up.
func build(v *Vehicle, c Case) *network {
	n := &network{v: v, c: c, nodes: map[string]int{}}
	for _, id := range v.Conductors() {
		if !c.Gone[id] {
			from, to := v.Ends(id)
			n.resistor(id, from, to, v.resistance(id, c.Copper))
		}
	}
	for _, kind := range []string{"batteries", "fuses", "breakers", "disconnects", "switches", "cutouts", "resistors", "shunts", "connectors", "blocks", "meters", "loads", "diodes"} {
		for _, id := range v.IDs(kind) {
			if !c.Gone[id] {
				n.passive(kind, id)
			}
		}
	}
	for _, id := range v.IDs("controllers") {
		n.controller(id)
	}
	for _, id := range v.IDs("contactors") {
		n.coil("contactors."+id, id, "a", "b", "no", v.contactOhm("contactors."+id+".contact"))
	}
	for _, id := range v.IDs("relays") {
		ohms, form := v.contactOhm("relays."+id+".contact"), v.Text("relays."+id+".form")
		switch form {
		case "nc":
			n.coil("relays."+id, id, "common", "nc", "nc", ohms)
		case "changeover":
			n.coil("relays."+id, id, "common", "no", "no", ohms)
			n.gates = append(n.gates, n.contact(id, "common", "nc", "nc", ohms))
		default:
			n.coil("relays."+id, id, "common", "no", "no", ohms)
		}
	}
	for _, id := range v.IDs("timers") {
		n.timer(id)
	}
	for _, id := range v.IDs("converters") {
		if !c.Gone[id] {
			n.converter(id)
		}
	}
	if c.Short[0] != "" {
		n.resistor("short", c.Short[0], c.Short[1], 1e-6)
	}
	return n
}

func (n *network) passive(kind, id string) {
	v, c, path := n.v, n.c, kind+"."+id
	switch kind {
	case "batteries":
		n.battery(id)
	case "fuses":
		n.resistor(id, id+".a", id+".b", v.fuseOhm(id))
	case "cutouts": // closed as long as it is cold
		n.resistor(id, id+".a", id+".b", v.contactOhm(path+".contact"))
	case "disconnects", "breakers":
		if c.closedByHand(v, id, "") {
			n.resistor(id, id+".a", id+".b", v.contactOhm(path))
			if v.Number(path+".poles", 1) == 2 {
				n.resistor(id+":2", id+".a2", id+".b2", v.contactOhm(path))
			}
		}
	case "switches":
		for _, pole := range v.IDs(path + ".poles") {
			if c.closedByHand(v, id, pole) {
				n.resistor(id+"."+pole, id+"."+pole+"_a", id+"."+pole+"_b", v.contactOhm(path+".poles."+pole))
			}
		}
	case "resistors":
		n.resistor(id, id+".a", id+".b", v.Number(path+".resistance_Ohm", 0))
	case "shunts":
		n.resistor(id, id+".a", id+".b", v.Number(path+".drop_mV", 50)/1000/v.Number(path+".rated_A", 1))
		n.resistor(id+":sa", id+".a", id+".sense_a", 1e-3)
		n.resistor(id+":sb", id+".b", id+".sense_b", 1e-3)
	case "connectors":
		for i := range v.contacts(id) {
			if end := strconv.Itoa(i + 1); !c.Gone[id+":"+end] && !slices.Contains(v.List("modes."+c.Mode+".unmated"), id) {
				n.resistor(id+":"+end, id+".a"+end, id+".b"+end, v.Number(path+".resistance_uOhm", 1000)/1e6)
			}
		}
	case "blocks":
		for i, way := range v.ways(id) {
			if i > 0 {
				n.resistor(id, v.ways(id)[0], way, 0)
			}
		}
	case "meters":
		if ma := v.Number(path+".supply_mA", 0); ma > 0 {
			n.consumer(id, id+".pos", id+".neg", constant(ma/1000, 5))
		}
		n.resistor(id+":sense", id+".sense_a", id+".sense_b", 1e6)
	case "diodes":
		n.gates = append(n.gates, gate{
			edge: edge{id: id, a: n.node(id + ".anode"), b: n.node(id + ".cathode"), g: 100},
			drop: v.Number(path+".forward_V", 0.8),
			control: func(s *solver, _ bool) (bool, bool) {
				return s.across(id+".anode", id+".cathode") > v.Number(path+".forward_V", 0.8)-1e-6, false
			},
		})
	case "loads":
		if slices.Contains(v.List("modes."+c.Mode+".on"), id) {
			n.load(id)
		}
		if c.Probe {
			n.resistor(id+":probe", id+".pos", id+".neg", 1000)
		}
	}
}

func (n *network) load(id string) {
	path := "loads." + id
	watts, at := n.v.Number(path+".power_W", 0), n.v.Number(path+".at_V", 12)
	switch n.v.Text(path + ".kind") {
	case "led", "electronic":
		n.consumer(id, id+".pos", id+".neg", power(watts, 0.4*at))
	case "motor":
		n.consumer(id, id+".pos", id+".neg", constant(watts/at, 0.4*at))
	default:
		n.resistor(id, id+".pos", id+".neg", at*at/watts)
	}
}

// volts is a battery's open voltage in a case.
func (n *network) volts(id string) float64 {
	return n.v.Number("batteries."+id+"."+map[string]string{"empty": "min_V", "full": "max_V"}[n.c.Supply], n.v.Number("batteries."+id+".nominal_V", 0))
}

func (n *network) battery(id string) {
	which := n.c.Resistance
	if which == "" {
		which = "typ"
	}
	ohms := max(1e-5, n.v.BatteryResistance(id, which))
	if which == "cold" {
		ohms = max(1e-5, n.v.coldResistance(id, n.c.Mode))
	}
	if short := n.v.Number("batteries."+id+".short_circuit_A", 0); short > 0 && which == "min" {
		ohms = n.v.Number("batteries."+id+".max_V", 0) / short
	}
	if n.v.Text("batteries."+id+".role") == "auxiliary" && !n.c.Alone && n.c.Short[0] == "" && n.fed(id) {
		n.consumer(id, id+".pos", id+".neg", constant(n.v.Number("batteries."+id+".float_A", 0), 5))
		return
	}
	n.edges = append(n.edges, edge{id: id, a: n.node(id + ".pos"), b: n.node(id + ".neg"), g: 1 / ohms, i: -n.volts(id) / ohms})
	for _, charger := range n.v.IDs("chargers") {
		if !slices.Contains(n.v.List("modes."+n.c.Mode+".connected"), charger) || n.c.Gone[charger] || id != n.v.IDs("batteries")[0] {
			continue
		}
		amps, top := n.v.Number("chargers."+charger+".max_A", 0), n.v.Number("chargers."+charger+".max_V", 0)
		n.consumer(charger, charger+".pos", charger+".neg", func(u float64) float64 {
			return -amps * max(0, min(1, (top-u)*20)) // current until the voltage is reached
		})
	}
}

// fed reports whether a converter stands beside an auxiliary battery.
func (n *network) fed(battery string) bool {
	for _, id := range n.v.IDs("converters") {
		if !n.c.Gone[id] && n.v.metal().same(id+".out_pos", battery+".pos") {
			return true
		}
	}
	return false
}

func (n *network) controller(id string) {
	v, path := n.v, "controllers."+id
	nominal := v.PackNominal()
	if kohm := v.Number(path+".bleed_kOhm", 0); kohm > 0 {
		n.resistor(id+":bleed", id+".pos", id+".neg", kohm*1000)
	}
	if ma := v.Number(path+".enable_mA", 0); ma > 0 && !n.c.Quiet {
		n.consumer(id+":enable", id+".enable", id+".neg", constant(ma/1000, 0.4*nominal))
	}
	if v.Has(path+".coil_out") && n.c.closedByHand(v, id, "coil_out") {
		n.resistor(id+".coil_out", id+".coil_out", id+".neg", 0.01)
	}
	if n.c.Probe {
		n.resistor(id+":probe", id+".pos", id+".neg", 1000)
	}
	if n.c.Idle {
		return
	}
	draw := "modes." + n.c.Mode + ".draw." + id
	if amps := v.Number(draw+".current_A", 0); amps > 0 {
		n.consumer(id, id+".pos", id+".neg", constant(amps, 0.4*nominal))
	}
	if watts := v.Number(draw+".power_W", 0); watts > 0 {
		asked, most := power(watts, 0.4*nominal), v.Number(path+".battery_peak_A", 1e9)
		n.consumer(id, id+".pos", id+".neg", func(u float64) float64 { return min(asked(u), most) })
	}
	if amps := v.Number(draw+".regen_A", 0); amps > 0 {
		n.consumer(id, id+".pos", id+".neg", constant(-amps, 0.4*nominal))
	}
}

// PackNominal is the greatest nominal voltage of a traction battery or of a
// string of them, V.
func (v *Vehicle) PackNominal() float64 {
	best := 12.0
	for _, id := range v.IDs("batteries") {
		if v.Text("batteries."+id+".role") == "traction" {
			best = max(best, v.Number("batteries."+id+".nominal_V", 0)*float64(v.InString(id)))
		}
	}
	return best
}

// coil adds a coil and the contact that it works.
func (n *network) coil(path, id, a, b, form string, ohms float64) {
	v := n.v
	if v.Text(path+".coil.drive") == "economiser" {
		amps := v.Number(path+".coil.hold_A", 0.1)
		if n.c.PickUp {
			amps = v.Number(path+".coil.pickup_A", amps)
		}
		n.consumer(id+":coil", id+".coil_pos", id+".coil_neg", constant(amps, 0.4*v.Number(path+".coil.nominal_V", 12)))
	} else if r := v.Number(path+".coil.resistance_Ohm", 0); r > 0 {
		n.resistor(id+":coil", id+".coil_pos", id+".coil_neg", r*warm(v.coilCelsius(path, id)))
	}
	n.gates = append(n.gates, n.contact(id, a, b, form, ohms))
}

// timer adds the electronics of a time relay and its contact, once its time is over.
func (n *network) timer(id string) {
	v, path := n.v, "timers."+id
	least := v.Number(path+".supply_V.min", 12)
	n.consumer(id+":coil", id+".pos", id+".neg", constant(v.Number(path+".supply_mA", 0)/1000, 0.4*least))
	n.gates = append(n.gates, n.gate(id, "common", "no", "no", v.contactOhm(path+".contact"), [2]string{".pos", ".neg"}, least, least/2))
}

// coilCelsius is the temperature of a plain coil at work in the greatest heat, C.
func (v *Vehicle) coilCelsius(path, id string) float64 {
	return v.Ambient(id, true) + v.Number(path+".coil.rise_K", v.Number("policy.coil_rise_K", 50))
}

func (n *network) contact(id, a, b, form string, ohms float64) gate {
	path := n.v.Path(id) + ".coil"
	operate := n.v.Number(path+".operate_V", 0.75*n.v.Number(path+".nominal_V", 12))
	release := n.v.Number(path+".release_V", 0.1*operate)
	return n.gate(id, a, b, form, ohms, [2]string{".coil_pos", ".coil_neg"}, operate, release)
}

// gate is a contact that the voltage between two terminals of its part works.
func (n *network) gate(id, a, b, form string, ohms float64, supply [2]string, operate, release float64) gate {
	g := gate{edge: edge{id: id, a: n.node(id + "." + a), b: n.node(id + "." + b), g: 1 / ohms}, energised: n.c.Start}
	g.closed = g.energised != (form == "nc")
	g.control = func(s *solver, energised bool) (bool, bool) {
		u := s.across(id+supply[0], id+supply[1])
		if u < 0 {
			u = -u
		}
		if u >= operate {
			energised = true
		} else if u < release {
			energised = false
		}
		return energised != (form == "nc"), energised
	}
	if n.c.Fixed {
		g.control = nil
	}
	return g
}

// inString counts the batteries that stand in series with one, itself included.
func (v *Vehicle) InString(battery string) int {
	metal, count := v.metal(), 1
	for _, step := range []struct{ out, in string }{{".neg", ".pos"}, {".pos", ".neg"}} {
		at := battery
		for range 20 {
			next := ""
			for _, other := range v.IDs("batteries") {
				if other != at && metal.same(at+step.out, other+step.in) {
					next = other
				}
			}
			if next == "" || next == battery {
				break
			}
			at, count = next, count+1
		}
	}
	return count
}

// split separates a part from its terminal.
func split(terminal string) (part, name string) {
	part, name, _ = strings.Cut(terminal, ".")
	return part, name
}
