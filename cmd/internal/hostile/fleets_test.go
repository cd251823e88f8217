package hostile

import (
	"fmt"
	"os"
	"os/exec"
	"strings"
)

// slow is a package that computes for minutes.
const slow = "_n: [0, 1, 2, 3, 4, 5, 6, 7, 8, 9]\n_hog: [for a in _n for b in _n for c in _n for d in _n for e in _n for f in _n for g in _n {a + b}]\nvehicle: altitude_m: len(_hog)\n"

// quietlyLarge is a package that takes a second or two, below the bound of one vehicle.
const quietlyLarge = "_n: [0, 1, 2, 3, 4, 5, 6, 7, 8, 9]\n_hog: [for a in _n for b in _n for c in _n for d in _n for e in _n {a + b}]\nvehicle: altitude_m: len(_hog)\n"

// fleets: many vehicles, each within its bound or not, and trees that are large.
func fleets(l *list) {
	const class = "fleets"
	add := func(name string, heavy bool, args []string, want outcome, files func(b *box)) {
		l.add(entry{class: class, name: name, heavy: heavy, args: args, want: want, files: func(b *box) {
			neighbour(b)
			files(b)
		}})
	}
	many := func(n int, text string) func(b *box) {
		return func(b *box) {
			for i := range n {
				b.write(fmt.Sprintf("hog%02d/hog.cue", i), plainCUE("hog")+text)
			}
		}
	}
	stopped := refused(`(?m)^headroom: .*hog\d\d.*\d`).beside()
	add("slow-20", true, all, stopped, many(20, slow))
	add("slow-20-memory", true, all, stopped, many(20, "_x0: \"xxxxxxxxxxxxxxxx\"\n"+joined(29, func(i int) string { return fmt.Sprintf("_x%d: _x%d + _x%d\n", i+1, i, i) })+"vehicle: notes: _x29\n"))
	add("slow-20-sarif", true, []string{"check", "--out", "text", "--out", "sarif=out.sarif", "--", "./..."}, stopped.writing("out.sarif"), many(20, slow))
	add("slow-20-ratings", true, []string{"ratings", "./..."}, refused(`(?m)^headroom: .*hog\d\d.*\d`), many(20, slow))
	add("slow-20-shard", true, []string{"check", "--shard", "1/2", "--", "./..."}, refused(`(?m)^headroom: .*hog\d\d.*\d`), many(20, slow))
	add("slow-20-changed", true, append([]string{"check", "--changed", "--", "neighbour.yaml"}, "hog00/hog.cue", "hog01/hog.cue", "hog02/hog.cue", "hog03/hog.cue", "hog04/hog.cue"), refused(`(?m)^headroom: .*hog\d\d.*\d`).or(1).beside(), many(20, slow))
	add("slow-20-named", true, append([]string{"check", "--", "neighbour.yaml"}, strings.Fields(joined(20, func(i int) string { return fmt.Sprintf(" hog%02d", i) }))...), stopped, many(20, slow))
	add("quietly-large-100", true, all, held().beside(), many(100, quietlyLarge))
	add("slow-99", true, all, stopped, many(99, slow))
	add("slow-yaml-20", true, all, held().beside(), func(b *box) {
		text := meshOf(40)
		for i := range 20 {
			b.write(fmt.Sprintf("hog%02d.yaml", i), text)
		}
	})
	add("slow-library-shared", true, all, held().beside(), func(b *box) {
		module(b)
		b.write("parts/parts.cue", "package parts\n\n_n: [0, 1, 2, 3, 4, 5, 6, 7, 8, 9]\nn: len([for a in _n for b in _n for c in _n for d in _n for e in _n for f in _n for g in _n {a}])\n")
		for i := range 20 {
			b.write(fmt.Sprintf("hog%02d/hog.cue", i), strings.Replace(plainCUE("hog"), "\n\n", "\n\nimport \"example.org/fleet/parts\"\n\nvehicle: altitude_m: parts.n\n", 1))
		}
	})
	add("tiny-3000", true, all, found().beside(), func(b *box) {
		for i := range 3000 {
			b.write(fmt.Sprintf("d%d/v%d.yaml", i%50, i), plainYAML("v"))
		}
	})
	add("broken-3000", true, all, told("v0.yaml").beside(), func(b *box) {
		for i := range 3000 {
			b.write(fmt.Sprintf("v%d.yaml", i), plainYAML("v")+"x: [\n")
		}
	})
	add("empty-files-20000", true, all, held().beside(), func(b *box) {
		for i := range 20000 {
			b.write(fmt.Sprintf("d%d/v%d.yaml", i%20, i), "")
		}
	})
	add("other-files-50000", true, all, found().beside(), func(b *box) {
		for i := range 50000 {
			b.write(fmt.Sprintf("d%d/v%d.txt", i%50, i), "x")
		}
	})
	add("passed-over-5000", true, all, found().beside(), func(b *box) {
		for i := range 5000 {
			b.write(fmt.Sprintf("d%d/v%d.yaml.bak", i%50, i), plainYAML("v"))
		}
	})
	add("passed-over-large", true, all, found().or(2).beside(), func(b *box) {
		text := plainYAML("v") + lines(1200000, "a%d: 1\n")
		for i := range 12 {
			b.write(fmt.Sprintf("v%d.yaml.bak", i), text)
		}
	})
	add("passed-over-sparse", true, all, found().or(2).beside(), func(b *box) {
		for i := range 12 {
			b.sparse(fmt.Sprintf("v%d.bak", i), 1<<40)
		}
	})
	add("folders-deep", true, all, held().beside(), func(b *box) {
		// Deeper than a path may be long, one step at a time.
		dir := b.path(".")
		root, err := os.OpenRoot(dir)
		if err != nil {
			b.t.Fatal(err)
		}
		for i := range 300 {
			if err := root.Mkdir("dddddddddddddddddddd", 0o777); err != nil {
				b.t.Skip("folders cannot be nested so deeply here: ", err)
			}
			next, err := root.OpenRoot("dddddddddddddddddddd")
			if err != nil {
				b.t.Fatal(i, err)
			}
			root.Close()
			root = next
		}
		if file, err := root.Create("deep.yaml"); err == nil {
			fmt.Fprint(file, plainYAML("deep"))
			file.Close()
		}
		root.Close()
	})
	add("folders-20000", true, all, found().beside(), func(b *box) {
		for i := range 20000 {
			b.dir(fmt.Sprintf("d%d/e%d", i%100, i))
		}
	})
	add("large-files-6", true, all, held().beside(), func(b *box) {
		text := plainYAML("v") + "notes: " + rep(15<<20, "x") + "\n"
		for i := range 6 {
			b.write(fmt.Sprintf("v%d.yaml", i), text)
		}
	})
	add("modules-500", true, all, held().beside(), func(b *box) {
		for i := range 500 {
			dir := fmt.Sprintf("m%d/", i)
			b.write(dir+"cue.mod/module.cue", "module: \"example.org/m\"\nlanguage: version: \"v0.14.0\"\n")
			b.write(dir+"van/van.cue", plainCUE("van"))
		}
	})
	add("packages-in-one-folder", true, all, held().beside(), func(b *box) {
		for i := range 300 {
			b.write(fmt.Sprintf("x/v%d.cue", i), plainCUE(fmt.Sprintf("v%d", i)))
		}
	})
}

// bases: earlier revisions that are larger than any fleet.
func bases(l *list) {
	const class = "bases"
	add := func(name string, args []string, want outcome, files func(i int) (path, text string), n int) {
		l.add(entry{class: class, name: name, heavy: true, needs: []string{"git"}, args: args, want: want, files: func(b *box) {
			b.repository()
			b.imported(n, files)
			neighbour(b)
			b.git("update-index", "-q", "--refresh")
		}})
	}
	since, diff := []string{"check", "--since", "main", "--", "./..."}, []string{"diff", "main"}
	told := held(`(?m)^headroom: .*\d|^\d+ vehicles?|neighbour`)
	vehicle := func(i int) (string, string) {
		return fmt.Sprintf("d%d/v%d.yaml", i%100, i), plainYAML(fmt.Sprint("v", i))
	}
	twin := func(i int) (string, string) { return fmt.Sprintf("d%d/v%d.yaml", i%100, i), plainYAML("v") }
	add("since-100000", since, told, vehicle, 100000)
	add("diff-100000", diff, told, vehicle, 100000)
	add("history-100000", []string{"history", "--from", "main", "modes-missing", "d1/v1.yaml", "vehicle"}, held(), vehicle, 100000)
	add("since-100000-twins", since, told, twin, 100000)
	add("since-100000-named", []string{"check", "--since", "main", "--", "neighbour.yaml"}, told, vehicle, 100000)
	add("diff-100000-named", []string{"diff", "main", "--", "neighbour.yaml"}, told, vehicle, 100000)
	add("since-100000-folders", since, told, func(i int) (string, string) { return fmt.Sprintf("d%d/x/y/v.yaml", i), plainYAML(fmt.Sprint("v", i)) }, 100000)
	add("diff-100000-others", diff, told, func(i int) (string, string) { return fmt.Sprintf("d%d/v%d.txt", i%100, i), fmt.Sprint(i) }, 100000)
	add("since-100000-packages", since, told, func(i int) (string, string) { return fmt.Sprintf("d%d/v.cue", i), plainCUE("v") }, 100000)
	add("since-20-slow", since, held(`hog\d*|d\d+`), func(i int) (string, string) { return fmt.Sprintf("d%d/hog.cue", i), plainCUE("hog") + slow }, 20)
	add("diff-20-slow", diff, held(`hog\d*|d\d+`), func(i int) (string, string) { return fmt.Sprintf("d%d/hog.cue", i), plainCUE("hog") + slow }, 20)
	add("since-2000-broken", since, told, func(i int) (string, string) { return fmt.Sprintf("v%d.yaml", i), plainYAML("v") + "x: [" }, 2000)
	add("since-12-large", since, told, func(i int) (string, string) {
		return fmt.Sprintf("v%d.yaml", i), plainYAML("v") + lines(1000000, "a%d: 1\n")
	}, 12)
	add("diff-too-large", diff, held(`v0.yaml`), func(i int) (string, string) { return fmt.Sprintf("v%d.yaml", i), "#" + rep(40<<20, " ") + "\n" }, 2)
	add("since-deep", since, told, func(i int) (string, string) { return rep(900, "d/") + "v.yaml", plainYAML("v") }, 1)
	add("since-hostile-names", since, told, func(i int) (string, string) {
		return []string{"-x.yaml", "\x1b[31m.yaml", "\u202ex.yaml", "##vso[x].yaml", "a\nb.yaml", "::error::x.yaml", "\xff.yaml", "a\\b.yaml"}[i], plainYAML("v")
	}, 8)
	l.add(entry{class: class, name: "history-5000-commits", heavy: true, needs: []string{"git"}, args: []string{"history", "modes-missing", "v.yaml", "vehicle"}, want: held(), files: func(b *box) {
		b.repository()
		b.fastImport(joined(5000, func(i int) string {
			text := plainYAML(fmt.Sprint("v", i))
			return fmt.Sprintf("commit refs/heads/main\ncommitter T <t@example.org> %d +0000\ndata 1\nx\nM 644 inline v.yaml\ndata %d\n%s\n", 1800000000+i, len(text), text)
		}))
		b.git("reset", "-q", "--hard")
	}})
	l.add(entry{class: class, name: "merge-base-far", heavy: true, needs: []string{"git"}, args: []string{"check", "--since", "other...", "--", "./..."}, want: held(), files: func(b *box) {
		b.repository()
		commits := func(branch string) string {
			return joined(20000, func(i int) string {
				return fmt.Sprintf("commit refs/heads/%s\ncommitter T <t@example.org> %d +0000\ndata 1\nx\n\n", branch, 1800000000+i)
			})
		}
		b.fastImport(commits("main") + commits("other"))
		neighbour(b)
	}})
}

// imported commits n files without writing them to the working tree.
func (b *box) imported(n int, file func(i int) (path, text string)) {
	b.t.Helper()
	b.fastImport("commit refs/heads/main\ncommitter T <t@example.org> 1800000000 +0000\ndata 1\nx\n" + joined(n, func(i int) string {
		path, text := file(i)
		return fmt.Sprintf("M 644 inline %s\ndata %d\n%s\n", quoted(path), len(text), text)
	}))
}

// quoted is a path as fast-import reads it.
func quoted(path string) string {
	return `"` + strings.NewReplacer(`\`, `\\`, `"`, `\"`, "\n", `\n`).Replace(path) + `"`
}

func (b *box) fastImport(stream string) {
	b.t.Helper()
	cmd := exec.Command("git", "fast-import", "--quiet")
	cmd.Dir, cmd.Env, cmd.Stdin = b.path("."), b.env(), strings.NewReader(stream)
	if out, err := cmd.CombinedOutput(); err != nil {
		b.t.Fatalf("git fast-import: %v\n%s", err, out)
	}
}
