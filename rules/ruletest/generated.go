package ruletest

import (
	"encoding/json"
	"strconv"
)

// Generated returns a vehicle of about the given number of conductors as JSON:
// a pack with its main circuit, and as many fused branches with a switch and a
// lamp each as it takes, on a row of bus bars. For benchmarks.
func Generated(conductors int) []byte {
	wire := func(from, to, size string, length float64) object {
		return object{"from": from, "to": to, "size": size, "length_m": length,
			"insulation": object{"max_C": 105, "rated_V": 600, "material": "PVC"}}
	}
	fuses := object{"main": object{"class": "bolt-down", "rated_A": 200, "rated_V_dc": 80, "breaking_A_dc": 20000}}
	switches, loads, studs := object{}, object{}, object{"plus": object{}, "minus": object{}}
	wires := object{
		"w_main":  wire("pack.pos", "main.a", "95 mm2", 0.1),
		"w_plus":  wire("main.b", "plus.stud", "95 mm2", 0.3),
		"w_minus": wire("minus.stud", "pack.neg", "95 mm2", 0.3),
	}
	var closed, on []string
	plus, minus := "plus.stud", "minus.stud"
	for i, n := 0, 3; n < conductors; i++ {
		id := func(kind string) string { return kind + "_" + strconv.Itoa(i) }
		if i%20 == 0 { // a new pair of comb studs, so that no stud carries hundreds of lugs
			studs[id("p")], studs[id("m")] = object{}, object{}
			wires[id("wp")] = wire(plus, id("p")+".stud", "95 mm2", 0.1)
			wires[id("wm")] = wire(minus, id("m")+".stud", "95 mm2", 0.1)
			plus, minus = id("p")+".stud", id("m")+".stud"
			n += 2
		}
		fuses[id("f")] = object{"class": "ul", "rated_A": 5, "rated_V_dc": 125, "breaking_A_dc": 20000}
		switches[id("s")] = object{"role": "light", "poles": object{"p": object{"carry_A": 10, "rated_V_dc": 80, "lamp_A": 5}}}
		loads[id("l")] = object{"kind": "led", "power_W": 5, "at_V": 48, "min_V": 30, "max_V": 60}
		wires[id("wa")] = wire(plus, id("f")+".a", "2.5 mm2", 0.1)
		wires[id("wb")] = wire(id("f")+".b", id("s")+".p_a", "1.5 mm2", 1)
		wires[id("wc")] = wire(id("s")+".p_b", id("l")+".pos", "1.5 mm2", 1)
		wires[id("wd")] = wire(id("l")+".neg", minus, "1.5 mm2", 2)
		n += 4
		closed, on = append(closed, id("s")), append(on, id("l"))
	}
	out, err := json.MarshalIndent(object{
		"headroom": 1,
		"vehicle":  object{"name": "generated", "use": "off-road", "chassis": "isolated"},
		"batteries": object{"pack": object{"role": "traction", "min_V": 44, "nominal_V": 51.2, "max_V": 58.4,
			"resistance_mOhm": 5, "capacity_Ah": 200, "continuous_A": 300}},
		"fuses": fuses, "switches": switches, "loads": loads, "studs": studs, "wires": wires,
		"modes": object{"off": object{}, "on": object{"closed": closed, "on": on}},
	}, "", "  ")
	if err != nil {
		panic(err) // maps of plain values always marshal
	}
	return out
}
