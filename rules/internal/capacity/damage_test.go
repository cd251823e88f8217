package capacity_test

import (
	"math"
	"regexp"
	"strconv"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/capacity"
	"example.org/headroom/rules/ruletest"
)

// Cables of 35 mm2: XLPE by itself, in a sheath, and with a short-time limit of its own.
var cables = ruletest.Fixture{Text: `
headroom: 1
vehicle: {name: cables, use: off-road, chassis: isolated, ambient_C: {min: 20, max: 40}}
batteries: {pack: {role: traction, min_V: 40, nominal_V: 48, max_V: 56, resistance_mOhm: 10}}
loads: {lamp: {kind: resistive, power_W: 100, at_V: 48}}
wires:
  plain: {from: pack.pos, to: lamp.pos, size: 35 mm2, length_m: 1, insulation: {max_C: 90, material: XLPE}}
  sheathed: {from: pack.pos, to: lamp.pos, size: 35 mm2, length_m: 1, sheathed: true, insulation: {max_C: 90, material: XLPE}}
  weak: {from: pack.pos, to: lamp.pos, size: 35 mm2, length_m: 1, insulation: {max_C: 90, material: XLPE, short_time_C: 100}}
  gauge: {from: lamp.neg, to: pack.neg, size: 4 AWG, length_m: 1, sheathed: true, insulation: {max_C: 105, material: XLPE}}
modes: {on: {on: [lamp]}}
`}

// rated calls f with some conductors of the fixture.
func rated(t *testing.T, edits []rules.Edit, f func(p *rules.Pass, c *rules.Check, of func(id string) *capacity.Conductor)) {
	t.Helper()
	ran := false
	ruletest.Run(t, cables.Spec(t, edits...), []*rules.Rule{{ID: "probe", Family: "probe", Check: func(p *rules.Pass) {
		ran = true
		c := p.Subject("probe", "vehicle")
		f(p, c, func(id string) *capacity.Conductor {
			got, err := capacity.Derated(p, p.Subject(id, id).Working, id)
			if err != nil {
				t.Fatal(err)
			}
			return got
		})
	}}})
	if !ran {
		t.Fatal("the probe did not run")
	}
}

// A size is proposed with the same derating as that of the cable in its place, by
// either table.
func TestProposedSizesAreDerated(t *testing.T) {
	for policy, want := range map[string][2]string{`"heat-balance"`: {"35 mm2", "50 mm2"}, `"small-craft"`: {"4 AWG", "2 AWG"}} {
		rated(t, ruletest.Edits("policy.ampacity", policy), func(p *rules.Pass, _ *rules.Check, of func(string) *capacity.Conductor) {
			id := map[string]string{`"heat-balance"`: "sheathed", `"small-craft"`: "gauge"}[policy]
			k := of(id)
			if size, ok := k.ThinnestFor(p, k.IzA); !ok || size != want[0] {
				t.Errorf("%s: thinnest for the %v A of its own: %q, want %q", policy, k.IzA, size, want[0])
			}
			if size, ok := k.ThinnestFor(p, k.IzA*1.001); !ok || size != want[1] {
				t.Errorf("%s: thinnest for a little more: %q, want %q", policy, size, want[1])
			}
		})
	}
}

// The damage curve ends at the temperature that the 1.45 rule accepts, 40 C + 1.45^2 x 50 K
// = 145.1 C, but not above the short-time limit; a sheath makes another curve of it.
func TestDamageCurves(t *testing.T) {
	rated(t, nil, func(p *rules.Pass, c *rules.Check, of func(string) *capacity.Conductor) {
		var replicas capacity.Replicas
		for id, want := range map[string]float64{"plain": 40 + 1.45*1.45*50, "weak": 100} {
			d, err := replicas.Damage(of(id), c.Working)
			if err != nil {
				t.Fatal(err)
			}
			near(t, "end of the heating of "+id, d.OverloadC(), want, 1e-12)
			of(id).ExplainDamage(c.Working, d, 400)
			near(t, "in the working of "+id, last(c, "T_o").Value, want, 1e-12)
		}
		plain, _ := replicas.Damage(of("plain"), c.Working)
		sheathed, _ := replicas.Damage(of("sheathed"), c.Working)
		if a, b := plain.Time(400), sheathed.Time(400); !(b < a) {
			t.Errorf("400 A for %v s, in a sheath for %v s", a, b)
		}
	})
}

// Just beyond the 5 s without heat loss, at k2S2 / I^2 = 5.05 s, the heating to 145.1 C
// takes less than 5 s, which then count.
func TestDamageAtFiveSeconds(t *testing.T) {
	rated(t, nil, func(_ *rules.Pass, c *rules.Check, of func(string) *capacity.Conductor) {
		k := of("plain")
		d, err := k.Damage(c.Working)
		if err != nil {
			t.Fatal(err)
		}
		currentA := math.Sqrt(d.WithstandI2t() / 5.05)
		k.ExplainDamage(c.Working, d, currentA)
		bears := d.Time(currentA)
		if bears != 5 || last(c, "t_bear").Value != 5 {
			t.Errorf("bears it for %v s, in the working %v s, want 5 s", bears, last(c, "t_bear").Value)
		}
	})
}

// The pieces of Simpson's rule that a working shows add up to the time within 0.02 %, of
// which rounded terms take one half, even where the heating comes almost to a stop.
func TestTheHeatingAddsUp(t *testing.T) {
	rated(t, nil, func(_ *rules.Pass, c *rules.Check, of func(string) *capacity.Conductor) {
		k := of("plain")
		d, err := k.Damage(c.Working)
		if err != nil {
			t.Fatal(err)
		}
		h := d.Heating()
		steady := math.Sqrt(h.LossWm(d.OverloadC()) / h.OhmPerM(d.OverloadC())) // A that hold it there
		k.ExplainDamage(c.Working, d, 1.05*steady)
		bears := d.Time(1.05 * steady)
		numbers := last(c, "t_bear").Numbers
		var sum float64
		for _, term := range regexp.MustCompile(`(\d)/([\d.e+-]+)`).FindAllStringSubmatch(numbers, -1) {
			sum += number(t, term[1]) / number(t, term[2])
		}
		head := regexp.MustCompile(`^([\d.e+-]+) \* ([\d.e+-]+) / 3 \* \(`).FindStringSubmatch(numbers)
		if head == nil {
			t.Fatalf("working %q", numbers)
		}
		near(t, "by the working", number(t, head[1])*number(t, head[2])/3*sum, bears, 2e-4)
	})
}

func number(t *testing.T, text string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// last is the last step with a symbol.
func last(c *rules.Check, symbol string) (found rules.Step) {
	for _, s := range c.Steps() {
		if s.Symbol == symbol {
			found = s
		}
	}
	return found
}
