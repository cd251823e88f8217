package calc

import (
	"math"
	"strings"
	"testing"
)

func TestConnectorExamples(t *testing.T) {
	seen := map[string]bool{}
	for _, r := range published(t, "worked_examples_2") {
		in := inputs{t: t, record: record{}}
		for _, pair := range strings.Split(r["inputs"], ";") {
			key, value, _ := strings.Cut(pair, "=")
			in.record[key] = value
		}
		// each compares a row of several values, position by position.
		each := func(key string, of func(x float64) float64) {
			want := strings.Split(r["expected"], "|")
			for i, x := range strings.Split(in.record[key], "|") {
				near(t, r["id"]+"/"+r["output"], of(record{"x": x}.num(t, "x")), record{"x": want[i]}.num(t, "x"), r.num(t, "tol_percent"))
			}
		}
		farad := func() float64 { return in.n("C_uF") / 1e6 }
		lead := func() float64 { return in.line(LeadTime(in.n("lead_mm"), in.n("speed_m_s"))) }
		cut := func() Cut {
			c, err := CutShort(in.n("V"), in.n("R_mohm")/1000, in.n("L_uH")/1e6, in.n("detect_us")/1e6)
			if err != nil {
				t.Fatal(err)
			}
			for _, s := range c.Steps() {
				follow(t, s.Line)
			}
			return c
		}
		known := true
		switch r["id"] + "/" + r["output"] {
		case "WF13/base", "WF13/at_80_percent":
			each("ambient_C", func(a float64) float64 {
				i := in.line(ContactAt(in.n("rated_A"), in.n("max_C"), in.n("rated_at_C"), a))
				if r["output"] == "base" {
					return i
				}
				return 0.8 * i
			})
		case "WF14/t60":
			compareWorked(t, r, in.line(FallTime(in.n("V"), 60, 1000*in.n("bleed_kohm"), farad())))
		case "WF15/lead_time", "WF17/lead_time":
			compareWorked(t, r, lead())
		case "WF16/energy":
			compareWorked(t, r, follow(t, StoredEnergy(in.n("V"), farad())))
		case "WF17/left":
			compareWorked(t, r, in.line(LeftAfter(in.n("V"), lead()/1000, in.n("R_ohm"), farad())))
		case "WF21/channel_W":
			compareWorked(t, r, follow(t, ChannelHeat(in.n("I"), in.n("R_on_mohm"))))
		case "WF21/diode_W":
			compareWorked(t, r, follow(t, DiodeHeat(in.n("I"), in.n("diode_V"))))
		case "WF62/di_dt":
			compareWorked(t, r, cut().AmperesPerS/1e6)
		case "WF62/current":
			compareWorked(t, r, cut().A)
		case "WF62/energy_at_opening":
			compareWorked(t, r, cut().J)
		default:
			known = false
		}
		seen[r["id"]+"/"+r["output"]] = known
	}
	for _, id := range []string{"WF13/base", "WF13/at_80_percent", "WF14/t60", "WF15/lead_time", "WF16/energy", "WF17/lead_time", "WF17/left",
		"WF21/channel_W", "WF21/diode_W", "WF62/di_dt", "WF62/current", "WF62/energy_at_opening"} {
		if !seen[id] {
			t.Errorf("%s is not in the table", id)
		}
	}
}

// No inductance of a range stores more than the one that is chosen, at either end of it
// or between.
func TestMostStored(t *testing.T) {
	stored := func(henry, s float64) float64 {
		c, err := CutShort(58.4, 0.0115, henry, s)
		if err != nil {
			t.Fatal(err)
		}
		return c.J
	}
	for _, s := range []float64{20e-6, 100e-6, 200e-6, 2e-3} {
		const least, most = 1.1e-6, 3.2e-6
		best := MostStored(0.0115, s, least, most)
		if best < least || best > most {
			t.Errorf("%g us: %g uH is out of the range", 1e6*s, 1e6*best)
		}
		for henry := least; henry <= most; henry += 0.05e-6 {
			if x := stored(henry, s); x > stored(best, s)*(1+1e-9) {
				t.Errorf("%g us: %g uH stores %g J, %g uH only %g J", 1e6*s, 1e6*henry, x, 1e6*best, stored(best, s))
			}
		}
	}
	// 100 us at 11.5 mOhm: 0.92 uH lies below the range, so its lower end: 6 J by hand,
	// where its upper end has 3.9 J.
	near(t, "lower end", stored(MostStored(0.0115, 100e-6, 1.075e-6, 3.15e-6), 100e-6), 6.0, 1)
}

func TestContactBeyondItsLimit(t *testing.T) {
	near(t, "120 uOhm", follow(t, MicroOhm(120)), 0.12, 1e-12)
	if l, err := ContactAt(120, 105, 60, 110); err != nil || l.Value != 0 {
		t.Errorf("air hotter than its limit: %v A, %v", l.Value, err)
	}
	if l, err := ContactAt(120, 105, 60, 20); err != nil || l.Value != 120 {
		t.Errorf("cold air does not raise the rating: %v A, %v", l.Value, err)
	}
	if _, err := ContactAt(120, 60, 60, 20); err == nil {
		t.Error("rated at its own limit")
	}
	if l, err := FallTime(50, 60, 3300, 0.0033); err != nil || l.Value != 0 {
		t.Errorf("below the end: %v s, %v", l.Value, err)
	}
	if l, err := LeftAfter(58.4, 0, 5.6, 0.0033); err != nil || math.Abs(l.Value-58.4) > 1e-9 {
		t.Errorf("no time: %v V, %v", l.Value, err)
	}
}
