package schema

// Converter is a DC-DC converter. Terminals: in_pos, in_neg, out_pos, out_neg, enable.
type Converter struct {
	Base
	Threaded
	Input             ConverterInput  `json:"input"`
	Output            ConverterOutput `json:"output"`
	EfficiencyPercent Number          `json:"efficiency_percent"`
	Isolated          bool            `json:"isolated"`
	IsolationV        Number          `json:"isolation_V"`
	IsolationWorkingV Number          `json:"isolation_working_V"`
	Derating          []Derating      `json:"derating"`
}

// ConverterInput is the input side of a converter.
type ConverterInput struct {
	MinV          float64 `json:"min_V"`
	MaxV          float64 `json:"max_V"`
	StartV        Number  `json:"start_V"`
	StopV         Number  `json:"stop_V"`
	MaxA          Number  `json:"max_A"`
	CapacitanceUF Number  `json:"capacitance_uF"`
	ESRMOhm       Number  `json:"esr_mOhm"`   // of that capacitance
	StandbyMA     Number  `json:"standby_mA"` // idle, output on
	OffMA         Number  `json:"off_mA"`     // disabled
}

// ConverterOutput is the output side of a converter.
type ConverterOutput struct {
	NominalV         float64 `json:"nominal_V"`
	TolerancePercent Number  `json:"tolerance_percent"`
	// CompensationMVPerK is how the voltage follows the temperature of a battery from 25 C.
	CompensationMVPerK Number  `json:"compensation_mV_per_K"`
	ContinuousA        float64 `json:"continuous_A"`
	PeakA              Number  `json:"peak_A"`
	PeakS              Number  `json:"peak_s"`
	LimitA             Number  `json:"limit_A"`
	AtLimit            string  `json:"at_limit"` // constant-current, hiccup or foldback
	// CurrentShare: it balances its current with the converters beside it.
	CurrentShare bool `json:"current_share"`
}

// Derating is one point of an output derating curve.
type Derating struct {
	AtC     float64 `json:"at_C"`
	Percent float64 `json:"percent"`
}

// Charger charges a battery. Terminals: pos, neg.
type Charger struct {
	Base
	Threaded
	MaxV      float64 `json:"max_V"`
	MaxA      float64 `json:"max_A"`
	Isolated  bool    `json:"isolated"`
	Supply    string  `json:"supply"` // mains or dc, "" if it is not stated
	MaxMainsA Number  `json:"mains_A"`

	StartsWithoutBattery *bool `json:"starts_without_battery"` // nil: not stated
	InhibitsDrive        bool  `json:"inhibits_drive"`
}

// Solar is modules with the regulator between them and a battery. Terminals: pos, neg,
// those of the regulator's output.
type Solar struct {
	Base
	Threaded
	VocV         float64        `json:"Voc_V"`         // of one module at 25 C
	IscA         float64        `json:"Isc_A"`         // of one module
	PercentPerK  Number         `json:"percent_per_K"` // of Voc
	InSeries     int            `json:"in_series"`
	InParallel   int            `json:"in_parallel"`
	StringFuseA  Number         `json:"string_fuse_A"`
	ReverseFuseA Number         `json:"max_series_fuse_A"`
	Regulator    SolarRegulator `json:"regulator"`
	Cable        *SolarCable    `json:"cable"`
}

// SolarRegulator is what stands between modules and battery.
type SolarRegulator struct {
	MaxPVV             float64 `json:"max_pv_V"`
	OutputV            float64 `json:"output_V"`
	MaxA               float64 `json:"max_A"`
	WithoutBatteryV    Number  `json:"without_battery_V"`
	TolerancePercent   Number  `json:"tolerance_percent"`
	CompensationMVPerK Number  `json:"compensation_mV_per_K"`
}

// SolarCable is the lead from the modules to the regulator.
type SolarCable struct {
	Size   string `json:"size"`
	MaxC   Number `json:"max_C"`
	RatedV Number `json:"rated_V"`
}

// Controller is a motor controller. Terminals: pos, neg, enable (its logic
// supply, against neg) and coil_out (a low-side coil driver to neg).
type Controller struct {
	Base
	Threaded
	MinV               float64 `json:"min_V"`
	MaxV               float64 `json:"max_V"`
	BatteryContinuousA Number  `json:"battery_continuous_A"`
	BatteryPeakA       Number  `json:"battery_peak_A"`
	PeakS              Number  `json:"peak_s"`
	RegenA             Number  `json:"regen_A"`
	OvervoltageV       Number  `json:"overvoltage_V"`           // above which it stops feeding back
	OvervoltageUs      Number  `json:"overvoltage_reaction_us"` // until it has
	CapacitanceUF      Number  `json:"capacitance_uF"`
	ESRMOhm            Number  `json:"esr_mOhm"` // of that capacitance
	BleedKOhm          Number  `json:"bleed_kOhm"`
	EnableMA           Number  `json:"enable_mA"`
	PhaseContinuousA   Number  `json:"phase_continuous_A"`
	PhasePeakA         Number  `json:"phase_peak_A"`
	PhasePeakS         Number  `json:"phase_peak_s"`
	PhaseIs            string  `json:"phase_is"` // rms or peak: what the phase currents are stated as
	CoilOut            *Driver `json:"coil_out"`
	InternalPrecharge  bool    `json:"internal_precharge"` // limits its own inrush
	WeldCheck          bool    `json:"weld_check"`         // finds a welded contactor before it
}

// Motor is a traction motor that a controller drives. Terminals: u, v and w; u and v of
// a brushed one.
type Motor struct {
	Base
	Threaded
	MotorKind        string `json:"kind"` // permanent-magnet, induction or brushed
	PhaseContinuousA Number `json:"phase_continuous_A"`
	PhasePeakA       Number `json:"phase_peak_A"`
	PhasePeakS       Number `json:"phase_peak_s"`
	KvRPMPerV        Number `json:"kv_rpm_per_V"`
	MaxRPM           Number `json:"max_rpm"`
	RatedV           Number `json:"rated_V"`
	TauS             Number `json:"winding_tau_s"`
	LimitC           Number `json:"limit_C"`        // of its winding
	ThermalCutout    *bool  `json:"thermal_cutout"` // nil: not stated
}

// Driver is a switching output for a coil.
type Driver struct {
	MaxA Number `json:"max_A"`
	MaxV Number `json:"max_V"`
}

// Load is a consumer. Terminals: pos, neg.
type Load struct {
	Base
	LoadKind    string  `json:"kind"` // led, filament, motor, resistive, electronic or inductive
	PowerW      float64 `json:"power_W"`
	AtV         float64 `json:"at_V"`
	MinV        Number  `json:"min_V"`
	MaxV        Number  `json:"max_V"`
	DutyPercent float64 `json:"duty_percent"`
	OnS         Number  `json:"on_s"` // longest time on in one go
	Critical    bool    `json:"critical"`
	Function    string  `json:"function"` // headlamp, tail, brake, turn, hazard, horn or steering
	StallA      Number  `json:"stall_A"`
}
