package ruletest

import (
	"encoding/json"
	"strconv"
)

// Growths are generated vehicles of which one thing is many, by what that is.
// Each is a pack with its fuse, an isolator and a converter for the house network
// with its battery, and grows evenly: studs in a row, twenty branches on each. For
// benchmarks; Generated is the one of which conductors are many.
var Growths = map[string]func(n int) []byte{
	"consumers":  Consumers,
	"contactors": Contactors,
	"diodes":     Diodes,
	"modes":      Modes,
}

// Consumers returns a vehicle with some number of consumers, all of them on in one
// mode, that hang on one pair of studs each twenty behind the main fuse alone.
func Consumers(n int) []byte {
	g := newGrowth()
	g.plus, g.minus = g.hub("t", "isolator.b", "pack.neg")
	for i := range n {
		plus, minus := g.studs()
		g.lamp(i, plus, minus)
		g.tree["loads"].(object)[name("l", i)] = object{"kind": "electronic", "power_W": 5, "at_V": 48, "min_V": 36, "max_V": 72}
	}
	return g.json()
}

// Contactors returns a vehicle with some number of contactors, each with a fused
// lamp behind it. Their coils hang on the key, four on a fuse.
func Contactors(n int) []byte {
	g := newGrowth()
	coils := ""
	for i := range n {
		plus, minus := g.studs()
		if i%4 == 0 {
			coils = g.switched(i, plus)
		}
		id := name("k", i)
		g.part("contactors", id, object{
			"contact": object{"carry_A": 20, "rated_V_dc": 60, "make_A": 60, "break": []object{{"V": 60, "A": 40}}},
			"coil": object{"nominal_V": 12, "operate_V": 7, "release_V": 1.2, "max_V": 18, "resistance_Ohm": 150, "rise_K": 30,
				"suppression": "diode+zener", "clamp_V": 24}})
		g.wire("wk"+strconv.Itoa(i), coils, id+".coil_pos", "1.5 mm2", 0.5)
		g.wire("wn"+strconv.Itoa(i), id+".coil_neg", minus, "1.5 mm2", 0.5)
		g.wire("wp"+strconv.Itoa(i), g.fuse(name("fk", i), plus), id+".a", "1.5 mm2", 0.5)
		g.lamp(i, id+".b", minus)
	}
	return g.json()
}

// Diodes returns a vehicle with some number of diodes: lamps that two switches
// feed, each through a diode of its own.
func Diodes(n int) []byte {
	g := newGrowth()
	for i := 0; i < n; i += 2 {
		plus, minus := g.studs()
		a, b := g.switched(i, plus), g.switched(i+1, plus)
		g.lamp(i, g.diode(i, a), minus)
		g.wire("wy"+strconv.Itoa(i), g.diode(i+1, b), name("l", i)+".pos", "1.5 mm2", 0.5)
	}
	return g.json()
}

// Modes returns a vehicle with some number of modes, in each of which other lamps
// of forty are on, and the drive draws another current.
func Modes(n int) []byte {
	g := newGrowth()
	const lamps = 40
	for i := range lamps {
		plus, minus := g.studs()
		g.lamp(i, g.switched(i, plus), minus)
	}
	closed, on := g.closed, g.on
	for i := range n {
		some, lit := []string{"isolator"}, []string{}
		for k := range lamps {
			if (i+1)*(k+3)%7 < 3 {
				some, lit = append(some, closed[k+1]), append(lit, on[k])
			}
		}
		g.modes[name("mode", i)] = object{"closed": some, "on": lit, "draw": object{"drive": object{"current_A": 20 + i%40}}}
	}
	return g.json()
}

type object = map[string]any

func name(kind string, i int) string { return kind + "_" + strconv.Itoa(i) }

// growth is a vehicle in the making.
type growth struct {
	tree        object
	modes       object
	closed, on  []string
	branches    int
	plus, minus string // the last studs of the house network
}

func newGrowth() *growth {
	g := &growth{tree: object{}, modes: object{"off": object{}}, plus: "plus.stud", minus: "minus.stud"}
	g.part("batteries", "pack", object{"role": "traction", "min_V": 44, "nominal_V": 51.2, "max_V": 58.4,
		"resistance_mOhm": 5, "capacity_Ah": 200, "continuous_A": 300})
	g.part("batteries", "aux", object{"role": "auxiliary", "min_V": 10.5, "nominal_V": 12.8, "max_V": 14.6,
		"resistance_mOhm": 12, "capacity_Ah": 9, "float_A": 0.3})
	g.part("fuses", "main", object{"class": "bolt-down", "rated_A": 200, "rated_V_dc": 80, "breaking_A_dc": 20000})
	g.part("fuses", "aux_fuse", object{"class": "bolt-down", "rated_A": 100, "rated_V_dc": 58, "breaking_A_dc": 5000})
	g.part("disconnects", "isolator", object{"carry_A": 300, "rated_V_dc": 80, "break": []object{{"V": 80, "A": 600}}})
	g.part("controllers", "drive", object{"min_V": 36, "max_V": 68, "battery_continuous_A": 60, "battery_peak_A": 100, "peak_s": 30})
	g.part("converters", "converter", object{"isolated": true, "efficiency_percent": 90,
		"input":  object{"min_V": 36, "max_V": 72},
		"output": object{"nominal_V": 13.8, "continuous_A": 100, "limit_A": 120, "at_limit": "constant-current"}})
	g.part("studs", "plus", object{})
	g.part("studs", "minus", object{})
	g.wire("w_main", "pack.pos", "main.a", "95 mm2", 0.1)
	g.wire("w_isolator", "main.b", "isolator.a", "95 mm2", 0.3)
	g.wire("w_drive", "isolator.b", "drive.pos", "95 mm2", 0.5)
	g.wire("w_return", "drive.neg", "pack.neg", "95 mm2", 0.5)
	g.wire("w_input", "isolator.b", "converter.in_pos", "95 mm2", 0.5)
	g.wire("w_input_neg", "converter.in_neg", "pack.neg", "95 mm2", 0.5)
	g.wire("w_output", "converter.out_pos", g.plus, "95 mm2", 0.5)
	g.wire("w_output_neg", "converter.out_neg", g.minus, "95 mm2", 0.5)
	g.wire("w_aux", "aux.pos", "aux_fuse.a", "50 mm2", 0.1)
	g.wire("w_aux_plus", "aux_fuse.b", g.plus, "50 mm2", 0.5)
	g.wire("w_aux_neg", "aux.neg", g.minus, "50 mm2", 0.5)
	g.closed = []string{"isolator"}
	return g
}

func (g *growth) part(kind, id string, fields object) {
	of, ok := g.tree[kind].(object)
	if !ok {
		of = object{}
		g.tree[kind] = of
	}
	of[id] = fields
}

func (g *growth) wire(id, from, to, size string, length float64) {
	g.part("wires", id, object{"from": from, "to": to, "size": size, "length_m": length,
		"insulation": object{"max_C": 105, "rated_V": 600, "material": "PVC"}})
}

// hub adds a pair of studs behind two terminals.
func (g *growth) hub(id, plus, minus string) (p, m string) {
	p, m = id+"p", id+"m"
	g.part("studs", p, object{})
	g.part("studs", m, object{})
	g.wire("w_"+p, plus, p+".stud", "95 mm2", 0.3)
	g.wire("w_"+m, minus, m+".stud", "95 mm2", 0.3)
	return p + ".stud", m + ".stud"
}

// studs are those for the next branch: new ones after every twenty.
func (g *growth) studs() (plus, minus string) {
	if i := g.branches / 20; g.branches%20 == 0 {
		p, m := name("p", i), name("m", i)
		g.part("studs", p, object{})
		g.part("studs", m, object{})
		g.wire(name("wp", i), g.plus, p+".stud", "95 mm2", 0.1)
		g.wire(name("wm", i), g.minus, m+".stud", "95 mm2", 0.1)
		g.plus, g.minus = p+".stud", m+".stud"
	}
	g.branches++
	return g.plus, g.minus
}

// fuse adds a fuse with its lead, and returns its other terminal.
func (g *growth) fuse(id, from string) string {
	g.part("fuses", id, object{"class": "ul", "rated_A": 10, "rated_V_dc": 58, "breaking_A_dc": 20000})
	g.wire("w_"+id, from, id+".a", "2.5 mm2", 0.1)
	return id + ".b"
}

// switched adds a fuse and a switch, and returns the far terminal.
func (g *growth) switched(i int, from string) string {
	s := name("s", i)
	g.part("switches", s, object{"role": "light", "poles": object{"p": object{"carry_A": 10, "rated_V_dc": 80, "lamp_A": 5, "inductive_A": 5}}})
	g.wire("ws"+strconv.Itoa(i), g.fuse(name("f", i), from), s+".p_a", "1.5 mm2", 1)
	g.closed = append(g.closed, s)
	return s + ".p_b"
}

// diode adds a diode with its lead, and returns its cathode.
func (g *growth) diode(i int, from string) string {
	d := name("d", i)
	g.part("diodes", d, object{"continuous_A": 6, "reverse_V": 100, "forward_V": 0.8})
	g.wire("wd"+strconv.Itoa(i), from, d+".anode", "1.5 mm2", 0.3)
	return d + ".cathode"
}

func (g *growth) lamp(i int, from, minus string) {
	l := name("l", i)
	g.part("loads", l, object{"kind": "led", "power_W": 5, "at_V": 12, "min_V": 9, "max_V": 16})
	g.wire("wl"+strconv.Itoa(i), from, l+".pos", "1.5 mm2", 1)
	g.wire("wr"+strconv.Itoa(i), l+".neg", minus, "1.5 mm2", 1)
	g.on = append(g.on, l)
}

func (g *growth) json() []byte {
	if len(g.modes) == 1 {
		g.modes["on"] = object{"closed": g.closed, "on": g.on, "draw": object{"drive": object{"current_A": 30}}}
	}
	g.tree["headroom"] = 1
	g.tree["vehicle"] = object{"name": "generated", "use": "off-road", "chassis": "isolated"}
	g.tree["modes"] = g.modes
	out, err := json.MarshalIndent(g.tree, "", "  ")
	if err != nil {
		panic(err) // maps of plain values always marshal
	}
	return out
}
