package fuse

import (
	"example.org/headroom/rules/circuit"
	"example.org/headroom/rules/ruletest"
	"fmt"
	"testing"
)

func TestProbe(t *testing.T) {
	for _, v := range []string{"heron", "mole", "badger"} {
		s := ruletest.Edited(t, v, nil)
		n := circuit.New(s)
		g := n.Guards()
		for id := range s.Conductors() {
			for _, x := range g[id] {
				fmt.Println(v, id, x.Source.ID, x.Side, n.Terminals(x.Near)[0], "->", n.Terminals(x.Far)[0], x.Fuses, x.Exposed, x.Resistor, len(x.Returns))
			}
		}
	}
}
