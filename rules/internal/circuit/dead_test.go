package circuit

import (
	"testing"

	"example.org/headroom/schema"
)

// What is said to be dead has no voltage in the solution, and many a coil is said to be.
func TestDeadElementsHaveNoVoltage(t *testing.T) {
	dead, live := 0, 0
	for _, path := range []string{"heron", "badger", "mole"} {
		targets, err := schema.Find([]string{"../../../testdata/fleet/" + path}, schema.Options{})
		if err != nil || len(targets) != 1 {
			t.Fatalf("%s: %d targets, %v", path, len(targets), err)
		}
		n := New(schema.Read(t.Context(), targets[0], schema.Options{}).Spec)
		cases := []Case{{AllClosed: true}, {AllClosed: true, NoDraw: true, NoChargers: true}}
		for _, mode := range n.Modes() {
			cases = append(cases, Case{Mode: mode, Pack: Highest}, Case{Mode: mode, NoDraw: true, Start: FromOpen}, Case{Mode: mode, House: Alone, NoChargers: true})
			for _, e := range n.Edges {
				if e.Kind == SwitchEdge || e.Kind == FuseEdge {
					cases = append(cases, Case{Mode: mode, Open: e.ID, NoDraw: true})
				}
			}
		}
		for _, c := range cases {
			s := n.Solve(c)
			for _, e := range n.Edges {
				if e.IsConductor() || s.Failed != "" {
					continue
				}
				switch v := felt(s.over(e)); {
				case !n.Dead(e.ID, c):
					live++
				case v != 0 && !n.carriesNothing(e):
					t.Errorf("%s: %s is dead in %+v, and has %g V", path, e.ID, c, v)
				default:
					dead++
				}
			}
		}
	}
	if dead == 0 || live == 0 {
		t.Errorf("%d elements are dead, %d are not known to be", dead, live)
	}
}
