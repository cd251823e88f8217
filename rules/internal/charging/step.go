package charging

import "math"

// Step is the step of the second significant digit of a positive value, to which an
// advised resistance or rating is rounded.
func Step(v float64) float64 { return math.Pow(10, math.Floor(math.Log10(v))-1) }
