package schema

import (
	"strconv"
	"strings"
)

// Spec is one vehicle: its parts by kind and id, the conductors that join
// them, its modes of use and the policy that tunes the checks. Units are in
// the field names, as in the file.
type Spec struct {
	Vehicle Vehicle         `json:"vehicle"`
	Zones   map[string]Zone `json:"zones"`

	Batteries   map[string]*Battery    `json:"batteries"`
	Fuses       map[string]*Fuse       `json:"fuses"`
	Breakers    map[string]*Breaker    `json:"breakers"`
	Disconnects map[string]*Disconnect `json:"disconnects"`
	Contactors  map[string]*Contactor  `json:"contactors"`
	Relays      map[string]*Relay      `json:"relays"`
	Timers      map[string]*Timer      `json:"timers"`
	Cutouts     map[string]*Cutout     `json:"cutouts"`
	Resistors   map[string]*Resistor   `json:"resistors"`
	Shunts      map[string]*Shunt      `json:"shunts"`
	Meters      map[string]*Meter      `json:"meters"`
	Switches    map[string]*Switch     `json:"switches"`
	Converters  map[string]*Converter  `json:"converters"`
	Chargers    map[string]*Charger    `json:"chargers"`
	Solar       map[string]*Solar      `json:"solar"`
	Connectors  map[string]*Connector  `json:"connectors"`
	Controllers map[string]*Controller `json:"controllers"`
	Motors      map[string]*Motor      `json:"motors"`
	Loads       map[string]*Load       `json:"loads"`
	Diodes      map[string]*Diode      `json:"diodes"`
	Studs       map[string]*Stud       `json:"studs"`
	Blocks      map[string]*Block      `json:"blocks"`

	Wires   map[string]*Wire   `json:"wires"`
	Busbars map[string]*Busbar `json:"busbars"`
	Bonds   map[string]*Bond   `json:"bonds"`
	Panels  map[string]*Panel  `json:"panels"`

	Modes  map[string]*Mode `json:"modes"`
	Cycle  []CycleStep      `json:"cycle"` // the drive that repeats, in order
	Policy Policy           `json:"policy"`

	Waivers []Waiver `json:"waivers"` // in the order written; one with a mistake is left out

	source *sourceMap // where every value was written; see At, Shared and Given
}

// Vehicle is what is true of the vehicle as a whole.
type Vehicle struct {
	Name      string  `json:"name"`
	Use       string  `json:"use"`        // road-light, road, off-road, boat or track
	Chassis   string  `json:"chassis"`    // house-negative or isolated
	AmbientC  Span    `json:"ambient_C"`  // lowest and highest air temperature in use
	AltitudeM float64 `json:"altitude_m"` // highest altitude of use

	IsolationMonitor bool  `json:"isolation_monitor"` // watches, or offers a point to measure, the isolation
	Draft            bool  `json:"draft"`             // still being designed, not to be built from
	MechanicalBrake  *bool `json:"mechanical_brake"`  // a brake that needs no electricity; nil where nothing is said
}

// OnRoad reports whether the vehicle is used on public roads, where lights and
// brakes must survive a single failure.
func (v Vehicle) OnRoad() bool { return v.Use == "road-light" || v.Use == "road" }

// Span is a lowest and a highest value.
type Span struct {
	Min float64 `json:"min"`
	Max float64 `json:"max"`
}

// Zone is a place in the vehicle that is hotter than the air around it.
type Zone struct {
	RiseK float64 `json:"rise_K"`
	Notes string  `json:"notes"`
}

// Base is what every part and conductor has. Kind is the map it stands in
// ("fuses"), ID its key there.
type Base struct {
	ID         string `json:"-"`
	Kind       string `json:"-"`
	Source     string `json:"source"`      // datasheet reference of the ratings
	Notes      string `json:"notes"`       // free text
	Label      string `json:"label"`       // designator on the drawing
	Spare      bool   `json:"spare"`       // carried but deliberately not wired
	Zone       string `json:"zone"`        // id of a zone
	AlwaysLive bool   `json:"always_live"` // deliberately connected before the service disconnect
	Pluggable  bool   `json:"pluggable"`   // unplugged in some modes
	MaxC       Number `json:"terminal_max_C"`

	MakerReference string `json:"maker_reference"`
	Supplier       string `json:"supplier"`
	OrderCode      string `json:"order_code"`
	Quantity       int    `json:"quantity"` // bought for this place
}

// Threaded is what a part with bolted power terminals has.
type Threaded struct {
	Thread     string          `json:"thread"` // such as M8
	TorqueNm   Number          `json:"torque_Nm"`
	ByTerminal map[string]Bolt `json:"terminals"` // where terminals differ, by name
}

// Bolt is how one terminal is bolted.
type Bolt struct {
	Thread   string `json:"thread"`
	TorqueNm Number `json:"torque_Nm"`
}

// BoltAt is how a terminal is bolted, and where each value stands below the part.
func (t *Threaded) BoltAt(terminal string) (b Bolt, threadField, torqueField string) {
	b, own := Bolt{t.Thread, t.TorqueNm}, t.ByTerminal[terminal]
	threadField, torqueField = "thread", "torque_Nm"
	if own.Thread != "" {
		b.Thread, threadField = own.Thread, "terminals."+terminal+".thread"
	}
	if own.TorqueNm.Known {
		b.TorqueNm, torqueField = own.TorqueNm, "terminals."+terminal+".torque_Nm"
	}
	return b, threadField, torqueField
}

// ThreadMM is the diameter of a thread in mm; not ok without one.
func (b Bolt) ThreadMM() (mm float64, ok bool) {
	mm, err := strconv.ParseFloat(strings.TrimPrefix(b.Thread, "M"), 64)
	return mm, err == nil
}

// Bolts returns how the power terminals of a part are bolted.
func (t *Threaded) Bolts() *Threaded { return t }

// Path is the path of the part in the spec, such as "fuses.main".
func (b *Base) Path() string { return b.Kind + "." + b.ID }

// Common returns the fields that all parts share.
func (b *Base) Common() *Base { return b }

// Battery is a traction pack or an auxiliary battery. Terminals: pos, neg.
type Battery struct {
	Base
	Threaded
	Role           string  `json:"role"` // traction or auxiliary
	MinV           float64 `json:"min_V"`
	NominalV       float64 `json:"nominal_V"`
	MaxV           float64 `json:"max_V"`
	ResistanceMOhm Range   `json:"resistance_mOhm"`
	ShortCircuitA  Number  `json:"short_circuit_A"`
	CapacityAh     Number  `json:"capacity_Ah"`
	ContinuousA    Number  `json:"continuous_A"`
	PeakA          Number  `json:"peak_A"`
	PeakS          Number  `json:"peak_s"`
	ChargeMaxA     Number  `json:"charge_max_A"`
	ChargePeakA    Number  `json:"charge_peak_A"`
	ChargePeakS    Number  `json:"charge_peak_s"`
	ChargeMinC     Number  `json:"charge_min_C"`
	CellsMinC      Number  `json:"cells_min_C"`
	FloatA         Number  `json:"float_A"` // charging current taken from a running converter
	Chemistry      string  `json:"chemistry"`
	LeadAcid       string  `json:"lead_acid"` // flooded, AGM or gel
	Series         Number  `json:"series"`
	InternalFuseA  Number  `json:"internal_fuse_A"`
	// InternalFuseBreakingA is the DC breaking capacity of that fuse at the battery's voltage.
	InternalFuseBreakingA Number  `json:"internal_fuse_breaking_A"`
	ConnectWithinV        Number  `json:"connect_within_V"` // highest difference at which it may be paralleled
	SpreadPercent         Number  `json:"spread_percent"`   // how far resistances in parallel may differ
	Cutoff                *Cutoff `json:"cutoff"`

	BMS *BatterySwitch `json:"bms"`
}

// Cutoff is the battery's own electronic or electromechanical cut-off.
type Cutoff struct {
	TripA float64 `json:"trip_A"`
	TripS float64 `json:"trip_s"`
	By    string  `json:"by"` // contacts or semiconductor
	// LimitsDrive says that the drive is told to draw less when it has opened.
	LimitsDrive bool `json:"limits_drive"`
}

// Fuse is a fuse-link with its holder. Terminals: a, b.
type Fuse struct {
	Base
	Threaded
	Class        string      `json:"class"`
	RatedA       float64     `json:"rated_A"`
	RatedVdc     Number      `json:"rated_V_dc"`
	RatedVac     Number      `json:"rated_V_ac"`
	BreakingAdc  Number      `json:"breaking_A_dc"`
	BreakingAtV  Number      `json:"breaking_at_V"`
	Opening      *Opening    `json:"opening"`
	MeltingI2t   Number      `json:"melting_I2t_A2s"`
	TotalI2t     Number      `json:"total_I2t_A2s"`
	MinBreakingA Number      `json:"min_breaking_A"`
	DropMV       Number      `json:"drop_mV"` // at rated current
	Holder       *FuseHolder `json:"holder"`
	OverloadBy   string      `json:"overload_protection_by"` // id of a current-limited part
	Spares       Number      `json:"spares"`
	Reachable    *bool       `json:"reachable"`
}

// Opening is a fuse's time-current band: it never opens before the min points
// and always opens by the max points.
type Opening struct {
	Min []CurrentTime `json:"min"`
	Max []CurrentTime `json:"max"`
}

// CurrentTime is one point of a time-current curve.
type CurrentTime struct {
	CurrentA float64 `json:"current_A"`
	S        float64 `json:"s"`
}

// FuseHolder is the rating of the block or holder that carries a fuse-link.
type FuseHolder struct {
	RatedA   Number `json:"rated_A"`
	RatedVdc Number `json:"rated_V_dc"`
	Source   string `json:"source"`
}

// Contact is a contact's rating: what it carries, closes on and interrupts.
type Contact struct {
	CarryA         Number        `json:"carry_A"`
	ShortTime      []ShortTime   `json:"short_time"`
	RatedVdc       Number        `json:"rated_V_dc"`
	RatedVac       Number        `json:"rated_V_ac"` // for the record only
	MakeA          Number        `json:"make_A"`
	Break          []BreakRating `json:"break"`
	Polarized      bool          `json:"polarized"` // breaks its rating only with current from a to b
	ReverseBreakA  Number        `json:"reverse_break_A"`
	ResistanceMOhm Number        `json:"resistance_mOhm"`
}

// ShortTime is a current that a contact carries for a time.
type ShortTime struct {
	A float64 `json:"A"`
	S float64 `json:"s"`
}

// BreakRating is a voltage and current that a contact interrupts, and how often.
type BreakRating struct {
	V          float64 `json:"V"`
	A          float64 `json:"A"`
	Operations Number  `json:"operations"`
}

// Disconnect is a hand-operated service disconnect. Terminals: a, b for one
// pole; a, b, a2, b2 for two. Side a is the battery's.
type Disconnect struct {
	Base
	Threaded
	Contact
	Poles int `json:"poles"`
}

// Contactor is a coil-operated power contact, normally open. Terminals: a, b
// (a towards the battery), coil_pos, coil_neg.
type Contactor struct {
	Base
	Threaded
	Contact      Contact    `json:"contact"`
	Coil         Coil       `json:"coil"`
	ClosesAfterS Number     `json:"closes_after_s"` // after the pre-charge begins
	ClosesAt     *ClosesAt  `json:"closes_at"`      // or when the capacitors have reached a voltage
	Closes       *Closes    `json:"closes"`         // what makes it close later
	Auxiliary    *Auxiliary `json:"auxiliary"`
}

// Delay is the delay that is declared from the beginning of the pre-charge to
// closing, in s, and the path of it.
func (k *Contactor) Delay() (s Number, path string) {
	if c := k.Closes; c != nil && c.AfterS.Known {
		return c.AfterS, k.Path() + ".closes.after_s"
	}
	return k.ClosesAfterS, k.Path() + ".closes_after_s"
}

// Awaits is the voltage that the contactor waits for, nil if it waits for none, and the
// path of it. Its part is "" where only a share of the supply is given.
func (k *Contactor) Awaits() (at *ClosesAt, path string) {
	if k.ClosesAt != nil {
		return k.ClosesAt, k.Path() + ".closes_at.percent"
	}
	if c := k.Closes; c != nil && c.AtPercent.Known {
		at = &ClosesAt{Percent: c.AtPercent.Value * (1 - c.TolerancePercent.Or(0)/100)}
		if c.By == "controller" {
			at.Part = c.Device
		}
	}
	return at, k.Path() + ".closes.at_percent"
}

// Closes is what makes a contactor close later than the pre-charge begins.
type Closes struct {
	By               string `json:"by"`     // controller, timer, voltage-relay, auxiliary, capacitor or hand
	Device           string `json:"device"` // id of the controller, timer or relay, "" if not given
	AfterS           Number `json:"after_s"`
	TolerancePercent Number `json:"tolerance_percent"`
	AtPercent        Number `json:"at_percent"`
	CapacitanceUF    Number `json:"capacitance_uF"` // across the coil
	SeriesOhm        Number `json:"series_Ohm"`     // in front of it
}

// Auxiliary is a small contact that moves with a contactor or relay. Terminals:
// aux_a, aux_b.
type Auxiliary struct {
	Form   string `json:"form"` // no or nc
	Kind   string `json:"kind"` // mirror, linked or plain
	MinV   Number `json:"min_V"`
	MinMA  Number `json:"min_mA"`
	CarryA Number `json:"carry_A"`
}

// ClosesAt is the voltage at a part that a contactor waits for before it closes.
type ClosesAt struct {
	Part    string  `json:"part"`    // id of the controller or converter
	Percent float64 `json:"percent"` // of the supply
}

// Relay is a coil-operated switch of smaller currents. Terminals: common, no,
// nc (by its form), coil_pos, coil_neg.
type Relay struct {
	Base
	Form    string  `json:"form"` // no, nc or changeover
	Contact Contact `json:"contact"`
	Coil    Coil    `json:"coil"`

	Auxiliary *Auxiliary `json:"auxiliary"`
}

// Timer is a time relay. Terminals: pos and neg of its supply, common and no of
// its contact.
type Timer struct {
	Base
	Function         string  `json:"function"` // on-delay or off-delay
	SetS             float64 `json:"set_s"`
	TolerancePercent Number  `json:"tolerance_percent"`
	SupplyV          Span    `json:"supply_V"` // between which it works
	SupplyMA         Number  `json:"supply_mA"`
	RecoveryS        Number  `json:"recovery_s"` // that its supply must be gone for a whole new delay
	Contact          Contact `json:"contact"`
}

// Coil is the coil of a contactor or relay. Voltages are at 20 C unless a
// field says otherwise.
type Coil struct {
	NominalV        float64 `json:"nominal_V"`
	OperateV        Number  `json:"operate_V"`
	OperateValidToC Number  `json:"operate_valid_to_C"`
	ReleaseV        Number  `json:"release_V"`
	HoldV           Number  `json:"hold_V"`
	MaxV            Number  `json:"max_V"`
	MaxVValidToC    Number  `json:"max_V_valid_to_C"`
	ResistanceOhm   Number  `json:"resistance_Ohm"`
	InductanceMH    Number  `json:"inductance_mH"`
	OperateMS       *Span   `json:"operate_ms"` // from voltage to closed contact
	Latching        bool    `json:"latching"`
	OpensOnLoss     bool    `json:"opens_on_loss"` // a latching one, by a stored pulse
	Drive           string  `json:"drive"`         // plain or economiser
	PickupA         Number  `json:"pickup_A"`
	PickupS         Number  `json:"pickup_s"`
	HoldA           Number  `json:"hold_A"`
	RiseK           Number  `json:"rise_K"`
	LimitC          Number  `json:"limit_C"`     // temperature limit of the winding
	Suppression     string  `json:"suppression"` // none, diode, diode+zener, tvs, varistor, resistor or external
	ClampV          Number  `json:"clamp_V"`
}

// StaysClosed reports whether losing its supply leaves the contacts as they are.
func (c *Coil) StaysClosed() bool { return c.Latching && !c.OpensOnLoss }

// Resistor is a power resistor. Terminals: a, b.
type Resistor struct {
	Base
	Role          string  `json:"role"` // precharge, bleed, dropper or load
	ResistanceOhm float64 `json:"resistance_Ohm"`
	PowerW        Number  `json:"power_W"`
	PulseJ        Number  `json:"pulse_J"`
	MaxV          Number  `json:"max_V"`
	LimitC        Number  `json:"limit_C"` // of the element or case
	Permanent     bool    `json:"permanent"`
}

// Shunt is a measuring shunt. Terminals: a, b (a towards the battery), sense_a, sense_b.
type Shunt struct {
	Base
	Threaded
	RatedA   float64 `json:"rated_A"`
	DropMV   float64 `json:"drop_mV"`
	Measures string  `json:"measures"` // id of the part whose current it shows
}

// Meter is an instrument. Terminals: pos, neg (its supply, or what a voltmeter
// shows), sense_a, sense_b.
type Meter struct {
	Base
	Shows      string `json:"shows"` // current, voltage or energy
	FullScaleA Number `json:"full_scale_A"`
	FullScaleV Number `json:"full_scale_V"`
	DropMV     Number `json:"drop_mV"`
	Shunt      string `json:"shunt"`
	SupplyMA   Number `json:"supply_mA"`
	MinV       Number `json:"min_V"`
	MaxV       Number `json:"max_V"`
	IsolationV Number `json:"isolation_V"` // tested with, for a minute

	IsolationWorkingV Number `json:"isolation_working_V"` // rated, for good
}

// Switch is a hand-operated switch with named poles; pole p has the terminals
// p_a and p_b.
type Switch struct {
	Base
	Role          string           `json:"role"`          // key, emergency-stop, selector, light or other
	StopCategory  Number           `json:"stop_category"` // of an emergency stop, IEC 60204-1
	Poles         map[string]*Pole `json:"poles"`
	BetweenPolesV Number           `json:"between_poles_V"`      // rated, for good
	BetweenTestV  Number           `json:"between_poles_test_V"` // tested with, for a minute
}

// Pole is one pole of a switch.
type Pole struct {
	CarryA     Number `json:"carry_A"`
	RatedVdc   Number `json:"rated_V_dc"`
	RatedVac   Number `json:"rated_V_ac"` // for the record only
	LampA      Number `json:"lamp_A"`
	MotorA     Number `json:"motor_A"`
	InductiveA Number `json:"inductive_A"`
	MakeA      Number `json:"make_A"`
}

// Diode is a diode as a part. Terminals: anode, cathode.
type Diode struct {
	Base
	ForwardV    Number `json:"forward_V"`
	ForwardAtA  Number `json:"forward_at_A"`
	ContinuousA Number `json:"continuous_A"`
	ReverseV    Number `json:"reverse_V"`
}

// Conductor is what wires and bus bars share.
type Conductor struct {
	Base
	From     string `json:"from"` // terminal, as part.terminal
	To       string `json:"to"`
	Enclosed bool   `json:"enclosed"` // runs inside an enclosure
}

// Wire is an insulated cable. Length is terminal to terminal, one way.
type Wire struct {
	Conductor
	Size       string     `json:"size"`
	LengthM    float64    `json:"length_m"`
	Insulation Insulation `json:"insulation"`
	Colour     string     `json:"colour"`
	Sheathed   bool       `json:"sheathed"`
	Bundle     string     `json:"bundle"`
	Tinned     bool       `json:"tinned"`
	LugHoleMM  Number     `json:"lug_hole_mm"`

	LugHoleFromMM Number `json:"lug_hole_from_mm"`
	LugHoleToMM   Number `json:"lug_hole_to_mm"`
}

// Insulation is the insulation of a wire.
type Insulation struct {
	MaxC       Number `json:"max_C"`
	RatedV     Number `json:"rated_V"`
	Material   string `json:"material"` // PVC, XLPE, EPR or silicone
	ShortTimeC Number `json:"short_time_C"`
}

// Busbar is a flat metal bar.
type Busbar struct {
	Conductor
	Threaded
	WidthMM     float64 `json:"width_mm"`
	ThicknessMM float64 `json:"thickness_mm"`
	LengthMM    float64 `json:"length_mm"`
	Material    string  `json:"material"` // copper or aluminium
	Finish      string  `json:"finish"`   // bare or painted
	SpacingMM   Number  `json:"spacing_mm"`
	ClearanceMM Number  `json:"clearance_mm"`
	CreepageMM  Number  `json:"creepage_mm"`
	HoleMM      Number  `json:"hole_mm"`    // of its bolts
	OverlapMM   Number  `json:"overlap_mm"` // of its joint with the next bar
	RatedV      Number  `json:"rated_V"`
}

// Bond is an equipotential bonding connection of an exposed metal part.
type Bond struct {
	Base
	Of            string `json:"of"` // id of the part or panel
	To            string `json:"to"` // "chassis" or an id
	ResistanceOhm Number `json:"resistance_Ohm"`
}
