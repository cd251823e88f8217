package calc

// BoltHoleMM is the hole for a bolt of a thread in mm, both in mm: that of DIN 46235
// for lugs where it is wider than the thread by more than a clearance.
// Source: DIN 46235, from memory.
func BoltHoleMM(threadMM, clearanceMM float64) (mm float64, byTable bool) {
	table := map[float64]float64{12: 13, 16: 17}
	if m := table[threadMM]; m > threadMM+clearanceMM {
		return m, true
	}
	return threadMM + clearanceMM, false
}

// BearingMM is the diameter in mm of the face of a nut, by its thread in mm: the width
// across its flats. A hole as wide as that has nothing left for the nut to press on; a
// washer over it bends into the hole. Source: ISO 4032 and ISO 272, from memory.
func BearingMM(threadMM float64) float64 {
	for _, row := range []struct{ thread, flats float64 }{
		{3, 5.5}, {4, 7}, {5, 8}, {6, 10}, {8, 13}, {10, 16}, {12, 18}, {14, 21}, {16, 24}, {18, 27}, {20, 30}, {22, 34}, {24, 36},
	} {
		if row.thread == threadMM {
			return row.flats
		}
	}
	return 1.5 * threadMM
}

// NetSection is the cross-section in mm2 that a hole leaves of the bar.
// Source: DIN 43673, which keeps holes at or below 46 % of the width.
func (b Bar) NetSection(holeMM float64) (Line, error) {
	if err := firstError(b.check(), within(quantity{"hole", holeMM, "mm"}, 0, b.WidthMM)); err != nil {
		return Line{}, err
	}
	return line((b.WidthMM-holeMM)*b.ThicknessMM, "mm2", "(w - D) d", "($1 - $2) * $3", b.WidthMM, holeMM, b.ThicknessMM), nil
}
