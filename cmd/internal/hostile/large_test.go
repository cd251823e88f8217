package hostile

import (
	"fmt"
	"strings"
)

// battery is what all large vehicles are fed by.
const battery = "batteries: {pack: {role: traction, min_V: 44.8, nominal_V: 51.2, max_V: 58.4, resistance_mOhm: 15, source: s}}\n" +
	"fuses: {main: {class: bolt-down, rated_A: 125, rated_V_dc: 80, breaking_A_dc: 10000, source: s}}\n"

// wire is an entry of wires.
func wire(id, from, to string) string {
	return fmt.Sprintf("  %s: {from: %s, to: %s, size: 50 mm2, length_m: 0.5, insulation: {max_C: 105, rated_V: 600}}\n", id, from, to)
}

// fed are the wires from the battery to two studs.
const fedStuds = "studs: {plus: {}, minus: {}}\nwires:\n"

var fed = wire("w_a", "pack.pos", "main.a") + wire("w_b", "main.b", "plus.stud") + wire("w_c", "minus.stud", "pack.neg")

// meshOf is a square of studs, each joined to its neighbours.
func meshOf(n int) string {
	text := plainYAML("mesh") + battery + "studs:\n  plus: {}\n  minus: {}\n"
	var wires strings.Builder
	wires.WriteString(fed)
	for i := range n {
		for j := range n {
			text += fmt.Sprintf("  s%d_%d: {}\n", i, j)
			here := fmt.Sprintf("s%d_%d.stud", i, j)
			if i > 0 {
				wires.WriteString(wire(fmt.Sprintf("v%d_%d", i, j), here, fmt.Sprintf("s%d_%d.stud", i-1, j)))
			}
			if j > 0 {
				wires.WriteString(wire(fmt.Sprintf("h%d_%d", i, j), here, fmt.Sprintf("s%d_%d.stud", i, j-1)))
			}
		}
	}
	wires.WriteString(wire("w_d", "plus.stud", "s0_0.stud") + wire("w_e", fmt.Sprintf("s%d_%d.stud", n-1, n-1), "minus.stud"))
	return text + "wires:\n" + wires.String() + "modes: {m: {}}\n"
}

// largeVehicles: sound or nearly sound vehicles of a size that nobody builds. They are checked,
// or refused with the bound; the neighbour is checked in any case.
func largeVehicles(l *list) {
	const class = "large"
	add := func(name string, text func() string) {
		l.add(entry{class: class, name: name, heavy: true, files: file("big.yaml", text), args: all, want: bounded(`big\.yaml`).or(0).beside()})
	}
	parts := func(kind string, n int, part string, wires func(i int) string, modes string) func() string {
		return func() string {
			text := plainYAML("big") + battery + kind + ":\n" + lines(n, "  x%d: "+part+"\n")
			return text + fedStuds + fed + joined(n, wires) + "modes:\n" + modes
		}
	}
	across := func(i int) string {
		return wire(fmt.Sprintf("p%d", i), "plus.stud", fmt.Sprintf("x%d.pos", i)) + wire(fmt.Sprintf("n%d", i), fmt.Sprintf("x%d.neg", i), "minus.stud")
	}
	lamp := "{kind: led, power_W: 5, at_V: 51.2, min_V: 40, max_V: 60, source: s}"
	on := func(n int) string { return "  m: {on: [" + lines(n, "x%d, ") + "]}\n" }
	for _, n := range []int{1000, 4000} {
		add(fmt.Sprintf("consumers-%d", n), parts("loads", n, lamp, across, on(n)))
	}
	add("consumers-chained-1000", parts("loads", 1000, lamp, func(i int) string {
		plus, minus := fmt.Sprintf("x%d.pos", i-1), fmt.Sprintf("x%d.neg", i-1)
		if i == 0 {
			plus, minus = "plus.stud", "minus.stud"
		}
		return wire(fmt.Sprintf("p%d", i), plus, fmt.Sprintf("x%d.pos", i)) + wire(fmt.Sprintf("n%d", i), fmt.Sprintf("x%d.neg", i), minus)
	}, on(1000)))
	add("motors-1000", parts("loads", 1000, "{kind: motor, power_W: 50, at_V: 51.2, stall_A: 9, source: s}", across, on(1000)))
	contactor := "{contact: {carry_A: 150, rated_V_dc: 80, make_A: 400, break: [{V: 72, A: 400}]}, coil: {nominal_V: 48, operate_V: 27, release_V: 4.8, max_V: 72, resistance_Ohm: 280}, source: s}"
	coils := func(i int) string {
		return wire(fmt.Sprintf("p%d", i), "plus.stud", fmt.Sprintf("x%d.coil_pos", i)) + wire(fmt.Sprintf("n%d", i), fmt.Sprintf("x%d.coil_neg", i), "minus.stud")
	}
	parallel := func(i int) string {
		return coils(i) + wire(fmt.Sprintf("a%d", i), "plus.stud", fmt.Sprintf("x%d.a", i)) + wire(fmt.Sprintf("b%d", i), fmt.Sprintf("x%d.b", i), "minus.stud")
	}
	series := func(i int) string {
		from := fmt.Sprintf("x%d.b", i-1)
		if i == 0 {
			from = "plus.stud"
		}
		return coils(i) + wire(fmt.Sprintf("a%d", i), from, fmt.Sprintf("x%d.a", i))
	}
	// Each coil hangs behind the contact of the one before.
	cascade := func(i int) string {
		from := fmt.Sprintf("x%d.b", i-1)
		if i == 0 {
			from = "plus.stud"
		}
		return wire(fmt.Sprintf("a%d", i), "plus.stud", fmt.Sprintf("x%d.a", i)) + wire(fmt.Sprintf("p%d", i), from, fmt.Sprintf("x%d.coil_pos", i)) + wire(fmt.Sprintf("n%d", i), fmt.Sprintf("x%d.coil_neg", i), "minus.stud")
	}
	add("contactors-250", parts("contactors", 250, contactor, series, "  m: {}\n"))
	add("contactors-250-parallel", parts("contactors", 250, contactor, parallel, "  m: {}\n"))
	add("contactors-250-cascade", parts("contactors", 250, contactor, cascade, "  m: {}\n"))
	add("contactors-1500", parts("contactors", 1500, contactor, series, "  m: {}\n"))
	add("contactors-250-modes", func() string {
		return parts("contactors", 250, contactor, cascade, "  m: {}\n")() + lines(200, "  m%d: {lasts_s: 5, every_s: 100}\n")
	})
	relay := "{form: changeover, coil: {nominal_V: 48, operate_V: 27, release_V: 4.8, max_V: 72, resistance_Ohm: 2800}, contact: {carry_A: 10}, source: s}"
	add("relays-in-a-ring", parts("relays", 201, relay, func(i int) string {
		before := (i + 200) % 201
		return wire(fmt.Sprintf("p%d", i), "plus.stud", fmt.Sprintf("x%d.common", i)) + wire(fmt.Sprintf("q%d", i), fmt.Sprintf("x%d.nc", before), fmt.Sprintf("x%d.coil_pos", i)) + wire(fmt.Sprintf("n%d", i), fmt.Sprintf("x%d.coil_neg", i), "minus.stud")
	}, "  m: {}\n"))
	diode := "{forward_V: 0.8, continuous_A: 10, reverse_V: 200, source: s}"
	add("diodes-800", parts("diodes", 800, diode, func(i int) string {
		return wire(fmt.Sprintf("p%d", i), "plus.stud", fmt.Sprintf("x%d.cathode", i)) + wire(fmt.Sprintf("n%d", i), fmt.Sprintf("x%d.anode", i), "minus.stud")
	}, "  m: {}\n"))
	add("diodes-800-ladder", parts("diodes", 800, diode, func(i int) string {
		from := fmt.Sprintf("x%d.cathode", i-1)
		if i == 0 {
			from = "plus.stud"
		}
		return wire(fmt.Sprintf("p%d", i), from, fmt.Sprintf("x%d.anode", i)) + wire(fmt.Sprintf("q%d", i), fmt.Sprintf("x%d.cathode", i), map[bool]string{true: "minus.stud", false: "plus.stud"}[i%2 == 0])
	}, "  m: {}\n"))
	add("diodes-800-or", parts("diodes", 800, diode, func(i int) string {
		return wire(fmt.Sprintf("p%d", i), "plus.stud", fmt.Sprintf("x%d.anode", i)) + wire(fmt.Sprintf("n%d", i), fmt.Sprintf("x%d.cathode", i), fmt.Sprintf("x%d.cathode", (i+1)%800))
	}, "  m: {}\n"))
	add("diodes-8000", parts("diodes", 8000, diode, func(i int) string {
		return wire(fmt.Sprintf("p%d", i), "plus.stud", fmt.Sprintf("x%d.cathode", i)) + wire(fmt.Sprintf("n%d", i), fmt.Sprintf("x%d.anode", i), "minus.stud")
	}, "  m: {}\n"))
	add("mesh-30", func() string { return meshOf(30) })
	add("mesh-80", func() string { return meshOf(80) })
	add("complete-70", func() string {
		text := plainYAML("big") + battery + "studs:\n  plus: {}\n  minus: {}\n" + lines(70, "  s%d: {}\n") + "wires:\n" + fed + wire("w_d", "plus.stud", "s0.stud") + wire("w_e", "s69.stud", "minus.stud")
		for i := range 70 {
			for j := range i {
				text += wire(fmt.Sprintf("x%d_%d", i, j), fmt.Sprintf("s%d.stud", i), fmt.Sprintf("s%d.stud", j))
			}
		}
		return text + "modes: {m: {}}\n"
	})
	add("wires-20000", func() string {
		return plainYAML("big") + battery + "studs:\n  plus: {}\n  minus: {}\n" + lines(20000, "  s%d: {}\n") + "wires:\n" + fed + joined(20000, func(i int) string {
			from := fmt.Sprintf("s%d.stud", i-1)
			if i == 0 {
				from = "plus.stud"
			}
			return wire(fmt.Sprintf("x%d", i), from, fmt.Sprintf("s%d.stud", i))
		}) + "modes: {m: {}}\n"
	})
	add("wires-parallel-5000", func() string {
		return plainYAML("big") + battery + fedStuds + fed + joined(5000, func(i int) string { return wire(fmt.Sprintf("x%d", i), "plus.stud", "minus.stud") }) + "modes: {m: {}}\n"
	})
	add("modes-4000-one", parts("loads", 1, lamp, across, "  m: {}\n"+lines(4000, "  m%d: {on: [x0]}\n")))
	add("modes-4000", parts("loads", 50, lamp, across, on(50)+lines(4000, "  m%d: {on: [x1]}\n")))
	add("packs-300", func() string {
		text := plainYAML("big") + "batteries:\n" + lines(300, "  b%d: {role: traction, min_V: 44.8, nominal_V: 51.2, max_V: 58.4, resistance_mOhm: 15, source: s}\n") + "studs: {plus: {}, minus: {}}\nwires:\n"
		return text + joined(300, func(i int) string {
			return wire(fmt.Sprintf("p%d", i), fmt.Sprintf("b%d.pos", i), "plus.stud") + wire(fmt.Sprintf("n%d", i), fmt.Sprintf("b%d.neg", i), "minus.stud")
		}) + "modes: {m: {}}\n"
	})
	add("packs-500-series", func() string {
		text := plainYAML("big") + "batteries:\n" + lines(500, "  b%d: {role: traction, min_V: 2.5, nominal_V: 3.2, max_V: 3.6, resistance_mOhm: 1, source: s}\n") + "wires:\n"
		return text + joined(500, func(i int) string {
			return wire(fmt.Sprintf("p%d", i), fmt.Sprintf("b%d.pos", i), fmt.Sprintf("b%d.neg", (i+1)%500))
		}) + "modes: {m: {}}\n"
	})
	add("converters-200", parts("converters", 200, "{in_min_V: 40, in_max_V: 60, out_V: 12, continuous_A: 10, source: s}", func(i int) string {
		return wire(fmt.Sprintf("p%d", i), "plus.stud", fmt.Sprintf("x%d.in_pos", i)) + wire(fmt.Sprintf("n%d", i), fmt.Sprintf("x%d.in_neg", i), "minus.stud") +
			wire(fmt.Sprintf("q%d", i), fmt.Sprintf("x%d.out_pos", i), "plus.stud") + wire(fmt.Sprintf("r%d", i), fmt.Sprintf("x%d.out_neg", i), "minus.stud")
	}, "  m: {}\n"))
	add("controllers-200", parts("controllers", 200, "{min_V: 36, max_V: 68, battery_continuous_A: 60, battery_peak_A: 100, peak_s: 30, capacitance_uF: 2200, bleed_kOhm: 22, source: s}", func(i int) string {
		return across(i)
	}, "  m: {draw: {x0: {power_W: 4000}}}\n"+joined(199, func(i int) string { return fmt.Sprintf("  m%d: {draw: {x%d: {power_W: 4000}}}\n", i, i+1) })))
	add("first-renamed-100", func() string {
		// All parts of one vehicle again and again, apart from each other.
		text := plainYAML("big") + "batteries:\n" + lines(400, "  b%d: {role: auxiliary, min_V: 10, nominal_V: 12, max_V: 14.4, resistance_mOhm: 15, source: s}\n") + "loads:\n" + lines(400, "  x%d: {kind: led, power_W: 5, at_V: 12}\n") + "wires:\n"
		return text + joined(400, func(i int) string {
			return wire(fmt.Sprintf("p%d", i), fmt.Sprintf("b%d.pos", i), fmt.Sprintf("x%d.pos", i)) + wire(fmt.Sprintf("n%d", i), fmt.Sprintf("x%d.neg", i), fmt.Sprintf("b%d.neg", i))
		}) + "modes:\n" + on(400)
	})
	// The same elsewhere: in CUE, in JSON, against a base, on standard input.
	l.add(entry{class: class, name: "consumers-1000-input", heavy: true, stdin: func(*box) string { return parts("loads", 1000, lamp, across, on(1000))() }, args: []string{"check", "--stdin-name", "big.yaml", "-"}, want: bounded(`big\.yaml`).or(0)})
	l.add(entry{class: class, name: "contactors-250-diff", heavy: true, needs: []string{"git"}, args: []string{"diff", "HEAD"}, want: held(), files: func(b *box) {
		b.repository()
		b.write("big.yaml", parts("contactors", 250, contactor, series, "  m: {}\n")())
		b.commit("Big")
		b.write("big.yaml", parts("contactors", 249, contactor, series, "  m: {}\n")())
	}})
	l.add(entry{class: class, name: "diodes-800-since", heavy: true, needs: []string{"git"}, args: []string{"check", "--since", "HEAD", "--", "./..."}, want: held(), files: func(b *box) {
		b.repository()
		b.write("big.yaml", meshOf(30))
		b.commit("Big")
		b.write("big.yaml", meshOf(29))
	}})
	l.add(entry{class: class, name: "consumers-1000-sarif", heavy: true, args: []string{"check", "--include-passes", "--out", "sarif=out.sarif", "--out", "json=out.json", "--", "./..."}, want: bounded(`big\.yaml`).or(0).writing("out.*").checked(nil),
		files: file("big.yaml", parts("loads", 1000, lamp, across, on(1000)))})
}
