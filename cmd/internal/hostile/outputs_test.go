package hostile

import (
	"fmt"
	"os"
	"strings"
)

// outputs: where an output goes to, and what is there.
func outputs(l *list) {
	const class = "outputs"
	add := func(name string, want outcome, files func(b *box), outs ...string) {
		args := []string{"check"}
		for _, out := range outs {
			args = append(args, "--out", out)
		}
		l.add(entry{class: class, name: name, args: append(args, "--", "neighbour.yaml"), want: want, files: func(b *box) {
			neighbour(b)
			if files != nil {
				files(b)
			}
		}, needs: []string{"linux"}})
	}
	add("to-pipe", refused(`o\.json`), func(b *box) { b.pipe("o.json") }, "json=o.json")
	add("to-socket", refused(`o\.json`), func(b *box) { b.socket("o.json") }, "json=o.json")
	add("to-folder", refused(`\bo\b`), func(b *box) { b.dir("o") }, "json=o")
	add("to-folder-slash", refused(`\bo\b`), nil, "json=o/")
	add("to-missing-folder", refused(`no/such/o\.json`), nil, "json=no/such/o.json")
	for _, device := range []string{"/dev/stdout", "/dev/stderr", "/dev/fd/1", "/proc/self/fd/1", "/dev/null", "/dev/full", "/dev/zero", "/dev/tty", "/proc/self/mem"} {
		// Whether it is written or refused: the device stays what it is.
		add("to-"+strings.Trim(strings.NewReplacer("/", "-", "_", "-").Replace(device), "-"), outcome{codes: []int{1, 2}, check: func(*box, result) string {
			if info, err := os.Lstat(device); err == nil && info.Mode().IsRegular() && strings.HasPrefix(device, "/dev/") {
				return device + " has become a file"
			}
			return ""
		}}, nil, "json="+device)
	}
	add("link-to-device", outcome{codes: []int{1, 2}}, func(b *box) { b.link("o.json", "/dev/stdout") }, "json=o.json")
	add("link-to-nothing", refused(`o\.json`), func(b *box) { b.link("o.json", "new.json") }, "json=o.json")
	add("link-ring", refused(`o\.json`), func(b *box) { b.link("o.json", "o.json") }, "json=o.json")
	add("over-specification", refused(`neighbour\.yaml`), nil, "json=neighbour.yaml")
	add("over-specification-spelled", refused(`neighbour\.yaml`), nil, "json=.//x/../neighbour.yaml")
	add("over-specification-absolute", refused(`neighbour\.yaml`), nil, "json=$BOX/repo/neighbour.yaml")
	add("over-specification-hard", refused(`h\.json`), func(b *box) {
		if err := os.Link(b.path("neighbour.yaml"), b.path("h.json")); err != nil {
			b.t.Skip("there are no hard links here: ", err)
		}
	}, "json=h.json")
	add("over-specification-linked", refused(`h\.json`), func(b *box) { b.link("h.json", "neighbour.yaml") }, "json=h.json")
	add("over-other", refused(`other\.yaml`), func(b *box) { b.write("other.yaml", plainYAML("other")) }, "json=other.yaml")
	add("over-hidden", refused(`\.kept\.yaml`), func(b *box) { b.write(".kept.yaml", plainYAML("other")) }, "json=.kept.yaml")
	add("over-module", refused(`module\.cue`), module, "json=cue.mod/module.cue")
	add("over-git", refused(`\.git`), func(b *box) { b.write(".git/config", "[core]\n") }, "json=.git/config")
	add("into-git", refused(`\.git`), nil, "json=.git/hooks/pre-commit")
	add("into-git-spelled", refused(`(?i)\.git`), nil, "json=./x/../.git/HEAD")
	add("above", held().writing("outside/o.json"), nil, "json=../outside/o.json")
	add("twice", refused(`a\.json`), nil, "json=a.json", "sarif=a.json")
	add("twice-spelled", refused(`a\.json`), nil, "json=a.json", "sarif=./a.json")
	add("twice-absolute", refused(`a\.json`), nil, "json=a.json", "sarif=$BOX/repo/a.json")
	add("twice-through-link", refused(`a\.json`), func(b *box) { b.link("here", ".") }, "json=a.json", "sarif=here/a.json")
	add("twice-hard", refused(`b\.json`), func(b *box) {
		b.write("a.json", "{}")
		if err := os.Link(b.path("a.json"), b.path("b.json")); err != nil {
			b.t.Skip("there are no hard links here: ", err)
		}
	}, "json=a.json", "sarif=b.json")
	add("twice-stdout", outcome{codes: []int{1, 2}}, nil, "json", "sarif")
	add("twice-same", refused(), nil, "json=a.json", "json=a.json")
	add("one-fails", refused(`no/b\.json`), nil, "json=a.json", "sarif=no/b.json")
	add("one-fails-last", refused(`\bd\b`), func(b *box) {
		b.dir("d")
		b.write("a.json", "old")
	}, "json=a.json", "sarif=b.sarif", "junit=d")
	add("many", outcome{codes: []int{1}, writes: []string{"o*.json"}}, nil, strings.Fields(lines(200, "json=o%d.json "))...)
	add("unknown", refused(`xml`), nil, "xml=a.xml")
	add("unknown-control", refused(), nil, "\x1b[31m\u202e=a.xml")
	add("no-name", refused(), nil, "json=")
	add("no-format", refused(), nil, "=a.json")
	add("dash", held().writing("-"), nil, "json=-")
	add("readable-only", refused(`ro/a\.json`), func(b *box) {
		b.dir("ro")
		_ = os.Chmod(b.path("ro"), 0o555)
	}, "json=ro/a.json")
	l.entries[len(l.entries)-1].needs = []string{"user"}
	add("sound-file", outcome{codes: []int{1}, writes: []string{"a.json"}}, func(b *box) { b.write("a.json", rep(10<<20, "x")) }, "json=a.json")
	add("found-again", outcome{codes: []int{1}, writes: []string{"a.yaml"}}, nil, "json=a.yaml")

	script := func(name, text string, want outcome, files func(b *box)) {
		l.add(entry{class: class, name: name, needs: []string{"bash", "linux"}, command: []string{"bash", "-c", text}, want: want, files: func(b *box) {
			neighbour(b)
			if files != nil {
				files(b)
			}
		}})
	}
	script("stdout-full", `"$PROGRAM" check neighbour.yaml >/dev/full`, refused(), nil)
	script("stdout-closed", `"$PROGRAM" check neighbour.yaml >&-`, outcome{codes: []int{1, 2}}, nil)
	script("stderr-closed", `"$PROGRAM" check neighbour.yaml 2>&-`, outcome{codes: []int{1, 2}}, nil)
	script("all-closed", `"$PROGRAM" check --out json=a.json neighbour.yaml <&- >&- 2>&-`, outcome{codes: []int{1, 2}}.writing("a.json"), nil)
	script("input-closed", `"$PROGRAM" check - <&-`, outcome{codes: []int{1, 2}}, nil)                                                                                 // the runtime opens /dev/null in its place
	script("stdout-pipe-ends", `"$PROGRAM" check -v --out sarif neighbour.yaml | head -c 10 >/dev/null; exit ${PIPESTATUS[0]}`, outcome{codes: []int{1, 2, 141}}, nil) // 141: by the signal, as usual
	script("stdout-is-input", `"$PROGRAM" check neighbour.yaml >>neighbour.yaml`, held().writing("neighbour.yaml"), nil)
	script("file-limit", `ulimit -f 1; "$PROGRAM" check --include-passes --out sarif=a.sarif neighbour.yaml`, outcome{codes: []int{2}, says: []string{`a\.sarif`}}, nil)
	script("open-files-limit", `ulimit -n 12; exec "$PROGRAM" check ./...`, held(), func(b *box) {
		for i := range 50 {
			b.write(fmt.Sprintf("v%d.yaml", i), plainYAML("v"))
		}
	})
	script("processes-limit", `ulimit -u 60; exec "$PROGRAM" check ./...`, held(), func(b *box) { b.write("hog/hog.cue", plainCUE("hog")+"_x: [for a in [1] {a}]\n") })
	script("mask", `umask 777; exec "$PROGRAM" check --out json=a.json neighbour.yaml`, outcome{codes: []int{1, 2}, writes: []string{"a.json"}}, nil)
	script("temporary-missing", `TMPDIR=/nonexistent exec "$PROGRAM" check --out json=a.json neighbour.yaml`, outcome{codes: []int{1}, writes: []string{"a.json"}}, nil)
	script("init-over", `"$PROGRAM" init .; "$PROGRAM" init .`, refused(), func(b *box) { b.write("cart.cue", "mine") })
}

// outputNames: names that an output may be given.
func outputNames(l *list) {
	const class = "output-names"
	for _, c := range []struct {
		name, file string
		codes      []int
	}{
		{"bytes-250", rep(250, "x"), []int{1}},
		{"bytes-255", rep(255, "x"), []int{1}},
		{"bytes-256", rep(256, "x"), []int{2}},
		{"bytes-250-wide", rep(83, "é") + rep(84, "x"), []int{1}},
		{"path-5000", rep(2500, "x/") + "y", []int{2}},
		{"escape", "a\x1b[31mred.json", []int{1, 2}},
		{"newline", "a\nb.json", []int{1, 2}},
		{"carriage-return", "a\rb.json", []int{1, 2}},
		{"backspace", "a\b\b\bb.json", []int{1, 2}},
		{"right-to-left", "a\u202enosj.b", []int{1, 2}},
		{"zero-width", "a\u200b.json", []int{1, 2}},
		{"runner", "##vso[task.complete].json", []int{1, 2}},
		{"runner-old", "##[error]x.json", []int{1, 2}},
		{"runner-colons", "::error::x.json", []int{1, 2}},
		{"team", "##teamcity[buildStop].json", []int{1, 2}},
		{"invalid-bytes", "a\xff\xfe.json", []int{1, 2}},
		{"dash", "-rf", []int{1, 2}},
		{"dashes", "--out", []int{1, 2}},
		{"equals", "a=b=c.json", []int{1, 2}},
		{"glob", "*.json", []int{1, 2}},
		{"spaces", "  ", []int{1, 2}},
		{"dots", "..", []int{2}},
		{"dot", ".", []int{2}},
		{"device-name", "con.json", []int{1, 2}},
		{"colon-stream", "a.json:stream", []int{1, 2}},
		{"quote", `a"b'c` + "`d.json", []int{1, 2}},
		{"markup", "<img src=x onerror=alert(1)>.json", []int{1, 2}},
		{"percent", "%s%n%x.json", []int{1, 2}},
		{"dollar", "$(touch marked).json", []int{1, 2}},
	} {
		for _, format := range []string{"json", "sarif"} {
			if format == "sarif" && !strings.HasPrefix(c.name, "bytes") && !strings.HasPrefix(c.name, "r") {
				continue
			}
			want := outcome{codes: c.codes, check: func(b *box, r result) string {
				for _, name := range r.written {
					if r.code == 2 {
						return fmt.Sprintf("wrote %q although it failed", name)
					}
				}
				return ""
			}}
			want = want.writing("*")
			l.add(entry{class: class, name: c.name + "-" + format, needs: []string{"linux"}, args: []string{"check", "--out", format + "=" + c.file, "--", "neighbour.yaml"}, files: neighbour, want: want})
		}
	}
}
