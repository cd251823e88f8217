package calc

import "testing"

// (10 * 365.25 * 24 * 60)^(1/10) = 5 259 600^0.1 = 4.7004.
func TestLastingTestVoltage(t *testing.T) {
	near(t, "84 V", followed(t)(LastingTestVoltage(84), nil), 394.83, 0.05)
}
