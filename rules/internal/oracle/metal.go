package oracle

import (
	"strconv"
	"strings"
)

// joined is a union of terminals.
type joined struct{ up map[string]string }

func (j *joined) root(t string) string {
	for {
		next, ok := j.up[t]
		if !ok || next == t {
			return t
		}
		t = next
	}
}

func (j *joined) join(a, b string) {
	if x, y := j.root(a), j.root(b); x != y {
		j.up[x] = y
	}
}

func (j *joined) same(a, b string) bool { return j.root(a) == j.root(b) }

// joinWays joins the ways of each distribution block.
func (j *joined) joinWays(v *Vehicle, gone map[string]bool) {
	for _, id := range v.IDs("blocks") {
		for i, way := range v.ways(id) {
			if i > 0 && !gone[id] {
				j.join(v.ways(id)[0], way)
			}
		}
	}
}

// metal joins all terminals between which metal leads with everything closed:
// conductors, distribution blocks, fuses, contacts, shunts, and resistors that are no consumers.
func (v *Vehicle) metal() *joined { return v.metalWithout(nil) }

// names writes a set as a key.
func names(set map[string]bool) string {
	var out []string
	for _, id := range sortedKeys(set) {
		if set[id] {
			out = append(out, id)
		}
	}
	return strings.Join(out, " ")
}

// metalWithout leaves some parts and conductors out.
func (v *Vehicle) metalWithout(gone map[string]bool) *joined {
	return v.memo.metals.get(names(gone), func() *joined { return v.joinMetal(gone) })
}

func (v *Vehicle) joinMetal(gone map[string]bool) *joined {
	j := &joined{up: map[string]string{}}
	for _, id := range v.Conductors() {
		if !gone[id] {
			from, to := v.Ends(id)
			j.join(from, to)
		}
	}
	j.joinWays(v, gone)
	pairs := map[string][][2]string{
		"fuses": {{"a", "b"}}, "breakers": {{"a", "b"}, {"a2", "b2"}}, "cutouts": {{"a", "b"}}, "disconnects": {{"a", "b"}, {"a2", "b2"}}, "contactors": {{"a", "b"}},
		"relays": {{"common", "no"}, {"common", "nc"}}, "timers": {{"common", "no"}}, "resistors": {{"a", "b"}},
		"shunts": {{"a", "b"}, {"a", "sense_a"}, {"b", "sense_b"}},
	}
	for kind, ends := range pairs {
		for _, id := range v.IDs(kind) {
			if role := v.Text("resistors." + id + ".role"); gone[id] || role == "bleed" || role == "load" {
				continue
			}
			for _, e := range ends {
				j.join(id+"."+e[0], id+"."+e[1])
			}
		}
	}
	for _, id := range v.IDs("connectors") {
		for i := range v.contacts(id) {
			if end := strconv.Itoa(i + 1); !gone[id] && !gone[id+":"+end] {
				j.join(id+".a"+end, id+".b"+end)
			}
		}
	}
	for _, id := range v.IDs("switches") {
		for _, pole := range v.IDs("switches." + id + ".poles") {
			if !gone[id] && !gone[id+"."+pole] {
				j.join(id+"."+pole+"_a", id+"."+pole+"_b")
			}
		}
	}
	for _, id := range v.IDs("converters") {
		if !gone[id] && !v.True("converters."+id+".isolated") {
			j.join(id+".in_neg", id+".out_neg")
		}
	}
	return j
}

// potentials gives every pole of the metal its highest voltage against the
// lowest pole that its sources reach, V: pack and charger at their highest, and
// what regeneration adds over the battery's resistance.
func (v *Vehicle) potentials() (at map[string]float64, metal *joined) {
	metal = v.metal()
	type source struct {
		neg, pos string
		volts    float64
	}
	var sources []source
	regen := 0.0
	for _, mode := range v.Modes(false) {
		for _, id := range v.IDs("modes." + mode + ".draw") {
			regen = max(regen, v.Number("modes."+mode+".draw."+id+".regen_A", 0))
		}
	}
	for _, id := range v.IDs("batteries") {
		top := v.Number("batteries."+id+".max_V", 0)
		if v.Text("batteries."+id+".role") == "traction" {
			which := "typ"
			if v.severe {
				which = "max"
			}
			top += regen * v.BatteryResistance(id, which)
		}
		sources = append(sources, source{metal.root(id + ".neg"), metal.root(id + ".pos"), top})
	}
	for _, id := range v.IDs("chargers") {
		if len(v.At(id+".pos")) > 0 {
			sources = append(sources, source{metal.root(id + ".neg"), metal.root(id + ".pos"), v.Number("chargers."+id+".max_V", 0)})
		}
	}
	for _, id := range v.IDs("converters") {
		sources = append(sources, source{metal.root(id + ".out_neg"), metal.root(id + ".out_pos"), v.Number("converters."+id+".output.nominal_V", 0)})
	}
	for _, id := range v.IDs("solar") {
		path := "solar." + id + ".regulator"
		top := max(v.Number(path+".output_V", 0), v.Number(path+".without_battery_V", 0))
		sources = append(sources, source{metal.root(id + ".neg"), metal.root(id + ".pos"), top})
	}
	at = map[string]float64{}
	for range 40 { // longest way from the lowest pole; strings are short
		for _, s := range sources {
			at[s.pos] = max(at[s.pos], at[s.neg]+s.volts)
		}
		if len(sources) == 0 {
			break
		}
	}
	return at, metal
}

// Working is the highest voltage of the circuit that a terminal stands in, V:
// that of its own pole against the negative one or, on a negative pole, that of
// the positive pole above it.
func (v *Vehicle) Working(terminal string) float64 {
	at, metal := v.potentials()
	if u := at[metal.root(terminal)]; u > 0 {
		return u
	}
	best := 0.0
	for _, id := range v.IDs("batteries") {
		if metal.same(terminal, id+".neg") {
			best = max(best, at[metal.root(id+".pos")])
		}
	}
	for _, id := range v.IDs("converters") {
		if metal.same(terminal, id+".out_neg") {
			best = max(best, at[metal.root(id+".out_pos")])
		}
	}
	return best
}

// OneMetal reports whether metal joins two terminals with everything closed.
func (v *Vehicle) OneMetal(a, b string) bool { return v.metal().same(a, b) }

// FedWithout reports whether metal still feeds a terminal from a battery with
// one pole or part open.
func (v *Vehicle) FedWithout(open, terminal string) bool {
	metal := v.metalWithout(map[string]bool{open: true})
	for _, id := range v.IDs("batteries") {
		if metal.same(id+".pos", terminal) {
			return true
		}
	}
	return false
}
