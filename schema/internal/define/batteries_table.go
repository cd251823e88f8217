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
	{Name: "charge_max_A", Need: MayGive, Doc: "Highest continuous charging current, regeneration included, A.", Value: &definitionAmpere},
	{Name: "charge_peak_A", Need: MayGive, Doc: "Highest charging current for a short time, such as while braking, A. Where to find it: \"peak regeneration\", \"pulse charge current\".", Value: &definitionAmpere},
	{Name: "charge_peak_s", Need: MayGive, Doc: "How long that may last, s.", Value: &definitionSecond},
	{Name: "charge_min_C", Need: MayGive, Doc: "Lowest temperature at which it may be charged, C: of its cells, or of the air that its own heating copes with. Where to find it: \"charging temperature\". Unstated it is 0 C for LFP, NMC, NCA and LCO, -20 C for LTO and -15 C for lead-acid.", Value: &definitionCelsius},
	{Name: "cells_min_C", Need: MayGive, Doc: "Lowest temperature of its cells in use, C, where heating or insulation keeps them warmer than the air.", Value: &definitionCelsius},
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
	{Name: "lead_acid", Need: MayGive, Doc: "How a lead-acid battery holds its acid: \"flooded\" (with caps or vents to refill it), \"AGM\" (absorbed in glass mat) or \"gel\". The last two are sealed and lose water for good where they are charged too high in the heat.", Value: &Definition{Kinds: 1 << source.TextKind, Allowed: []string{"AGM", "flooded", "gel"}, meanings: []meaning{
		{"flooded", "with caps or vents to refill it"},
		{"AGM", "absorbed in glass mat"},
	}}},
	{Name: "series", Need: MayGive, Doc: "Number of cells, or parallel groups of cells, in series.", Value: &Definition{Kinds: 1 << source.NumberKind, Integer: true, Low: bound{value: 1, set: true}, High: bound{value: 500, set: true}}},
	{Name: "internal_fuse_A", Need: MayGive, Doc: "Rating of a fuse inside the pack, A.", Value: &definitionAmpere},
	{Name: "internal_fuse_breaking_A", Need: MayGive, Doc: "DC breaking capacity of that fuse at the battery's highest voltage, A. Where to find it: the data sheet of the fuse in the pack, not that of the pack's cut-off.", Value: &definitionFaultAmpere},
	{Name: "connect_within_V", Need: MayGive, Doc: "Largest voltage difference at which it may be connected in parallel with another battery, V. Give it if the procedure says so.", Value: &definitionVolt},
	{Name: "cutoff", Need: MayGive, Doc: "The battery's own cut-off against overcurrent.", Value: &Definition{Kinds: 1 << source.ObjectKind, Fields: []*Field{
		{Name: "trip_A", Need: MustGive, Doc: "Current at which it trips, A.", Value: &definitionAmpere},
		{Name: "trip_s", Need: MustGive, Doc: "Time after which it trips at that current, s.", Value: &definitionSecond},
		{Name: "by", Need: MustGive, Doc: "What opens: \"contacts\" of a contactor, or a \"semiconductor\".", Value: &Definition{Kinds: 1 << source.TextKind, Allowed: []string{"contacts", "semiconductor"}}},
	}}},
	{Name: "bms", Need: MayGive, Doc: "The transistors in the pack that switch it off: what a battery management system does by itself.", Value: &definitionBatterySwitch},
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

var definitionBatterySwitch = Definition{Name: "#BatterySwitch", Kinds: 1 << source.ObjectKind, Fields: []*Field{
	{Name: "discharge_A", Need: MayGive, Doc: "Highest continuous current out of the battery, A. Where to find it: \"continuous discharge current\" of the battery management system, not of the cells.", Value: &definitionAmpere},
	{Name: "charge_A", Need: MayGive, Doc: "Highest continuous current into it, A. Where to find it: \"charge current\".", Value: &definitionAmpere},
	{Name: "peak", Need: MayGive, Doc: "Highest current out of it for a time, A, and that time, s.", Value: &Definition{Kinds: 1 << source.ObjectKind, Fields: []*Field{
		{Name: "A", Need: MustGive, Doc: "Current, A.", Value: &definitionAmpere},
		{Name: "s", Need: MustGive, Doc: "Time, s.", Value: &definitionSecond},
	}}},
	{Name: "short_trip_A", Need: MayGive, Doc: "Current at which it switches off at once, A. Where to find it: \"short circuit protection\".", Value: &definitionFaultAmpere},
	{Name: "short_trip_us", Need: MayGive, Doc: "Time that this takes, us. Where to find it: \"short circuit delay\".", Value: &Definition{Kinds: 1 << source.NumberKind, Low: bound{value: 0, open: true, set: true}, High: bound{value: 1e+06, set: true}}},
	{Name: "break", Need: MayGive, Doc: "What it withstands when it switches off. Where to find it: \"drain-source voltage\" and \"clamp\" or \"avalanche energy\" of all transistors together.", Value: &Definition{Kinds: 1 << source.ObjectKind, Fields: []*Field{
		{Name: "V", Need: MustGive, Doc: "Highest voltage over the open switch, V.", Value: &definitionVolt},
		{Name: "J", Need: MayGive, Doc: "Energy that it or its clamp takes at once, J.", Value: &definitionJoule},
	}}},
	{Name: "port", Need: HasDefault, Doc: "\"common\": charger and vehicle hang on the same two terminals. \"separate\": the charger has the terminal charge, past the transistors of discharge.", Value: &Definition{Kinds: 1 << source.TextKind, Allowed: []string{"common", "separate"}, Fallback: "common"}},
	{Name: "side", Need: HasDefault, Doc: "Pole in which the transistors are. Where to find it: P- and C- are \"negative\", which is usual.", Value: &Definition{Kinds: 1 << source.TextKind, Allowed: []string{"negative", "positive"}, Fallback: "negative"}},
	{Name: "on_mOhm", Need: MayGive, Doc: "Resistance when on, mOhm, both directions together.", Value: &definitionMilliohm},
	{Name: "diode_V", Need: MayGive, Doc: "Forward voltage of the body diode of transistors that are off, V.", Value: &Definition{Kinds: 1 << source.NumberKind, Low: bound{value: 0, open: true, set: true}, High: bound{value: 10, set: true}}},
	{Name: "diode_A", Need: MayGive, Doc: "Current that the body diodes withstand for good, A. Where to find it: \"continuous source current\", for the cooling that there is.", Value: &definitionAmpere},
	{Name: "low_V", Need: MayGive, Doc: "Voltage of the battery at which it switches off, V.", Value: &definitionVolt},
	{Name: "reconnect_V", Need: MayGive, Doc: "Voltage of the battery at which it switches on again, V.", Value: &definitionVolt},
	{Name: "wake", Need: MayGive, Doc: "What wakes it after that: \"charger\" (a voltage at its charge terminals), \"button\" or \"load-off\" (that the load is taken off).", Value: &Definition{Kinds: 1 << source.TextKind, Allowed: []string{"button", "charger", "load-off"}, meanings: []meaning{
		{"charger", "a voltage at its charge terminals"},
		{"load-off", "that the load is taken off"},
	}}},
	{Name: "precharge", Need: MayGive, Doc: "Its own pre-charge.", Value: &Definition{Kinds: 1 << source.ObjectKind, Fields: []*Field{
		{Name: "ohm", Need: MustGive, Doc: "Resistance, Ohm.", Value: &definitionOhm},
		{Name: "uF_max", Need: MustGive, Doc: "Largest capacitance that it charges, uF.", Value: &definitionMicrofarad},
		{Name: "s", Need: MustGive, Doc: "How long it lasts, s.", Value: &definitionSecond},
	}}},
	{Name: "off_uA", Need: MayGive, Doc: "Current that leaks through it when it is off, uA.", Value: &Definition{Kinds: 1 << source.NumberKind, Low: bound{value: 0, set: true}, High: bound{value: 1e+06, set: true}}},
}}
