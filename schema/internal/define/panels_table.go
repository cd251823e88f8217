// Code generated from panels.cue by go test ./schema/internal/define -update; DO NOT EDIT.

package define

import "example.org/headroom/schema/internal/source"

var definitionHole = Definition{Name: "#Hole", Kinds: 1 << source.ObjectKind, Fields: []*Field{
	{Name: "x_mm", Need: MustGive, Doc: "To the right, mm.", Value: &definitionCoordinate},
	{Name: "y_mm", Need: MustGive, Doc: "Upwards, mm.", Value: &definitionCoordinate},
	{Name: "diameter_mm", Need: MustGive, Doc: "Diameter, mm.", Value: &definitionMillimetre},
	{Name: "terminal", Need: MayGive, Doc: "Name of the part's terminal at this place.", Value: &Definition{Kinds: 1 << source.TextKind, Form: &Form{expression: `^[a-z][a-z0-9_]*$`}}},
}}

var definitionPanel = Definition{Name: "#Panel", Kinds: 1 << source.ObjectKind, Fields: []*Field{
	{Name: "width_mm", Need: MustGive, Doc: "Width of the plate, mm.", Value: &definitionMillimetre},
	{Name: "height_mm", Need: MustGive, Doc: "Height of the plate, mm.", Value: &definitionMillimetre},
	{Name: "thickness_mm", Need: MayGive, Doc: "Thickness of the plate, mm.", Value: &definitionMillimetre},
	{Name: "material", Need: MayGive, Doc: "What it is made of.", Value: &definitionText},
	{Name: "parts", Need: MayGive, Doc: "The parts on it, by part id.", Value: &Definition{Kinds: 1 << source.ObjectKind, Keys: &definitionId, Element: &definitionPlacement}},
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

var definitionPlacement = Definition{Name: "#Placement", Kinds: 1 << source.ObjectKind, Fields: []*Field{
	{Name: "x_mm", Need: MustGive, Doc: "Distance from the left edge, mm.", Value: &definitionCoordinate},
	{Name: "y_mm", Need: MustGive, Doc: "Distance from the lower edge, mm.", Value: &definitionCoordinate},
	{Name: "width_mm", Need: MayGive, Doc: "Width of the part, mm.", Value: &definitionMillimetre},
	{Name: "height_mm", Need: MayGive, Doc: "Height of the part, mm.", Value: &definitionMillimetre},
	{Name: "rotation_deg", Need: HasDefault, Doc: "Rotation anticlockwise about its lower left corner, degrees.", Value: &Definition{Kinds: 1 << source.NumberKind, Low: bound{value: -360, set: true}, High: bound{value: 360, set: true}, Fallback: float64(0)}},
	{Name: "holes", Need: MayGive, Doc: "Mounting holes.", Value: &Definition{Kinds: 1 << source.ListKind, Element: &definitionHole}},
	{Name: "live", Need: MayGive, Doc: "Live terminals.", Value: &Definition{Kinds: 1 << source.ListKind, Element: &definitionHole}},
}}
