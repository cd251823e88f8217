// Package fuse holds the rules of the fuse family: what a fuse must interrupt,
// what it must carry, and which conductors it protects, by its curve and not
// only by its rating.
package fuse

import "example.org/headroom/rules"

// family is what the rules of this package belong to.
const family = "fuse"

// Rules lists the rules of the family.
func Rules() []*rules.Rule {
	return []*rules.Rule{
		voltageACOnly(),
		voltageLow(),
		breakingLow(),
		overloaded(),
		opensInUse(),
		fatigued(),
		aboveAmpacity(),
		withstandShort(),
		slowerThanDamage(),
		farFaultSlow(),
		cannotOpen(),
		belowBreakingMinimum(),
		notSelective(),
		controllerMismatch(),
		holderOverloaded(),
		holderVoltageLow(),
		spareMissing(),
		unreachable(),
		aboveContact(),
		internalBreakingLow(),
		internalOpensFirst(),
		inEarthedPole(),
		inParallel(),
		curveUnlikeRating(),
		breakerVoltageLow(),
		breakerBreakingLow(),
		breakerReversed(),
		breakerOverloaded(),
		breakerTripsInUse(),
		breakerResetsItself(),
		breakerNotTripFree(),
		breakerSupplementary(),
		breakerSlowerThanFuse(),
	}
}
