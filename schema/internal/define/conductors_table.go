// Code generated from conductors.cue by go test ./schema/internal/define -update; DO NOT EDIT.

package define

import "example.org/headroom/schema/internal/source"

var definitionBlock = Definition{Name: "#Block", Kinds: 1 << source.ObjectKind, Fields: []*Field{
	{Name: "ways", Need: MustGive, Doc: "Its ways, by name: each is a terminal, a stud or a clamp.", Value: &Definition{Kinds: 1 << source.ObjectKind, Keys: &definitionId, Element: &definitionWay}},
	{Name: "rated_A", Need: MayGive, Doc: "Rated current of its bar, A: the sum of what flows into it. Where to find it: on the block, or \"total\".", Value: &definitionAmpere},
	{Name: "rated_V_dc", Need: MayGive, Doc: "Rated DC voltage of its base, V.", Value: &definitionWithstandVolt},
	{Name: "rated_V_ac", Need: MayGive, Doc: "Rated AC voltage, V. For the record: a figure for AC counts for nothing on a battery.", Value: &definitionWithstandVolt},
	{Name: "max_C", Need: MayGive, Doc: "Highest temperature of its base, C.", Value: &definitionCelsius},
	{Name: "clearance_mm", Need: MayGive, Doc: "Smallest distance through air to bare metal of the other pole, mm.", Value: &definitionMillimetre},
	{Name: "creepage_mm", Need: MayGive, Doc: "Smallest distance along insulation to bare metal of the other pole, mm.", Value: &definitionMillimetre},
	{Name: "rated_V", Need: MayGive, Misleading: "state whether the rating is for DC or AC: rated_V_dc or rated_V_ac", Doc: "Names that mislead.", Value: &Definition{Kinds: anyKind}},
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
	&fieldThreaded_thread,
	&fieldThreaded_torque_Nm,
	&fieldThreaded_terminals,
}}

var definitionBond = Definition{Name: "#Bond", Kinds: 1 << source.ObjectKind, Fields: []*Field{
	{Name: "of", Need: MustGive, Doc: "Id of the part or panel that is bonded.", Value: &definitionId},
	{Name: "to", Need: MustGive, Doc: "What it is bonded to: \"chassis\", or the id of a part or panel.", Value: &definitionId},
	{Name: "resistance_Ohm", Need: MayGive, Doc: "Resistance as measured or required, Ohm.", Value: &definitionOhm},
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

var definitionBusbar = Definition{Name: "#Busbar", Kinds: 1 << source.ObjectKind, Fields: []*Field{
	{Name: "width_mm", Need: MustGive, Doc: "Width: the longer side of its section, mm.", Value: &definitionMillimetre},
	{Name: "thickness_mm", Need: MustGive, Doc: "Thickness: the shorter side of its section, mm.", Value: &definitionMillimetre},
	{Name: "length_mm", Need: MustGive, Doc: "Length, mm.", Value: &definitionMillimetre},
	{Name: "material", Need: HasDefault, Doc: "Metal.", Value: &Definition{Kinds: 1 << source.TextKind, Allowed: []string{"aluminium", "copper"}, Fallback: "copper"}},
	{Name: "finish", Need: HasDefault, Doc: "Surface: a painted bar sheds more heat.", Value: &Definition{Kinds: 1 << source.TextKind, Allowed: []string{"bare", "painted"}, Fallback: "bare"}},
	{Name: "spacing_mm", Need: MayGive, Doc: "Distance to the bar of the other pole, centre to centre, mm.", Value: &definitionMillimetre},
	{Name: "clearance_mm", Need: MayGive, Doc: "Smallest distance through air to bare metal of the other pole, mm.", Value: &definitionMillimetre},
	{Name: "creepage_mm", Need: MayGive, Doc: "Smallest distance along its supports to bare metal of the other pole, mm.", Value: &definitionMillimetre},
	{Name: "hole_mm", Need: MayGive, Doc: "Diameter of its bolt holes, mm, if they are not those for its thread.", Value: &definitionMillimetre},
	{Name: "overlap_mm", Need: MayGive, Doc: "Overlap with the next bar in a joint, mm.", Value: &definitionMillimetre},
	{Name: "rated_V", Need: MayGive, Doc: "Rated voltage of its supports or insulation, V.", Value: &definitionWithstandVolt},
	&fieldConductor_from,
	&fieldConductor_to,
	&fieldConductor_enclosed,
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
	&fieldThreaded_thread,
	&fieldThreaded_torque_Nm,
	&fieldThreaded_terminals,
}}

var definitionConductor = Definition{Name: "#Conductor", Kinds: 1 << source.ObjectKind, Fields: []*Field{
	&fieldConductor_from,
	&fieldConductor_to,
	&fieldConductor_enclosed,
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

var fieldConductor_from = Field{Name: "from", Need: MustGive, Doc: "Terminal at one end, as part.terminal.", Value: &definitionTerminal}

var fieldConductor_to = Field{Name: "to", Need: MustGive, Doc: "Terminal at the other end.", Value: &definitionTerminal}

var fieldConductor_enclosed = Field{Name: "enclosed", Need: HasDefault, Doc: "Runs inside an enclosure.", Value: &Definition{Kinds: 1 << source.BoolKind, Fallback: false}}

var definitionStud = Definition{Name: "#Stud", Kinds: 1 << source.ObjectKind, Fields: []*Field{
	{Name: "material", Need: MayGive, Doc: "Metal of the stud.", Value: &Definition{Kinds: 1 << source.TextKind, Allowed: []string{"brass", "copper", "stainless steel", "steel"}}},
	{Name: "rated_A", Need: MayGive, Doc: "Rated current, A.", Value: &definitionAmpere},
	{Name: "clearance_mm", Need: MayGive, Doc: "Smallest distance through air to bare metal of the other pole, mm.", Value: &definitionMillimetre},
	{Name: "creepage_mm", Need: MayGive, Doc: "Smallest distance along insulation to bare metal of the other pole, mm.", Value: &definitionMillimetre},
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
	&fieldThreaded_thread,
	&fieldThreaded_torque_Nm,
	&fieldThreaded_terminals,
}}

var definitionWay = Definition{Name: "#Way", Kinds: 1 << source.ObjectKind, Fields: []*Field{
	{Name: "rated_A", Need: MayGive, Doc: "Rated current, A.", Value: &definitionAmpere},
	{Name: "clamp", Need: MayGive, Doc: "Sizes of conductor that its clamp holds, smallest and largest; none for a stud.", Value: &Definition{Kinds: 1 << source.ObjectKind, Fields: []*Field{
		{Name: "min", Need: MustGive, Doc: "The smallest size. Where to find it: \"connecting capacity\" or \"cross-section\".", Value: &definitionWireSize},
		{Name: "max", Need: MustGive, Doc: "The largest size.", Value: &definitionWireSize},
		{Name: "wires", Need: HasDefault, Doc: "Conductors that one clamp may hold.", Value: &Definition{Kinds: 1 << source.NumberKind, Integer: true, Low: bound{value: 1, set: true}, High: bound{value: 20, set: true}, Fallback: float64(1)}},
	}}},
}}

var definitionWire = Definition{Name: "#Wire", Kinds: 1 << source.ObjectKind, Fields: []*Field{
	{Name: "size", Need: MustGive, Doc: "Size with its unit: \"70 mm2\", \"2/0 AWG\", or \"2/0 SAE\" for vehicle cable, which has 3 to 11 % less copper than the same number in AWG.", Value: &definitionWireSize},
	{Name: "length_m", Need: MustGive, Doc: "Length from terminal to terminal, one way, m. The return is a wire of its own.", Value: &definitionMetre},
	{Name: "insulation", Need: HasDefault, Doc: "The insulation.", Value: &Definition{Kinds: 1 << source.ObjectKind, Fields: []*Field{
		{Name: "max_C", Need: MayGive, Doc: "Highest conductor temperature, C. Where to find it: printed on the cable.", Value: &definitionCelsius},
		{Name: "rated_V", Need: MayGive, Doc: "Rated voltage, V.", Value: &definitionWithstandVolt},
		{Name: "material", Need: MayGive, Doc: "What it is made of.", Value: &Definition{Kinds: 1 << source.TextKind, Allowed: []string{"EPR", "PVC", "XLPE", "silicone"}}},
		{Name: "short_time_C", Need: MayGive, Doc: "Highest conductor temperature in a short circuit of 5 s at most, C.", Value: &definitionCelsius},
	}}},
	{Name: "colour", Need: MayGive, Doc: "Colour of the insulation.", Value: &definitionText},
	{Name: "sheathed", Need: HasDefault, Doc: "In a sheath, conduit or loom of its own.", Value: &Definition{Kinds: 1 << source.BoolKind, Fallback: false}},
	{Name: "bundle", Need: MayGive, Doc: "Name of the bundle it runs in, shared by all its wires.", Value: &definitionText},
	{Name: "tinned", Need: HasDefault, Doc: "Strands are tinned.", Value: &Definition{Kinds: 1 << source.BoolKind, Fallback: false}},
	{Name: "lug_hole_mm", Need: MayGive, Doc: "Hole diameter of its lugs, mm.", Value: &definitionMillimetre},
	{Name: "lug_hole_from_mm", Need: MayGive, Doc: "Hole of the lug at its end \"from\", mm, if the two differ.", Value: &definitionMillimetre},
	{Name: "lug_hole_to_mm", Need: MayGive, Doc: "Hole of the lug at its end \"to\", mm, if the two differ.", Value: &definitionMillimetre},
	{Name: "area_mm2", Need: MayGive, Misleading: "give size with its unit, such as size: \"70 mm2\"", Doc: "Names that mislead.", Value: &Definition{Kinds: anyKind}},
	{Name: "size_mm2", Need: MayGive, Misleading: "give size with its unit, such as size: \"70 mm2\"", Doc: "", Value: &Definition{Kinds: anyKind}},
	{Name: "length_mm", Need: MayGive, Misleading: "give length_m, in metres, terminal to terminal, one way", Doc: "", Value: &Definition{Kinds: anyKind}},
	&fieldConductor_from,
	&fieldConductor_to,
	&fieldConductor_enclosed,
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

var definitionWireSize = Definition{Name: "#WireSize", Kinds: 1 << source.TextKind, Form: &Form{expression: `^((0[.](35|5|75)|1[.](25|5)|2[.]5|[1-6]|8|10|12|16|20|25|30|35|40|50|60|70|95|120|150|185|240) mm2|([1-9]|[12][0-9]|30|[1-4]/0) AWG|(1|2|4|6|8|10|12|14|16|18|[1-4]/0) SAE)$`}}
