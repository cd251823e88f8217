package hostile

import "fmt"

// cueGrowth: a few lines of CUE that double something with each.
func cueGrowth(l *list) {
	const class = "cue-growth"
	doubling := func(core, format string, n int) func() string {
		return func() string {
			return "_x0: " + core + "\n" + joined(n, func(i int) string { return fmt.Sprintf("_x%d: "+format+"\n", i+1, i, i) }) +
				fmt.Sprintf("_hog: _x%d\n", n)
		}
	}
	// Twenty-one lines that took 8 GB.
	and := doubling(`{a: b: int}`, `{l: _x%d, r: _x%d} & {l: a: {}}`, 20)
	l.seated(class, "and-references", true, doubling(`{a: int}`, `_x%d & _x%d`, 24), everywhere)
	l.seated(class, "and-of-fields", true, doubling(`{a: {b: int}}`, `{a: _x%d & _x%d}`, 24), at("own", "library", "diff"))
	l.seated(class, "and-of-branches", true, and, at("own", "input"))
	l.seated(class, "and-joined", true, func() string {
		return "_x0: {a: 1}\n" + joined(20, func(i int) string {
			return fmt.Sprintf("_x%d: {l: _x%d, r: _x%d}\n_y%d: _x%d & _x%d & {l: r: _}\n", i+1, i, i, i+1, i+1, i+1)
		}) + "_hog: _y20 & _x20 & {l: _, r: _y19}\n"
	}, at("own", "since"))
	l.seated(class, "definitions", true, func() string {
		return "#x0: {a?: int}\n" + joined(22, func(i int) string { return fmt.Sprintf("#x%d: {#x%d, b%d?: #x%d & #x%d}\n", i+1, i, i, i, i) }) +
			"_hog: #x22 & {b21: {}}\n"
	}, at("own", "library"))
	l.seated(class, "laughs-hidden", false, doubling(`{a: 1}`, `{l: _x%d, r: _x%d}`, 40), at("own", "second", "explain"))
	l.seated(class, "laughs-shown", true, func() string {
		return doubling(`{a: 1}`, `{l: _x%d, r: _x%d}`, 26)() + "zones: _hog\n"
	}, at("own", "file", "input", "since"))
	l.seated(class, "laughs-in-policy", true, func() string {
		return doubling(`{"a-b": 1}`, `{l: _x%d, r: _x%d}`, 26)() + "policy: required: _hog\n"
	}, at("own", "diff"))
	l.seated(class, "laughs-in-waivers", true, func() string {
		return doubling(`[1]`, `[_x%d, _x%d]`, 26)() + "waivers: _hog\n"
	}, at("own", "ratings"))
	l.seated(class, "text-interpolated", true, func() string {
		return doubling(`"xxxxxxxx"`, `"\(_x%d)\(_x%d)"`, 30)() + "vehicle: notes: _hog\n"
	}, at("own", "library", "input"))
	l.seated(class, "text-added", true, func() string {
		return doubling(`"xxxxxxxx"`, `_x%d + _x%d`, 30)() + "modes: m: notes: _hog\n"
	}, at("own", "changed"))
	l.seated(class, "bytes-added", true, func() string {
		return doubling(`'xxxxxxxx'`, `_x%d + _x%d`, 30)() + "vehicle: name: len(_hog)\n"
	}, at("own"))
	l.seated(class, "lists-flattened", true, func() string {
		return "_x0: [1, 2]\n" + joined(24, func(i int) string {
			return fmt.Sprintf("_x%d: [for x in [_x%d, _x%d] for y in x {y}]\n", i+1, i, i)
		}) + "_hog: _x24\nvehicle: altitude_m: len(_hog)\n"
	}, at("own", "library"))
	l.seated(class, "numbers-squared", true, func() string {
		return doubling(`7`, `_x%d * _x%d`, 40)() + "vehicle: altitude_m: _hog\n"
	}, at("own", "input"))
	l.seated(class, "numbers-exponent", true, constant("_a: 1e1000000000 + 1\n_b: int & 1e100000000\n_c: 1e-1000000000 + 1\nvehicle: altitude_m: _a + _b + _c\n"), at("own", "library"))
	l.seated(class, "numbers-divided", false, constant("_a: 1/3\n_b: div(1e1000, 7)\n_c: mod(1e1000000, 7)\n_d: 1e1000000/7\nvehicle: altitude_m: _d\n"), at("own"))
	l.seated(class, "let-clauses", true, func() string {
		return "_hog: {\n\tlet x0 = {a: 1}\n" + joined(26, func(i int) string { return fmt.Sprintf("\tlet x%d = {l: x%d, r: x%d}\n", i+1, i, i) }) + "\tall: x26 & {l: r: l: _}\n}\nzones: _hog\n"
	}, at("own", "second"))
	l.seated(class, "embedded", true, func() string {
		return doubling(`{a: 1}`, `{_x%d, b: _x%d}`, 26)() + "zones: _hog\n"
	}, at("own"))
	l.seated(class, "patterns", true, func() string {
		return "_p: {" + lines(300, "[=~\"^%d\"]: _, ") + "}\n_hog: _p & {" + lines(3000, "\"%d\": 1, ") + "}\nzones: _hog\n"
	}, at("own", "library"))
}

// cueDisjunctions: alternatives whose combinations are without number.
func cueDisjunctions(l *list) {
	const class = "cue-disjunctions"
	// Two-way alternatives joined by name: 657 bytes and no end.
	named := func() string {
		return joined(20, func(i int) string { return fmt.Sprintf("_a%d: {x%d: 1} | {x%d: 2}\n", i, i, i) }) +
			"_hog: _a0" + joined(19, func(i int) string { return fmt.Sprintf(" & _a%d", i+1) }) + "\n"
	}
	l.seated(class, "joined-by-name", true, named, everywhere)
	l.seated(class, "joined-in-place", true, func() string {
		return "_hog: {a0: 1}" + joined(22, func(i int) string { return fmt.Sprintf(" & ({a%d: 1} | {b%d: 2})", i, i) }) + "\n"
	}, at("own", "library"))
	l.seated(class, "in-the-vehicle", true, func() string {
		return "fuses: f: {class: \"blade\", rated_A: 5}" + joined(22, func(i int) string { return fmt.Sprintf(" & ({spares: %d} | {notes: \"n\"} | {})", i) }) + "\n"
	}, at("own", "input"))
	l.seated(class, "with-defaults", true, func() string {
		return "_hog: (*1 | int)" + rep(40, " & (*1 | 2 | int)") + "\nvehicle: altitude_m: _hog\n"
	}, at("own", "since"))
	l.seated(class, "of-many", true, func() string {
		many := "({a: 0}" + joined(400, func(i int) string { return fmt.Sprintf(" | {a: %d, b: %d}", i, i) }) + ")"
		return "_hog: " + many + " & " + many + " & " + many + "\n"
	}, at("own", "file"))
	l.seated(class, "of-scalars", true, func() string {
		return "_n: 0" + lines(20000, " | %d") + "\n_hog: _n & _n & >19998\nvehicle: altitude_m: _hog\n"
	}, at("own", "library"))
	l.seated(class, "in-patterns", true, func() string {
		return "_hog: {[string]: {a: 1} | {b: 1} | {c: 1}, [=~\"x\"]: {d: 1} | {e: 1}}\n_hog: {" + lines(3000, "x%d: {f: 1}, ") + "}\n"
	}, at("own", "diff"))
	l.seated(class, "nested", true, constant("_hog: "+nested(200, "({a: 1} | ", "{b: 1}", ") & ({c: 1} | {d: 1})")+"\n"), at("own", "second"))
	l.seated(class, "of-lists", true, func() string {
		return "_hog: [...{a: 1} | {b: 2}] & [" + rep(24, "{c: 1} | {d: 2}, ") + "] & [" + rep(24, "{e: 1} | {f: 2}, ") + "]\n"
	}, at("own"))
	l.seated(class, "of-references", true, func() string {
		return "_b0: {v: 0}\n" + joined(24, func(i int) string { return fmt.Sprintf("_b%d: {n: _b%d} | {m: _b%d} | _b%d\n", i+1, i, i, i) }) + "_hog: _b24 & {n: n: m: _}\n"
	}, at("own", "ratings"))
}

// cueComputing: what computes without end, or into itself.
func cueComputing(l *list) {
	const class = "cue-computing"
	ten := "_n: [0, 1, 2, 3, 4, 5, 6, 7, 8, 9]\n"
	for _, c := range []struct {
		name  string
		heavy bool
		text  string
		at    map[string]seat
	}{
		{"product", true, ten + "_hog: [for a in _n for b in _n for c in _n for d in _n for e in _n for f in _n for g in _n {a + b}]\nvehicle: altitude_m: len(_hog)\n", everywhere},
		{"product-of-fields", true, ten + "_hog: {for a in _n for b in _n for c in _n for d in _n for e in _n for f in _n {\"x\\(a)\\(b)\\(c)\\(d)\\(e)\\(f)\": 1}}\nzones: _hog\n", at("own", "library", "input")},
		{"filter", true, ten + "_hog: [for a in _n for b in _n for c in _n for d in _n for e in _n for f in _n for g in _n if a + b + c + d + e + f + g < 0 {1}]\nvehicle: altitude_m: len(_hog)\n", at("own", "since")},
		{"fields-read", true, "_hog: {for i, _ in [for a in \"" + rep(100, "x") + "\" {a}] {\"\\(i)\": 1}}\n", at("own")},
		{"recursion", true, "#F: {n: int, if n > 0 {r: (#F & {\"n\": n - 1}).r + (#F & {\"n\": n - 1}).r}, if n <= 0 {r: 1}}\n_hog: (#F & {n: 60}).r\nvehicle: altitude_m: _hog\n", at("own", "library", "diff")},
		{"recursion-deep", true, "#F: {n: int, if n > 0 {r: #F & {\"n\": n - 1}}}\n_hog: #F & {n: 1000000}\n", at("own", "second", "input")},
		{"structural-cycle", false, "_hog: {a: _hog}\n", at("own", "library")},
		{"structural-cycle-two", false, "_a: {x: _b}\n_b: {y: _a}\n_hog: _a & _b\n", at("own")},
		{"reference-cycle", false, "_hog: _b\n_b: _hog\nvehicle: altitude_m: _hog\n", at("own", "file")},
		{"arithmetic-cycle", false, "_hog: _b + 1\n_b: _hog - 1\nvehicle: altitude_m: _hog\n", at("own")},
		{"endless-list", false, "#L: {head: 1, tail: #L}\n_hog: #L & {tail: tail: tail: _}\n", at("own")},
		{"pattern-cycle", true, "_hog: {[string]: _hog, a: {b: {}}}\n", at("own")},
		{"comprehension-of-itself", true, "_hog: {a: 1, for k, v in _hog {\"\\(k)x\": v}}\n", at("own", "library")},
		{"length-of-itself", false, "_hog: [for x in _hog {x}, 1]\nvehicle: altitude_m: len(_hog)\n", at("own")},
		{"interpolated-label", true, "_n: {\"a\": 1}\n_hog: {for k, _ in _n for j, _ in _n {\"\\(k)\\(j)\": _hog}}\n", at("own")},
		{"expression-slow", true, "_hog: \"" + rep(2000, "a") + "\" =~ \"" + rep(2000, "a?") + rep(2000, "a") + "\"\nvehicle: isolation_monitor: _hog\n", at("own", "input")},
		{"expression-counted", true, "_hog: \"a\" =~ \"(((a{1,100}){1,100}){1,100}){1,100}\"\nvehicle: isolation_monitor: _hog\n", at("own")},
	} {
		l.seated(class, c.name, c.heavy, constant(c.text), c.at)
	}
	for _, c := range []struct{ name, pkg, text string }{
		{"repeat", "strings", `_hog: strings.Repeat(strings.Repeat("x", 1000000), 1000000)`},
		{"repeat-thousand", "strings", `_hog: strings.Repeat(strings.Repeat("x", 1000000), 1000)`},
		{"range", "list", `_hog: len(list.Range(0, 100000000, 1))`},
		{"range-tiny-step", "list", `_hog: len(list.Range(0, 1, 1e-12))`},
		{"sort", "list", `_hog: len(list.Sort(list.Range(0, 100000, 1), {x: _, y: _, less: x > y}))`},
		{"repeat-list", "list", `_hog: len(list.Repeat([1, 2, 3], 100000000))`},
		{"flatten", "list", `_hog: len(list.FlattenN(` + nested(60, "[", "1", "]") + `, -1))`},
		{"power", "math", `_hog: math.Pow(7, 100000000)`},
		{"power-fraction", "math", `_hog: math.Pow(1.0000001, 1e18)`},
		{"split", "strings", `_hog: len(strings.Split(strings.Repeat("a,", 1000000), ","))`},
		{"replace", "strings", `_hog: len(strings.Replace(strings.Repeat("a", 1000000), "a", strings.Repeat("b", 10000), -1))`},
		{"combinations", "list", `_hog: len(list.Concat([for i in list.Range(0, 3000, 1) {list.Range(0, 3000, 1)}]))`},
		{"json", "encoding/json", `_hog: json.Unmarshal("` + nested(100000, "[", "", "]") + `")`},
		{"yaml", "encoding/yaml", `_hog: yaml.Unmarshal("` + nested(10000, "[", "", "]") + `")`},
		{"struct-sort", "strings", `_hog: strings.MinRunes(10000000) & strings.Repeat("é", 1000000)`},
	} {
		text := "package hog\n\nimport \"" + c.pkg + "\"\n\nheadroom: 1\nvehicle: {name: \"hog\", use: \"off-road\", chassis: \"isolated\"}\nvehicle: notes: _hog\n" + c.text + "\n"
		l.add(entry{class: class, name: "built-in-" + c.name, heavy: true, files: file("hog/hog.cue", constant(text)), args: all, want: bounded("hog").beside()})
	}
}
