package rules

import (
	"math"
	"strings"
)

// Amperes is a quantity in A.
func Amperes(v float64) Quantity { return Quantity{Value: v, Unit: "A"} }

// Volts is a quantity in V.
func Volts(v float64) Quantity { return Quantity{Value: v, Unit: "V"} }

// Kelvins is a quantity in K.
func Kelvins(v float64) Quantity { return Quantity{Value: v, Unit: "K"} }

// RoundUp is the next multiple of a step that is not below a value: a least
// rating to look for in a data sheet. The last digits of a double do not count.
func RoundUp(v, step float64) float64 { return roundTo(math.Ceil, v*(1-1e-9), step) }

// RoundDown is the next multiple of a step that is not above a value: a greatest
// rating to look for.
func RoundDown(v, step float64) float64 { return roundTo(math.Floor, v*(1+1e-9), step) }

// roundTo divides by the steps in one, so that tenths come out as tenths.
func roundTo(round func(float64) float64, v, step float64) float64 {
	if step >= 1 {
		return step * round(v/step)
	}
	perOne := math.Round(1 / step)
	return round(perOne*v) / perOne
}

// And joins names as in a sentence: "a, b and c".
func And(names []string) string {
	if last := len(names) - 1; last > 0 {
		return strings.Join(names[:last], ", ") + " and " + names[last]
	}
	return strings.Join(names, "")
}
