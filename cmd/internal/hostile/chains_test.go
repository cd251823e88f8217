package hostile

import "fmt"

// cueChains: chains of 600 KB and more, for which a parser that counts brackets has no limit.
func cueChains(l *list) {
	const class = "cue-chains"
	value := func(text func() string) func() string {
		return func() string { return "_v: 1\n_hog: " + text() + "\n" }
	}
	long := func(n int, before, link, after string) func() string {
		return value(func() string { return before + rep(n, link) + after })
	}
	for _, c := range []struct {
		name string
		text func() string
		at   map[string]seat
	}{
		{"labels", func() string { return "_hog: " + rep(200000, "a: ") + "1\n" }, everywhere},
		{"labels-one-vehicle", func() string { return rep(300000, "x: ") + "1\n" }, at("own", "input")},
		{"labels-quoted", func() string { return "_hog: " + rep(120000, "\"a\": ") + "1\n" }, at("own")},
		{"labels-optional", func() string { return "_hog: " + rep(150000, "a?: ") + "1\n" }, at("own", "library")},
		{"labels-pattern", func() string { return "_hog: " + rep(80000, "[string]: ") + "1\n" }, at("own")},
		{"plus", long(300000, "1", "+1", ""), at("own", "library", "diff", "input")},
		{"minus", long(300000, "1", "-1", ""), at("own")},
		{"and", long(300000, "_v", "&_v", ""), at("own", "second", "since")},
		{"or", long(300000, "1", "|1", ""), at("own", "file")},
		{"or-of-or", long(200000, "1", "||1", ""), at("own")},
		{"texts-added", long(150000, `""`, `+""`, ""), at("own")},
		{"selectors", long(300000, "_v", ".a", ""), at("own", "library", "input")},
		{"selectors-quoted", long(150000, "_v", `."a"`, ""), at("own")},
		{"indices", long(200000, "_v", "[0]", ""), at("own", "changed")},
		{"indices-nested", value(func() string { return nested(200000, "_v[", "0", "]") }), at("own")},
		{"slices", long(150000, "_v", "[0:1]", ""), at("own")},
		{"calls", long(300000, "len", "()", ""), at("own", "ratings")},
		{"calls-nested", value(func() string { return nested(150000, "len(", "_v", ")") }), at("own")},
		{"unary-minus", long(600000, "", "-", "1"), at("own", "library", "input", "diff")},
		{"unary-spaced", long(400000, "", "- ", "1"), at("own")},
		{"unary-not", long(600000, "", "!", "true"), at("own", "second")},
		{"unary-less", long(600000, "", "<", "1"), at("own")},
		{"unary-default", long(600000, "", "*", "1"), at("own")},
		{"brackets", value(func() string { return nested(300000, "(", "1", ")") }), at("own", "file", "since")},
		{"brackets-open", long(600000, "", "(", ""), at("own", "input")},
		{"brackets-of-lists", value(func() string { return nested(300000, "[", "", "]") }), at("own", "library")},
		{"lists-open", long(600000, "", "[", ""), at("own")},
		{"braces", value(func() string { return nested(300000, "{", "", "}") }), at("own", "explain")},
		{"braces-open", long(600000, "", "{", ""), at("own")},
		{"braces-of-fields", value(func() string { return nested(150000, "{a:", "1", "}") }), at("own", "history")},
		{"closing", long(600000, "1", ")", ""), at("own")},
		{"interpolations", value(func() string { return nested(100000, `"\(`, "1", `)"`) }), at("own", "input")},
		{"interpolations-side", value(func() string { return `"` + rep(150000, `\(1)`) + `"` }), at("own")},
		{"comprehension-for", long(60000, "[", "for a in _v ", "{1}]"), at("own")},
		{"comprehension-if", long(100000, "[", "if true ", "{1}]"), at("own", "library")},
		{"comprehension-let", long(60000, "[for b in [1] ", "let a = 1 ", "{1}]"), at("own")},
		{"aliases", func() string { return "_hog: {\n" + lines(100000, "let x%d = 1\n") + "}\n" }, at("own")},
		{"alias-nested", value(func() string { return nested(100000, "{X={", "", "}}") }), at("own")},
		{"attributes", func() string { return "_hog: 1" + rep(200000, " @a()") + "\n" }, at("own")},
		{"attribute-nested", func() string { return "_hog: 1 @a(" + nested(300000, "(", "", ")") + ")\n" }, at("own", "input")},
		{"comments", func() string { return "_hog: 1\n" + rep(300000, "//\n") }, at("own")},
		{"comment-slashes", func() string { return "_hog: 1 " + rep(5<<20, "/") + "\n" }, at("own", "library")},
		{"comment-dots", func() string { return rep(400000, "//...\n") + "_hog: 1\n" }, at("own", "input")},
		{"text-hashes", value(func() string { return rep(300000, "#") + `"x"` + rep(300000, "#") }), at("own")},
		{"text-open", func() string { return "_hog: \"" + rep(1<<20, "x") }, at("own")},
		{"text-lines", func() string { return "_hog: \"\"\"\n" + rep(300000, "\tx\n") + "\t\"\"\"\n" }, at("own")},
		{"text-escapes", value(func() string { return `"` + rep(100000, `\u0000`) + `"` }), at("own")},
		{"newlines", func() string { return rep(5<<20, "\n") + "_hog: 1\n" }, at("own")},
		{"commas", func() string { return "_hog: [" + rep(600000, ",") + "]\n" }, at("own")},
		{"ellipses", func() string { return "_hog: [" + rep(200000, "...,") + "]\n" }, at("own")},
		{"imports", func() string {
			return joined(50000, func(i int) string { return fmt.Sprintf("import x%d \"strings\"\n", i) })
		}, at("own")},
		{"token-long", value(func() string { return rep(5<<20, "x") }), at("own", "input")},
		{"digits", value(func() string { return rep(1<<20, "9") + "\nvehicle: altitude_m: _hog" }), at("own", "library")},
		{"digits-fraction", value(func() string { return "0." + rep(1<<20, "3") + "\nvehicle: altitude_m: _hog" }), at("own")},
	} {
		l.seated(class, c.name, false, c.text, c.at)
	}
}

// cueNesting: what is nested just to the documented 64 levels is read, in each format; one more
// is told of.
func cueNesting(l *list) {
	const class = "nesting"
	deep := func(name, file string, text func() string, args []string, want outcome) {
		l.add(entry{class: class, name: name, args: args, want: want, files: func(b *box) {
			neighbour(b)
			b.write(file, text())
		}})
	}
	for _, n := range []int{60, 70, 1000, 100000} {
		size := fmt.Sprint(n)
		deep("yaml-flow-"+size, "deep.yaml", func() string { return plainYAML("deep") + "zones: " + nested(n, "{a: ", "1", "}") + "\n" }, all, told("deep.yaml").beside())
		deep("yaml-list-"+size, "deep.yaml", func() string { return plainYAML("deep") + "waivers: " + nested(n, "[", "", "]") + "\n" }, all, told("deep.yaml").beside())
		deep("json-"+size, "deep.json", func() string { return plainJSON("deep", `, "policy": `+nested(n, `{"a":`, "1", "}")) }, all, told("deep.json").beside())
		deep("json-list-"+size, "deep.json", func() string { return plainJSON("deep", `, "waivers": `+nested(n, "[", "", "]")) }, all, told("deep.json").beside())
	}
	for _, n := range []int{70, 2000} {
		size := fmt.Sprint(n)
		deep("yaml-indent-"+size, "deep.yaml", func() string {
			return plainYAML("deep") + "policy:\n" + joined(n, func(i int) string { return rep(i+1, " ") + "a:\n" })
		}, all, told("deep.yaml").beside())
	}
	deep("yaml-dashes", "deep.yaml", func() string { return plainYAML("deep") + "waivers:\n" + rep(100000, "- ") + "1\n" }, all, told("deep.yaml").beside())
	deep("yaml-questions", "deep.yaml", func() string { return plainYAML("deep") + "policy:\n  " + rep(100000, "? ") + "1\n" }, all, told("deep.yaml").beside())
	deep("yaml-tags", "deep.yaml", func() string { return plainYAML("deep") + "policy: " + rep(100000, "!a ") + "1\n" }, all, told("deep.yaml").beside())
	deep("yaml-open", "deep.yaml", func() string { return plainYAML("deep") + "policy: " + rep(600000, "[") }, all, told("deep.yaml").beside())
	deep("yaml-braces-open", "deep.yaml", func() string { return plainYAML("deep") + "policy: " + rep(600000, "{") }, all, told("deep.yaml").beside())
	deep("yaml-mixed", "deep.yaml", func() string { return plainYAML("deep") + "policy: " + rep(200000, "{? [") }, all, told("deep.yaml").beside())
	deep("json-open", "deep.json", func() string { return `{"headroom": 1, "policy": ` + rep(1<<20, "[") }, all, told("deep.json").beside())
	deep("json-braces-open", "deep.json", func() string { return `{"headroom": 1, "policy": ` + rep(300000, `{"a":`) }, all, told("deep.json").beside())
	deep("json-closing", "deep.json", func() string { return `{"headroom": 1}` + rep(1<<20, "}") }, all, told("deep.json").beside())
	l.add(entry{class: class, name: "json-input", stdin: func(*box) string { return rep(4<<20, "[") }, args: []string{"check", "--stdin-name", "deep.json", "-"}, want: told("deep.json")})
	l.add(entry{class: class, name: "yaml-input", stdin: func(*box) string { return plainYAML("deep") + "a: " + rep(4<<20, "[") }, args: []string{"check", "--stdin-name", "deep.yaml", "-"}, want: told("deep.yaml")})
	l.add(entry{class: class, name: "yaml-passed-over", files: func(b *box) {
		neighbour(b)
		b.write("deep.yaml.bak", plainYAML("deep")+"a: "+rep(4<<20, "["))
		b.write(".hidden/deep.json", plainJSON("deep", `, "a": `+rep(4<<20, "[")))
	}, args: all, want: found().beside()})
	l.add(entry{class: class, name: "yaml-base", needs: []string{"git"}, files: func(b *box) {
		b.repository()
		b.write("deep.yaml", plainYAML("deep")+"policy: "+nested(100000, "[", "", "]")+"\n")
		b.commit("Deep")
		b.write("deep.yaml", plainYAML("deep"))
	}, args: []string{"check", "--since", "HEAD", "--", "./..."}, want: told("deep.yaml")})
}
