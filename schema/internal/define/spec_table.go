// Code generated from spec.cue by go test ./schema/internal/define -update; DO NOT EDIT.

package define

import "example.org/headroom/schema/internal/source"

var definitionSpec = Definition{Name: "#Spec", Kinds: 1 << source.ObjectKind, Fields: []*Field{
	{Name: "headroom", Need: MustGive, Doc: "Format version. A file without this field is not a specification.", Value: &Definition{Kinds: 1 << source.NumberKind, Counts: []float64{1}}},
	{Name: "vehicle", Need: MustGive, Doc: "What is true of the vehicle as a whole.", Value: &definitionVehicle},
	{Name: "zones", Need: MayGive, Doc: "Places in the vehicle that are hotter than the air around it.", Value: &Definition{Kinds: 1 << source.ObjectKind, Keys: &definitionId, Element: &definitionZone}},
	{Name: "batteries", Need: MayGive, Doc: "Traction packs and auxiliary batteries. Terminals: pos, neg, charge (of a charge port of its own).", Value: &Definition{Kinds: 1 << source.ObjectKind, Keys: &definitionId, Element: &definitionBattery}},
	{Name: "fuses", Need: MayGive, Doc: "Fuse-links with their holders. Terminals: a, b.", Value: &Definition{Kinds: 1 << source.ObjectKind, Keys: &definitionId, Element: &definitionFuse}},
	{Name: "breakers", Need: MayGive, Doc: "Circuit breakers. Terminals: a, b (a towards the battery), with two poles also a2, b2.", Value: &Definition{Kinds: 1 << source.ObjectKind, Keys: &definitionId, Element: &definitionBreaker}},
	{Name: "disconnects", Need: MayGive, Doc: "Hand-operated service disconnects. Terminals: a, b (a towards the battery), with two poles also a2, b2.", Value: &Definition{Kinds: 1 << source.ObjectKind, Keys: &definitionId, Element: &definitionDisconnect}},
	{Name: "contactors", Need: MayGive, Doc: "Coil-operated power contacts, normally open. Terminals: a, b (a towards the battery), coil_pos, coil_neg.", Value: &Definition{Kinds: 1 << source.ObjectKind, Keys: &definitionId, Element: &definitionContactor}},
	{Name: "relays", Need: MayGive, Doc: "Coil-operated switches for smaller currents. Terminals: common, no and nc by their form, coil_pos, coil_neg.", Value: &Definition{Kinds: 1 << source.ObjectKind, Keys: &definitionId, Element: &definitionRelay}},
	{Name: "timers", Need: MayGive, Doc: "Time relays. Terminals: pos, neg, common, no.", Value: &Definition{Kinds: 1 << source.ObjectKind, Keys: &definitionId, Element: &definitionTimer}},
	{Name: "cutouts", Need: MayGive, Doc: "Thermal cut-outs: contacts that heat opens. Terminals: a, b.", Value: &Definition{Kinds: 1 << source.ObjectKind, Keys: &definitionId, Element: &definitionCutout}},
	{Name: "resistors", Need: MayGive, Doc: "Power resistors, the pre-charge resistor among them. Terminals: a, b.", Value: &Definition{Kinds: 1 << source.ObjectKind, Keys: &definitionId, Element: &definitionResistor}},
	{Name: "shunts", Need: MayGive, Doc: "Measuring shunts. Terminals: a, b (a towards the battery), sense_a, sense_b.", Value: &Definition{Kinds: 1 << source.ObjectKind, Keys: &definitionId, Element: &definitionShunt}},
	{Name: "meters", Need: MayGive, Doc: "Instruments. Terminals: pos, neg, sense_a, sense_b.", Value: &Definition{Kinds: 1 << source.ObjectKind, Keys: &definitionId, Element: &definitionMeter}},
	{Name: "switches", Need: MayGive, Doc: "Hand-operated switches. A pole named p has the terminals p_a and p_b.", Value: &Definition{Kinds: 1 << source.ObjectKind, Keys: &definitionId, Element: &definitionSwitch}},
	{Name: "converters", Need: MayGive, Doc: "DC-DC converters. Terminals: in_pos, in_neg, out_pos, out_neg, enable.", Value: &Definition{Kinds: 1 << source.ObjectKind, Keys: &definitionId, Element: &definitionConverter}},
	{Name: "chargers", Need: MayGive, Doc: "Battery chargers. Terminals: pos, neg.", Value: &Definition{Kinds: 1 << source.ObjectKind, Keys: &definitionId, Element: &definitionCharger}},
	{Name: "solar", Need: MayGive, Doc: "Solar modules with their regulator. Terminals: pos, neg (of the regulator's output).", Value: &Definition{Kinds: 1 << source.ObjectKind, Keys: &definitionId, Element: &definitionSolar}},
	{Name: "connectors", Need: MayGive, Doc: "Plugs with their sockets. Terminals: a1, b1, a2, b2 and so on (a towards the source), inhibit_a, inhibit_b.", Value: &Definition{Kinds: 1 << source.ObjectKind, Keys: &definitionId, Element: &definitionConnector}},
	{Name: "controllers", Need: MayGive, Doc: "Motor controllers. Terminals: pos, neg, enable, coil_out, u, v, w.", Value: &Definition{Kinds: 1 << source.ObjectKind, Keys: &definitionId, Element: &definitionController}},
	{Name: "motors", Need: MayGive, Doc: "Traction motors. Terminals: u, v, w, of a brushed one u, v.", Value: &Definition{Kinds: 1 << source.ObjectKind, Keys: &definitionId, Element: &definitionMotor}},
	{Name: "loads", Need: MayGive, Doc: "Consumers such as lamps, horns and pumps. Terminals: pos, neg.", Value: &Definition{Kinds: 1 << source.ObjectKind, Keys: &definitionId, Element: &definitionLoad}},
	{Name: "diodes", Need: MayGive, Doc: "Diodes that are parts of their own. Terminals: anode, cathode.", Value: &Definition{Kinds: 1 << source.ObjectKind, Keys: &definitionId, Element: &definitionDiode}},
	{Name: "studs", Need: MayGive, Doc: "Studs and terminal blocks on which several lugs meet. Terminal: stud.", Value: &Definition{Kinds: 1 << source.ObjectKind, Keys: &definitionId, Element: &definitionStud}},
	{Name: "blocks", Need: MayGive, Doc: "Distribution blocks and terminal bars. Terminals: their ways, by name.", Value: &Definition{Kinds: 1 << source.ObjectKind, Keys: &definitionId, Element: &definitionBlock}},
	{Name: "wires", Need: MayGive, Doc: "Insulated cables.", Value: &Definition{Kinds: 1 << source.ObjectKind, Keys: &definitionId, Element: &definitionWire}},
	{Name: "busbars", Need: MayGive, Doc: "Flat metal bars.", Value: &Definition{Kinds: 1 << source.ObjectKind, Keys: &definitionId, Element: &definitionBusbar}},
	{Name: "bonds", Need: MayGive, Doc: "Equipotential bonding of exposed metal parts.", Value: &Definition{Kinds: 1 << source.ObjectKind, Keys: &definitionId, Element: &definitionBond}},
	{Name: "panels", Need: MayGive, Doc: "Mounting plates and the parts on them.", Value: &Definition{Kinds: 1 << source.ObjectKind, Keys: &definitionId, Element: &definitionPanel}},
	{Name: "modes", Need: MayGive, Doc: "States of use: what is closed, what is on, what is drawn, for how long.", Value: &Definition{Kinds: 1 << source.ObjectKind, Keys: &definitionId, Element: &definitionMode}},
	{Name: "cycle", Need: MayGive, Doc: "The drive cycle that repeats: its modes in order, each with its duration. Thermal checks of the traction circuit use it.", Value: &Definition{Kinds: 1 << source.ListKind, Element: &definitionCycleStep}},
	{Name: "waivers", Need: MayGive, Doc: "Findings that are accepted for a time. Shared ones are listed by reference: waivers: [shared.relay_sheet].", Value: &Definition{Kinds: 1 << source.ListKind, Element: &definitionWaiver}},
	{Name: "policy", Need: HasDefault, Doc: "Required headrooms, levels, limits and the defaults used where a datasheet is silent.", Value: &definitionPolicy},
}}
