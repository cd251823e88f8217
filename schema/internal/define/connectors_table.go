// Code generated from connectors.cue by go test ./schema/internal/define -update; DO NOT EDIT.

package define

import "example.org/headroom/schema/internal/source"

var definitionConnector = Definition{Name: "#Connector", Kinds: 1 << source.ObjectKind, Fields: []*Field{
	{Name: "use", Need: HasDefault, Doc: "What it is for: \"battery\" (between a pack and the vehicle), \"inlet\" (for a charger; a is the half on the charger's cable, b the one in the vehicle) or \"harness\" (between modules).", Value: &Definition{Kinds: 1 << source.TextKind, Allowed: []string{"battery", "harness", "inlet"}, Fallback: "harness", meanings: []meaning{
		{"battery", "between a pack and the vehicle"},
		{"inlet", "for a charger; a is the half on the charger's cable, b the one in the vehicle"},
		{"harness", "between modules"},
	}}},
	{Name: "contacts", Need: MustGive, Doc: "Its contacts in order: the first has the terminals a1 and b1.", Value: &Definition{Kinds: 1 << source.ListKind, Filled: true, Element: &definitionPlugContact}},
	{Name: "max_C", Need: MayGive, Doc: "Temperature limit of contacts and housing, C. Where to find it: the upper end of \"operating temperature\", own heating included.", Value: &definitionCelsius},
	{Name: "rated_at_C", Need: MayGive, Doc: "Temperature of the air at which carry_A holds, C. Where to find it: beside the rated current, or where the derating curve begins to fall.", Value: &definitionCelsius},
	{Name: "derating", Need: MayGive, Doc: "What is left of carry_A with several contacts loaded, percent. Where to find it: \"derating factor\", \"number of loaded positions\".", Value: &Definition{Kinds: 1 << source.ListKind, Element: &Definition{Kinds: 1 << source.ObjectKind, Fields: []*Field{
		{Name: "loaded", Need: MustGive, Doc: "Number of contacts that carry current.", Value: &Definition{Kinds: 1 << source.NumberKind, Integer: true, Low: bound{value: 1, set: true}, High: bound{value: 200, set: true}}},
		{Name: "percent", Need: MustGive, Doc: "Share of carry_A that each may carry, percent.", Value: &definitionPercent},
	}}}},
	{Name: "breaks", Need: MayGive, Doc: "\"none\": must not be parted or mated under load, as most. Or the currents that it interrupts. Where to find it: IEC 61984, \"connector with (CBC) or without (COC) breaking capacity\"; \"hot plug\" of a catalogue is one only with V, A and a number of operations.", Value: &Definition{Kinds: 1<<source.TextKind | 1<<source.ListKind, Allowed: []string{"none"}, Element: &Definition{Kinds: 1 << source.ObjectKind, Fields: []*Field{
		{Name: "V", Need: MustGive, Doc: "Voltage, V DC.", Value: &definitionVolt},
		{Name: "A", Need: MustGive, Doc: "Current, A.", Value: &definitionFaultAmpere},
		{Name: "operations", Need: MayGive, Doc: "Number of such operations in its life.", Value: &Definition{Kinds: 1 << source.NumberKind, Integer: true, Low: bound{value: 1, set: true}, High: bound{value: 1e+07, set: true}}},
	}}}},
	{Name: "make_A", Need: MayGive, Doc: "Highest current that mating may draw for a moment, A. Where to find it: \"making capacity\", \"inrush\"; of an anti-spark connector that with its resistor.", Value: &definitionFaultAmpere},
	{Name: "mating_cycles", Need: MayGive, Doc: "Mating cycles in its life. Where to find it: \"durability\", \"mechanical operations\".", Value: &Definition{Kinds: 1 << source.NumberKind, Integer: true, Low: bound{value: 1, set: true}, High: bound{value: 1e+07, set: true}}},
	{Name: "matings_per_year", Need: MayGive, Doc: "How often it is parted in a year. Unstated: 300 for an inlet, 12 else.", Value: &Definition{Kinds: 1 << source.NumberKind, Low: bound{value: 0, set: true}, High: bound{value: 100000, set: true}}},
	{Name: "unmated", Need: MayGive, Doc: "What can be touched of each half when it is parted. Where to find it: \"IPXXB\", \"touch-safe\", \"finger-proof\", of the unmated half; IP67 is often of the mated pair.", Value: &Definition{Kinds: 1 << source.ObjectKind, Fields: []*Field{
		{Name: "a", Need: MayGive, Doc: "Half on the side of the source.", Value: &definitionTouchSafe},
		{Name: "b", Need: MayGive, Doc: "Half on the side of what is fed.", Value: &definitionTouchSafe},
	}}},
	{Name: "lock", Need: MayGive, Doc: "What keeps it from being pulled: \"none\" (friction), \"latch\" (or a lever) or \"tool\".", Value: &Definition{Kinds: 1 << source.TextKind, Allowed: []string{"latch", "none", "tool"}, meanings: []meaning{
		{"none", "friction"},
		{"latch", "or a lever"},
	}}},
	{Name: "two_stage", Need: HasDefault, Doc: "A lever that opens the pilot in a first stage and parts the power in a second.", Value: &Definition{Kinds: 1 << source.BoolKind, Fallback: false}},
	{Name: "pilot", Need: MayGive, Doc: "The short contacts that part before the others.", Value: &Definition{Kinds: 1 << source.ObjectKind, Fields: []*Field{
		{Name: "contacts", Need: MustGive, Doc: "Their numbers, from 1.", Value: &Definition{Kinds: 1 << source.ListKind, Filled: true, Element: &Definition{Kinds: 1 << source.NumberKind, Integer: true, Low: bound{value: 1, set: true}, High: bound{value: 200, set: true}}}},
		{Name: "lead_mm", Need: MayGive, Doc: "How far they part before the power contacts, mm. Where to find it: \"last mate, first break\", in the drawing.", Value: &Definition{Kinds: 1 << source.NumberKind, Low: bound{value: 0, open: true, set: true}, High: bound{value: 100, set: true}}},
	}}},
	{Name: "first_mate", Need: MayGive, Doc: "A resistor on a contact that mates first, against the spark.", Value: &Definition{Kinds: 1 << source.ObjectKind, Fields: []*Field{
		{Name: "resistance_Ohm", Need: MustGive, Doc: "Its resistance, Ohm.", Value: &definitionOhm},
		{Name: "lead_mm", Need: MustGive, Doc: "How far it mates before the power contacts, mm.", Value: &Definition{Kinds: 1 << source.NumberKind, Low: bound{value: 0, open: true, set: true}, High: bound{value: 100, set: true}}},
	}}},
	{Name: "family", Need: MayGive, Doc: "What mates with what: connectors of one family and key fit into each other. Where to find it: series and size of the housing.", Value: &definitionText},
	{Name: "key", Need: MayGive, Doc: "Coding within the family: colour, key pin.", Value: &definitionText},
	{Name: "genderless", Need: HasDefault, Doc: "Both halves are alike and fit each other.", Value: &Definition{Kinds: 1 << source.BoolKind, Fallback: false}},
	{Name: "resistance_uOhm", Need: MayGive, Doc: "Resistance of one mated contact at the end of its life, uOhm. Where to find it: \"contact resistance after durability\"; when new it is about half of that.", Value: &Definition{Kinds: 1 << source.NumberKind, Low: bound{value: 1, set: true}, High: bound{value: 1e+06, set: true}}},
	{Name: "inhibit", Need: HasDefault, Doc: "An inlet with a contact of its own that is open while the plug is in. Terminals: inhibit_a, inhibit_b.", Value: &Definition{Kinds: 1 << source.BoolKind, Fallback: false}},
	{Name: "live_when_mated", Need: MayGive, Doc: "The charger feeds the pins of its cable only once it is mated.", Value: &Definition{Kinds: 1 << source.BoolKind}},
	{Name: "rated_A", Need: MayGive, Misleading: "the current depends on the wire in the contact: give carry_A and at_size for each of the contacts", Doc: "Names that mislead.", Value: &Definition{Kinds: anyKind}},
	{Name: "rated_V", Need: MayGive, Misleading: "give rated_V_dc for each of the contacts; a figure for AC counts for nothing on a battery", Doc: "", Value: &Definition{Kinds: anyKind}},
	&fieldBase_source,
	&fieldBase_notes,
	&fieldBase_label,
	&fieldBase_maker_reference,
	&fieldBase_supplier,
	&fieldBase_order_code,
	&fieldBase_quantity,
	&fieldBase_spare,
	&fieldBase_zone,
	&fieldBase_always_live,
	&fieldBase_pluggable,
	&fieldBase_terminal_max_C,
}}

var definitionPlugContact = Definition{Name: "#PlugContact", Kinds: 1 << source.ObjectKind, Fields: []*Field{
	{Name: "carry_A", Need: MayGive, Doc: "Rated current, A. Where to find it: \"rated current\", for the wire size beside it.", Value: &definitionAmpere},
	{Name: "at_size", Need: MayGive, Doc: "Wire for which that holds; a thicker one does not raise it, with a thinner one it is less, as the wire leads less of the heat away.", Value: &definitionWireSize},
	{Name: "rated_V_dc", Need: MayGive, Doc: "Rated voltage for direct current, V.", Value: &definitionVolt},
	{Name: "mates", Need: MayGive, Doc: "When it mates: \"first\" (protective earth) or \"last\" (pilot).", Value: &Definition{Kinds: 1 << source.TextKind, Allowed: []string{"first", "last"}, meanings: []meaning{
		{"first", "protective earth"},
		{"last", "pilot"},
	}}},
}}

var definitionTouchSafe = Definition{Name: "#TouchSafe", Kinds: 1 << source.TextKind, Allowed: []string{"ipxxb", "open"}}
