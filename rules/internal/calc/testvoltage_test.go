package calc

import "testing"

// WF51 of the worked examples: 84 V ask for 1168 V.
func TestBasicTestVoltage(t *testing.T) {
	for _, c := range []struct{ working, test float64 }{{84, 1168}, {60, 1120}, {110, 1220}} {
		l, err := BasicTestVoltage(c.working)
		if err != nil || l.Value != c.test {
			t.Errorf("%v V: %v V, %v, want %v V", c.working, l.Value, err, c.test)
		}
		follow(t, l)
	}
	if _, err := BasicTestVoltage(-1); err == nil {
		t.Error("a voltage below nothing")
	}
}
