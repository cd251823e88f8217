package catalogue_test

import (
	"maps"
	"strconv"

	"example.org/headroom/rules/internal/oracle"
)

// batteryPlug is a battery connector that suits each of the sound vehicles: what a fault
// sets is the one thing that is wrong with it.
func batteryPlug(contacts int, wrong change) map[string]any {
	contact := map[string]any{"carry_A": 400.0, "at_size": "120 mm2", "rated_V_dc": 150.0}
	out := map[string]any{
		"use": "battery", "max_C": 125.0, "rated_at_C": 60.0, "lock": "latch",
		"breaks":        []any{map[string]any{"V": 150.0, "A": 600.0, "operations": 500.0}},
		"unmated":       map[string]any{"a": "ipxxb", "b": "ipxxb"},
		"make_A":        3000.0,
		"mating_cycles": 500.0, "resistance_uOhm": 60.0, "family": "B9", "key": "red", "source": "sheet CN-B9",
	}
	var all []any
	for range contacts {
		all = append(all, contact)
	}
	out["contacts"] = all
	for field, value := range wrong {
		if value == nil {
			delete(out, field)
			continue
		}
		out[field] = value
	}
	return out
}

// plugInto parts a wire near one of its terminals, and puts a contact of a connector
// between: half a on the side of the source.
func plugInto(v *oracle.Vehicle, wire, terminal, connector string, contact int, source bool) change {
	path, number := v.Path(wire), strconv.Itoa(contact)
	rest, piece := connector+".a"+number, connector+".b"+number
	if source { // the terminal is that of the source
		rest, piece = piece, rest
	}
	end := ".to"
	if from, _ := v.Ends(wire); from == terminal {
		end = ".from"
	}
	short, _ := v.Get(path).(map[string]any)
	short = maps.Clone(short)
	delete(short, "lug_hole_mm")
	short["from"], short["to"], short["length_m"] = piece, terminal, 0.1
	return change{path + end: rest, path + "_" + number: short}
}

// onlyWire is the only wire that ends on a terminal, "" if there is another or none.
func onlyWire(v *oracle.Vehicle, terminal string) string {
	if all := v.At(terminal); len(all) == 1 && v.Kind(all[0]) == "wires" {
		return all[0]
	}
	return ""
}

// thickest is the thickest wire on a terminal.
func thickest(v *oracle.Vehicle, terminal string) string {
	best := ""
	for _, id := range v.At(terminal) {
		if best == "" || v.Area(id) > v.Area(best) {
			best = id
		}
	}
	return best
}

// onePole puts a plug between main fuse and isolator, nil where there is no room.
func onePole(v *oracle.Vehicle, wrong change) change {
	main := onlyWire(v, "isolator.a")
	if main == "" {
		return nil
	}
	return merge(plugInto(v, main, "isolator.a", "pack_plug", 1, false), change{"connectors.pack_plug": batteryPlug(1, wrong)})
}

// twoPoles puts a plug into both leads of a pack.
func twoPoles(v *oracle.Vehicle, wrong change) change {
	step, back := onePole(v, wrong), thickest(v, "pack.neg")
	if step == nil || back == "" || v.Kind(back) != "wires" {
		return nil
	}
	return merge(step, plugInto(v, back, "pack.neg", "pack_plug", 2, true), change{"connectors.pack_plug": batteryPlug(2, wrong)})
}

// pilotPlug puts a plug into the positive lead, and leads one side of the contactor's
// coil through a pilot contact that parts so much before.
func pilotPlug(v *oracle.Vehicle, side string, millimetres float64) change {
	step, coil := onePole(v, nil), thickest(v, "main_contactor."+side)
	if step == nil || coil == "" {
		return nil
	}
	power := map[string]any{"carry_A": 400.0, "at_size": "120 mm2", "rated_V_dc": 150.0}
	small := map[string]any{"carry_A": 5.0, "at_size": "2.5 mm2", "rated_V_dc": 150.0, "mates": "last"}
	return merge(step, plugInto(v, coil, "main_contactor."+side, "pack_plug", 2, false), change{"connectors.pack_plug": batteryPlug(2, change{
		"breaks": "none", "contacts": []any{power, small}, "pilot": map[string]any{"contacts": []any{2.0}, "lead_mm": millimetres},
	})})
}

// inPlace puts a plug in the place of the isolator: what the isolator closed on, the
// plug does.
func inPlace(v *oracle.Vehicle, wrong change) change {
	poles := v.Number("disconnects.isolator.poles", 1)
	if v.Kind("isolator") != "disconnects" {
		return nil
	}
	step := change{"disconnects.isolator": nil, "connectors.pack_plug": batteryPlug(int(poles), wrong)}
	for old, new := range map[string]string{"a": "a1", "b": "b1", "a2": "a2", "b2": "b2"} {
		for _, id := range v.At("isolator." + old) {
			end := ".to"
			if from, _ := v.Ends(id); from == "isolator."+old {
				end = ".from"
			}
			step[v.Path(id)+end] = "pack_plug." + new
		}
	}
	for _, mode := range v.IDs("modes") {
		left := []any{}
		for _, id := range v.List("modes." + mode + ".closed") {
			if id != "isolator" {
				left = append(left, id)
			}
		}
		if v.Has("modes." + mode + ".closed") {
			step["modes."+mode+".closed"] = left
		}
	}
	return step
}

// plugged makes faults of the plug in each vehicle with room for it: what is wrong
// with it, in growing steps.
func plugged(put func(*oracle.Vehicle, change) change, wrong ...change) func(*oracle.Vehicle) []fault {
	return func(v *oracle.Vehicle) []fault {
		var steps []change
		for _, w := range wrong {
			if step := put(v, w); step != nil {
				steps = append(steps, step)
			}
		}
		return only(len(steps) > 0, "pack_plug", steps...)
	}
}

// lesserContacts lists plugs of one contact with ever less in a field.
func lesserContacts(field string, trade []float64) []change {
	var out []change
	for _, value := range trade {
		contact := map[string]any{"carry_A": 400.0, "at_size": "120 mm2", "rated_V_dc": 150.0}
		contact[field] = value
		out = append(out, change{"contacts": []any{contact}})
	}
	return out
}

func connectorMutations() []mutation {
	interrupts := func(amps ...float64) []change {
		var out []change
		for _, a := range amps {
			out = append(out, change{"breaks": []any{map[string]any{"V": 150.0, "A": a, "operations": 500.0}}})
		}
		return out
	}
	return []mutation{
		{kind: "a smaller plug", rule: "connector-overloaded", find: plugged(onePole, lesserContacts("carry_A", tradeAmps)...)},
		{kind: "a plug for cold places", rule: "connector-overloaded", find: plugged(onePole,
			change{"max_C": 60.0, "rated_at_C": 20.0, "contacts": lesserContacts("carry_A", []float64{100})[0]["contacts"]},
			change{"max_C": 50.0, "rated_at_C": 20.0, "contacts": lesserContacts("carry_A", []float64{100})[0]["contacts"]})},
		{kind: "contacts side by side, each for what one alone carries", rule: "connector-overloaded", find: sideBySide},
		{kind: "a plug of a lower voltage", rule: "connector-voltage-low", find: plugged(onePole, lesserContacts("rated_V_dc", tradeVolts)...)},
		{kind: "a plug that must not be parted under load", rule: "connector-parts-under-load", find: plugged(onePole, change{"breaks": "none"})},
		{kind: "a plug that interrupts less", rule: "connector-parts-under-load", find: plugged(onePole, interrupts(300, 200, 150, 100, 60, 40, 20)...)},
		{kind: "a pilot that opens a lamp and no contactor", rule: "connector-parts-under-load", find: uselessPilot},
		{kind: "pins on the battery's side", rule: "connector-end-live", find: plugged(twoPoles, change{"unmated": map[string]any{"a": "open", "b": "ipxxb"}})},
		{kind: "pins on the controller's side", rule: "connector-load-stays-live", find: plugged(twoPoles, change{"unmated": map[string]any{"a": "ipxxb", "b": "open"}})},
		{kind: "smaller contacts in the charging socket", rule: "connector-overloaded", find: socketed(
			smallContacts(20), smallContacts(16), smallContacts(10), smallContacts(6))},
		{kind: "a charging socket of a lower voltage", rule: "connector-voltage-low", find: socketed(change{"contacts": []any{
			map[string]any{"carry_A": 60.0, "rated_V_dc": 48.0}, map[string]any{"carry_A": 60.0, "rated_V_dc": 48.0},
		}})},
		{kind: "a charging socket that must not be parted under load", rule: "connector-parts-under-load", find: socketed(change{"breaks": "none"})},
		{kind: "pins in the charging socket", rule: "connector-end-live", find: socketed(change{"unmated": map[string]any{"a": "ipxxb", "b": "open"}})},
		{kind: "pins on the charger's cable", rule: "connector-end-live", find: socketed(change{"unmated": map[string]any{"a": "open", "b": "ipxxb"}})},
		{kind: "a charging socket for fewer matings", rule: "connector-worn", find: socketed(change{"mating_cycles": 2000.0})},
		{kind: "a lamp's plug without a latch", rule: "connector-parts-under-load", find: lamps(change{"lock": "none", "breaks": "none"})},
		{kind: "a pilot that is hardly shorter", rule: "connector-pilot-slow", find: func(v *oracle.Vehicle) []fault {
			step := pilotPlug(v, "coil_pos", 3)
			return only(step != nil, "pack_plug", step)
		}},
		{kind: "a pilot before a coil with a plain diode", rule: "connector-pilot-slow", find: func(v *oracle.Vehicle) []fault {
			step := pilotPlug(v, "coil_pos", 15)
			return only(step != nil && v.Text("contactors.main_contactor.coil.suppression") == "diode+zener", "pack_plug",
				merge(step, change{"contactors.main_contactor.coil.suppression": "diode", "contactors.main_contactor.coil.clamp_V": 0.8}))
		}},
		{kind: "a pilot in the return of the coil", rule: "connector-pilot-in-return", find: func(v *oracle.Vehicle) []fault {
			step := pilotPlug(v, "coil_neg", 20)
			return only(step != nil, "pack_plug", step)
		}},
		{kind: "a plug that closes on a converter", rule: "connector-inrush-high", find: onCapacitors(change{"make_A": 100.0})},
		{kind: "a plug that nobody made for sparks", rule: "connector-inrush-high", find: onCapacitors(change{"make_A": nil})},
		{kind: "an anti-spark plug for smaller capacitors", rule: "connector-first-mate-short", find: onCapacitors(change{
			"first_mate": map[string]any{"resistance_Ohm": 100.0, "lead_mm": 5.0},
		})},
		{kind: "an anti-spark plug of much resistance", rule: "connector-first-mate-short", find: onCapacitors(change{
			"first_mate": map[string]any{"resistance_Ohm": 1000.0, "lead_mm": 8.0},
		})},
		{kind: "the pack's plug for the lamps too", rule: "connector-mixed-up", find: likePlugs},
		{kind: "two plugs whose halves are alike", rule: "connector-mixed-up", find: alikePlugs},
		{kind: "a plug for fewer matings", rule: "connector-worn", find: plugged(onePole,
			change{"mating_cycles": 100.0}, change{"mating_cycles": 50.0}, change{"mating_cycles": 20.0})},
		{kind: "a plug that is parted each day", rule: "connector-worn", find: plugged(onePole, change{"matings_per_year": 300.0})},
	}
}

// onCapacitors puts a plug in the place of the isolator, before a converter of ever
// larger capacitors.
func onCapacitors(wrong change) func(*oracle.Vehicle) []fault {
	return func(v *oracle.Vehicle) []fault {
		step, converter := inPlace(v, wrong), firstOf(v, "converters")
		if step == nil || converter == "" {
			return nil
		}
		var steps []change
		for _, uF := range []float64{100, 220, 470, 1000, 2200} {
			path := "converters." + converter + ".input.capacitance_uF"
			if uF >= v.Number(path, 0) {
				steps = append(steps, merge(step, change{path: uF}))
			}
		}
		return only(len(steps) > 0, "pack_plug", steps...)
	}
}

// lampPlug puts a plug into both leads of a lamp of the low-voltage network.
func lampPlug(v *oracle.Vehicle, wrong change) change {
	for _, id := range v.IDs("loads") {
		pos, neg := onlyWire(v, id+".pos"), onlyWire(v, id+".neg")
		if v.Number("loads."+id+".at_V", 99) > 20 || pos == "" || neg == "" {
			continue
		}
		small := map[string]any{"carry_A": 20.0, "at_size": "2.5 mm2", "rated_V_dc": 150.0}
		return merge(
			plugInto(v, pos, id+".pos", "lamp_plug", 1, false), plugInto(v, neg, id+".neg", "lamp_plug", 2, false),
			change{"connectors.lamp_plug": batteryPlug(2, merge(change{"use": "harness", "contacts": []any{small, small}}, wrong))})
	}
	return nil
}

// lamps makes faults of a plug before a lamp.
func lamps(wrong change) func(*oracle.Vehicle) []fault {
	return func(v *oracle.Vehicle) []fault {
		step := lampPlug(v, wrong)
		return only(step != nil, "lamp_plug", step)
	}
}

// socketed makes faults of the socket for a charger that is plugged in: of the one that
// is there, or of one that suits it.
func socketed(wrong ...change) func(*oracle.Vehicle) []fault {
	return func(v *oracle.Vehicle) []fault {
		charger := firstOf(v, "chargers")
		if charger == "" || !v.True("chargers."+charger+".pluggable") {
			return nil
		}
		subject, step := "socket", change{}
		for _, id := range v.IDs("connectors") {
			if v.Text("connectors."+id+".use") == "inlet" {
				subject = id
			}
		}
		pos, neg := onlyWire(v, charger+".pos"), onlyWire(v, charger+".neg")
		switch {
		case v.Kind(subject) == "connectors":
		case pos == "" || neg == "":
			return nil
		default:
			step = merge(plugInto(v, pos, charger+".pos", subject, 1, true), plugInto(v, neg, charger+".neg", subject, 2, true))
		}
		var steps []change
		for _, w := range wrong {
			socket := change{"use": "inlet", "mating_cycles": 5000.0, "family": "CH-9"}
			steps = append(steps, merge(step, change{"connectors." + subject: batteryPlug(2, merge(socket, w))}))
		}
		return only(true, subject, steps...)
	}
}

// smallContacts are two contacts of a current.
func smallContacts(amps float64) change {
	contact := map[string]any{"carry_A": amps, "at_size": "4 mm2", "rated_V_dc": 150.0}
	return change{"contacts": []any{contact, contact}}
}

// sideBySide leads a pack's current through three contacts, of which each carries less
// when the others are loaded as well.
func sideBySide(v *oracle.Vehicle) []fault {
	main := onlyWire(v, "isolator.a")
	step := onePole(v, nil)
	if step == nil {
		return nil
	}
	size := v.Text("wires." + main + ".size")
	for _, half := range []string{"a", "b"} {
		for _, other := range []string{"2", "3"} {
			step["wires.plug_"+half+other] = wire("pack_plug."+half+"1", "pack_plug."+half+other, size, 0.05)
		}
	}
	var steps []change
	for _, amps := range []float64{100, 80, 60, 50, 40, 30, 25, 20} {
		contact := map[string]any{"carry_A": amps, "at_size": "120 mm2", "rated_V_dc": 150.0}
		steps = append(steps, merge(step, change{"connectors.pack_plug": batteryPlug(3, change{
			"contacts": []any{contact, contact, contact},
			"derating": []any{map[string]any{"loaded": 2.0, "percent": 70.0}, map[string]any{"loaded": 3.0, "percent": 50.0}},
			"max_C":    105.0,
		})}))
	}
	return only(true, "pack_plug", steps...)
}

// uselessPilot puts a plug into the positive lead whose pilot contact is in the lead of a
// lamp, where it keeps nothing from being parted under load.
func uselessPilot(v *oracle.Vehicle) []fault {
	step := onePole(v, nil)
	for _, id := range v.IDs("loads") {
		pos := onlyWire(v, id+".pos")
		if step == nil || pos == "" {
			continue
		}
		power := map[string]any{"carry_A": 400.0, "at_size": "120 mm2", "rated_V_dc": 150.0}
		small := map[string]any{"carry_A": 5.0, "at_size": "2.5 mm2", "rated_V_dc": 150.0, "mates": "last"}
		return only(true, "pack_plug", merge(step, plugInto(v, pos, id+".pos", "pack_plug", 2, false), change{"connectors.pack_plug": batteryPlug(2, change{
			"breaks": "none", "contacts": []any{power, small}, "pilot": map[string]any{"contacts": []any{2.0}, "lead_mm": 20.0},
		})}))
	}
	return nil
}

// likePlugs gives a lamp a plug into which that of the pack fits.
func likePlugs(v *oracle.Vehicle) []fault {
	pack, lamp := twoPoles(v, nil), lampPlug(v, nil)
	if pack == nil || lamp == nil {
		return nil
	}
	return []fault{{subject: "lamp_plug", steps: []change{merge(pack, lamp)}}}
}

// alikePlugs puts two plugs of one housing in, which fit each other whichever way.
func alikePlugs(v *oracle.Vehicle) []fault {
	alike := change{"genderless": true, "key": nil}
	pack, lamp := twoPoles(v, alike), lampPlug(v, alike)
	if pack == nil || lamp == nil {
		return nil
	}
	return []fault{{subject: "lamp_plug", steps: []change{merge(pack, lamp)}}}
}
