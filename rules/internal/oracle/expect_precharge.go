package oracle

import (
	"math"
	"strings"
)

// charge is a pre-charge circuit: its resistor, the contactor that waits for it
// and the controller whose capacitors it fills.
type charge struct {
	resistor, contactor, controller string
	ohms, farads, bleed, volts      float64
	wait                            float64 // s
}

// charges finds the pre-charge circuits of a vehicle with one controller.
func (v *Vehicle) charges() []charge {
	var out []charge
	for _, r := range v.IDs("resistors") {
		if v.Text("resistors."+r+".role") != "precharge" {
			continue
		}
		for _, c := range v.IDs("controllers") {
			path := "controllers." + c
			one := charge{
				resistor: r, controller: c,
				ohms:   v.Number("resistors."+r+".resistance_Ohm", 0),
				farads: v.Number(path+".capacitance_uF", 0) / 1e6,
				bleed:  v.Number(path+".bleed_kOhm", 1e9) * 1000,
				volts:  v.packVolts("max_V"),
			}
			for _, k := range v.IDs("contactors") {
				if wait := v.wait(k); wait > 0 {
					one.contactor, one.wait = k, wait
				}
			}
			out = append(out, one)
		}
	}
	return out
}

// wait is how long a contactor waits for its pre-charge, s: as declared, or as long as
// its timer is set to.
func (v *Vehicle) wait(contactor string) float64 {
	path := "contactors." + contactor
	if device := v.Text(path + ".closes.device"); device != "" {
		return v.Number("timers."+device+".set_s", 0)
	}
	return v.Number(path+".closes_after_s", 0)
}

// reaches is the share of the supply on the capacitors after a time.
func (c charge) reaches(seconds float64) float64 {
	share := c.bleed / (c.bleed + c.ohms)
	return share * (1 - math.Exp(-seconds/(c.ohms*share*c.farads)))
}

// energy is what the resistor takes until the contactor closes, J.
func (c charge) energy() float64 {
	whole := c.farads * c.volts * c.volts / 2
	if c.contactor == "" {
		return whole
	}
	return whole * (1 - math.Exp(-2*c.wait/(c.ohms*c.farads)))
}

func prechargeExpectations() map[string]Expectation {
	// about finds the circuit that a subject, resistor, contactor or
	// controller, belongs to.
	about := func(expect func(*Vehicle, charge) float64) Expectation {
		return func(v *Vehicle, subject string) float64 {
			for _, c := range v.charges() {
				if subject == c.resistor || subject == c.contactor || subject == c.controller {
					return expect(v, c)
				}
			}
			return math.NaN()
		}
	}
	return map[string]Expectation{
		"precharge-stalls": about(func(v *Vehicle, c charge) float64 {
			return 0.9 / (c.bleed / (c.bleed + c.ohms))
		}),
		"precharge-incomplete": about(func(v *Vehicle, c charge) float64 {
			return (1 - c.reaches(c.wait)) / (v.Number("policy.precharge_left_percent", 10) / 100)
		}),
		"precharge-pulse-high": about(func(v *Vehicle, c charge) float64 {
			return over(c.energy(), v.Number("resistors."+c.resistor+".pulse_J", math.NaN()))
		}),
		"precharge-attempts-hot": about(func(v *Vehicle, c charge) float64 {
			path := "resistors." + c.resistor
			pulse, watts := v.Number(path+".pulse_J", math.NaN()), v.Number(path+".power_W", math.NaN())
			energy, n := c.energy(), v.Number("policy.precharge_attempts", 3)
			q := math.Exp(-60 / n / (pulse / watts))
			return energy * (1 - math.Pow(q, n)) / (1 - q) / pulse
		}),
		"contactor-bypassed": about(func(v *Vehicle, c charge) float64 {
			if len(v.At(c.resistor+".a")) == 0 || len(v.At(c.resistor+".b")) == 0 {
				return math.NaN()
			}
			for _, wire := range append(v.At(c.resistor+".a"), v.At(c.resistor+".b")...) {
				from, to := v.Ends(wire)
				for _, end := range []string{from, to} {
					if part, _, _ := strings.Cut(end, "."); v.Kind(part) == "relays" {
						return 0 // the relay opens with the key
					}
				}
			}
			return c.volts / c.ohms / v.Number("policy.precharge_bypass_A", 1)
		}),
		"precharge-voltage-low": about(func(v *Vehicle, c charge) float64 {
			return over(c.volts, v.Number("resistors."+c.resistor+".max_V", 0))
		}),
		"precharge-short-burns": about(func(v *Vehicle, c charge) float64 {
			path := "resistors." + c.resistor
			pulse, watts := v.Number(path+".pulse_J", math.NaN()), v.Number(path+".power_W", math.NaN())
			heat := c.volts * c.volts / c.ohms
			if v.True(path + ".permanent") {
				return heat / watts
			}
			tau := pulse / watts
			return min(heat/watts, heat*tau*(1-math.Exp(-c.wait/tau))/pulse)
		}),
		"precharge-stays-live": func(v *Vehicle, subject string) float64 {
			most := 0.0
			for _, c := range v.charges() {
				for _, mode := range v.Modes(false) {
					s := v.Solve(Case{Mode: mode, Supply: "full", Copper: 20, Idle: true})
					if c.contactor != "" && !s.Closed(c.contactor) {
						most = max(most, s.Volts(c.controller+".pos", c.controller+".neg"))
					}
				}
			}
			return most / v.Number("policy.live_V", 5)
		},
		"precharge-missing": func(v *Vehicle, subject string) float64 {
			for _, c := range v.charges() {
				if len(v.At(c.resistor+".a")) > 0 && len(v.At(c.resistor+".b")) > 0 {
					return 0
				}
			}
			for _, k := range v.IDs("contactors") {
				for _, c := range v.IDs("controllers") {
					if amps := v.Number("contactors."+k+".contact.make_A", 0); v.wait(k) > 0 && amps > 0 {
						return v.inrushOf(c, 1) / amps
					}
				}
			}
			return math.NaN()
		},
		"discharge-wait": func(v *Vehicle, subject string) float64 {
			worst := 0.0
			for _, c := range v.charges() {
				if v.severe {
					c.volts = v.Working(c.controller + ".pos")
				}
				if c.volts > 60 {
					// 1.3 for the tolerances of capacitor and resistor: common practice.
					worst = max(worst, 1.3*c.bleed*c.farads*math.Log(c.volts/60)/v.Number("policy.discharge_s", 60))
				}
			}
			return worst
		},
	}
}
