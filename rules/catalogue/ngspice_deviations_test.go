package catalogue_test

import (
	"maps"
	"math"
	"slices"
	"sync"
	"testing"
)

// deviations collects how far rules and simulator differ, by quantity.
type deviations struct {
	sync.Mutex
	of map[string]*deviation
}

type deviation struct {
	count       int
	least, most float64
	leastOf     string
	mostOf      string
}

// note adds one: what the rule says over what the simulator says, less 1.
func (d *deviations) note(quantity, subject string, share float64) {
	d.Lock()
	defer d.Unlock()
	if d.of == nil {
		d.of = map[string]*deviation{}
	}
	x := d.of[quantity]
	if x == nil {
		x = &deviation{least: math.Inf(1), most: math.Inf(-1)}
		d.of[quantity] = x
	}
	x.count++
	if share < x.least {
		x.least, x.leastOf = share, subject
	}
	if share > x.most {
		x.most, x.mostOf = share, subject
	}
}

func (d *deviations) log(t *testing.T) {
	for _, quantity := range slices.Sorted(maps.Keys(d.of)) {
		x := d.of[quantity]
		t.Logf("%-55s %3d compared, %+.3f %% (%s) to %+.3f %% (%s)", quantity, x.count, 100*x.least, x.leastOf, 100*x.most, x.mostOf)
	}
}
