package hostile

import (
	"fmt"
	"net"
	"os"
	"strings"
)

// specialFiles: pipes, sockets, devices and the like under the names of files.
func specialFiles(l *list) {
	const class = "special-files"
	add := func(name string, args []string, want outcome, files func(b *box), needs ...string) {
		l.add(entry{class: class, name: name, needs: append(needs, "unix"), args: args, want: want, files: func(b *box) {
			neighbour(b)
			if files != nil {
				files(b)
			}
		}})
	}
	pipe := func(names ...string) func(b *box) {
		return func(b *box) {
			for _, name := range names {
				b.pipe(name)
			}
		}
	}
	named := func(name string) []string { return []string{"check", "--", name, "neighbour.yaml"} }
	for _, name := range []string{"f.yaml", "f.json", "f.cue"} {
		ext := strings.TrimPrefix(name, "f.")
		add("pipe-named-"+ext, named(name), refused(`(?m)^headroom: f\.`).beside(), pipe(name))
		add("pipe-met-"+ext, all, held(`(?m)^headroom: .*f\.`).beside(), pipe(name))
		add("pipe-ratings-"+ext, []string{"ratings", name}, refused(`(?m)^headroom: f\.`), pipe(name))
		add("pipe-explain-"+ext, []string{"explain", "modes-missing", name}, refused(`(?m)^headroom: f\.`), pipe(name))
		add("pipe-changed-"+ext, []string{"check", "--changed", "--", name, "neighbour.yaml"}, held().beside(), pipe(name))
	}
	add("pipe-in-package", all, told("hog").beside(), func(b *box) {
		b.write("hog/hog.cue", plainCUE("hog"))
		b.pipe("hog/more.cue")
	})
	add("pipe-in-library", all, told("van").beside(), func(b *box) {
		module(b)
		b.pipe("parts/parts.cue")
		b.write("van/van.cue", strings.Replace(plainCUE("van"), "\n\n", "\n\nimport \"example.org/fleet/parts\"\n\n_p: parts\n", 1))
	})
	add("pipe-as-module", all, held().beside(), func(b *box) {
		b.pipe("cue.mod/module.cue")
		b.write("van/van.cue", plainCUE("van"))
	})
	add("pipe-as-module-folder", all, held().beside(), func(b *box) {
		b.pipe("cue.mod")
		b.write("van/van.cue", plainCUE("van"))
	})
	add("pipe-as-git", all, held().beside(), func(b *box) {
		b.remove(".git")
		b.pipe(".git")
	})
	add("pipe-as-head", []string{"check", "--since", "HEAD", "--", "./..."}, refused(`HEAD`), func(b *box) {
		b.repository()
		b.remove(".git/HEAD")
		b.pipe(".git/HEAD")
	}, "git")
	add("pipe-as-attributes", []string{"check", "--since", "HEAD", "--", "./..."}, held(), func(b *box) {
		b.repository()
		b.commit("First")
		b.pipe(".gitattributes")
	}, "git")
	add("pipe-as-ignore", []string{"check", "--since", "HEAD", "--", "./..."}, held(), func(b *box) {
		b.repository()
		b.commit("First")
		b.pipe(".gitignore")
	}, "git")
	add("pipe-as-part", []string{"join", "f.json"}, refused(`f\.json`), pipe("f.json"))
	add("pipes-many", all, found().beside(), func(b *box) {
		for i := range 300 {
			b.pipe(fmt.Sprintf("f%d.yaml", i))
		}
	})
	add("pipe-passed-over", all, found().beside(), pipe("f.yaml.bak", ".f.yaml", "testdata/f.yaml"))
	add("pipe-diff", []string{"diff", ".", "other"}, held(), pipe("other/f.yaml"))
	add("socket", all, held(`(?m)^headroom: .*s\.yaml`).beside(), func(b *box) { b.socket("s.yaml") })
	add("socket-named", named("s.yaml"), refused(`s\.yaml`).beside(), func(b *box) { b.socket("s.yaml") })
	add("socket-library", all, told("van").beside(), func(b *box) {
		module(b)
		b.socket("parts/parts.cue")
		b.write("van/van.cue", strings.Replace(plainCUE("van"), "\n\n", "\n\nimport \"example.org/fleet/parts\"\n\n_p: parts\n", 1))
	})
	for _, device := range []string{"/dev/zero", "/dev/random", "/dev/null", "/dev/full", "/dev/stdin", "/dev/stdout", "/dev/tty", "/dev/fd/0", "/dev/fd/3"} {
		name := strings.ReplaceAll(strings.TrimPrefix(device, "/"), "/", "-")
		add("named-"+name, []string{"check", "--", device, "neighbour.yaml"}, held().beside(), nil, "linux")
		add("linked-"+name, all, held(`(?m)^headroom: .*d\.yaml`).beside(), func(b *box) { b.link("d.yaml", device) }, "linux")
	}
	for _, file := range []string{"/proc/self/mem", "/proc/self/environ", "/proc/self/fd/0", "/proc/self/fd/1", "/proc/kmsg", "/proc/kcore", "/proc/self/maps", "/proc/self/root/etc/passwd", "/sys/kernel/mm/transparent_hugepage/enabled", "/proc/self/cwd/neighbour.yaml"} {
		name := strings.Trim(strings.NewReplacer("/", "-", ".", "-", "_", "-").Replace(strings.ToLower(file)), "-")
		want := refused(`(?m)^headroom: p\.yaml`).beside().without("root:", `HOSTILE_BOX`)
		if strings.HasSuffix(file, "neighbour.yaml") {
			want = held().beside() // it leads to a file inside
		}
		add("link-named-"+name, named("p.yaml"), want, func(b *box) { b.link("p.yaml", file) }, "linux")
	}
	for _, file := range []string{"/proc/self/environ", "/proc/self/mem", "/proc/kcore", "/proc/self/maps"} {
		name := strings.ReplaceAll(strings.TrimPrefix(file, "/"), "/", "-")
		add("given-"+name, []string{"check", "--", file, "neighbour.yaml"}, held().beside().without(`HOSTILE_BOX`), nil, "linux")
		add("library-"+name, all, told("van").beside().without(`HOSTILE_BOX`), func(b *box) {
			module(b)
			b.link("parts/parts.cue", file)
			b.write("van/van.cue", strings.Replace(plainCUE("van"), "\n\n", "\n\nimport \"example.org/fleet/parts\"\n\n_p: parts\n", 1))
		}, "linux")
	}
	add("folder-as-file", all, held().beside(), func(b *box) { b.dir("d.yaml") })
	add("folder-as-file-named", named("d.yaml"), held(`d\.yaml|neighbour`).beside(), func(b *box) { b.dir("d.yaml") })
	add("sparse", all, told("s.yaml").beside(), func(b *box) { b.sparse("s.yaml", 1<<40) })
	add("sparse-json", named("s.json"), told("s.json").beside(), func(b *box) { b.sparse("s.json", 1<<40) })
	add("sparse-cue", all, told("s").beside(), func(b *box) {
		b.write("s/s.cue", plainCUE("s"))
		b.sparse("s/more.cue", 1<<40)
	})
	add("sparse-at-limit", all, told("s.yaml").beside(), func(b *box) { b.sparse("s.yaml", 16<<20) })
	add("sparse-library", all, told("van").beside(), func(b *box) {
		module(b)
		b.sparse("parts/parts.cue", 1<<40)
		b.write("van/van.cue", strings.Replace(plainCUE("van"), "\n\n", "\n\nimport \"example.org/fleet/parts\"\n\n_p: parts\n", 1))
	})
	add("sparse-part", []string{"join", "s.json"}, refused(`s\.json`), func(b *box) { b.sparse("s.json", 1<<40) })
	add("unreadable", all, refused(`u\.yaml`).beside(), func(b *box) {
		b.write("u.yaml", plainYAML("u"))
		_ = os.Chmod(b.path("u.yaml"), 0)
	}, "user")
	add("unreadable-folder", all, refused(`\bu\b`).beside(), func(b *box) {
		b.write("u/u.yaml", plainYAML("u"))
		_ = os.Chmod(b.path("u"), 0)
	}, "user")
	l.add(entry{class: class, name: "input-zero", needs: []string{"linux"}, stdinFile: "../../../../../../../../../dev/zero", args: []string{"check", "-"}, want: held()})
	l.add(entry{class: class, name: "input-large", heavy: true, stdin: func(*box) string { return plainYAML("x") + "#" + rep(200<<20, "x") }, args: []string{"check", "--stdin-name", "x.yaml", "-"}, want: refused(`x\.yaml|standard input`)})
	l.add(entry{class: class, name: "input-folder", needs: []string{"unix"}, stdinFile: ".", args: []string{"check", "-"}, want: refused("standard input|stdin")})
	l.add(entry{class: class, name: "input-twice", stdin: func(*box) string { return plainYAML("x") }, args: []string{"check", "-", "-"}, want: held()})
	l.add(entry{class: class, name: "input-part", stdin: func(*box) string { return rep(1<<20, "[") }, args: []string{"join", "-"}, want: refused()})
}

// socket makes a socket in the file system.
func (b *box) socket(name string) {
	b.t.Helper()
	b.write(name, "")
	b.remove(name)
	// The address of a socket is short, so it is made from its own folder by a short name.
	address := b.path(name)
	if len(address) > 100 {
		short, err := os.MkdirTemp("", "s")
		if err != nil {
			b.t.Fatal(err)
		}
		b.t.Cleanup(func() { os.RemoveAll(short) })
		address = short + "/s"
	}
	listener, err := net.Listen("unix", address)
	if err != nil {
		b.t.Skip("there are no sockets in folders here: ", err)
	}
	listener.(*net.UnixListener).SetUnlinkOnClose(false)
	listener.Close()
	if address != b.path(name) {
		if err := os.Rename(address, b.path(name)); err != nil {
			b.t.Fatal(err)
		}
	}
}
