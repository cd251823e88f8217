package schema

// Panel is a mounting plate: its outline and where the parts stand on it.
type Panel struct {
	Base
	WidthMM     float64              `json:"width_mm"`
	HeightMM    float64              `json:"height_mm"`
	ThicknessMM Number               `json:"thickness_mm"`
	Material    string               `json:"material"`
	Parts       map[string]Placement `json:"parts"` // by part id
}

// Placement is where a part stands on a panel, from the lower left corner.
type Placement struct {
	XMM         float64 `json:"x_mm"`
	YMM         float64 `json:"y_mm"`
	WidthMM     Number  `json:"width_mm"`
	HeightMM    Number  `json:"height_mm"`
	RotationDeg float64 `json:"rotation_deg"`
	Holes       []Hole  `json:"holes"`
	Live        []Hole  `json:"live"` // live terminals
}

// Hole is a round place on a panel, relative to its part's corner.
type Hole struct {
	XMM        float64 `json:"x_mm"`
	YMM        float64 `json:"y_mm"`
	DiameterMM float64 `json:"diameter_mm"`
	Terminal   string  `json:"terminal"`
}
