package oracle

// keyedExpectations are of contactors that key and emergency stop shall open, and of
// what tells whether they have.
func keyedExpectations() map[string]Expectation {
	return map[string]Expectation{
		"contactor-stays-latched": func(v *Vehicle, id string) float64 {
			coil := "contactors." + id + ".coil"
			if !v.True(coil+".latching") || v.True(coil+".opens_on_loss") {
				return 0
			}
			gone := v.openWithoutKey()
			live, without := v.controllersOn(gone, ""), v.controllersOn(gone, id)
			for c := range live {
				if !without[c] {
					return certain(true)
				}
			}
			return 0
		},
		"coil-return-switched": func(v *Vehicle, id string) float64 {
			if v.Text("vehicle.chassis") != "house-negative" {
				return 0
			}
			earthed := false
			for _, pole := range v.earthedPoles() {
				earthed = earthed || v.metal().same(pole, id+".coil_neg")
			}
			if !earthed || !v.coilOn(id, nil, false) {
				return 0
			}
			for _, role := range []string{"key", "emergency-stop"} {
				open := v.ofRole(role)
				// It opens the coil, and no more once the return touches the metalwork.
				if len(open) > 0 && !v.coilOn(id, open, false) && v.coilOn(id, open, true) {
					return certain(true)
				}
			}
			return 0
		},
		"weld-unnoticed": func(v *Vehicle, id string) float64 {
			use := v.Text("vehicle.use")
			behind := v.behindContactor(id)
			if len(behind) == 0 || use != "road" && use != "road-light" && v.Working(id+".a") <= 60 {
				return 0
			}
			aux := "contactors." + id + ".auxiliary"
			if v.Text(aux+".kind") == "mirror" && len(v.At(id+".aux_a")) > 0 && len(v.At(id+".aux_b")) > 0 {
				return 0
			}
			for _, c := range behind {
				if v.True("controllers."+c+".weld_check") && !v.heldUp(id, c) {
					return 0
				}
			}
			return certain(true)
		},
	}
}

// ofRole are the switches of a role.
func (v *Vehicle) ofRole(role string) map[string]bool {
	out := map[string]bool{}
	for _, id := range v.IDs("switches") {
		if v.Text("switches."+id+".role") == role {
			out[id] = true
		}
	}
	return out
}

// openWithoutKey are the parts through which nothing flows with the key off, once every
// relay and contactor without a supply has opened; latching ones stay as they are.
// Resistors are no way for a drive's current.
func (v *Vehicle) openWithoutKey() map[string]bool {
	gone := v.ofRole("key")
	for _, id := range v.IDs("resistors") {
		gone[id] = true
	}
	for range 20 { // longest chain of coils
		before := len(gone)
		for _, group := range []string{"contactors", "relays"} {
			for _, id := range v.IDs(group) {
				coil := group + "." + id + ".coil"
				stays := v.True(coil+".latching") && !v.True(coil+".opens_on_loss")
				if !stays && !v.coilOn(id, gone, false) {
					gone[id] = true
				}
			}
		}
		if len(gone) == before {
			break
		}
	}
	return gone
}

// coilOn reports whether metal joins both ends of a coil to a source with some parts
// open; with the return chafed, its feed alone.
func (v *Vehicle) coilOn(id string, open map[string]bool, chafed bool) bool {
	metal := v.metalWithout(open)
	pos, neg := id+".coil_pos", id+".coil_neg"
	for _, b := range v.IDs("batteries") {
		if metal.same(pos, b+".pos") && (chafed || metal.same(neg, v.lowest(b)) || v.throughOutput(metal, neg, v.lowest(b))) {
			return true
		}
	}
	for _, c := range v.IDs("converters") {
		if metal.same(pos, c+".out_pos") && (chafed || metal.same(neg, c+".out_neg")) {
			return true
		}
	}
	return false
}

// throughOutput reports whether a coil returns through a controller's output.
func (v *Vehicle) throughOutput(metal *joined, neg, foot string) bool {
	for _, c := range v.IDs("controllers") {
		if metal.same(neg, c+".coil_out") && metal.same(c+".neg", foot) {
			return true
		}
	}
	return false
}

// controllersOn lists the controllers that metal joins to both poles of a traction
// battery with some parts open, and one more.
func (v *Vehicle) controllersOn(open map[string]bool, more string) map[string]bool {
	gone := map[string]bool{more: more != ""}
	for id := range open {
		gone[id] = true
	}
	metal, out := v.metalWithout(gone), map[string]bool{}
	for _, c := range v.IDs("controllers") {
		for _, b := range v.IDs("batteries") {
			if v.Text("batteries."+b+".role") == "traction" && metal.same(c+".pos", b+".pos") && metal.same(c+".neg", v.lowest(b)) {
				out[c] = true
			}
		}
	}
	return out
}

// behindContactor lists the controllers that a contactor alone joins to the pack.
func (v *Vehicle) behindContactor(id string) []string {
	gone := map[string]bool{}
	for _, r := range v.IDs("resistors") {
		gone[r] = true
	}
	for _, r := range v.IDs("relays") {
		gone[r] = true // that of the pre-charge
	}
	with, without := v.controllersOn(gone, ""), v.controllersOn(gone, id)
	var out []string
	for _, c := range sortedKeys(with) {
		if !without[c] {
			out = append(out, c)
		}
	}
	return out
}

// heldUp reports whether, with the key off and the contactor open, something keeps
// more than half of the pack's voltage on a controller's capacitors.
func (v *Vehicle) heldUp(id, controller string) bool {
	hand, share := map[string]bool{}, 0.5
	for key := range v.ofRole("key") {
		hand[key] = false
	}
	if v.severe {
		share = 0.25
	}
	for _, mode := range v.Modes(false) {
		s := v.Solve(Case{Mode: mode, Supply: "full", Idle: true, Quiet: true, Copper: 20, Hand: hand})
		if !s.Closed(id) && s.Volts(controller+".pos", controller+".neg") > share*v.packVolts("max_V") {
			return true
		}
	}
	return false
}
