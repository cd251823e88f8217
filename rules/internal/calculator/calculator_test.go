package calculator

import (
	"math"
	"testing"
)

func TestCalculate(t *testing.T) {
	for text, want := range map[string]float64{
		"1 + 2 * 3":                    7,
		"-10 - -20":                    10,
		"2 (3 + 4)^2":                  98,
		"(0.5 (w1) + 1e-3 (k.a)) / 2":  0.2505,
		"max(1, sqrt(16), 2)":          4,
		"min(120, ln(2) * 2^-1)":       math.Ln2 / 2,
		"9 / (9.9601/1000)":            9 / 9.9601 * 1000,
		"2 sqrt(9) exp(0)":             6,
		"30 (pack, typical) + 1/4 + 1": 31.25,
	} {
		got, _, err := Calculate(text)
		if err != nil || math.Abs(got-want) > 1e-12*math.Abs(want) {
			t.Errorf("%s = %v, %v; want %v", text, got, err, want)
		}
	}
	for _, text := range []string{"", "1 +", "2 apples", "max(1", "1) + 2"} {
		if got, _, err := Calculate(text); err == nil {
			t.Errorf("%q = %v, want an error", text, got)
		}
	}
}

func TestFollow(t *testing.T) {
	for _, tc := range []struct {
		numbers string
		value   float64
		follows bool
	}{
		{"2 * 3.0001", 6.0005, true},
		{"2 * 3.0001", 6.01, false},
		{"100.01 - 100", 0.012, true}, // a small difference of two that were rounded
		{"100.01 - 100", 0.02, false},
		{"sqrt(1 - 2)", 0, false},
		{"", 1, false},
	} {
		if err := Follow(tc.numbers, tc.value); (err == nil) != tc.follows {
			t.Errorf("%q for %v: %v", tc.numbers, tc.value, err)
		}
	}
}
