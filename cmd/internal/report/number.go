package report

import (
	"math"
	"strconv"
	"strings"

	"example.org/headroom/rules"
)

// nothing is below what any unit of the format can mean: what is left of a zero
// after rounding is written as one.
const nothing = 1e-12

// Number renders v with the given number of significant digits, without
// needless zeros, and as people write it: an exponent only outside 0.0001 to
// ten million, and no digit before the point rounded away.
func Number(v float64, digits int) string {
	switch {
	case math.IsNaN(v):
		return "unknown"
	case math.IsInf(v, 1):
		return "unlimited"
	case math.IsInf(v, -1):
		return "-unlimited"
	case math.Abs(v) < nothing:
		return "0"
	}
	// Rounding first decides the exponent: 9.9996 to four digits is 10.00.
	rounded, err := strconv.ParseFloat(strconv.FormatFloat(v, 'e', digits-1, 64), 64)
	if err != nil {
		rounded = v
	}
	exponent := int(math.Floor(math.Log10(math.Abs(rounded))))
	if exponent < -4 || exponent >= 7 {
		mantissa, power, _ := strings.Cut(strconv.FormatFloat(v, 'e', digits-1, 64), "e")
		n, _ := strconv.Atoi(power)
		return trimZeros(mantissa) + "e" + strconv.Itoa(n)
	}
	return trimZeros(strconv.FormatFloat(v, 'f', max(0, digits-1-exponent), 64))
}

// dataDigits is how many significant digits programs are told of a number: more than any
// datum has, and fewer than the arithmetic loses.
const dataDigits = 9

// Rounded is a number to nine significant digits; what rounding left of a zero is one.
func Rounded(v float64) float64 {
	if math.Abs(v) < nothing {
		return 0
	}
	rounded, err := strconv.ParseFloat(strconv.FormatFloat(v, 'g', dataDigits, 64), 64)
	if err != nil {
		return v
	}
	return rounded
}

// trimZeros cuts the zeros at the end of a decimal fraction.
func trimZeros(s string) string {
	if !strings.Contains(s, ".") {
		return s
	}
	return strings.TrimRight(strings.TrimRight(s, "0"), ".")
}

// Quantity renders a number with its unit to four significant digits.
func Quantity(q rules.Quantity) string {
	if q.Unit == "" {
		return Number(q.Value, 4)
	}
	return Number(q.Value, 4) + " " + q.Unit
}

// boundless is the headroom from which on the subject has no demand.
const boundless = 1e6

// Ratio renders a headroom with two decimals, rounded down: a headroom that
// misses its requirement by a hair must not print as if it met it.
func Ratio(v float64) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return Number(v, 4)
	}
	if v >= boundless {
		return "unlimited"
	}
	const hair = 1e-9 // what 1.1*1.15 differs from 1.265 by is not a miss
	return strconv.FormatFloat(math.Floor(v*100+hair)/100, 'f', 2, 64)
}

// Requirement renders a required headroom as [Ratio] renders a headroom, so that
// one that meets it never prints as the smaller number.
func Requirement(v float64) string { return Ratio(v) }

// Against renders a headroom with the required one. A miss too small for two
// decimals has four digits, for it must not print as if it were none.
func Against(res rules.Result) string {
	headroom, required := Ratio(res.Headroom), Requirement(res.Required)
	if res.Verdict == rules.Failed && headroom == required {
		headroom, required = Number(res.Headroom, 4), Number(res.Required, 4)
	}
	return headroom + " (required " + required + ")"
}

// Margin is how far a headroom is above (or, negative, below) the required
// one, as a fraction: 0.25 means that a quarter more than required is there.
func Margin(res rules.Result) float64 {
	if res.Required <= 0 {
		return res.Headroom - 1
	}
	return res.Headroom/res.Required - 1
}

// HasHeadroom reports whether the result compares a demand with a capability,
// rather than being a yes or a no.
func HasHeadroom(res rules.Result) bool {
	return !res.Verdict.Unmade() && (res.Headroom != 0 || res.Required > 0)
}

// Numbers renders the numbers of a result in one line: demand, capability,
// headroom, the required headroom, and the mode and corner they are taken in.
// It is "" for a yes-or-no result without numbers.
func Numbers(res rules.Result) string {
	var parts []string
	if HasHeadroom(res) {
		parts = append(parts, "demand "+Quantity(res.Demand)+", capability "+Quantity(res.Capability)+
			", headroom "+Against(res))
	}
	if res.Mode != "" {
		parts = append(parts, "mode "+res.Mode)
	}
	if res.Corner != "" {
		parts = append(parts, res.Corner)
	}
	return strings.Join(parts, "; ")
}
