package calc

// bladeRatings, highCurrentRatings and boltDownRatings are the rated currents
// in A in which vehicle fuse-links are sold. Source: ISO 8820-3 and ISO 8820-5,
// from memory.
var (
	bladeRatings       = [...]float64{1, 2, 3, 4, 5, 7.5, 10, 15, 20, 25, 30, 35, 40}
	highCurrentRatings = [...]float64{20, 30, 40, 50, 60, 70, 80, 100}
	boltDownRatings    = [...]float64{30, 40, 50, 60, 70, 80, 100, 125, 150, 175, 200, 225, 250, 300, 350, 400, 450, 500}
	// preferredRatings is the series R10. Source: IEC 60269-1, 5.3.
	preferredRatings = [...]float64{2, 4, 6, 8, 10, 12, 16, 20, 25, 32, 40, 50, 63, 80, 100, 125, 160, 200, 250, 315, 400, 500, 630, 800, 1000, 1250}
	// northAmericanRatings is NFPA 70 240.6(A) up to 600 A, from memory.
	northAmericanRatings = [...]float64{1, 3, 6, 10, 15, 20, 25, 30, 35, 40, 45, 50, 60, 70, 80, 90, 100, 110, 125, 150, 175, 200, 225, 250, 300, 350, 400, 450, 500, 600}
)

// StandardRatings lists the rated currents in A in which a class of fuse is
// made, smallest first. Source: ISO 8820-3 and -5 for vehicle classes (from
// memory), IEC 60269-1 for gG, gR and aR, NFPA 70 240.6(A) for the others.
func StandardRatings(class FuseClass) []float64 {
	var list []float64
	switch class {
	case ClassBlade:
		list = bladeRatings[:]
	case ClassHighCurrent:
		list = highCurrentRatings[:]
	case ClassBoltDown:
		list = boltDownRatings[:]
	case ClassGG, ClassGR, ClassAR:
		list = preferredRatings[:]
	default:
		list = northAmericanRatings[:]
	}
	return append([]float64(nil), list...)
}

// NextRatingUp is the smallest standard rating of a class that is at least a
// current, or false if none is made.
func NextRatingUp(class FuseClass, currentA float64) (ratedA float64, ok bool) {
	for _, r := range StandardRatings(class) {
		if r >= currentA {
			return r, true
		}
	}
	return 0, false
}

// NextRatingDown is the largest standard rating of a class that is at most a
// current, or false if none is made.
func NextRatingDown(class FuseClass, currentA float64) (ratedA float64, ok bool) {
	for _, r := range StandardRatings(class) {
		if r <= currentA {
			ratedA, ok = r, true
		}
	}
	return ratedA, ok
}
