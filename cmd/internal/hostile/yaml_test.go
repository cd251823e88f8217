package hostile

import (
	"fmt"
	"strings"
)

// seatedData adds an entry for a piece of YAML or JSON in a file, on standard input, and at an
// earlier revision.
func (l *list) seatedData(class, name, ext string, heavy bool, text func() string, want outcome, seats string) {
	fileName := "bad." + ext
	for _, where := range strings.Fields(seats) {
		e := entry{class: class, name: name + "-" + where, heavy: heavy}
		switch where {
		case "own":
			e.files, e.args, e.want = file(fileName, text), all, want.beside()
		case "named":
			e.files, e.args, e.want = file(fileName, text), []string{"check", "--", fileName, "neighbour.yaml"}, want.beside()
		case "ratings":
			e.files, e.args, e.want = file(fileName, text), []string{"ratings", "./..."}, held()
		case "input":
			e.stdin = func(*box) string { return text() }
			e.args, e.want = []string{"check", "--stdin-name", fileName, "-"}, want
		case "since", "diff":
			e.needs = []string{"git"}
			e.files = func(b *box) {
				b.repository()
				neighbour(b)
				b.write(fileName, text())
				b.commit("Bad")
				b.write(fileName, plainYAML("bad"))
				if ext == "json" {
					b.write(fileName, plainJSON("bad", ""))
				}
			}
			e.args = []string{"diff", "HEAD"}
			if where == "since" {
				e.args = []string{"check", "--since", "HEAD", "--", "./..."}
			}
			e.want = held()
		case "passed":
			e.files = func(b *box) {
				neighbour(b)
				b.write(fileName+".bak", text())
				b.write("testdata/"+fileName, text())
			}
			e.args, e.want = all, found().or(2).beside()
		}
		l.add(e)
	}
}

// yamlAliases: few bytes that stand for many.
func yamlAliases(l *list) {
	const class = "yaml-aliases"
	add := func(name string, heavy bool, body func() string, seats string) {
		l.seatedData(class, name, "yaml", heavy, func() string { return plainYAML("bad") + body() }, told("bad"), seats)
	}
	laughs := func(n, times int, open, end string) string {
		return "notes: &x0 " + open + "lol" + end + "\n" + joined(n, func(i int) string {
			return fmt.Sprintf("x%d: &x%d %s%s%s\n", i+1, i+1, open, strings.TrimSuffix(rep(times, fmt.Sprintf("*x%d, ", i)), ", "), end)
		})
	}
	add("laughs", true, func() string { return laughs(12, 10, "[", "]") }, "own input since passed")
	add("laughs-two", true, func() string { return laughs(40, 2, "[", "]") }, "own diff ratings")
	add("laughs-in-waivers", true, func() string { return "zones: {z: &w {rise_K: 1}}\nwaivers: [" + rep(200000, "*w, ") + "*w]\n" }, "own input")
	add("maps", true, func() string {
		return "x0: &x0 {a: 1}\n" + joined(30, func(i int) string { return fmt.Sprintf("x%d: &x%d {l: *x%d, r: *x%d}\n", i+1, i+1, i, i) })
	}, "own since")
	add("of-a-scalar", true, func() string { return "x: &x 1\npolicy: {required: [" + rep(400000, "*x, ") + "1]}\n" }, "own input since passed")
	add("of-a-scalar-lines", true, func() string { return "x: &x 1\nwaivers:\n" + rep(300000, "- *x\n") }, "own")
	add("of-a-long-scalar", true, func() string {
		return "x: &x " + rep(1<<20, "y") + "\nfuses:\n" + lines(5000, "  f%d: {class: blade, rated_A: 5, notes: *x}\n")
	}, "own input")
	add("of-a-part", true, func() string {
		return "fuses:\n  f: &f {class: blade, rated_A: 5, rated_V_dc: 32, source: s}\n" + lines(50000, "  f%d: *f\n")
	}, "own")
	add("keys", true, func() string { return "x: &x k\nzones: {" + rep(100000, "? *x : 1, ") + "}\n" }, "own")
	add("merge-wide", true, func() string {
		return "x: &x {" + lines(2000, "a%d: 1, ") + "}\nzones:\n" + lines(2000, "  z%d: {<<: *x}\n")
	}, "own diff")
	add("merge-deep", true, func() string {
		return "x0: &x0 {a: 1}\n" + joined(5000, func(i int) string { return fmt.Sprintf("x%d: &x%d {<<: *x%d, a%d: 1}\n", i+1, i+1, i, i) })
	}, "own input")
	add("merge-lists", true, func() string {
		return "x0: &x0 {a: 1}\n" + joined(30, func(i int) string { return fmt.Sprintf("x%d: &x%d {<<: [*x%d, *x%d]}\n", i+1, i+1, i, i) })
	}, "own")
	add("merge-many", true, func() string { return "x: &x {a: 1}\nzones: {<<: [" + rep(100000, "*x, ") + "*x]}\n" }, "own")
	add("itself", false, constant("x: &x [*x]\n"), "own input since")
	add("itself-map", false, constant("zones: &x {z: *x}\n"), "own")
	add("itself-merged", false, constant("zones: &x {<<: *x}\n"), "own passed")
	add("each-other", false, constant("a: &a {b: &b {c: *a}}\nd: *b\n"), "own")
	add("undefined", false, constant("zones: *nothing\n"), "own")
	add("named-by-control", false, constant("zones: *\u202e\u200b\u0085x\n"), "own")
	add("anchors", true, func() string { return "waivers: [" + lines(200000, "&a%d 1, ") + "1]\n" }, "own")
	add("anchor-long", false, func() string { return "zones: &" + rep(1<<20, "a") + " {}\n" }, "own")
}

// yamlLines: long lines and long scalars, for which a reader may be quadratic.
func yamlLines(l *list) {
	const class = "yaml-lines"
	add := func(name string, heavy bool, body func() string, seats string) {
		l.seatedData(class, name, "yaml", heavy, func() string { return plainYAML("bad") + body() }, told("bad"), seats)
	}
	for _, size := range []struct {
		name string
		n    int
	}{{"200k", 200 << 10}, {"5m", 5 << 20}} {
		n := size.n
		add("list-"+size.name, n > 1<<20, func() string { return "waivers: [" + rep(n/2, "1,") + "1]\n" }, "own input since passed")
		add("list-of-lists-"+size.name, n > 1<<20, func() string { return "waivers: [" + rep(n/3, "[],") + "1]\n" }, "own")
		add("list-of-maps-"+size.name, n > 1<<20, func() string { return "waivers: [" + rep(n/8, "{a: 1}, ") + "1]\n" }, "own diff")
		add("map-"+size.name, n > 1<<20, func() string { return "policy: {" + lines(n/12, "a%07d: 1, ") + "b: 1}\n" }, "own ratings")
		add("map-keys-only-"+size.name, n > 1<<20, func() string { return "policy: {" + lines(n/9, "a%07d, ") + "b}\n" }, "own")
		add("strings-"+size.name, n > 1<<20, func() string { return "modes: {m: {closed: [" + rep(n/6, `"ab", `) + "c]}}\n" }, "own")
		add("plain-"+size.name, false, func() string { return "notes: " + rep(n, "x") + "\n" }, "own input")
		add("plain-spaces-"+size.name, false, func() string { return "notes: a" + rep(n, " ") + "b\n" }, "own")
		add("plain-colons-"+size.name, false, func() string { return "notes: a" + rep(n/2, ":a") + "\n" }, "own")
		add("key-"+size.name, false, func() string { return rep(n, "k") + ": 1\n" }, "own")
		add("quoted-"+size.name, false, func() string { return "notes: '" + rep(n/2, "''") + "'\n" }, "own")
		add("escaped-"+size.name, false, func() string { return `notes: "` + rep(n/4, `\x1b`) + "\"\n" }, "own")
		add("open-quote-"+size.name, false, func() string { return `notes: "` + rep(n, "x") }, "own")
		add("block-"+size.name, false, func() string { return "notes: |\n" + rep(n/4, "  x\n") }, "own")
		add("folded-blank-"+size.name, false, func() string { return "notes: >\n  x\n" + rep(n, "\n") + "  y\n" }, "own")
		add("comment-"+size.name, false, func() string { return "#" + rep(n, "#") + "\nnotes: 1\n" }, "own")
		add("comments-"+size.name, n > 1<<20, func() string { return rep(n/2, "#\n") + "notes: 1\n" }, "own")
		add("list-commented-"+size.name, n > 1<<20, func() string { return "waivers: [\n" + rep(n/5, "1,#x\n") + "1]\n" }, "own")
		add("dashes-"+size.name, n > 1<<20, func() string { return "waivers:\n" + rep(n/4, "- 1\n") }, "own")
	}
}

// yamlSyntax: corners of the format.
func yamlSyntax(l *list) {
	const class = "yaml-syntax"
	for _, c := range []struct{ name, text string }{
		{"documents", rep(100000, "---\n")},
		{"documents-ends", rep(100000, "---\n...\n")},
		{"two-documents", plainYAML("a") + "---\n" + plainYAML("b")},
		{"directive-version", "%YAML 9.9\n---\n" + plainYAML("bad") + "x: 1\n"},
		{"directive-long", "%YAML " + rep(1<<20, "1") + ".1\n---\n" + plainYAML("bad")},
		{"directives", rep(100000, "%TAG ! tag:example.org,2000:\n") + "---\n" + plainYAML("bad")},
		{"tag-python", plainYAML("bad") + "zones: !!python/object/apply:os.system [touch marked]\n"},
		{"tag-binary", plainYAML("bad") + "zones: !!binary " + rep(100000, "AAAA") + "\n"},
		{"tag-unknown", plainYAML("bad") + "zones: !<tag:\u202e> {}\n"},
		{"tag-set", plainYAML("bad") + "zones: !!set {a, b}\n"},
		{"tag-null", plainYAML("bad") + "zones: !!null {}\n"},
		{"tag-int", "headroom: !!int \"1\"\nvehicle: !!str {}\n"},
		{"key-map", plainYAML("bad") + "? {a: {b: [c]}}\n: 1\n"},
		{"key-list", plainYAML("bad") + "zones: {[a, b]: 1}\n"},
		{"key-null", plainYAML("bad") + "zones: {~: 1, : 2}\n"},
		{"key-number", plainYAML("bad") + "zones: {1: {}, 0x1: {}, 01: {}, 1.0: {}}\n"},
		{"key-merge-scalar", plainYAML("bad") + "zones: {<<: 1}\n"},
		{"tabs", "headroom:\t1\n\tvehicle:\t{}\n"},
		{"carriage-returns", strings.ReplaceAll(plainYAML("bad")+"x: 1\n", "\n", "\r")},
		{"nul", plainYAML("bad") + "x: \x00\n"},
		{"invalid-bytes", plainYAML("bad") + "x: \xff\xfe\xc0\xaf\n"},
		{"surrogates", plainYAML("bad") + "x: \"\\ud800\\udfff\"\n"},
		{"rune-high", plainYAML("bad") + "x: \"\\UFFFFFFFF\"\n"},
		{"mark-inside", plainYAML("bad") + "\ufeffx: 1\n"},
		{"percent", plainYAML("bad") + "%x: 1\n"},
		{"at", plainYAML("bad") + "x: @y\n`z: 1\n"},
		{"timestamp", plainYAML("bad") + "x: 99999-99-99T99:99:99Z\n"},
		{"sexagesimal", plainYAML("bad") + "vehicle2: {altitude_m: " + rep(10000, "59:") + "59}\n"},
		{"number-long", plainYAML("bad") + "zones: {z: {rise_K: " + rep(1<<20, "9") + "}}\n"},
		{"number-exponent", plainYAML("bad") + "zones: {z: {rise_K: 1e999999999999}}\n"},
		{"binary-long", plainYAML("bad") + "zones: {z: {rise_K: 0b" + rep(1<<20, "1") + "}}\n"},
		{"hex-long", plainYAML("bad") + "zones: {z: {rise_K: 0x" + rep(1<<19, "f") + "}}\n"},
		{"underscores", plainYAML("bad") + "zones: {z: {rise_K: 1" + rep(100000, "_") + "1}}\n"},
		{"duplicate-root", plainYAML("bad") + plainYAML("bad")},
		{"not-a-number", plainYAML("bad") + "zones: {z: {rise_K: .nan}, y: {rise_K: -.inf}}\n"},
		{"indent-indicator", plainYAML("bad") + "x: |9\n x\n"},
		{"windows-device", plainYAML("bad") + "x: {con: 1, nul: 2}\n"},
	} {
		l.seatedData(class, c.name, "yaml", false, constant(c.text), told("bad.yaml"), "named")
	}
	l.seatedData(class, "documents", "yaml", false, constant(rep(300000, "--- x\n")), held("bad"), "input since")
}

// jsonSyntax: corners of the other one.
func jsonSyntax(l *list) {
	const class = "json-syntax"
	for _, c := range []struct{ name, text string }{
		{"trailing", plainJSON("bad", "") + plainJSON("bad", "")},
		{"comment", plainJSON("bad", `, /* x */ "a": 1`)},
		{"trailing-comma", plainJSON("bad", `, "a": 1,`)},
		{"single-quotes", plainJSON("bad", `, 'a': 1`)},
		{"cue-in-json", plainJSON("bad", `, "a": strings.Repeat("x", 1000000), _h: [for x in [1] {x}]`)},
		{"nan", plainJSON("bad", `, "zones": {"z": {"rise_K": NaN}, "y": {"rise_K": -Infinity}}`)},
		{"exponent", plainJSON("bad", `, "zones": {"z": {"rise_K": 1e1000000000}}`)},
		{"exponent-low", plainJSON("bad", `, "zones": {"z": {"rise_K": 1e-1000000000}}`)},
		{"leading-zero", plainJSON("bad", `, "zones": {"z": {"rise_K": 007}}`)},
		{"digits", plainJSON("bad", `, "zones": {"z": {"rise_K": `+rep(1<<20, "9")+`}}`)},
		{"fraction", plainJSON("bad", `, "zones": {"z": {"rise_K": 0.`+rep(1<<20, "9")+`}}`)},
		{"surrogate", plainJSON("bad", `, "\ud800": "\udfff"`)},
		{"nul", plainJSON("bad", `, "\u0000": "\u0000"`)},
		{"raw-control", plainJSON("bad", ", \"a\x01\x1b[31m\": \"\n\"")},
		{"invalid-bytes", plainJSON("bad", ", \"a\xff\": \"\xc0\xaf\"")},
		{"duplicate", plainJSON("bad", `, "headroom": 1, "headroom": 2, "h\u0065adroom": 1`)},
		{"empty-keys", plainJSON("bad", `, "": {"": {"": 1}}`)},
		{"proto", plainJSON("bad", `, "__proto__": {"x": 1}, "constructor": 1, "$ref": "#/"`)},
		{"quotes-open", `{"headroom": 1, "` + rep(1<<20, `\"`)},
		{"escape-bad", plainJSON("bad", `, "a": "\x \u12 \"`)},
		{"text-long", plainJSON("bad", `, "a": "`+rep(5<<20, "x")+`"`)},
		{"blank", rep(5<<20, " ")},
		{"list-long", plainJSON("bad", `, "waivers": [`+rep(1<<20, "1,")+`1]`)},
		{"lines", `["headroom"` + rep(1<<20, ",\n1") + "]"},
		{"keyword", "true"}, {"null", "null"}, {"number", "-"}, {"text", `"headroom"`},
	} {
		l.seatedData(class, c.name, "json", false, constant(c.text), told("bad.json"), "named")
	}
	l.seatedData(class, "list-long", "json", true, constant(plainJSON("bad", `, "waivers": [`+rep(4<<20, "1,")+`1]`)), told("bad.json"), "input since")
}
