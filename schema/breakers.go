package schema

// Breaker is a circuit breaker. Terminals: a, b for one way; a, b, a2, b2 for two that
// move together.
type Breaker struct {
	Base
	Threaded
	BreakerKind    string          `json:"kind"`     // thermal, thermal-magnetic, hydraulic-magnetic or electronic
	Standard       string          `json:"standard"` // "" if it is not stated
	RatedA         float64         `json:"rated_A"`
	Poles          int             `json:"poles"` // separate ways
	PolesInSeries  Number          `json:"poles_in_series"`
	RatedVdc       Number          `json:"rated_V_dc"` // of the connection as it is drawn
	RatedVac       Number          `json:"rated_V_ac"` // for the record only
	BreakingAdc    Number          `json:"breaking_A_dc"`
	BreakingAtV    Number          `json:"breaking_at_V"`
	BreakingFor    string          `json:"breaking_for"` // once or service
	Polarized      *bool           `json:"polarized"`    // nil: not stated
	CalibratedC    Number          `json:"calibrated_C"`
	TripElementC   Number          `json:"trip_element_C"`
	Ambient        []Derating      `json:"ambient"`
	Trip           BreakerTrip     `json:"trip"`
	Instant        *BreakerInstant `json:"instant"`
	TotalI2t       Number          `json:"total_I2t_A2s"`
	TripFree       *bool           `json:"trip_free"`
	Reset          string          `json:"reset"` // manual or automatic
	Isolates       *bool           `json:"isolates"`
	MakeA          Number          `json:"make_A"`
	Operations     Number          `json:"operations"`
	GroupedPercent Number          `json:"grouped_percent"`
	ResistanceMOhm Number          `json:"resistance_mOhm"`
}

// BreakerTrip is what a breaker holds and by when it trips, at the calibrated ambient.
type BreakerTrip struct {
	HoldPercent     Number        `json:"hold_percent"`
	MustTripPercent Number        `json:"must_trip_percent"`
	MustTripS       Number        `json:"must_trip_s"`
	Min             []CurrentTime `json:"min"`
	Max             []CurrentTime `json:"max"`
}

// BreakerInstant is the band of a breaker's magnet in multiples of its rated current.
type BreakerInstant struct {
	Min       float64 `json:"min"`
	Max       float64 `json:"max"`
	StatedFor string  `json:"stated_for"` // ac (rms) or dc
	ClearsS   Number  `json:"clears_s"`
}

// Cutout is a thermal cut-out: a contact that heat opens. Terminals: a, b.
type Cutout struct {
	Base
	Guards     string  `json:"guards"` // id of the motor or resistor on which it sits
	OpensC     float64 `json:"opens_C"`
	ToleranceK Number  `json:"tolerance_K"`
	ResetsC    Number  `json:"resets_C"`
	Reset      string  `json:"reset"` // manual or automatic, "" if it is not stated
	OneShot    bool    `json:"one_shot"`
	Contact    Contact `json:"contact"`
}
