// Code generated from vehicle.cue by go test ./schema/internal/define -update; DO NOT EDIT.

package define

import "example.org/headroom/schema/internal/source"

var definitionBase = Definition{Name: "#Base", Kinds: 1 << source.ObjectKind, Fields: []*Field{
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

var fieldBase_source = Field{Name: "source", Need: MayGive, Doc: "Where the ratings come from: the datasheet and its revision.", Value: &definitionText}

var fieldBase_notes = Field{Name: "notes", Need: MayGive, Doc: "Free text.", Value: &Definition{Kinds: 1 << source.TextKind}}

var fieldBase_label = Field{Name: "label", Need: MayGive, Doc: "What it is called on the drawing and on the part itself: \"F1\", \"K2\", \"-X3:4\".", Value: &Definition{Kinds: 1 << source.TextKind, Form: &Form{expression: `^[A-Za-z0-9=+:-][A-Za-z0-9 =+:./_-]{0,31}$`}}}

var fieldBase_maker_reference = Field{Name: "maker_reference", Need: MayGive, Doc: "What its maker calls it: type or article number.", Value: &definitionText}

var fieldBase_supplier = Field{Name: "supplier", Need: MayGive, Doc: "Who sells it.", Value: &definitionText}

var fieldBase_order_code = Field{Name: "order_code", Need: MayGive, Doc: "What the supplier calls it.", Value: &definitionText}

var fieldBase_quantity = Field{Name: "quantity", Need: HasDefault, Doc: "How many of it are bought for this place: two halves, a pair of bars.", Value: &Definition{Kinds: 1 << source.NumberKind, Integer: true, Low: bound{value: 1, set: true}, High: bound{value: 10000, set: true}, Fallback: float64(1)}}

var fieldBase_spare = Field{Name: "spare", Need: HasDefault, Doc: "Carried or fitted, but deliberately not wired.", Value: &Definition{Kinds: 1 << source.BoolKind, Fallback: false}}

var fieldBase_zone = Field{Name: "zone", Need: MayGive, Doc: "Id of the zone it is in, if that is hotter than the air around.", Value: &definitionId}

var fieldBase_always_live = Field{Name: "always_live", Need: HasDefault, Doc: "Deliberately connected on the battery side of the service disconnect.", Value: &Definition{Kinds: 1 << source.BoolKind, Fallback: false}}

var fieldBase_pluggable = Field{Name: "pluggable", Need: HasDefault, Doc: "Unplugged in some modes, such as a charging inlet.", Value: &Definition{Kinds: 1 << source.BoolKind, Fallback: false}}

var fieldBase_terminal_max_C = Field{Name: "terminal_max_C", Need: MayGive, Doc: "Temperature limit of its terminals, C. Where to find it: the datasheet's \"terminal temperature\" or \"conductor temperature rating\".", Value: &definitionCelsius}

var definitionThreaded = Definition{Name: "#Threaded", Kinds: 1 << source.ObjectKind, Fields: []*Field{
	&fieldThreaded_thread,
	&fieldThreaded_torque_Nm,
	&fieldThreaded_terminals,
}}

var fieldThreaded_thread = Field{Name: "thread", Need: MayGive, Doc: "Thread of its power terminals, such as \"M8\".", Value: &Definition{Kinds: 1 << source.TextKind, Form: &Form{expression: `^M([3-9]|1[0-9]|2[0-4])$`}}}

var fieldThreaded_torque_Nm = Field{Name: "torque_Nm", Need: MayGive, Doc: "Tightening torque of its power terminals, Nm.", Value: &definitionNewtonMetre}

var fieldThreaded_terminals = Field{Name: "terminals", Need: MayGive, Doc: "Where terminals differ: thread and torque by the name of the terminal; of a bus bar its ends, \"from\" and \"to\".", Value: &Definition{Kinds: 1 << source.ObjectKind, Keys: &Definition{Kinds: 1 << source.TextKind, Form: &Form{expression: `^[a-z][a-z0-9_]*$`}}, Element: &Definition{Kinds: 1 << source.ObjectKind, Fields: []*Field{
	{Name: "thread", Need: MayGive, Doc: "Thread of this terminal.", Value: &Definition{Kinds: 1 << source.TextKind, Form: &Form{expression: `^M([3-9]|1[0-9]|2[0-4])$`}}},
	{Name: "torque_Nm", Need: MayGive, Doc: "Tightening torque of this terminal, Nm.", Value: &definitionNewtonMetre},
}}}}

var definitionVehicle = Definition{Name: "#Vehicle", Kinds: 1 << source.ObjectKind, Fields: []*Field{
	{Name: "name", Need: MustGive, Doc: "Name of the vehicle, as the team calls it.", Value: &definitionText},
	{Name: "use", Need: MustGive, Doc: "Where it is used. \"road-light\" is a light vehicle on public roads (two-, three- and light four-wheelers), \"road\" any other road vehicle. On the road, lights and brakes must survive a single failure.", Value: &Definition{Kinds: 1 << source.TextKind, Allowed: []string{"boat", "off-road", "road", "road-light", "track"}}},
	{Name: "chassis", Need: MustGive, Doc: "How the vehicle's metalwork is used: \"house-negative\" (connected to the negative of the low-voltage network) or \"isolated\" (connected to no network).", Value: &Definition{Kinds: 1 << source.TextKind, Allowed: []string{"house-negative", "isolated"}, meanings: []meaning{
		{"house-negative", "connected to the negative of the low-voltage network"},
		{"isolated", "connected to no network"},
	}}},
	{Name: "ambient_C", Need: HasDefault, Doc: "Air temperature in use, C.", Value: &Definition{Kinds: 1 << source.ObjectKind, Fields: []*Field{
		{Name: "min", Need: HasDefault, Doc: "Lowest air temperature in use, C.", Value: &Definition{Kinds: 1 << source.NumberKind, Low: bound{value: -80, set: true}, High: bound{value: 500, set: true}, Fallback: float64(-10)}},
		{Name: "max", Need: HasDefault, Doc: "Highest air temperature in use, C.", Value: &Definition{Kinds: 1 << source.NumberKind, Low: bound{value: -80, set: true}, High: bound{value: 500, set: true}, Fallback: float64(40)}},
	}}},
	{Name: "altitude_m", Need: HasDefault, Doc: "Highest altitude of use above sea level, m.", Value: &Definition{Kinds: 1 << source.NumberKind, Low: bound{value: -500, set: true}, High: bound{value: 6000, set: true}, Fallback: float64(1000)}},
	{Name: "isolation_monitor", Need: HasDefault, Doc: "A device monitors the isolation between the traction network and the metalwork, or a point is provided to measure it.", Value: &Definition{Kinds: 1 << source.BoolKind, Fallback: false}},
	{Name: "mechanical_brake", Need: MayGive, Doc: "A brake that needs no electricity brings it to rest from any speed, whatever the drive does. Where to find it: the hydraulic or cable brake that the driver has at hand; not the braking of the motor, nor a parking brake.", Value: &Definition{Kinds: 1 << source.BoolKind}},
	{Name: "draft", Need: HasDefault, Doc: "Still being designed: what is missing of the data that safety rests on is a warning instead of an error, and every output says DRAFT.", Value: &Definition{Kinds: 1 << source.BoolKind, Fallback: false}},
}}

var definitionZone = Definition{Name: "#Zone", Kinds: 1 << source.ObjectKind, Fields: []*Field{
	{Name: "rise_K", Need: MustGive, Doc: "How much hotter it is there than the air around the vehicle, K.", Value: &definitionKelvin},
	{Name: "notes", Need: MayGive, Doc: "Free text.", Value: &Definition{Kinds: 1 << source.TextKind}},
}}
