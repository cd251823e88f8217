// Code generated from measuring.cue by go test ./schema/internal/define -update; DO NOT EDIT.

package define

import "example.org/headroom/schema/internal/source"

var definitionMeter = Definition{Name: "#Meter", Kinds: 1 << source.ObjectKind, Fields: []*Field{
	{Name: "shows", Need: MustGive, Doc: "What it shows.", Value: &Definition{Kinds: 1 << source.TextKind, Allowed: []string{"current", "energy", "voltage"}}},
	{Name: "full_scale_A", Need: MayGive, Doc: "Full scale, A.", Value: &definitionAmpere},
	{Name: "full_scale_V", Need: MayGive, Doc: "Full scale, V.", Value: &definitionVolt},
	{Name: "drop_mV", Need: MayGive, Doc: "Shunt drop at which it reads full scale, mV.", Value: &definitionDropMillivolt},
	{Name: "shunt", Need: MayGive, Doc: "Id of the shunt that it reads.", Value: &definitionId},
	{Name: "supply_mA", Need: MayGive, Doc: "Current of its own supply, mA.", Value: &definitionMilliampere},
	{Name: "min_V", Need: MayGive, Doc: "Lowest supply voltage, V.", Value: &definitionVolt},
	{Name: "max_V", Need: MayGive, Doc: "Highest supply voltage, V.", Value: &definitionVolt},
	{Name: "isolation_V", Need: MayGive, Doc: "Test voltage of the insulation between supply and measuring input, V AC for a minute. Where to find it: \"isolation\", \"dielectric strength\", \"withstand voltage\".", Value: &definitionWithstandVolt},
	{Name: "isolation_working_V", Need: MayGive, Doc: "Voltage that may stand there for good, V, if the datasheet states it. Where to find it: \"rated insulation voltage\", \"working voltage\", \"common-mode voltage\".", Value: &definitionWithstandVolt},
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

var definitionShunt = Definition{Name: "#Shunt", Kinds: 1 << source.ObjectKind, Fields: []*Field{
	{Name: "rated_A", Need: MustGive, Doc: "Rated current, A.", Value: &definitionAmpere},
	{Name: "drop_mV", Need: MustGive, Doc: "Voltage drop at rated current, mV.", Value: &definitionDropMillivolt},
	{Name: "measures", Need: MayGive, Doc: "Id of the part whose current it shows.", Value: &definitionId},
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
