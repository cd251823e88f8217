package hostile

import (
	"fmt"
	"strings"
)

// amounts: more of something than any vehicle has. The limits that are stated may refuse it, or
// it is checked; whatever is unknown or double is told of without a list as long as the file.
func amounts(l *list) {
	const class = "amounts"
	const million = 1000000
	add := func(name, ext string, text func() string, seats string) {
		l.seatedData(class, name+"-"+ext, ext, true, text, told("bad."+ext), seats)
	}
	cue := func(name string, text func() string, seats ...string) {
		l.seated(class, name+"-cue", true, text, at(seats...))
	}
	add("unknown-fields", "yaml", func() string { return plainYAML("bad") + lines(million, "a%d: 1\n") }, "own input since passed")
	add("unknown-fields", "json", func() string { return plainJSON("bad", lines(million, `,"a%d":1`)) }, "own diff input")
	cue("unknown-fields", func() string { return lines(million, "a%d: 1\n") }, "own", "library", "input")
	add("unknown-fields-lines", "json", func() string { return plainJSON("bad", lines(million, ",\n\"a%d\":1")) }, "own")
	add("unknown-in-policy", "yaml", func() string { return plainYAML("bad") + "policy:\n" + lines(700000, "  a%d: 1\n") }, "own")
	add("unknown-in-part", "yaml", func() string {
		return plainYAML("bad") + "fuses: {f: {class: blade, rated_A: 5}}\nloads:\n  l:\n" + lines(700000, "    a%d: 1\n")
	}, "own")
	add("repeated-fields", "yaml", func() string { return plainYAML("bad") + rep(million, "abc: 1\n") }, "own input since")
	add("repeated-fields", "json", func() string { return plainJSON("bad", rep(million, `,"abc":1`)) }, "own input diff")
	cue("repeated-fields", func() string { return rep(million, "abc: 1\n") }, "own", "second", "input")
	cue("repeated-hidden", func() string { return rep(million, "_a: 1\n") }, "own")
	cue("repeated-structs", func() string { return rep(300000, "_a: {b: c: 1}\n") }, "own", "library")
	add("repeated-in-part", "json", func() string {
		return plainJSON("bad", `, "fuses": {"f": {"class": "blade"`+rep(million, `,"rated_A":5`)+`}}`)
	}, "own")
	add("repeated-ids", "yaml", func() string {
		return plainYAML("bad") + "fuses:\n" + rep(300000, "  f: {class: blade, rated_A: 5}\n")
	}, "own")
	add("shared-ids", "yaml", func() string {
		return plainYAML("bad") + "fuses:\n" + lines(40000, "  x%d: {class: blade, rated_A: 5}\n") + "studs:\n" + lines(40000, "  x%d: {}\n")
	}, "own")
	add("modes", "yaml", func() string { return plainYAML("bad") + "modes:\n" + lines(20000, "  m%d: {closed: []}\n") }, "own input diff since")
	add("modes", "json", func() string { return plainJSON("bad", `, "modes": {"m": {}`+lines(20000, `,"m%d":{}`)+"}") }, "own")
	cue("modes", func() string { return "modes: {" + lines(20000, "m%d: {}, ") + "}\n" }, "own", "library")
	add("parts", "yaml", func() string {
		return plainYAML("bad") + "fuses:\n" + lines(100000, "  f%d: {class: blade, rated_A: 5, rated_V_dc: 32}\n")
	}, "own since")
	add("parts", "json", func() string {
		return plainJSON("bad", `, "studs": {"s": {}`+lines(100000, `,"s%d":{}`)+"}")
	}, "own input")
	cue("parts", func() string {
		return "loads: {" + lines(100000, "l%d: {kind: \"led\", power_W: 1, at_V: 12}\n") + "}\n"
	}, "own", "diff")
	add("wires", "yaml", func() string {
		return plainYAML("bad") + "studs: {s: {}, t: {}}\nwires:\n" + lines(100000, "  w%d: {from: s.stud, to: t.stud, size: 6 mm2, length_m: 1}\n")
	}, "own")
	add("wires-to-nothing", "yaml", func() string {
		return plainYAML("bad") + "wires:\n" + lines(100000, "  w%d: {from: a.a, to: b.b, size: 6 mm2, length_m: 1}\n")
	}, "own")
	add("zones", "yaml", func() string { return plainYAML("bad") + "zones:\n" + lines(200000, "  z%d: {rise_K: 1}\n") }, "own")
	add("waivers", "yaml", func() string {
		return plainYAML("bad") + "waivers:\n" + lines(60000, "  - {rule: torque-missing, subject: s%d, reason: no good reason, approved_by: x, expires: 2030-01-01}\n")
	}, "own ratings")
	add("waivers-same", "yaml", func() string {
		return plainYAML("bad") + "waivers:\n" + rep(60000, "  - {rule: modes-missing, subject: vehicle, reason: no good reason, approved_by: x, expires: 2030-01-01}\n")
	}, "own")
	add("required", "yaml", func() string { return plainYAML("bad") + "policy: {required: {" + lines(200000, "a-%d: 1, ") + "}}\n" }, "own")
	add("levels", "json", func() string {
		return plainJSON("bad", `, "policy": {"levels": {"a":"note"`+lines(200000, `,"a-%d":"note"`)+"}}")
	}, "own")
	add("closed", "yaml", func() string { return plainYAML("bad") + "modes: {m: {closed: [" + lines(500000, "s%d, ") + "s]}}\n" }, "own input")
	add("cycle", "yaml", func() string {
		return plainYAML("bad") + "modes: {m: {}}\ncycle:\n" + rep(100000, "  - {mode: m, for_s: 1}\n")
	}, "own")
	add("curve", "yaml", func() string {
		return plainYAML("bad") + "fuses: {f: {class: other, rated_A: 5, opening: {min: [" + lines(200000, "{current_A: %d, s: 1}, ") + "]}}}\n"
	}, "own")
	add("ways", "yaml", func() string { return plainYAML("bad") + "blocks: {b: {ways: {" + lines(200000, "w%d: {}, ") + "}}}\n" }, "own")
	add("holes", "yaml", func() string {
		return plainYAML("bad") + "panels: {p: {width_mm: 1, height_mm: 1, parts: {x: {x_mm: 0, y_mm: 0, holes: [" + rep(200000, "{x_mm: 1, y_mm: 1, diameter_mm: 1}, ") + "]}}}}\n"
	}, "own")
	add("poles", "yaml", func() string {
		return plainYAML("bad") + "switches: {s: {poles: {" + lines(100000, "p%d: {}, ") + "}}}\n"
	}, "own")
	for _, long := range []struct{ name, text string }{
		{"name", "headroom: 1\nvehicle: {name: \"LONG\", use: off-road, chassis: isolated}\n"},
		{"use", "headroom: 1\nvehicle: {name: x, use: LONG, chassis: isolated}\n"},
		{"id", plainYAML("x") + "fuses: {LONG: {class: blade, rated_A: 5}}\n"},
		{"field", plainYAML("x") + "vehicle2: {LONG: 1}\n"},
		{"reference", plainYAML("x") + "modes: {m: {closed: [LONG]}}\n"},
		{"terminal", plainYAML("x") + "studs: {s: {}}\nwires: {w: {from: LONG.LONG, to: s.stud, size: 6 mm2, length_m: 1}}\n"},
		{"size", plainYAML("x") + "studs: {s: {}}\nwires: {w: {from: s.stud, to: s.stud, size: LONG, length_m: 1}}\n"},
		{"rule", plainYAML("x") + "policy: {required: {LONG: 1}}\n"},
		{"reason", plainYAML("x") + "waivers: [{rule: modes-missing, subject: vehicle, reason: why LONG, approved_by: LONG, expires: 2030-01-01}]\n"},
		{"version", "headroom: LONG\nvehicle: {}\n"},
	} {
		text := func() string { return strings.ReplaceAll(long.text, "LONG", rep(2<<20, "x")) }
		add("long-"+long.name, "yaml", text, "own")
	}
	l.add(entry{class: class, name: "files-of-a-package", heavy: true, args: all, want: bounded("hog").beside().or(0), files: func(b *box) {
		neighbour(b)
		b.write("hog/hog.cue", plainCUE("hog"))
		for i := range 5000 {
			b.write(fmt.Sprintf("hog/f%d.cue", i), fmt.Sprintf("package hog\n\n_x%d: 1\n", i))
		}
	}})
	l.add(entry{class: class, name: "files-of-a-package-large", heavy: true, args: all, want: bounded("hog").beside(), files: func(b *box) {
		neighbour(b)
		b.write("hog/hog.cue", plainCUE("hog"))
		for i := range 20 {
			b.write(fmt.Sprintf("hog/f%d.cue", i), "package hog\n\n"+lines(600000, fmt.Sprintf("_x%d_%%d: 1\n", i)))
		}
	}})
	l.add(entry{class: class, name: "libraries-chained", heavy: true, args: all, want: bounded("van", "p").beside().or(0), files: func(b *box) {
		neighbour(b)
		module(b)
		for i := range 2000 {
			b.write(fmt.Sprintf("p%d/p.cue", i), fmt.Sprintf("package p%d\n\nimport \"example.org/fleet/p%d\"\n\nx: p%d.x\n", i, i+1, i+1))
		}
		b.write("p2000/p.cue", "package p2000\n\nx: \"end\"\n")
		b.write("van/van.cue", strings.Replace(plainCUE("van"), "\n\n", "\n\nimport \"example.org/fleet/p0\"\n\nvehicle: notes: p0.x\n", 1))
	}})
	l.add(entry{class: class, name: "libraries-in-a-ring", args: all, want: bounded("van", "p/", "q/").beside(), files: func(b *box) {
		neighbour(b)
		module(b)
		b.write("p/p.cue", "package p\n\nimport \"example.org/fleet/q\"\n\nx: q.x\n")
		b.write("q/q.cue", "package q\n\nimport \"example.org/fleet/p\"\n\nx: p.x\n")
		b.write("van/van.cue", strings.Replace(plainCUE("van"), "\n\n", "\n\nimport \"example.org/fleet/p\"\n\nvehicle: notes: p.x\n", 1))
	}})
	l.add(entry{class: class, name: "libraries-wide", heavy: true, args: all, want: bounded("van", "p").beside().or(0), files: func(b *box) {
		neighbour(b)
		module(b)
		imports := joined(1500, func(i int) string {
			b.write(fmt.Sprintf("p%d/p.cue", i), fmt.Sprintf("package p%d\n\nx: %d\n", i, i))
			return fmt.Sprintf("import \"example.org/fleet/p%d\"\n", i)
		})
		b.write("van/van.cue", strings.Replace(plainCUE("van"), "\n\n", "\n\n"+imports+"\n_x: ["+joined(1500, func(i int) string { return fmt.Sprintf("p%d.x, ", i) })+"]\n", 1))
	}})
}
