package hostile

import "strings"

// cueOutside: what reaches, or would reach, out of the specification: other files, the
// environment, programs, the network.
func cueOutside(l *list) {
	const class = "cue-outside"
	add := func(name, head, text string, want outcome) {
		l.add(entry{class: class, name: name, args: all, want: want.beside(), env: []string{"SECRET_NAME=" + secret}, files: func(b *box) {
			neighbour(b)
			module(b)
			b.write("hog/note.txt", secret)
			b.write("hog/data.json", `{"name": "`+secret+`"}`)
			b.write("hog/hog.cue", head+strings.Replace(plainCUE("hog"), "\n\n", "\n\n"+text+"\n", 1))
		}})
	}
	embed := "@extern(embed)\n\n"
	add("embed-file", embed, "zones: _ @embed(file=\"data.json\")", told("hog"))
	add("embed-text", embed, "_t: _ @embed(file=\"note.txt\", type=text)\nvehicle: notes: _t", told("hog"))
	add("embed-glob", embed, "_t: _ @embed(glob=\"*.json\")\nzones: _t", told("hog"))
	add("embed-parent", embed, "_t: _ @embed(file=\"../../outside/spec.yaml\")\nzones: _t", told("hog"))
	add("embed-absolute", embed, "_t: _ @embed(file=\"/etc/passwd\", type=text)\nvehicle: notes: _t", told("hog").without("root:"))
	add("embed-git", embed, "_t: _ @embed(file=\"../.git/config\", type=text)\nvehicle: notes: _t", told("hog"))
	add("extern-other", "@extern(\"wasm\")\n\n", "_f: _ @extern(\"foo.wasm\", abi=c, sig=\"func(int): int\")", told("hog"))
	add("tag", "", "_t: string @tag(name,var=username)\nvehicle: notes: _t", held())
	add("tag-environment", "", "_t: *\"x\" | string @tag(SECRET_NAME,short=x)\nvehicle: notes: _t", held())
	add("if-attribute", "@if(secret)\n\n", "", held())
	for _, pkg := range []string{"tool/exec", "tool/file", "tool/http", "tool/os", "tool/cli"} {
		add("import-"+strings.ReplaceAll(pkg, "/", "-"), "", "import t \""+pkg+"\"\n\n_r: t & {Run: {cmd: \"touch marked\"}}", told("hog"))
	}
	add("import-remote", "", "import \"github.example.org/stranger/parts\"\n\n_r: parts", told("hog"))
	add("import-versioned", "", "import \"github.example.org/stranger/parts@v1:parts\"\n\n_r: parts", told("hog"))
	add("import-parent", "", "import \"../../outside\"\n\n_r: outside", told("hog"))
	add("import-absolute", "", "import \"/etc\"\n\n_r: etc", told("hog"))
	add("import-dots", "", "import \"example.org/fleet/../../outside:parts\"\n\nvehicle: notes: parts.name", told("hog"))
	add("import-encoded", "", "import \"example.org/fleet/%2e%2e/%2e%2e/outside:parts\"\n\nvehicle: notes: parts.name", told("hog"))
	add("import-backslashes", "", "import \"example.org/fleet\\\\..\\\\..\\\\outside:parts\"\n\nvehicle: notes: parts.name", told("hog"))
	add("import-control", "", "import \"example.org/fleet/\\u001b[31m\\u202e::error::x\"\n\n_r: 1", told("hog"))
	add("import-itself", "", "import \"example.org/fleet/hog\"\n\n_r: hog.vehicle", told("hog"))
	add("import-net", "", "import \"net\"\n\n_r: net.LookupHost(\"stranger.example.org\")", told("hog"))

	// Modules.
	modules := func(name, text string, want outcome, env ...string) {
		l.add(entry{class: class, name: "module-" + name, args: all, want: want.beside(), env: env, files: func(b *box) {
			neighbour(b)
			b.write("cue.mod/module.cue", strings.Replace(text, "LONG", rep(17<<20, "x"), 1))
			b.write("hog/hog.cue", strings.Replace(plainCUE("hog"), "\n\n", "\n\nimport \"stranger.example.org/parts\"\n\n_r: parts\n", 1))
		}})
	}
	deps := "module: \"example.org/fleet\"\nlanguage: version: \"v0.14.0\"\ndeps: \"stranger.example.org/parts@v0\": {v: \"v0.0.1\", default: true}\n"
	modules("deps", deps, told("hog"))
	modules("registry", deps, told("hog"), "CUE_REGISTRY=http://127.0.0.1:9/")
	modules("registry-file", deps, told("hog"), "CUE_REGISTRY=file:$BOX/outside/registry.cue", "CUE_CACHE_DIR=$BOX/outside", "CUE_CONFIG_DIR=$BOX/outside")
	modules("language-future", "module: \"example.org/fleet\"\nlanguage: version: \"v99.0.0\"\n", told("hog"))
	modules("language-none", "module: \"example.org/fleet\"\n", told("hog"))
	modules("empty", "", told("hog"))
	modules("nonsense", "{{{{\x00\xff", told("hog"))
	modules("path-dots", "module: \"../../outside\"\nlanguage: version: \"v0.14.0\"\n", told("hog"))
	modules("path-control", "module: \"example.org/\\u001b[2J\\u202e\"\nlanguage: version: \"v0.14.0\"\n", told("hog"))
	modules("computing", "module: \"example.org/fleet\"\nlanguage: version: \"v0.14.0\"\n_n: [0,1,2,3,4,5,6,7,8,9]\n_h: len([for a in _n for b in _n for c in _n for d in _n for e in _n for f in _n for g in _n {a}])\nx: _h\n", told("hog"))
	modules("huge", "module: \"example.org/fleet\"\nlanguage: version: \"v0.14.0\"\n//LONG\n", told("hog"))
	modules("experiments", "module: \"example.org/fleet\"\nlanguage: version: \"v0.14.0\"\n", told("hog"), "CUE_EXPERIMENT=embed,evalv3=0", "CUE_DEBUG=opendef,sharing=0")
}
