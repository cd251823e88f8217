package hostile

import (
	"fmt"
	"strings"
)

// links: what leads out of the repository, or round in it.
func links(l *list) {
	const class = "links"
	add := func(name string, args []string, want outcome, files func(b *box)) {
		l.add(entry{class: class, name: name, args: args, want: want, files: func(b *box) {
			neighbour(b)
			files(b)
		}})
	}
	van := func(b *box) {
		module(b)
		b.write("van/van.cue", strings.Replace(plainCUE("van"), "\n\n", "\n\nimport \"example.org/fleet/parts\"\n\nvehicle: notes: parts.name\n", 1))
	}
	add("file-out", all, held(`(?m)^headroom: .*l\.yaml`).beside(), func(b *box) { b.link("l.yaml", "../outside/spec.yaml") })
	add("file-out-absolute", []string{"check", "--", "l.yaml", "neighbour.yaml"}, refused(`(?m)^headroom: l\.yaml`).beside(), func(b *box) { b.link("l.yaml", b.root+"/outside/spec.yaml") })
	add("file-out-twice", all, held(`(?m)^headroom: .*l\.yaml`).beside(), func(b *box) {
		b.link("l.yaml", "m")
		b.link("m", "../outside/spec.yaml")
	})
	add("folder-out", []string{"check", "--", "d/...", "neighbour.yaml"}, refused(`(?m)^headroom: d`).beside(), func(b *box) { b.link("d", "../outside") })
	add("folder-out-through", []string{"check", "--", "d/spec.yaml", "neighbour.yaml"}, refused(`(?m)^headroom: d`).beside(), func(b *box) { b.link("d", "../outside") })
	add("folder-out-and-in", []string{"check", "--", "d/../outside/spec.yaml", "neighbour.yaml"}, held().beside(), func(b *box) { b.link("d", "../outside") })
	add("library-file", all, told("van").beside(), func(b *box) {
		van(b)
		b.link("parts/parts.cue", "../../outside/lib.cue")
	})
	add("library-folder", all, told("van").beside(), func(b *box) {
		van(b)
		b.link("parts", "../outside")
	})
	add("library-folder-above", all, told("van").beside(), func(b *box) {
		module(b)
		b.write("../outside/sub/parts/lib.cue", "package parts\n\nname: \""+secret+"\"\n")
		b.link("sub", "../outside/sub")
		b.write("van/van.cue", strings.Replace(plainCUE("van"), "\n\n", "\n\nimport \"example.org/fleet/sub/parts\"\n\nvehicle: notes: parts.name\n", 1))
	})
	add("library-hard", all, held().beside(), func(b *box) {
		van(b)
		b.write("parts/parts.cue", "package parts\n\nname: \"x\"\n")
	})
	add("package-file", all, told("hog").beside(), func(b *box) {
		b.write("hog/hog.cue", plainCUE("hog"))
		b.write("../outside/more.cue", "package hog\n\nvehicle: notes: \""+secret+"\"\n")
		b.link("hog/more.cue", "../../outside/more.cue")
	})
	add("module-file", all, held().beside(), func(b *box) {
		b.write("../outside/module.cue", "module: \"example.org/"+secret+"\"\nlanguage: version: \"v0.14.0\"\n")
		b.link("cue.mod/module.cue", "../../outside/module.cue")
		b.write("van/van.cue", strings.Replace(plainCUE("van"), "\n\n", "\n\nimport \"example.org/fleet/parts\"\n\n_p: parts\n", 1))
	})
	add("module-folder", all, held().beside(), func(b *box) {
		b.write("../outside/cue.mod/module.cue", "module: \"example.org/"+secret+"\"\nlanguage: version: \"v0.14.0\"\n")
		b.link("cue.mod", "../outside/cue.mod")
		b.write("van/van.cue", strings.Replace(plainCUE("van"), "\n\n", "\n\nimport \"example.org/fleet/parts\"\n\n_p: parts\n", 1))
	})
	add("module-vendor", all, told("van").beside(), func(b *box) {
		module(b)
		b.write("../outside/pkg/stranger.example.org/parts/lib.cue", "package parts\n\nname: \""+secret+"\"\n")
		b.link("cue.mod/pkg", "../../outside/pkg")
		b.link("cue.mod/usr", "../../outside/pkg")
		b.link("cue.mod/gen", "../../outside/pkg")
		b.write("van/van.cue", strings.Replace(plainCUE("van"), "\n\n", "\n\nimport \"stranger.example.org/parts\"\n\nvehicle: notes: parts.name\n", 1))
	})
	add("ring-of-files", all, held().beside(), func(b *box) {
		b.link("a.yaml", "b.yaml")
		b.link("b.yaml", "a.yaml")
	})
	add("ring-named", []string{"check", "--", "a.yaml", "neighbour.yaml"}, refused(`(?m)^headroom: a\.yaml`).beside(), func(b *box) { b.link("a.yaml", "a.yaml") })
	add("ring-of-folders", all, found().beside(), func(b *box) {
		b.link("d/e/f", "..")
		b.link("d/g", ".")
	})
	add("ring-through", []string{"check", "--", rep(300, "d/") + "neighbour.yaml"}, held(), func(b *box) { b.link("d", ".") })
	add("ring-library", all, told("van").beside(), func(b *box) {
		van(b)
		b.link("parts", "parts")
	})
	add("chain", all, held().beside(), func(b *box) {
		for i := range 60 {
			b.link(fmt.Sprintf("l%d.yaml", i), fmt.Sprintf("l%d.yaml", i+1))
		}
		b.write("l60.yaml", plainYAML("l"))
	})
	add("fan", all, held().beside(), func(b *box) {
		// Two links in each folder, and so 2 to the 30th ways through them.
		for i := range 30 {
			b.dir(fmt.Sprintf("f%d", i))
			b.link(fmt.Sprintf("f%d/a", i), fmt.Sprintf("../f%d", i+1))
			b.link(fmt.Sprintf("f%d/b", i), fmt.Sprintf("../f%d", i+1))
		}
		b.write("f30/v.yaml", plainYAML("v"))
	})
	add("to-root", all, found().beside(), func(b *box) { b.link("slash", "/") })
	add("to-root-walked", []string{"check", "--", "slash/...", "neighbour.yaml"}, refused(`(?m)^headroom: slash`).beside(), func(b *box) { b.link("slash", "/") })
	add("to-root-file", []string{"check", "--", "slash/etc/passwd", "neighbour.yaml"}, refused(`(?m)^headroom: slash`).beside().without("root:"), func(b *box) { b.link("slash", "/") })
	add("to-git", []string{"check", "--", "g.yaml", "neighbour.yaml"}, refused(`(?m)^headroom: g\.yaml`).beside(), func(b *box) {
		b.write(".git/config", "headroom: "+secret+"\n")
		b.link("g.yaml", ".git/config")
	})
	add("to-git-folder", []string{"check", "--", "g/...", "neighbour.yaml"}, refused(`(?m)^headroom: g`).beside(), func(b *box) {
		b.write(".git/x.yaml", plainYAML(secret))
		b.link("g", ".git")
	})
	add("git-given", []string{"check", "--", ".git/x.yaml", "neighbour.yaml"}, refused(`(?m)^headroom: \.git`).beside(), func(b *box) { b.write(".git/x.yaml", plainYAML(secret)) })
	add("git-spelled", []string{"check", "--", "./.git/../.git//x.yaml", "neighbour.yaml"}, refused(`(?m)^headroom: .*\.git`).beside(), func(b *box) { b.write(".git/x.yaml", plainYAML(secret)) })
	add("git-dir-linked", all, held().beside(), func(b *box) {
		b.remove(".git")
		b.write("../outside/git/HEAD", "ref: refs/heads/main\n")
		b.link(".git", "../outside/git")
	})
	add("nowhere", all, held().beside(), func(b *box) { b.link("n.yaml", "nowhere.yaml") })
	add("nowhere-long", all, held().beside(), func(b *box) { b.link("n.yaml", rep(1000, "ab/")+"x") })
	add("target-control", []string{"check", "--", "n.yaml", "neighbour.yaml"}, refused(`(?m)^headroom: n\.yaml`).beside(), func(b *box) { b.link("n.yaml", "\x1b[2J\u202e\n::error::x##vso[x]") })
	add("absolute-inside", all, found().beside(), func(b *box) {
		b.write("pool/v.yaml", plainYAML("v"))
		b.link("v.yaml", b.path("pool/v.yaml"))
	})
	add("output-through", []string{"check", "--out", "json=d/out.json", "--", "neighbour.yaml"}, refused(`d/out\.json`), func(b *box) { b.link("d", "../outside") })
	add("output-link", []string{"check", "--out", "json=o.json", "--", "neighbour.yaml"}, refused(`o\.json`), func(b *box) {
		b.write("../outside/o.json", "{}")
		b.link("o.json", "../outside/o.json")
	})
	add("init-through", []string{"init", "d"}, held(), func(b *box) { b.link("d", "../outside/new") })
	add("parts-out", []string{"join", "p.json"}, refused(`p\.json`), func(b *box) { b.link("p.json", "../outside/spec.yaml") })
	add("diff-folders", []string{"diff", "a", "b"}, held(), func(b *box) {
		b.write("a/spec.yaml", plainYAML("a"))
		b.dir("b")
		b.link("b/spec.yaml", "../../outside/spec.yaml")
	})
	add("input-name", []string{"check", "--stdin-name", "../outside/spec.yaml", "-"}, held(), func(b *box) {})
	l.add(entry{class: class, name: "base-links", needs: []string{"git"}, args: []string{"check", "--since", "HEAD", "--", "./..."}, want: held(), files: func(b *box) {
		b.repository()
		b.write("../outside/spec.yaml", plainYAML(secret))
		b.link("l.yaml", "../outside/spec.yaml")
		b.link("m.yaml", "/etc/passwd")
		b.link("n", "n")
		b.commit("Links")
		b.remove("l.yaml")
		b.write("l.yaml", plainYAML("l"))
	}})
}

// roots: what lies above the repository, or above everything.
func roots(l *list) {
	const class = "roots"
	above := func(name, text string, want outcome) {
		l.add(entry{class: class, name: "module-above-" + name, args: all, want: want.beside(), files: func(b *box) {
			neighbour(b)
			b.write("../cue.mod/module.cue", strings.Replace(text, "LONG", rep(40<<20, "x"), 1))
			b.write("../parts/parts.cue", "package parts\n\nname: \""+secret+"\"\n")
			b.write("van/van.cue", strings.Replace(plainCUE("van"), "\n\n", "\n\nimport \"example.org/above/parts\"\n\nvehicle: notes: parts.name\n", 1))
		}})
	}
	above("plain", "module: \"example.org/above\"\nlanguage: version: \"v0.14.0\"\n", told("van"))
	above("nonsense", "{{{", told("van"))
	above("huge", "// LONG\nmodule: \"example.org/above\"\nlanguage: version: \"v0.14.0\"\n", told("van"))
	l.add(entry{class: class, name: "module-above-pipe", needs: []string{"unix"}, args: all, want: found().beside(), files: func(b *box) {
		neighbour(b)
		b.pipe("../cue.mod/module.cue")
		b.write("van/van.cue", plainCUE("van"))
	}})
	l.add(entry{class: class, name: "module-above-no-repository", args: []string{"check", "--", "./..."}, want: held().beside(), files: func(b *box) {
		b.remove(".git")
		neighbour(b)
		b.write("../cue.mod/module.cue", "module: \"example.org/above\"\nlanguage: version: \"v0.14.0\"\n")
		b.write("../parts/parts.cue", "package parts\n\nname: \""+secret+"\"\n")
		b.write("van/van.cue", strings.Replace(plainCUE("van"), "\n\n", "\n\nimport \"example.org/above/parts\"\n\nvehicle: notes: parts.name\n", 1))
	}})
	for _, path := range []string{"//...", "/...", "/proc/...", "/sys/...", "/dev/...", "/proc/self/root/...", "/proc/self/cwd/..."} {
		name := strings.Trim(strings.NewReplacer("/", "-", ".", "").Replace(path), "-")
		if path == "//..." {
			name = "double"
		}
		l.add(entry{class: class, name: "walk-" + map[bool]string{true: "root", false: name}[name == ""], needs: []string{"linux"}, heavy: true, args: []string{"check", "--", path, "neighbour.yaml"}, files: neighbour,
			want: held().beside().anywhere()})
	}
	for name, path := range map[string]string{"parent": "../...", "parent-file": "../outside/spec.yaml", "home": "~/...", "empty": "", "nul-like": "%00", "dots": ".../...", "dots-inside": "a/.../b", "three": "...", "slash": "/", "etc": "/etc/passwd", "backslash": `..\outside\spec.yaml`, "url": "file:///etc/passwd", "http": "http://127.0.0.1:9/x.yaml", "percent": "%2e%2e/outside/spec.yaml", "colon": "HEAD:neighbour.yaml", "spaces": "   "} {
		want := held()
		if strings.Contains(path, "outside") || path == "../..." {
			want = want.anywhere() // a path that is given may be read: it is what the caller names
		}
		e := entry{class: class, name: "path-" + name, args: []string{"check", "--", path}, want: want.without("root:"), files: neighbour}
		if path == "../..." || name == "parent-file" {
			e.files = func(b *box) { neighbour(b); b.write("../outside/spec.yaml", plainYAML("x")) }
		}
		l.add(e)
	}
	l.add(entry{class: class, name: "paths-10000", args: append([]string{"check", "--"}, strings.Fields(rep(10000, "neighbour.yaml "))...), files: neighbour, want: found().beside()})
	l.add(entry{class: class, name: "paths-missing-5000", args: append([]string{"check", "--", "neighbour.yaml"}, strings.Fields(lines(5000, "n%d.yaml "))...), files: neighbour, want: refused(`n4999?\.yaml|n0\.yaml`).beside()})
	l.add(entry{class: class, name: "path-long", needs: []string{"linux"}, args: []string{"check", "--", rep(120000, "x"), "neighbour.yaml"}, files: neighbour, want: refused().beside()})
	l.add(entry{class: class, name: "path-deep", needs: []string{"linux"}, args: []string{"check", "--", rep(60000, "x/"), "neighbour.yaml"}, files: neighbour, want: refused().beside()})
	l.add(entry{class: class, name: "path-up", needs: []string{"linux"}, args: []string{"check", "--", rep(40000, "../") + "etc/passwd", "neighbour.yaml"}, files: neighbour, want: refused().beside().without("root:")})
	l.add(entry{class: class, name: "folder-gone", needs: []string{"bash"}, command: []string{"bash", "-c", `mkdir gone && cd gone && rmdir ../gone && exec "$PROGRAM" check ./...`}, want: held()})
}

// races: a file that is changed between the look and the reading.
func races(l *list) {
	const class = "races"
	add := func(name, swap, check string, files func(b *box)) {
		l.add(entry{class: class, name: name, heavy: true, needs: []string{"bash", "linux"}, want: held().writing("*", "d/*", "parts/*"), files: files, command: []string{"bash", "-c",
			"(while [ ! -e ../tmp/stop ]; do " + swap + "; done) & swapper=$!\n" +
				"for i in 1 2 3 4 5 6 7 8 9 10 11 12 13 14 15 16 17 18 19 20; do \"$PROGRAM\" " + check + "; code=$?; [ $code -le 2 ] || break; done\n" +
				"touch ../tmp/stop; wait $swapper; rm -f ../tmp/stop; exit $code"}})
	}
	base := func(b *box) {
		neighbour(b)
		b.write("spare/inside.yaml", plainYAML("inside"))
	}
	add("file-for-link", "ln -sf ../outside/spec.yaml l.yaml; ln -f spare/inside.yaml l.tmp; mv -f l.tmp l.yaml", "check -- l.yaml", base)
	add("file-for-link-walked", "ln -sf ../outside/spec.yaml l.yaml; ln -f spare/inside.yaml l.tmp; mv -f l.tmp l.yaml", "check -- ./...", base)
	add("folder-for-link", "mkdir -p d; echo 'headroom: 1' >d/spec.yaml; rm -rf d; ln -sfn ../outside d; rm -f d", "check -- ./... d/spec.yaml", base)
	add("file-for-pipe", "mkfifo l.yaml 2>/dev/null; rm -f l.yaml; echo 'headroom: 1' >l.yaml; rm -f l.yaml", "check -- l.yaml", base)
	add("file-that-grows", "head -c 1000000 /dev/zero >>l.yaml; [ $(stat -c %s l.yaml) -lt 60000000 ] || : >l.yaml", "check -- l.yaml", base)
	add("library-for-link", "ln -sfn ../outside parts; rm -f parts; mkdir parts; echo 'package parts\n\nname: \"x\"' >parts/p.cue; rm -rf parts", "check -- van", func(b *box) {
		module(b)
		b.write("van/van.cue", strings.Replace(plainCUE("van"), "\n\n", "\n\nimport \"example.org/fleet/parts\"\n\nvehicle: notes: parts.name\n", 1))
	})
}
