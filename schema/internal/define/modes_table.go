// Code generated from modes.cue by go test ./schema/internal/define -update; DO NOT EDIT.

package define

import "example.org/headroom/schema/internal/source"

var definitionCycleStep = Definition{Name: "#CycleStep", Kinds: 1 << source.ObjectKind, Fields: []*Field{
	{Name: "mode", Need: MustGive, Doc: "Id of the mode.", Value: &definitionId},
	{Name: "for_s", Need: MustGive, Doc: "How long the mode lasts in this step, s.", Value: &definitionSecond},
}}

var definitionDraw = Definition{Name: "#Draw", Kinds: 1 << source.ObjectKind, Fields: []*Field{
	{Name: "current_A", Need: MayGive, Doc: "Current on the battery side, A.", Value: &Definition{Kinds: 1 << source.NumberKind, Low: bound{value: 0, set: true}, High: bound{value: 10000, set: true}}},
	{Name: "power_W", Need: MayGive, Doc: "Power on the battery side, W. The current rises as the battery sags.", Value: &Definition{Kinds: 1 << source.NumberKind, Low: bound{value: 0, set: true}, High: bound{value: 1e+06, set: true}}},
	{Name: "regen_A", Need: MayGive, Doc: "Current fed back to the battery, A.", Value: &Definition{Kinds: 1 << source.NumberKind, Low: bound{value: 0, set: true}, High: bound{value: 10000, set: true}}},
}}

var definitionMode = Definition{Name: "#Mode", Kinds: 1 << source.ObjectKind, Fields: []*Field{
	{Name: "closed", Need: MayGive, Doc: "What is closed by hand: disconnects, breakers and switches by id, single poles as key.house, outputs of a controller as drive.coil_out. Contactors and relays follow their coils.", Value: &Definition{Kinds: 1 << source.ListKind, Element: &definitionClosable}},
	{Name: "on", Need: MayGive, Doc: "Ids of the loads that are on.", Value: &Definition{Kinds: 1 << source.ListKind, Element: &definitionId}},
	{Name: "draw", Need: MayGive, Doc: "What the controllers draw, by controller id.", Value: &Definition{Kinds: 1 << source.ObjectKind, Keys: &definitionId, Element: &definitionDraw}},
	{Name: "connected", Need: MayGive, Doc: "Ids of the chargers that are connected, and of the solar parts that the sun shines on.", Value: &Definition{Kinds: 1 << source.ListKind, Element: &definitionId}},
	{Name: "unmated", Need: MayGive, Doc: "Ids of the connectors that are parted. All others are mated.", Value: &Definition{Kinds: 1 << source.ListKind, Element: &definitionId}},
	{Name: "lasts_s", Need: MayGive, Doc: "How long the mode lasts at a time, s. Without it the mode is continuous.", Value: &definitionSecond},
	{Name: "every_s", Need: MayGive, Doc: "Time from one start to the next, s.", Value: &definitionSecond},
	{Name: "ambient_C", Need: MayGive, Doc: "Air temperature in this mode, C, if not the vehicle's range. What flows in it is held against that air; it relieves no other mode.", Value: &definitionCelsius},
	{Name: "notes", Need: MayGive, Doc: "Free text.", Value: &Definition{Kinds: 1 << source.TextKind}},
}}
