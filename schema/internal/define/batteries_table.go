// Code generated from batteries.cue by go test ./schema/internal/define -update; DO NOT EDIT.

package define

import "example.org/headroom/schema/internal/source"

var definitionBattery = Definition{Name: "#Battery", Kinds: 1 << source.ObjectKind, Fields: []*Field{
	{Name: "role", Need: MustGive, Doc: "What it feeds: \"traction\" (the motor controller) or \"auxiliary\" (the low-voltage network).", Value: &Definition{Kinds: 1 << source.TextKind, Allowed: []string{"auxiliary", "traction"}, meanings: []meaning{
		{"traction", "the motor controller"},
		{"auxiliary", "the low-voltage network"},
	}}},
	{Name: "min_V", Need: MustGive, Doc: "Lowest voltage in use: the discharge cut-off, V.", Value: &definitionVolt},
	{Name: "nominal_V", Need: MustGive, Doc: "Nominal voltage, V.", Value: &definitionVolt},
	{Name: "max_V", Need: MustGive, Doc: "Highest voltage: the end of charge, not the nominal figure, V.", Value: &definitionVolt},
	{Name: "resistance_mOhm", Need: MayGive, Doc: "Internal resistance of the whole battery, mOhm: a number sets the typical value; min is warm, new and full, max cold, aged and empty. Where to find it: \"DC internal resistance\"; the AC 1 kHz figure is about half of it.", Value: &Definition{Kinds: 1<<source.NumberKind | 1<<source.ObjectKind, Low: bound{value: 0, open: true, set: true}, High: bound{value: 100000, set: true}, Fields: []*Field{
		{Name: "min", Need: MayGive, Doc: "Lowest: warm, new, full, in the first milliseconds, mOhm.", Value: &definitionMilliohm},
		{Name: "typ", Need: MayGive, Doc: "Typical, mOhm.", Value: &definitionMilliohm},
		{Name: "max", Need: MayGive, Doc: "Highest: cold, aged, empty, mOhm.", Value: &definitionMilliohm},
	}}},
	{Name: "short_circuit_A", Need: MayGive, Doc: "Short-circuit current as the maker states it, A.", Value: &definitionFaultAmpere},
	{Name: "capacity_Ah", Need: MayGive, Doc: "Capacity at the usual rate, Ah.", Value: &definitionAmpereHour},
	{Name: "continuous_A", Need: MayGive, Doc: "Continuous discharge current, A.", Value: &definitionAmpere},
	{Name: "peak_A", Need: MayGive, Doc: "Peak discharge current, A.", Value: &definitionAmpere},
	{Name: "peak_s", Need: MayGive, Doc: "How long the peak may last, s.", Value: &definitionSecond},
	{Name: "charge_max_A", Need: MayGive, Doc: "Highest charging current, regeneration included, A.", Value: &definitionAmpere},
	{Name: "charge_min_C", Need: MayGive, Doc: "Lowest cell temperature at which it may be charged, C.", Value: &definitionCelsius},
	{Name: "float_A", Need: MayGive, Doc: "Charging current that it draws from a running converter, A.", Value: &Definition{Kinds: 1 << source.NumberKind, Low: bound{value: 0, set: true}, High: bound{value: 10000, set: true}}},
	{Name: "chemistry", Need: MayGive, Doc: "Cell chemistry: \"LFP\" (lithium iron phosphate, LiFePO4), \"NMC\" (lithium nickel manganese cobalt oxide), \"NCA\" (lithium nickel cobalt aluminium oxide), \"LCO\" (lithium cobalt oxide), \"LTO\" (lithium titanate), \"lead-acid\" (flooded, gel or absorbed in glass mat) or \"other\" (none of these).", Value: &Definition{Kinds: 1 << source.TextKind, Allowed: []string{"LCO", "LFP", "LTO", "NCA", "NMC", "lead-acid", "other"}, meanings: []meaning{
		{"LFP", "lithium iron phosphate, LiFePO4"},
		{"NMC", "lithium nickel manganese cobalt oxide"},
		{"NCA", "lithium nickel cobalt aluminium oxide"},
		{"LCO", "lithium cobalt oxide"},
		{"LTO", "lithium titanate"},
		{"lead-acid", "flooded, gel or absorbed in glass mat"},
		{"other", "none of these"},
	}}},
	{Name: "series", Need: MayGive, Doc: "Number of cells, or parallel groups of cells, in series.", Value: &Definition{Kinds: 1 << source.NumberKind, Integer: true, Low: bound{value: 1, set: true}, High: bound{value: 500, set: true}}},
	{Name: "internal_fuse_A", Need: MayGive, Doc: "Rating of a fuse inside the pack, A.", Value: &definitionAmpere},
	{Name: "connect_within_V", Need: MayGive, Doc: "Largest voltage difference at which it may be connected in parallel with another battery, V. Give it if the procedure says so.", Value: &definitionVolt},
	{Name: "cutoff", Need: MayGive, Doc: "The battery's own cut-off against overcurrent.", Value: &Definition{Kinds: 1 << source.ObjectKind, Fields: []*Field{
		{Name: "trip_A", Need: MustGive, Doc: "Current at which it trips, A.", Value: &definitionAmpere},
		{Name: "trip_s", Need: MustGive, Doc: "Time after which it trips at that current, s.", Value: &definitionSecond},
		{Name: "by", Need: MustGive, Doc: "What opens: \"contacts\" of a contactor, or a \"semiconductor\".", Value: &Definition{Kinds: 1 << source.TextKind, Allowed: []string{"contacts", "semiconductor"}}},
	}}},
	{Name: "voltage_V", Need: MayGive, Misleading: "a battery has three voltages: give min_V (cut-off), nominal_V and max_V (end of charge)", Doc: "Names that mislead.", Value: &Definition{Kinds: anyKind}},
	{Name: "rated_V", Need: MayGive, Misleading: "a battery has three voltages: give min_V (cut-off), nominal_V and max_V (end of charge)", Doc: "", Value: &Definition{Kinds: anyKind}},
	{Name: "rated_A", Need: MayGive, Misleading: "give continuous_A for the continuous current, and peak_A with peak_s for the peak", Doc: "", Value: &Definition{Kinds: anyKind}},
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
