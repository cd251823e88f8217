// Code generated from solar.cue by go test ./schema/internal/define -update; DO NOT EDIT.

package define

import "example.org/headroom/schema/internal/source"

var definitionSolar = Definition{Name: "#Solar", Kinds: 1 << source.ObjectKind, Fields: []*Field{
	{Name: "Voc_V", Need: MustGive, Doc: "Open-circuit voltage of one module, V. Where to find it: \"Voc\" at standard test conditions, 25 C.", Value: &definitionVolt},
	{Name: "Isc_A", Need: MustGive, Doc: "Short-circuit current of one module, A. Where to find it: \"Isc\".", Value: &definitionAmpere},
	{Name: "percent_per_K", Need: MayGive, Doc: "How the open-circuit voltage follows the temperature, percent per K, negative: -0.30. Where to find it: \"temperature coefficient of Voc\"; where that is in mV/K, divide it by ten times Voc_V.", Value: &Definition{Kinds: 1 << source.NumberKind, Low: bound{value: -1, set: true}, High: bound{value: 0, set: true}}},
	{Name: "in_series", Need: HasDefault, Doc: "Modules in series.", Value: &Definition{Kinds: 1 << source.NumberKind, Integer: true, Low: bound{value: 1, set: true}, High: bound{value: 100, set: true}, Fallback: float64(1)}},
	{Name: "in_parallel", Need: HasDefault, Doc: "Strings of modules in parallel.", Value: &Definition{Kinds: 1 << source.NumberKind, Integer: true, Low: bound{value: 1, set: true}, High: bound{value: 100, set: true}, Fallback: float64(1)}},
	{Name: "string_fuse_A", Need: MayGive, Doc: "Rating of the fuse in each string, A, if there is one.", Value: &definitionAmpere},
	{Name: "max_series_fuse_A", Need: MayGive, Doc: "Largest fuse that a module withstands current from its neighbours with, A. Where to find it: \"maximum series fuse\".", Value: &definitionAmpere},
	{Name: "regulator", Need: MustGive, Doc: "What stands between modules and battery.", Value: &Definition{Kinds: 1 << source.ObjectKind, Fields: []*Field{
		{Name: "max_pv_V", Need: MustGive, Doc: "Highest voltage that it withstands at its input, V. Where to find it: \"maximum PV voltage\".", Value: &definitionVolt},
		{Name: "output_V", Need: MustGive, Doc: "Voltage that it charges to, V, as set.", Value: &definitionVolt},
		{Name: "max_A", Need: MustGive, Doc: "Highest output current, A. Where to find it: \"rated charge current\".", Value: &definitionAmpere},
		{Name: "without_battery_V", Need: MayGive, Doc: "Voltage at its output when the battery is cut off and the sun shines, V. Where to find it: \"operation without battery\"; where nothing is said it may be that of the modules.", Value: &definitionVolt},
		{Name: "tolerance_percent", Need: MayGive, Doc: "How far the output voltage may be from that set, percent.", Value: &Definition{Kinds: 1 << source.NumberKind, Low: bound{value: 0, set: true}, High: bound{value: 20, set: true}}},
		{Name: "compensation_mV_per_K", Need: MayGive, Doc: "How the output voltage follows the temperature of the battery, from 25 C, mV per K for the whole output.", Value: &Definition{Kinds: 1 << source.NumberKind, Low: bound{value: -200, set: true}, High: bound{value: 0, set: true}}},
	}}},
	{Name: "cable", Need: MayGive, Doc: "The lead from the modules to the regulator.", Value: &Definition{Kinds: 1 << source.ObjectKind, Fields: []*Field{
		{Name: "size", Need: MustGive, Doc: "Conductor size, such as \"4 mm2\".", Value: &definitionWireSize},
		{Name: "max_C", Need: MayGive, Doc: "Temperature limit of its insulation, C.", Value: &definitionCelsius},
		{Name: "rated_V", Need: MayGive, Doc: "Rated voltage of its insulation, V DC.", Value: &definitionWithstandVolt},
	}}},
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
