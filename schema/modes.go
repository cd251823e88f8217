package schema

// Mode is a state of use.
type Mode struct {
	ID        string           `json:"-"`
	Closed    []string         `json:"closed"`    // disconnects, switches, poles (key.house), outputs (drive.coil_out)
	On        []string         `json:"on"`        // loads
	Draw      map[string]*Draw `json:"draw"`      // by controller id
	Connected []string         `json:"connected"` // chargers, and solar parts in the sun
	Unmated   []string         `json:"unmated"`   // connectors that are parted
	LastsS    Number           `json:"lasts_s"`
	EveryS    Number           `json:"every_s"`
	AmbientC  Number           `json:"ambient_C"`
	Notes     string           `json:"notes"`
}

// Path is the path of the mode in the spec.
func (m *Mode) Path() string { return "modes." + m.ID }

// CycleStep is one step of the drive that repeats.
type CycleStep struct {
	Mode string  `json:"mode"`
	ForS float64 `json:"for_s"`
}

// Draw is what a controller draws in a mode: a current, a power, or a current
// fed back.
type Draw struct {
	CurrentA Number `json:"current_A"`
	PowerW   Number `json:"power_W"`
	RegenA   Number `json:"regen_A"`
}

// Policy tunes the checks: required headrooms, levels, limits and the defaults
// used where a datasheet is silent.
type Policy struct {
	Required map[string]float64 `json:"required"` // rule id -> required headroom
	Levels   map[string]string  `json:"levels"`   // rule id -> error, warning or note

	Ampacity               string  `json:"ampacity"` // heat-balance or small-craft
	TerminalMaxC           float64 `json:"terminal_max_C"`
	InsulationMaxC         float64 `json:"insulation_max_C"`
	BatteryResistanceMin   float64 `json:"battery_resistance_min_factor"`
	BatteryResistanceMax   float64 `json:"battery_resistance_max_factor"`
	CoilRiseK              float64 `json:"coil_rise_K"`
	CoilLimitC             float64 `json:"coil_limit_C"`
	DiodeForwardV          float64 `json:"diode_forward_V"`
	ContactDropMV          float64 `json:"contact_drop_mV"`
	FuseDropMV             float64 `json:"fuse_drop_mV"`
	JointResistanceMOhm    float64 `json:"joint_resistance_mOhm"`
	ConverterLimitFactor   float64 `json:"converter_limit_factor"`
	ConverterEfficiency    float64 `json:"converter_efficiency_percent"`
	ConverterOutputMOhm    float64 `json:"converter_output_mOhm"`
	LiveV                  float64 `json:"live_V"`
	PrechargeBypassA       float64 `json:"precharge_bypass_A"`
	FuseDistanceM          float64 `json:"fuse_distance_m"`
	FuseDistanceSheathedM  float64 `json:"fuse_distance_sheathed_m"`
	FuseDistanceAtBatteryM float64 `json:"fuse_distance_at_battery_m"`
	FaultClearingS         float64 `json:"fault_clearing_s"`
	DropCriticalPercent    float64 `json:"drop_critical_percent"`
	DropOtherPercent       float64 `json:"drop_other_percent"`
	StandbyDays            float64 `json:"standby_days"`
	CollapseFraction       float64 `json:"collapse_fraction"`

	PrechargeAttempts       float64 `json:"precharge_attempts"` // in a minute
	PrechargeLeftPercent    float64 `json:"precharge_left_percent"`
	MatingSparkJ            float64 `json:"mating_spark_J"`
	DischargeS              float64 `json:"discharge_s"`
	ShuntContinuousPercent  float64 `json:"shunt_continuous_percent"`
	MeterReadablePercent    float64 `json:"meter_readable_percent"`
	ContactLampPercent      float64 `json:"contact_lamp_percent"`
	ContactMotorPercent     float64 `json:"contact_motor_percent"`
	ContactInductivePercent float64 `json:"contact_inductive_percent"`
	BondOhm                 float64 `json:"bond_Ohm"`
	StudLugs                float64 `json:"stud_lugs"`
	LugHoleClearanceMM      float64 `json:"lug_hole_clearance_mm"`
	TorqueAboveA            float64 `json:"torque_above_A"`
	PollutionDegree         int     `json:"pollution_degree"`
	MaterialGroup           string  `json:"material_group"`
}
