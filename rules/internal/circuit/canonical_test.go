package circuit

import (
	"slices"
	"testing"

	"example.org/headroom/schema"
)

// A case and the one that stands for it are the same circuit, to the last digit.
func TestCanonicalCaseIsTheSameCircuit(t *testing.T) {
	fewer := 0
	for _, path := range []string{"fleet/heron", "first/first.yaml"} {
		targets, err := schema.Find([]string{"../../../testdata/" + path}, schema.Options{})
		if err != nil || len(targets) != 1 {
			t.Fatalf("%s: %d targets, %v", path, len(targets), err)
		}
		n := New(schema.Read(t.Context(), targets[0], schema.Options{}).Spec)
		seen := map[Case]bool{}
		cases := 0
		for _, mode := range append(n.Modes(), "") {
			for bits := 0; bits < 256; bits += 3 {
				c := Case{Mode: mode, House: House(bits & 1), Auxiliary: Supply(bits % 3), Pack: Supply(bits / 2 % 3), Coil: Coil(bits / 4 % 3),
					Resistance: Bound(bits / 5 % 3), Start: Start(bits >> 1 & 1), NoDraw: bits&4 != 0, NoLoads: bits&8 != 0, NoInputs: bits&16 != 0,
					AllClosed: bits&32 != 0, NoAuxiliary: bits&64 != 0, NoChargers: bits&128 != 0}
				if bits%7 == 0 {
					c.Waiting = "k1 main"
				}
				as := n.canonical(c)
				if again := n.canonical(as); again != as {
					t.Errorf("%s: the canonical case of %+v is %+v, of that %+v", path, c, as, again)
				}
				cases++
				seen[as] = true
				if got, want := n.solve(as, nil), n.solve(c, nil); !alike(got, want) {
					t.Errorf("%s: %+v is not the circuit of %+v", path, as, c)
				}
			}
		}
		if len(seen) < cases {
			fewer++
		}
	}
	if fewer == 0 {
		t.Error("no two cases are one")
	}
}

// alike reports whether two solutions hold the same, but for the case.
func alike(a, b *Solution) bool {
	return a.Failed == b.Failed && slices.Equal(a.Chatter, b.Chatter) && slices.Equal(a.Collapsed, b.Collapsed) &&
		slices.Equal(a.Waiting, b.Waiting) && slices.Equal(a.Limiting, b.Limiting) && slices.Equal(a.ConvertersOn, b.ConvertersOn) &&
		slices.Equal(a.v, b.v) && slices.Equal(a.i, b.i) && slices.Equal(a.operated, b.operated) && slices.Equal(a.closed, b.closed) &&
		slices.Equal(a.together, b.together) && slices.Equal(a.restless, b.restless)
}

// The first of the modes that the case makes alike stands for them.
func TestFirstModeAlike(t *testing.T) {
	forward := func(a float64) map[string]*schema.Draw {
		return map[string]*schema.Draw{"drive": {CurrentA: schema.Some(a)}}
	}
	n := New(&schema.Spec{Modes: map[string]*schema.Mode{
		"a":    {Closed: []string{"s1", "s2"}, Draw: forward(20)},
		"b":    {Closed: []string{"s1", "s2"}, Draw: forward(30)},
		"c":    {Closed: []string{"s1", "s2"}, Draw: forward(20)},
		"d":    {Closed: []string{"s1"}, On: []string{"lamp"}},
		"e":    {On: []string{"lamp"}},
		"f":    {Connected: []string{"lamp"}},
		"g":    {Draw: map[string]*schema.Draw{"other": {CurrentA: schema.Some(20.0)}}},
		"none": {},
	}})
	for _, test := range []struct {
		c    Case
		want string
	}{
		{Case{Mode: "a"}, "a"},
		{Case{Mode: "b"}, "b"},
		{Case{Mode: "c"}, "a"},
		{Case{Mode: "b", NoDraw: true}, "a"},
		{Case{Mode: "b", AllClosed: true}, "b"},
		{Case{Mode: "b", AllClosed: true, NoDraw: true}, ""},
		{Case{Mode: "e"}, "e"},
		{Case{Mode: "e", AllClosed: true, NoDraw: true}, "d"},
		{Case{Mode: "e", NoLoads: true}, ""},
		{Case{Mode: "f"}, "f"},
		{Case{Mode: "f", NoChargers: true}, ""},
		{Case{Mode: "g"}, "g"},
		{Case{Mode: "g", NoDraw: true}, ""},
		{Case{Mode: "none"}, ""},
		{Case{}, ""},
	} {
		if got := n.canonical(test.c).Mode; got != test.want {
			t.Errorf("%+v: %q stands for it, want %q", test.c, got, test.want)
		}
	}
}
