// Code generated from protection.cue by go test ./schema/internal/define -update; DO NOT EDIT.

package define

import "example.org/headroom/schema/internal/source"

var definitionCurrentTime = Definition{Name: "#CurrentTime", Kinds: 1 << source.ObjectKind, Fields: []*Field{
	{Name: "current_A", Need: MustGive, Doc: "Current, A.", Value: &definitionFaultAmpere},
	{Name: "s", Need: MustGive, Doc: "Time, s.", Value: &definitionSecond},
}}

var definitionDisconnect = Definition{Name: "#Disconnect", Kinds: 1 << source.ObjectKind, Fields: []*Field{
	{Name: "poles", Need: HasDefault, Doc: "Number of poles, 1 or 2.", Value: &Definition{Kinds: 1 << source.NumberKind, Counts: []float64{1, 2}, Fallback: float64(1)}},
	&fieldBase_source,
	&fieldBase_notes,
	&fieldBase_spare,
	&fieldBase_zone,
	&fieldBase_always_live,
	&fieldBase_pluggable,
	&fieldBase_terminal_max_C,
	&fieldThreaded_thread,
	&fieldThreaded_torque_Nm,
	&fieldContact_carry_A,
	&fieldContact_short_time,
	&fieldContact_rated_V_dc,
	&fieldContact_make_A,
	&fieldContact_break,
	&fieldContact_polarized,
	&fieldContact_reverse_break_A,
	&fieldContact_resistance_mOhm,
	&fieldContact_rated_V,
	&fieldContact_rated_A,
	&fieldContact_break_A,
}}

var definitionFuse = Definition{Name: "#Fuse", Kinds: 1 << source.ObjectKind, Fields: []*Field{
	{Name: "class", Need: MustGive, Doc: "Family of the fuse-link. It goes by body and standard, not by a trade name, and gives the continuous load factor and the times that the standard allows: \"blade\" (plug-in with two blades, ISO 8820-3 types C and F), \"blade-high-current\" (large plug-in with two blades, ISO 8820-3 type E), \"bolt-down\" (strip with two holes, bolted on studs, ISO 8820-5), \"glass\" (small glass or ceramic tube), \"ul\" (cartridge marked with a UL 248 class), \"gG\" (cartridge marked gG, IEC 60269, full range, for cables), \"gR\" (marked gR, full range, for semiconductors), \"aR\" (marked aR, partial range, for semiconductors: it does not clear overloads), \"rewirable\" (a wire between two screws) or \"other\" (none of these: few checks can be made).", Value: &Definition{Kinds: 1 << source.TextKind, Allowed: []string{"aR", "blade", "blade-high-current", "bolt-down", "gG", "gR", "glass", "other", "rewirable", "ul"}, meanings: []meaning{
		{"blade", "plug-in with two blades, ISO 8820-3 types C and F"},
		{"blade-high-current", "large plug-in with two blades, ISO 8820-3 type E"},
		{"bolt-down", "strip with two holes, bolted on studs, ISO 8820-5"},
		{"glass", "small glass or ceramic tube"},
		{"ul", "cartridge marked with a UL 248 class"},
		{"gG", "cartridge marked gG, IEC 60269, full range, for cables"},
		{"gR", "marked gR, full range, for semiconductors"},
		{"aR", "marked aR, partial range, for semiconductors: it does not clear overloads"},
		{"rewirable", "a wire between two screws"},
		{"other", "none of these: few checks can be made"},
	}}},
	{Name: "rated_A", Need: MustGive, Doc: "Rated current, A.", Value: &definitionAmpere},
	{Name: "rated_V_dc", Need: MayGive, Doc: "Rated voltage for direct current, V. The AC figure beside it does not count.", Value: &definitionVolt},
	{Name: "rated_V_ac", Need: MayGive, Doc: "Rated voltage for alternating current, V. Kept for the record; no check takes it for a DC rating.", Value: &definitionVolt},
	{Name: "breaking_A_dc", Need: MayGive, Doc: "Breaking capacity for direct current, A: the highest current that it interrupts. Where to find it: \"interrupting rating\", \"IR\", \"breaking capacity\".", Value: &definitionFaultAmpere},
	{Name: "breaking_at_V", Need: MayGive, Doc: "Voltage at which the breaking capacity holds, V, if not rated_V_dc.", Value: &definitionVolt},
	{Name: "opening", Need: MayGive, Doc: "Time-current band: never opens before the min points, always opens by the max points. Where to find it: the table \"opening time\" or the curves.", Value: &Definition{Kinds: 1 << source.ObjectKind, Fields: []*Field{
		{Name: "min", Need: MayGive, Doc: "Points of the shortest opening time, by rising current.", Value: &Definition{Kinds: 1 << source.ListKind, Element: &definitionCurrentTime}},
		{Name: "max", Need: MayGive, Doc: "Points of the longest opening time, by rising current.", Value: &Definition{Kinds: 1 << source.ListKind, Element: &definitionCurrentTime}},
	}}},
	{Name: "melting_I2t_A2s", Need: MayGive, Doc: "Pre-arcing (melting) integral, A2s.", Value: &definitionAmpereSquaredSecond},
	{Name: "total_I2t_A2s", Need: MayGive, Doc: "Total clearing integral at its rated voltage, A2s.", Value: &definitionAmpereSquaredSecond},
	{Name: "min_breaking_A", Need: MayGive, Doc: "Lowest current that it interrupts safely, A. Partial-range fuses only.", Value: &definitionAmpere},
	{Name: "drop_mV", Need: MayGive, Doc: "Voltage drop at rated current, mV.", Value: &definitionDropMillivolt},
	{Name: "holder", Need: MayGive, Doc: "The block or holder of the fuse-link.", Value: &Definition{Kinds: 1 << source.ObjectKind, Fields: []*Field{
		{Name: "rated_A", Need: MayGive, Doc: "Rated current of the holder, A.", Value: &definitionAmpere},
		{Name: "rated_V_dc", Need: MayGive, Doc: "Rated voltage of the holder for direct current, V.", Value: &definitionVolt},
		{Name: "source", Need: MayGive, Doc: "Where the ratings come from.", Value: &definitionText},
		{Name: "rated_V", Need: MayGive, Misleading: "which voltage? give rated_V_dc (an AC rating does not apply on a battery)", Doc: "Names that mislead.", Value: &Definition{Kinds: anyKind}},
	}}},
	{Name: "overload_protection_by", Need: MayGive, Doc: "Id of the current-limited part, usually a controller, that keeps overload off the cable, so that the fuse only has to clear short circuits (IEC 60364-4-43, 433.3.1).", Value: &definitionId},
	{Name: "spares", Need: MayGive, Doc: "Spare fuse-links carried in the vehicle.", Value: &definitionCount},
	{Name: "reachable", Need: MayGive, Doc: "Can be reached without tools beyond those carried.", Value: &Definition{Kinds: 1 << source.BoolKind}},
	{Name: "rated_V", Need: MayGive, Misleading: "which voltage? give rated_V_dc (the AC rating printed on a fuse does not apply on a battery)", Doc: "Names that mislead.", Value: &Definition{Kinds: anyKind}},
	{Name: "breaking_A", Need: MayGive, Misleading: "which current? give breaking_A_dc (an AC breaking capacity does not apply on a battery)", Doc: "", Value: &Definition{Kinds: anyKind}},
	&fieldBase_source,
	&fieldBase_notes,
	&fieldBase_spare,
	&fieldBase_zone,
	&fieldBase_always_live,
	&fieldBase_pluggable,
	&fieldBase_terminal_max_C,
	&fieldThreaded_thread,
	&fieldThreaded_torque_Nm,
}}
