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

// No inductance of a range gives the switch more than the one that is chosen, at either end
// of it or between.
func TestMostClamped(t *testing.T) {
	into := func(henry, s float64) float64 {
		return must[Clamped](t)(must[Cut](t)(CutShort(58.4, 0.0115, henry, s)).Clamp(100)).J
	}
	const least, most = 1.1e-6, 3.2e-6
	seen := map[string]bool{}
	for _, s := range []float64{20e-6, 100e-6, 200e-6, 300e-6, 2e-3} {
		best := MostClamped(58.4, 0.0115, 100, s, least, most)
		switch {
		case best < least || best > most:
			t.Errorf("%g us: %g uH is out of the range", 1e6*s, 1e6*best)
		case best == least:
			seen["least"] = true
		case best == most:
			seen["most"] = true
		default:
			seen["between"] = true
		}
		for henry := least; henry <= most; henry += 0.05e-6 {
			if x := into(henry, s); x > into(best, s)*(1+1e-9) {
				t.Errorf("%g us: %g uH gives %g J, %g uH only %g J", 1e6*s, 1e6*henry, x, 1e6*best, into(best, s))
			}
		}
	}
	if len(seen) != 3 {
		t.Errorf("of the ends of the range and what is between only %v are tried", seen)
	}
}

// The closed form is the sum of V_br i dt in small steps; with next to no resistance it is
// L I^2 / 2 times V_br / (V_br - V).
func TestClamp(t *testing.T) {
	for _, tt := range []struct{ volt, ohm, henry, s, breakV float64 }{
		{58.4, 0.0115, 3.2e-6, 200e-6, 100}, {58.4, 0.03, 3e-6, 200e-6, 80}, {84, 0.02, 5e-6, 100e-6, 85}, {84, 1e-7, 5e-6, 20e-6, 120},
	} {
		cut := must[Cut](t)(CutShort(tt.volt, tt.ohm, tt.henry, tt.s))
		k := must[Clamped](t)(cut.Clamp(tt.breakV))
		for _, s := range append(cut.Steps(), k.Steps()...) {
			follow(t, s.Line)
		}
		sum, i, dt := 0.0, cut.A, 1e-9
		for i > 0 {
			next := i + (tt.volt-tt.breakV-tt.ohm*i)/tt.henry*dt
			sum += tt.breakV * (i + max(next, 0)) / 2 * dt
			i = next
		}
		near(t, "sum", k.J, sum, 0.001*sum)
		if tt.ohm < 1e-6 {
			near(t, "without resistance", k.J, cut.J*tt.breakV/(tt.breakV-tt.volt), 1e-3*k.J)
		}
	}
	if _, err := must[Cut](t)(CutShort(58.4, 0.03, 3e-6, 200e-6)).Clamp(58.4); err == nil {
		t.Error("a clamp at the battery's own voltage ends no current")
	}
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
