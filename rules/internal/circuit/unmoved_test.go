package circuit_test

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"example.org/headroom/rules/internal/circuit"
)

// sagging is a vehicle of relays, each with a lamp behind it, on a rail that sags with what
// they draw: some coils release for it, some lamps are behind another's contact, and some
// coils.
func sagging(r *rand.Rand, relays int) string {
	within := func(least, most float64) float64 { return least + (most-least)*r.Float64() }
	var parts, loads, wires strings.Builder
	var on []string
	for i := range relays {
		release := within(2, 20)
		if r.IntN(4) == 0 {
			release = within(30, 46)
		}
		fmt.Fprintf(&parts, "  r%d: {form: no, contact: {carry_A: 10}, coil: {nominal_V: 48, operate_V: %.2f, release_V: %.2f, resistance_Ohm: 2000}}\n",
			i, within(max(24, release+0.1), 47), release)
		fmt.Fprintf(&loads, "  lamp%d: {kind: led, power_W: %.1f, at_V: 48, min_V: %.1f}\n", i, within(5, 60), within(20, 40))
		on = append(on, fmt.Sprint("lamp", i))
		coil, lamp := "rail.stud", fmt.Sprintf("r%d.no", i)
		switch r.IntN(8) {
		case 0:
			coil = fmt.Sprintf("r%d.no", r.IntN(relays))
		case 1:
			lamp = fmt.Sprintf("r%d.no", r.IntN(relays))
		}
		for k, w := range [][2]string{{"rail.stud", fmt.Sprintf("r%d.common", i)}, {lamp, fmt.Sprintf("lamp%d.pos", i)}, {fmt.Sprintf("lamp%d.neg", i), "back.stud"},
			{coil, fmt.Sprintf("r%d.coil_pos", i)}, {fmt.Sprintf("r%d.coil_neg", i), "back.stud"}} {
			fmt.Fprintf(&wires, "  w%d_%d: {from: %s, to: %s, size: 1.5 mm2, length_m: %.2f}\n", i, k, w[0], w[1], within(0.2, 2))
		}
	}
	return fmt.Sprintf(`
headroom: 1
vehicle: {name: Sagging, use: off-road, chassis: isolated}
batteries:
  p: {role: traction, min_V: 40, nominal_V: 48, max_V: 56, resistance_mOhm: %.0f}
  house: {role: auxiliary, min_V: 10, nominal_V: 12, max_V: 14, resistance_mOhm: 20}
converters:
  x: {input: {min_V: %.2f, max_V: 60}, output: {nominal_V: 13, continuous_A: %.1f, at_limit: constant-current}, isolated: true}
studs: {rail: {}, back: {}, second: {}}
loads:
  steady: {kind: led, power_W: 60, at_V: 12}
%srelays:
%swires:
  plus: {from: p.pos, to: rail.stud, size: 2.5 mm2, length_m: %.1f}
  minus: {from: back.stud, to: p.neg, size: 2.5 mm2, length_m: %.1f}
  in: {from: rail.stud, to: x.in_pos, size: 2.5 mm2, length_m: 1}
  in_neg: {from: x.in_neg, to: back.stud, size: 2.5 mm2, length_m: 1}
  out: {from: x.out_pos, to: steady.pos, size: 2.5 mm2, length_m: 1}
  out_neg: {from: steady.neg, to: x.out_neg, size: 2.5 mm2, length_m: 1}
  aux: {from: house.pos, to: steady.pos, size: 2.5 mm2, length_m: 1}
  aux_neg: {from: steady.neg, to: house.neg, size: 2.5 mm2, length_m: 1}
%smodes: {on: {on: [%s, steady]}}
`, within(20, 400), within(30, 47), within(3, 10), loads.String(), parts.String(), within(1, 20), within(1, 20), wires.String(), strings.Join(on, ", "))
}

// Where the case in which a relay does not wait is said to tell of the one in which it does,
// the same is closed, and coils have the same voltage but for a little.
func TestUnmovedSolutionsCloseTheSame(t *testing.T) {
	known, moved := 0, 0
	for seed := range uint64(200) {
		r := rand.New(rand.NewPCG(seed, 1))
		n := spec(t, sagging(r, 6))
		for i := range 6 {
			waits := fmt.Sprint("r", i)
			c := circuit.Case{Mode: "on", Waiting: waits, Start: circuit.FromOpen}
			got, want := n.Unmoved(c), n.Solve(c)
			free := n.Solve(circuit.Case{Mode: "on", Start: circuit.FromOpen})
			var differs []string
			look := func(s *circuit.Solution) []string {
				if !slices.Equal(s.ConvertersOn, want.ConvertersOn) || s.Failed != want.Failed || !slices.Equal(s.Chatter, want.Chatter) {
					differs = append(differs, "what runs")
				}
				for _, e := range n.Edges {
					if e.Kind == circuit.ContactEdge && e.Part != waits && s.Closed(e.ID) != want.Closed(e.ID) {
						differs = append(differs, e.ID)
					}
					if e.Kind == circuit.CoilEdge {
						a, _ := s.Across(e.Part+".coil_pos", e.Part+".coil_neg")
						b, _ := want.Across(e.Part+".coil_pos", e.Part+".coil_neg")
						if a-b > 0.1*b+1e-6 || b-a > 0.1*b+1e-6 {
							differs = append(differs, fmt.Sprintf("%s: %g V, %g V", e.ID, a, b))
						}
					}
				}
				return differs
			}
			if got != nil {
				known++
				if look(got); len(differs) > 0 {
					t.Errorf("seed %d: %s: %s", seed, waits, differs)
				}
			} else if look(free); len(differs) > 0 {
				moved++
			}
		}
	}
	if known < 50 || moved < 50 {
		t.Errorf("%d are known, of the others %d differ", known, moved)
	}
}
