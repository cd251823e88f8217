package calc

import (
	"math"
	"strconv"
	"strings"
)

// Figure renders a number for a message: four significant digits, no exponent
// where a person would not write one.
func Figure(v float64) string { return figure(v, 4) }

// Term renders a number that is put into a formula of a working: five
// significant digits, as many as the value of a step shows, so that a reader
// who follows it with a calculator comes to the same value.
func Term(v float64) string { return figure(v, 5) }

// nothing is below what any unit of the format can mean: what is left of a zero
// after rounding is written as one.
const nothing = 1e-12

func figure(v float64, digits int) string {
	switch a := math.Abs(v); {
	case math.IsInf(v, 0):
		return "unlimited"
	case a < nothing:
		return "0"
	case a >= 1e7 || a < 1e-4:
		mantissa, power, _ := strings.Cut(strconv.FormatFloat(v, 'e', digits-1, 64), "e")
		n, _ := strconv.Atoi(power) // formatted just above
		return trimZeros(mantissa) + "e" + strconv.Itoa(n)
	default:
		return trimZeros(strconv.FormatFloat(v, 'f', decimals(a, digits), 64))
	}
}

// decimals is how many decimals give a number of significant digits.
func decimals(a float64, digits int) int {
	if a == 0 {
		return 0
	}
	return max(0, digits-1-int(math.Floor(math.Log10(a))))
}

func trimZeros(s string) string {
	dot := -1
	for i, c := range s {
		if c == '.' {
			dot = i
		}
	}
	if dot < 0 {
		return s
	}
	end := len(s)
	for s[end-1] == '0' {
		end--
	}
	if s[end-1] == '.' {
		end--
	}
	return s[:end]
}
