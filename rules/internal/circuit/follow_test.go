package circuit

import (
	"testing"

	"example.org/headroom/schema"
)

// What a case has in common with the one that holds nothing is taken from there, to the
// last digit.
func TestFollowedSolutionIsTheSame(t *testing.T) {
	same, parted := 0, 0
	for _, path := range []string{"heron", "badger", "mole"} {
		targets, err := schema.Find([]string{"../../../testdata/fleet/" + path}, schema.Options{})
		if err != nil || len(targets) != 1 {
			t.Fatalf("%s: %d targets, %v", path, len(targets), err)
		}
		n := New(schema.Read(t.Context(), targets[0], schema.Options{}).Spec)
		var held []Case
		for _, coil := range n.plan().coils {
			held = append(held, Case{Waiting: coil.id})
		}
		for _, e := range n.Edges {
			if e.Kind == ContactEdge {
				held = append(held, Case{Closed: e.ID}, Case{Closed: e.ID, Waiting: e.Part, AllClosed: true})
			}
		}
		for _, mode := range append(n.Modes(), "") {
			for _, c := range held {
				for bits := range 8 {
					c.Mode, c.Start, c.House, c.NoDraw = mode, Start(bits&1), House(bits>>1&1), bits&4 != 0
					free := n.free(c)
					got, want := n.solve(c, free), n.solve(c, nil)
					if !alike(got, want) {
						t.Errorf("%s: another solution of %+v", path, c)
					}
					if got == free {
						same++
					} else if free != nil {
						parted++
					}
				}
			}
		}
	}
	if same == 0 || parted == 0 {
		t.Errorf("%d are those of the case that holds nothing, %d are not", same, parted)
	}
}
