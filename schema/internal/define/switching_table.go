// Code generated from switching.cue by go test ./schema/internal/define -update; DO NOT EDIT.

package define

import "example.org/headroom/schema/internal/source"

var definitionAuxiliary = Definition{Name: "#Auxiliary", Kinds: 1 << source.ObjectKind, Fields: []*Field{
	{Name: "form", Need: MustGive, Doc: "\"no\" is closed when the part has operated, \"nc\" when it has not.", Value: &Definition{Kinds: 1 << source.TextKind, Allowed: []string{"nc", "no"}}},
	{Name: "kind", Need: HasDefault, Doc: "\"mirror\" (IEC 60947-4-1 annex F) cannot be closed while a power contact is welded, \"linked\" (IEC 60947-5-1 annex L) is tied to other auxiliary contacts alone, \"plain\" is a switch on the armature and proves nothing.", Value: &Definition{Kinds: 1 << source.TextKind, Allowed: []string{"linked", "mirror", "plain"}, Fallback: "plain", meanings: []meaning{
		{"mirror", "IEC 60947-4-1 annex F"},
		{"linked", "IEC 60947-5-1 annex L"},
	}}},
	{Name: "min_V", Need: MayGive, Doc: "Least voltage that it switches reliably, V. Where to find it: \"minimum load\".", Value: &definitionVolt},
	{Name: "min_mA", Need: MayGive, Doc: "Least current that it switches reliably, mA.", Value: &Definition{Kinds: 1 << source.NumberKind, Low: bound{value: 0, set: true}, High: bound{value: 10000, set: true}}},
	{Name: "carry_A", Need: MayGive, Doc: "Rated current, A.", Value: &definitionAmpere},
}}

var definitionCloses = Definition{Name: "#Closes", Kinds: 1 << source.ObjectKind, Fields: []*Field{
	{Name: "by", Need: MustGive, Doc: "\"controller\" is the coil_out that the coil returns to, \"timer\" the contact of a timer in the coil's path, \"voltage-relay\" a relay there that compares the capacitors with the battery, \"auxiliary\" an auxiliary contact of the pre-charge relay (it makes the order, but no delay), \"capacitor\" a capacitor across the coil behind a resistor, \"hand\" a person who waits.", Value: &Definition{Kinds: 1 << source.TextKind, Allowed: []string{"auxiliary", "capacitor", "controller", "hand", "timer", "voltage-relay"}}},
	{Name: "device", Need: MayGive, Doc: "Id of the controller, timer or relay.", Value: &definitionId},
	{Name: "after_s", Need: MayGive, Doc: "Delay that is set, from the beginning of the pre-charge, s. That of a timer is its own set_s.", Value: &Definition{Kinds: 1 << source.NumberKind, Low: bound{value: 0, set: true}, High: bound{value: 3600, set: true}}},
	{Name: "tolerance_percent", Need: MayGive, Doc: "Tolerance of the delay, or of the voltage, percent. Where to find it: \"setting accuracy\" and \"repeat accuracy\", added up.", Value: &definitionPercent},
	{Name: "at_percent", Need: MayGive, Doc: "Share of the supply that the capacitors must have reached, percent.", Value: &definitionPercent},
	{Name: "capacitance_uF", Need: MayGive, Doc: "Capacitance across the coil, uF, of \"capacitor\".", Value: &definitionMicrofarad},
	{Name: "series_Ohm", Need: MayGive, Doc: "Resistance in series with that capacitor and the coil, Ohm.", Value: &definitionOhm},
}}

var definitionCoil = Definition{Name: "#Coil", Kinds: 1 << source.ObjectKind, Fields: []*Field{
	{Name: "nominal_V", Need: MustGive, Doc: "Nominal voltage, V.", Value: &definitionVolt},
	{Name: "operate_V", Need: MayGive, Doc: "Voltage at which it reliably pulls in, V. Where to find it: \"must operate\", \"pick-up\" or \"pull-in voltage (max.)\".", Value: &definitionVolt},
	{Name: "operate_valid_to_C", Need: MayGive, Doc: "Hottest ambient at which operate_V applies as it is, C; then it is not scaled with temperature.", Value: &definitionCelsius},
	{Name: "release_V", Need: MayGive, Doc: "Voltage below which it reliably drops out, V. Where to find it: \"must release\", \"drop-out voltage (min.)\".", Value: &definitionVolt},
	{Name: "hold_V", Need: MayGive, Doc: "Voltage that reliably holds it in, V.", Value: &definitionVolt},
	{Name: "max_V", Need: MayGive, Doc: "Highest continuous coil voltage, V.", Value: &definitionVolt},
	{Name: "max_V_valid_to_C", Need: MayGive, Doc: "Hottest ambient at which max_V applies as it is, C.", Value: &definitionCelsius},
	{Name: "resistance_Ohm", Need: MayGive, Doc: "Resistance of the winding at 20 C, Ohm.", Value: &definitionOhm},
	{Name: "inductance_mH", Need: MayGive, Doc: "Inductance with the armature open, mH.", Value: &Definition{Kinds: 1 << source.NumberKind, Low: bound{value: 0, open: true, set: true}, High: bound{value: 100000, set: true}}},
	{Name: "operate_ms", Need: MayGive, Doc: "Time from voltage to closed contact, ms. Where to find it: \"operate time\", bounce left out.", Value: &Definition{Kinds: 1 << source.ObjectKind, Fields: []*Field{
		{Name: "min", Need: MustGive, Doc: "Shortest, ms.", Value: &Definition{Kinds: 1 << source.NumberKind, Low: bound{value: 0, set: true}, High: bound{value: 10000, set: true}}},
		{Name: "max", Need: MustGive, Doc: "Longest, ms.", Value: &Definition{Kinds: 1 << source.NumberKind, Low: bound{value: 0, set: true}, High: bound{value: 10000, set: true}}},
	}}},
	{Name: "latching", Need: HasDefault, Doc: "Stays as it is when its supply goes; it needs a pulse to open.", Value: &Definition{Kinds: 1 << source.BoolKind, Fallback: false}},
	{Name: "opens_on_loss", Need: HasDefault, Doc: "A latching one that gives itself the pulse to open when its supply goes, from a capacitor that it has charged. Where to find it: \"opens on loss of supply\".", Value: &Definition{Kinds: 1 << source.BoolKind, Fallback: false}},
	{Name: "drive", Need: HasDefault, Doc: "\"plain\" is a copper winding straight on the supply; \"economiser\" lowers the current after pull-in by electronics or a second winding.", Value: &Definition{Kinds: 1 << source.TextKind, Allowed: []string{"economiser", "plain"}, Fallback: "plain"}},
	{Name: "pickup_A", Need: MayGive, Doc: "Economiser: current while pulling in, A.", Value: &definitionAmpere},
	{Name: "pickup_s", Need: MayGive, Doc: "Economiser: how long that lasts, s.", Value: &definitionSecond},
	{Name: "hold_A", Need: MayGive, Doc: "Economiser: current while holding, A.", Value: &definitionAmpere},
	{Name: "rise_K", Need: MayGive, Doc: "Temperature rise of the winding at nominal voltage, K.", Value: &definitionKelvin},
	{Name: "limit_C", Need: MayGive, Doc: "Temperature limit of the winding, C (class B 130, class F 155).", Value: &definitionCelsius},
	{Name: "suppression", Need: MayGive, Doc: "What absorbs the winding's energy at switch-off; leave it out if you do not know: \"none\" (nothing does), \"diode\" (a diode alone), \"diode+zener\" (a diode in series with a Zener diode), \"tvs\" (a suppressor diode), \"varistor\" (a varistor), \"resistor\" (a resistor across the coil, with or without a diode) or \"external\" (the driver, or something else outside the coil).", Value: &Definition{Kinds: 1 << source.TextKind, Allowed: []string{"diode", "diode+zener", "external", "none", "resistor", "tvs", "varistor"}, meanings: []meaning{
		{"none", "nothing does"},
		{"diode", "a diode alone"},
		{"diode+zener", "a diode in series with a Zener diode"},
		{"tvs", "a suppressor diode"},
		{"varistor", "a varistor"},
		{"resistor", "a resistor across the coil, with or without a diode"},
		{"external", "the driver, or something else outside the coil"},
	}}},
	{Name: "clamp_V", Need: MayGive, Doc: "Clamping voltage of the suppression, V.", Value: &definitionVolt},
	{Name: "rated_V", Need: MayGive, Misleading: "give nominal_V, and operate_V, release_V and max_V from the datasheet", Doc: "Names that mislead.", Value: &Definition{Kinds: anyKind}},
	{Name: "voltage_V", Need: MayGive, Misleading: "give nominal_V, and operate_V, release_V and max_V from the datasheet", Doc: "", Value: &Definition{Kinds: anyKind}},
	{Name: "pickup_V", Need: MayGive, Misleading: "the field is called operate_V: the voltage at which the coil reliably pulls in", Doc: "", Value: &Definition{Kinds: anyKind}},
	{Name: "dropout_V", Need: MayGive, Misleading: "the field is called release_V: the voltage below which the coil reliably releases", Doc: "", Value: &Definition{Kinds: anyKind}},
}}

var definitionContact = Definition{Name: "#Contact", Kinds: 1 << source.ObjectKind, Fields: []*Field{
	&fieldContact_carry_A,
	&fieldContact_short_time,
	&fieldContact_rated_V_dc,
	&fieldContact_rated_V_ac,
	&fieldContact_make_A,
	&fieldContact_break,
	&fieldContact_polarized,
	&fieldContact_reverse_break_A,
	&fieldContact_resistance_mOhm,
	&fieldContact_rated_V,
	&fieldContact_rated_A,
	&fieldContact_break_A,
}}

var fieldContact_carry_A = Field{Name: "carry_A", Need: MayGive, Doc: "Rated continuous current, A. Where to find it: \"carry current\", \"thermal current\"; for its cable size and 85 C at most.", Value: &definitionAmpere}

var fieldContact_short_time = Field{Name: "short_time", Need: MayGive, Doc: "Rated short-time currents. Where to find it: \"overload\" or \"short-time withstand\".", Value: &Definition{Kinds: 1 << source.ListKind, Element: &Definition{Kinds: 1 << source.ObjectKind, Fields: []*Field{
	{Name: "A", Need: MustGive, Doc: "Current, A.", Value: &definitionFaultAmpere},
	{Name: "s", Need: MustGive, Doc: "Time, s.", Value: &definitionSecond},
}}}}

var fieldContact_rated_V_dc = Field{Name: "rated_V_dc", Need: MayGive, Doc: "Rated voltage for direct current, V.", Value: &definitionVolt}

var fieldContact_rated_V_ac = Field{Name: "rated_V_ac", Need: MayGive, Doc: "Rated voltage for alternating current, V. Kept for the record: on a battery the arc meets no zero of the current, and a contact for 250 V AC often has 30 V DC.", Value: &definitionVolt}

var fieldContact_make_A = Field{Name: "make_A", Need: MayGive, Doc: "Highest current that it may close on, A.", Value: &definitionFaultAmpere}

var fieldContact_break = Field{Name: "break", Need: MayGive, Doc: "Currents that it is rated to interrupt, each at its voltage. Where to find it: \"breaking capacity\" or the curve of switching cycles.", Value: &Definition{Kinds: 1 << source.ListKind, Element: &Definition{Kinds: 1 << source.ObjectKind, Fields: []*Field{
	{Name: "V", Need: MustGive, Doc: "Voltage, V DC.", Value: &definitionVolt},
	{Name: "A", Need: MustGive, Doc: "Current, A.", Value: &definitionFaultAmpere},
	{Name: "operations", Need: MayGive, Doc: "Number of such operations in its life.", Value: &Definition{Kinds: 1 << source.NumberKind, Integer: true, Low: bound{value: 1, set: true}, High: bound{value: 1e+07, set: true}}},
}}}}

var fieldContact_polarized = Field{Name: "polarized", Need: HasDefault, Doc: "Rated to interrupt only current from a to b.", Value: &Definition{Kinds: 1 << source.BoolKind, Fallback: false}}

var fieldContact_reverse_break_A = Field{Name: "reverse_break_A", Need: MayGive, Doc: "Current that a polarized contact is rated to interrupt from b to a, A.", Value: &definitionAmpere}

var fieldContact_resistance_mOhm = Field{Name: "resistance_mOhm", Need: MayGive, Doc: "Resistance of the closed contact, mOhm.", Value: &definitionMilliohm}

var fieldContact_rated_V = Field{Name: "rated_V", Need: MayGive, Misleading: "which voltage? give the DC rating as rated_V_dc; a figure for AC goes into rated_V_ac and counts for nothing on a battery", Doc: "Names that mislead.", Value: &Definition{Kinds: anyKind}}

var fieldContact_rated_A = Field{Name: "rated_A", Need: MayGive, Misleading: "a contact has several ratings: give carry_A for its continuous current, make_A for making, break for breaking", Doc: "", Value: &Definition{Kinds: anyKind}}

var fieldContact_break_A = Field{Name: "break_A", Need: MayGive, Misleading: "a breaking current is for one voltage only: give break: [{V: ..., A: ...}]", Doc: "", Value: &Definition{Kinds: anyKind}}

var definitionContactor = Definition{Name: "#Contactor", Kinds: 1 << source.ObjectKind, Fields: []*Field{
	{Name: "contact", Need: HasDefault, Doc: "The power contact.", Value: &definitionContact},
	{Name: "coil", Need: MustGive, Doc: "The coil.", Value: &definitionCoil},
	{Name: "closes_after_s", Need: MayGive, Doc: "Delay from the beginning of the pre-charge to closing, s. It counts only if something makes it: the controller's coil_out or a timer in the coil's path, or a person; closes says which.", Value: &Definition{Kinds: 1 << source.NumberKind, Low: bound{value: 0, set: true}, High: bound{value: 3600, set: true}}},
	{Name: "closes", Need: MayGive, Doc: "What makes it close later than the pre-charge begins.", Value: &definitionCloses},
	{Name: "closes_at", Need: MayGive, Doc: "The voltage that it waits for instead, where the controller or a delay device watches the capacitors.", Value: &Definition{Kinds: 1 << source.ObjectKind, Fields: []*Field{
		{Name: "part", Need: MustGive, Doc: "Id of the controller or converter whose capacitors are watched.", Value: &definitionId},
		{Name: "percent", Need: MustGive, Doc: "Share of the supply's voltage that they must have reached, percent.", Value: &definitionPercent},
	}}},
	{Name: "auxiliary", Need: MayGive, Doc: "A small contact that moves with the power contact. Terminals: aux_a, aux_b.", Value: &definitionAuxiliary},
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

var definitionDiode = Definition{Name: "#Diode", Kinds: 1 << source.ObjectKind, Fields: []*Field{
	{Name: "forward_V", Need: MayGive, Doc: "Forward voltage, V.", Value: &Definition{Kinds: 1 << source.NumberKind, Low: bound{value: 0, open: true, set: true}, High: bound{value: 10, set: true}}},
	{Name: "forward_at_A", Need: MayGive, Doc: "Current at which that voltage applies, A.", Value: &definitionAmpere},
	{Name: "continuous_A", Need: MayGive, Doc: "Continuous forward current, A.", Value: &definitionAmpere},
	{Name: "reverse_V", Need: MayGive, Doc: "Highest reverse voltage, V.", Value: &definitionWithstandVolt},
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

var definitionPole = Definition{Name: "#Pole", Kinds: 1 << source.ObjectKind, Fields: []*Field{
	{Name: "carry_A", Need: MayGive, Doc: "Rated current with a resistive load, A.", Value: &definitionAmpere},
	{Name: "rated_V_dc", Need: MayGive, Doc: "Rated voltage for direct current, V.", Value: &definitionVolt},
	{Name: "rated_V_ac", Need: MayGive, Doc: "Rated voltage for alternating current, V. Kept for the record: on a battery the arc meets no zero of the current, and a contact for 250 V AC often has 30 V DC.", Value: &definitionVolt},
	{Name: "lamp_A", Need: MayGive, Doc: "Rating for filament lamps, A.", Value: &definitionAmpere},
	{Name: "motor_A", Need: MayGive, Doc: "Rating for motors, A.", Value: &definitionAmpere},
	{Name: "inductive_A", Need: MayGive, Doc: "Rating for coils and other inductive loads, A.", Value: &definitionAmpere},
	{Name: "make_A", Need: MayGive, Doc: "Highest current that it may close on, A.", Value: &definitionAmpere},
	{Name: "rated_V", Need: MayGive, Misleading: "which voltage? give the DC rating as rated_V_dc; the AC figure printed on a switch goes into rated_V_ac and counts for nothing on a battery", Doc: "Names that mislead.", Value: &Definition{Kinds: anyKind}},
	{Name: "rated_A", Need: MayGive, Misleading: "give carry_A, and lamp_A, motor_A or inductive_A for the load that it switches", Doc: "", Value: &Definition{Kinds: anyKind}},
}}

var definitionRelay = Definition{Name: "#Relay", Kinds: 1 << source.ObjectKind, Fields: []*Field{
	{Name: "form", Need: HasDefault, Doc: "\"no\" normally open, \"nc\" normally closed, or \"changeover\".", Value: &Definition{Kinds: 1 << source.TextKind, Allowed: []string{"changeover", "nc", "no"}, Fallback: "no"}},
	{Name: "contact", Need: HasDefault, Doc: "The contact.", Value: &definitionContact},
	{Name: "coil", Need: MustGive, Doc: "The coil.", Value: &definitionCoil},
	{Name: "auxiliary", Need: MayGive, Doc: "A second small contact that moves with the first. Terminals: aux_a, aux_b.", Value: &definitionAuxiliary},
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

var definitionResistor = Definition{Name: "#Resistor", Kinds: 1 << source.ObjectKind, Fields: []*Field{
	{Name: "role", Need: MustGive, Doc: "What it is for: \"precharge\" charges the controller's capacitors, \"bleed\" discharges them, \"dropper\" lowers a voltage, \"load\" is a consumer.", Value: &Definition{Kinds: 1 << source.TextKind, Allowed: []string{"bleed", "dropper", "load", "precharge"}}},
	{Name: "resistance_Ohm", Need: MustGive, Doc: "Resistance, Ohm.", Value: &definitionOhm},
	{Name: "power_W", Need: MayGive, Doc: "Continuous power as mounted, W. Chassis-mount types reach their printed figure only on a heat sink.", Value: &definitionWatt},
	{Name: "pulse_J", Need: MayGive, Doc: "Energy of a single pulse, J.", Value: &definitionJoule},
	{Name: "max_V", Need: MayGive, Doc: "Highest voltage across it, V.", Value: &definitionVolt},
	{Name: "limit_C", Need: MayGive, Doc: "Temperature limit of its element or case, whichever a cut-out sits on, C. Where to find it: \"maximum surface temperature\".", Value: &definitionCelsius},
	{Name: "permanent", Need: HasDefault, Doc: "Deliberately left in circuit continuously.", Value: &Definition{Kinds: 1 << source.BoolKind, Fallback: false}},
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

var definitionSwitch = Definition{Name: "#Switch", Kinds: 1 << source.ObjectKind, Fields: []*Field{
	{Name: "role", Need: HasDefault, Doc: "What it is for.", Value: &Definition{Kinds: 1 << source.TextKind, Allowed: []string{"emergency-stop", "key", "light", "other", "selector"}, Fallback: "other"}},
	{Name: "stop_category", Need: MayGive, Doc: "Of an emergency stop: 0 removes the power at once, 1 brings the drive to rest first and then removes it, 2 leaves it on, which is no emergency stop. Where to find it: the risk assessment (\"stop category\"); IEC 60204-1.", Value: &Definition{Kinds: 1 << source.NumberKind, Counts: []float64{0, 1, 2}}},
	{Name: "poles", Need: MustGive, Doc: "Its poles by name.", Value: &Definition{Kinds: 1 << source.ObjectKind, Keys: &definitionId, Element: &definitionPole}},
	{Name: "between_poles_V", Need: MayGive, Doc: "Rated insulation voltage between two poles, V: the highest voltage that may stand there for good. Where to find it: \"rated insulation voltage\", \"Ui\"; not the \"dielectric strength\" or \"withstand voltage\", which is between_poles_test_V.", Value: &definitionWithstandVolt},
	{Name: "between_poles_test_V", Need: MayGive, Doc: "Test voltage between two poles, V AC for a minute. Where to find it: \"dielectric strength\", \"withstand voltage\", \"hipot\".", Value: &definitionWithstandVolt},
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

var definitionTimer = Definition{Name: "#Timer", Kinds: 1 << source.ObjectKind, Fields: []*Field{
	{Name: "function", Need: HasDefault, Doc: "\"on-delay\" closes its contact a time after its supply has come, \"off-delay\" at once, and opens it a time after the supply has gone. Where to find it: the letter E, or A, of the function diagram.", Value: &Definition{Kinds: 1 << source.TextKind, Allowed: []string{"off-delay", "on-delay"}, Fallback: "on-delay"}},
	{Name: "set_s", Need: MustGive, Doc: "The time that is set on it, s.", Value: &Definition{Kinds: 1 << source.NumberKind, Low: bound{value: 0, open: true, set: true}, High: bound{value: 3600, set: true}}},
	{Name: "tolerance_percent", Need: MayGive, Doc: "How far the time may be off, percent: setting accuracy and repeat accuracy together. Where to find it: \"accuracy\", often of the scale's full range.", Value: &definitionPercent},
	{Name: "supply_V", Need: MustGive, Doc: "Voltages between which it works. Where to find it: \"operating range\", often 0.85 to 1.1 of the rated supply.", Value: &Definition{Kinds: 1 << source.ObjectKind, Fields: []*Field{
		{Name: "min", Need: MustGive, Doc: "Lowest, V.", Value: &definitionVolt},
		{Name: "max", Need: MustGive, Doc: "Highest, V.", Value: &definitionVolt},
	}}},
	{Name: "supply_mA", Need: MayGive, Doc: "What it draws, mA. Where to find it: \"power consumption\", over its voltage.", Value: &Definition{Kinds: 1 << source.NumberKind, Low: bound{value: 0, set: true}, High: bound{value: 10000, set: true}}},
	{Name: "recovery_s", Need: MayGive, Doc: "How long its supply must be gone so that the next delay is a whole one, s. Where to find it: \"recovery\" or \"reset time\".", Value: &definitionSecond},
	{Name: "contact", Need: HasDefault, Doc: "Its contact, normally open.", Value: &definitionContact},
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
