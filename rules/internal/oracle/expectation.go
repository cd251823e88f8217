package oracle

import "math"

// An Expectation computes one relation for one subject: demand over capability, so
// that above 1 the relation is broken. NaN says that the oracle does not know.
type Expectation func(v *Vehicle, subject string) float64

// Expectations returns the expectations by the rule whose relation they compute.
// Relations that are a yes or no and follow from how a fault was made have none.
func Expectations() map[string]Expectation {
	all := map[string]Expectation{}
	for _, some := range []map[string]Expectation{
		circuitExpectations(), fuseExpectations(), disconnectExpectations(), contactorExpectations(), switchExpectations(),
		meterExpectations(), converterExpectations(), loadExpectations(), batteryExpectations(), controllerExpectations(),
		conductorExpectations(), busbarExpectations(), prechargeExpectations(), seriesExpectations(),
		protectionExpectations(), recordExpectations(), functionExpectations(),
		solarExpectations(), auxiliaryExpectations(),
		connectorExpectations(), batterySwitchExpectations(),
		timerExpectations(), motorExpectations(), breakerExpectations(), cutoutExpectations(),
		blockExpectations(), keyedExpectations(), parallelExpectations(),
	} {
		for rule, j := range some {
			all[rule] = j
		}
	}
	return all
}

// certain turns a yes or no into a ratio.
func certain(broken bool) float64 {
	if broken {
		return math.Inf(1)
	}
	return 0
}

// over divides, and knows nothing where the divisor is not given.
func over(demand, capability float64) float64 {
	if capability <= 0 || math.IsNaN(capability) {
		return math.NaN()
	}
	return demand / capability
}

// breaking is the greatest breaking current of a contact at a voltage or more, A.
func (v *Vehicle) breaking(path string, volts float64) float64 {
	most := 0.0
	list, _ := v.Get(path + ".break").([]any)
	for _, x := range list {
		p, _ := x.(map[string]any)
		u, _ := p["V"].(float64)
		i, _ := p["A"].(float64)
		if u >= volts {
			most = max(most, i)
		}
	}
	return most
}

// shortTime is what a contact carries for some seconds, A; NaN without a table.
func (v *Vehicle) shortTime(path string, seconds float64) float64 {
	var curve []point
	list, _ := v.Get(path + ".short_time").([]any)
	for i := len(list) - 1; i >= 0; i-- {
		p, _ := list[i].(map[string]any)
		a, _ := p["A"].(float64)
		s, _ := p["s"].(float64)
		curve = append(curve, point{a, s})
	}
	if len(curve) > 1 && curve[0].amps > curve[len(curve)-1].amps {
		for i, j := 0, len(curve)-1; i < j; i, j = i+1, j-1 {
			curve[i], curve[j] = curve[j], curve[i]
		}
	}
	return ampsOn(curve, seconds)
}

func disconnectExpectations() map[string]Expectation {
	return map[string]Expectation{
		"disconnect-voltage-low": func(v *Vehicle, id string) float64 {
			return over(v.Working(id+".a"), v.Number("disconnects."+id+".rated_V_dc", 0))
		},
		"disconnect-carry-low": func(v *Vehicle, id string) float64 {
			return over(v.ForGood(id, 600), v.Number("disconnects."+id+".carry_A", 0))
		},
		"disconnect-short-time-low": func(v *Vehicle, id string) float64 {
			return v.shortTimeOf("disconnects."+id, id)
		},
		"disconnect-break-low": func(v *Vehicle, id string) float64 {
			// Somebody reaches for it while the throttle is open.
			most := v.Greatest(id)
			for _, c := range v.IDs("controllers") {
				most = max(most, v.AtPeak(id, c))
			}
			return v.breakOf("disconnects."+id, id, most)
		},
		"disconnect-make-low": func(v *Vehicle, id string) float64 {
			return over(v.inrush(id), v.Number("disconnects."+id+".make_A", 0))
		},
		"disconnect-missing": func(v *Vehicle, id string) float64 {
			gone := map[string]bool{}
			for _, d := range v.IDs("disconnects") {
				gone[d] = true
			}
			cut, reaches := v.metalWithout(gone), false
			for _, c := range v.IDs("controllers") {
				reaches = reaches || cut.same(id+".pos", c+".pos") && cut.same(id+".neg", c+".neg")
			}
			return certain(reaches && !v.True("batteries."+id+".pluggable"))
		},
	}
}

// inrush is the first peak into the capacitors of the controllers that closed
// metal, contactors left out, joins to a disconnect, A.
func (v *Vehicle) inrush(disconnect string) float64 {
	gone := map[string]bool{}
	for _, id := range v.IDs("contactors") {
		gone[id] = !v.severe // one that the key has closed already
	}
	for _, id := range v.IDs("resistors") {
		gone[id] = true
	}
	cut, most := v.metalWithout(gone), 0.0
	for _, id := range v.IDs("controllers") {
		if farads := v.Number("controllers."+id+".capacitance_uF", 0) / 1e6; farads > 0 && cut.same(disconnect+".a", id+".pos") && v.returns(cut, id+".neg") {
			ohms, metres := v.loop(id+".pos", id+".neg")
			ohms += v.Number("controllers."+id+".esr_mOhm", 0) / 1000
			most = max(most, firstPeak(v.Working(id+".pos"), ohms, metres*henryPerMetre, farads))
		}
	}
	return most
}

// returns reports whether metal joins a terminal to the negative pole of a
// traction battery.
func (v *Vehicle) returns(metal *joined, terminal string) bool {
	for _, b := range v.IDs("batteries") {
		if v.Text("batteries."+b+".role") == "traction" && metal.same(terminal, b+".neg") {
			return true
		}
	}
	return false
}

// breakOf compares a current with a contact's breaking capacity.
func (v *Vehicle) breakOf(path, id string, amps float64) float64 {
	if !v.Has(path + ".break") {
		return math.NaN()
	}
	side := ".a"
	if v.Kind(id) == "relays" {
		side = ".common"
	}
	capability := v.breaking(path, v.Working(id+side))
	if capability == 0 && v.severe {
		return math.Inf(1) // a rating at a lower voltage says nothing
	}
	return amps / max(1e-9, capability)
}

// shortTimeOf compares each peak above the carrying current with the
// short-time table.
func (v *Vehicle) shortTimeOf(path, id string) float64 {
	carry, worst := v.Number(path+".carry_A", math.Inf(1)), 0.0
	for _, mode := range v.Modes(false) {
		if lasts := v.Number("modes."+mode+".lasts_s", 0); lasts > 0 && v.InMode(id, mode) > carry {
			worst = max(worst, v.InMode(id, mode)/v.shortTime(path, lasts))
		}
	}
	for _, c := range v.IDs("controllers") {
		if i := v.AtPeak(id, c); i > carry {
			worst = max(worst, i/v.shortTime(path, v.Number("controllers."+c+".peak_s", 60)))
		}
	}
	return worst
}

func switchExpectations() map[string]Expectation {
	pole := func(subject string) (path, terminal string) {
		id, name := split(subject)
		return "switches." + id + ".poles." + name, subject + "_a"
	}
	return map[string]Expectation{
		"pole-voltage-low": func(v *Vehicle, subject string) float64 {
			path, terminal := pole(subject)
			return over(v.Working(terminal), v.Number(path+".rated_V_dc", 0))
		},
		"poles-voltage-low": func(v *Vehicle, id string) float64 {
			path, worst := "switches."+id, 0.0
			rated, tested := v.Number(path+".between_poles_V", 0), v.Number(path+".between_poles_test_V", 0)
			poles := v.IDs(path + ".poles")
			for i, a := range poles {
				for _, b := range poles[:i] {
					one, other := id+"."+a+"_a", id+"."+b+"_a"
					x, y := v.Working(one), v.Working(other)
					apart := !v.oneNetwork(one, other)
					stands := max(x, y) // one is open, and its load holds its outlet at the common negative
					if apart {
						stands = x + y // a fault elsewhere may join any two poles of the networks
					}
					switch {
					case rated > 0:
						worst = max(worst, stands/rated)
					case !apart || max(x, y) <= 60:
					case tested > 0:
						// Basic insulation of voltage class B is tested with so much (form of ISO
						// 6469-3, from memory).
						worst = max(worst, (2*stands+1000)/tested)
					default:
						return math.NaN()
					}
				}
			}
			return worst
		},
		"pole-carry-low": func(v *Vehicle, subject string) float64 {
			path, _ := pole(subject)
			return over(v.Greatest(subject), v.Number(path+".carry_A", 0))
		},
		"pole-load-kind-low": func(v *Vehicle, subject string) float64 {
			path, _ := pole(subject)
			carry, sum := v.Number(path+".carry_A", 0), 0.0
			if carry == 0 {
				return math.NaN()
			}
			rating := map[string]float64{
				"filament":  v.Number(path+".lamp_A", 0.20*carry),
				"motor":     v.Number(path+".motor_A", 0.20*carry),
				"inductive": v.Number(path+".inductive_A", 0.35*carry),
			}
			for _, id := range v.behind(subject) {
				share := carry
				if r, ok := rating[v.Text("loads."+id+".kind")]; ok {
					share = r
				}
				if v.Kind(id) != "loads" {
					share = rating["inductive"]
				}
				sum += v.ownAmps(id) / share
			}
			return sum
		},
		"pole-make-low": func(v *Vehicle, subject string) float64 {
			path, _ := pole(subject)
			first := 0.0
			for _, id := range v.behind(subject) {
				times := 1.0
				switch v.Text("loads." + id + ".kind") {
				case "filament":
					if !v.Has(path + ".lamp_A") {
						times = 10
					}
				case "motor":
					if !v.Has(path + ".motor_A") {
						times = v.Number("loads."+id+".stall_A", 6*v.ownAmps(id)) / v.ownAmps(id)
					}
				}
				amps := v.ownAmps(id)
				if v.Text(v.Path(id)+".coil.drive") == "economiser" {
					amps = v.Number(v.Path(id)+".coil.pickup_A", amps)
				}
				first += times * amps
			}
			return over(first, v.Number(path+".make_A", v.Number(path+".carry_A", 0)))
		},
		"relay-load-kind-low": func(v *Vehicle, id string) float64 {
			carry, sum := v.Number("relays."+id+".contact.carry_A", 0), 0.0
			for _, load := range v.behind(id) {
				share := map[string]float64{"filament": 0.20, "motor": 0.20, "inductive": 0.35}[v.Text("loads."+load+".kind")]
				if share == 0 {
					share = 1
				}
				sum += over(v.ownAmps(load), share*carry)
			}
			return sum
		},
	}
}

// ownAmps is the current of a load at its own voltage, or of a cold coil at its
// nominal voltage, A.
func (v *Vehicle) ownAmps(id string) float64 {
	if v.Kind(id) == "loads" {
		return v.Number("loads."+id+".power_W", 0) / v.Number("loads."+id+".at_V", 12)
	}
	path := v.Path(id) + ".coil"
	if v.Text(path+".drive") == "economiser" {
		return v.Number(path+".hold_A", 0)
	}
	return over(v.Number(path+".nominal_V", 0), v.Number(path+".resistance_Ohm", 0))
}

// behind lists the loads and coils that a pole or relay contact alone connects
// to a battery or converter, in modes that turn them on together with it.
func (v *Vehicle) behind(contact string) []string {
	var out []string
	all, cut := v.metal(), v.metalWithout(map[string]bool{contact: true})
	feeds := func(j *joined, terminal string) bool {
		for _, id := range v.IDs("batteries") {
			if j.same(terminal, id+".pos") {
				return true
			}
		}
		for _, id := range v.IDs("converters") {
			if j.same(terminal, id+".out_pos") {
				return true
			}
		}
		return false
	}
	try := func(id, terminal string) {
		if feeds(all, terminal) && !feeds(cut, terminal) {
			out = append(out, id)
		}
	}
	for _, id := range v.IDs("loads") {
		for _, mode := range v.Modes(false) {
			if contains(v.List("modes."+mode+".on"), id) {
				try(id, id+".pos")
				break
			}
		}
	}
	for _, kind := range []string{"contactors", "relays"} {
		for _, id := range v.IDs(kind) {
			try(id, id+".coil_pos")
		}
	}
	return out
}

func contains(list []string, s string) bool {
	for _, x := range list {
		if x == s {
			return true
		}
	}
	return false
}

// henryPerMetre is the inductance of a metre of conductor there or back: half of
// the microhenry that a metre of two cables side by side has (common practice;
// 0.4 ln(d/r) + 0.1 uH for wires d apart of radius r gives 1 uH at d = 9.5 r).
const henryPerMetre = 0.5e-6
