// Package controller holds the rules of the controller family: whether a motor
// controller and its battery fit each other, in voltage and in current, driving
// and braking.
package controller

import "example.org/headroom/rules"

// family is what the rules of this package belong to.
const family = "controller"

// Rules lists the rules of the family.
func Rules() []*rules.Rule {
	return []*rules.Rule{
		controllerVoltageHigh(),
		controllerVoltageLow(),
		controllerUndervoltage(),
		controllerCurrentHigh(),
		controllerAboveBattery(),
		regenerationHigh(),
		regenerationBlocked(),
		brakingLost(),
	}
}
