package calc

// Limits of electrical safety on vehicles.
const (
	// ClassALimitV is the highest working voltage in V DC of voltage class A.
	// Source: ISO 6469-3, UN R100, UN R136.
	ClassALimitV = 60
	// IsolationDCOhmPerV and IsolationCombinedOhmPerV are the least isolation
	// resistances in Ohm per V of the highest working voltage, of a DC bus and
	// of one joined with AC circuits without further protection. Source: UN
	// R100 5.1.3, ISO 6469-4.
	IsolationDCOhmPerV       = 100
	IsolationCombinedOhmPerV = 500
)

// Longest lengths in m of conductor from a source to its overcurrent device,
// measured along the conductor from the last protection. They are written for
// small craft and common practice elsewhere.
const (
	FuseDistanceM          = 0.1778 // any conductor: 7 in, 33 CFR 183.455
	FuseDistanceSheathedM  = 1.016  // whole length in a sheath or enclosure: 40 in, 33 CFR 183.455
	FuseDistanceAtBatteryM = 1.8288 // sheathed and directly on a battery terminal: 72 in, ABYC E-11
)

// FuseDistanceLimitM is the longest of these that applies. Source: 33 CFR
// 183.455; ABYC E-11 for the battery terminal.
func FuseDistanceLimitM(sheathed, atBattery bool) float64 {
	switch {
	case sheathed && atBattery:
		return FuseDistanceAtBatteryM
	case sheathed:
		return FuseDistanceSheathedM
	}
	return FuseDistanceM
}

// VoltageClass is "A" up to 60 V DC of the highest working voltage (charge end,
// regeneration, charger), else "B". Source: ISO 6469-3.
func VoltageClass(highestV float64) string {
	if highestV <= ClassALimitV {
		return "A"
	}
	return "B"
}

// IsolationOhm is the least isolation resistance in Ohm to be measured at a
// highest working voltage. Source: UN R100 5.1.3.
func IsolationOhm(highestV, ohmPerV float64) (float64, error) {
	if err := positive(quantity{"working voltage", highestV, "V"}, quantity{"resistance per volt", ohmPerV, "Ohm/V"}); err != nil {
		return 0, err
	}
	return highestV * ohmPerV, nil
}
