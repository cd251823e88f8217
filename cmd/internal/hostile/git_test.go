package hostile

import (
	"fmt"
	"strings"
)

// traps are settings of git that name programs, each of which leaves a file called marked.
var traps = []string{
	"core.fsmonitor", "core.sshCommand", "core.gitProxy", "core.askPass", "core.pager", "core.editor", "core.alternateRefsCommand", "core.hooksPath",
	"credential.helper", "gpg.program", "gpg.ssh.program", "diff.external", "diff.x.textconv", "diff.x.command", "merge.x.driver", "filter.x.smudge", "filter.x.clean", "filter.x.process",
	"remote.origin.uploadpack", "uploadpack.packObjectsHook", "alias.cat-file", "alias.rev-parse", "alias.ls-tree", "pager.cat-file", "pager.log", "sequence.editor", "http.proxy", "core.worktree", "init.templateDir", "trailer.x.command", "blame.ignoreRevsFile", "log.mailmap", "mailmap.file",
}

var gitCommands = []struct {
	name string
	args []string
}{
	{"since", []string{"check", "--since", "HEAD", "--", "./..."}},
	{"diff", []string{"diff", "HEAD"}},
	{"two", []string{"diff", "HEAD~1", "HEAD"}},
	{"history", []string{"history", "modes-missing", "v.yaml", "vehicle"}},
	{"check", all},
	{"changed", []string{"check", "--changed", "--", "v.yaml", "neighbour.yaml"}},
}

// twoCommits is an ordinary repository with two of them.
func twoCommits(b *box) {
	b.repository()
	neighbour(b)
	b.write("v.yaml", plainYAML("v"))
	b.commit("First")
	b.write("v.yaml", plainYAML("w"))
	b.commit("Second")
}

// seatedGit adds an entry for some of the commands. No trap may go off.
func (l *list) seatedGit(class, name string, hostile func(b *box), commands string, want outcome, env ...string) {
	for _, c := range gitCommands {
		if !strings.Contains(" "+commands+" ", " "+c.name+" ") {
			continue
		}
		l.add(entry{class: class, name: name + "-" + c.name, needs: []string{"git", "unix"}, args: c.args, env: env, want: want, files: func(b *box) {
			twoCommits(b)
			b.write("../outside/trap", "#!/bin/sh\ntouch "+b.path("../marked")+"\ncat\n")
			b.git("-c", "core.fileMode=true", "update-index", "-q", "--refresh")
			executable(b, "../outside/trap")
			hostile(b)
		}})
	}
}

// gitSettings: settings, attributes and hooks that come with a repository.
func gitSettings(l *list) {
	const class = "git-settings"
	set := func(name string, commands string, settings ...string) {
		l.seatedGit(class, name, func(b *box) {
			text := b.read(".git/config")
			for _, setting := range settings {
				key, value, _ := strings.Cut(strings.ReplaceAll(setting, "TRAP", b.root+"/outside/trap"), "=")
				i, j := strings.Index(key, "."), strings.LastIndex(key, ".")
				section := "[" + key[:i] + "]"
				if i != j {
					section = fmt.Sprintf("[%s %q]", key[:i], key[i+1:j])
				}
				text += fmt.Sprintf("%s\n\t%s = %q\n", section, key[j+1:], value)
			}
			b.write(".git/config", text)
			b.write(".gitattributes", "* diff=x merge=x\n")
		}, commands, held())
	}
	for i, trap := range traps {
		set(strings.ToLower(strings.ReplaceAll(trap, ".", "-")), gitCommands[i%4].name, trap+"=TRAP")
	}
	set("alias-shell", "since diff two history", "alias.cat-file=!TRAP", "alias.ls-tree=!TRAP", "alias.rev-parse=!TRAP", "alias.merge-base=!TRAP")
	set("promisor", "since diff history", "remote.origin.url=ext::TRAP", "remote.origin.promisor=true", "extensions.partialClone=origin", "protocol.ext.allow=always")
	set("signatures", "history", "log.showSignature=true", "gpg.program=TRAP")
	set("include-outside", "since history", "include.path=$HOME/../outside/spec.yaml")
	set("worktree-outside", "since diff", "core.worktree=../../outside")
	set("bare", "since diff check", "core.bare=true")
	set("version", "since two", "core.repositoryFormatVersion=99")
	set("extension", "since", "extensions.unknown=true", "core.repositoryFormatVersion=1")
	set("quotes", "since diff", "core.quotePath=false", "core.precomposeUnicode=true", "i18n.logOutputEncoding=UTF-16", "core.ignoreCase=true", "core.symlinks=false", "core.autocrlf=true", "core.eol=crlf")
	set("limits", "since two", "core.packedGitLimit=1", "core.bigFileThreshold=1", "pack.windowMemory=1", "core.compression=99")
	set("threads", "since", "pack.threads=100000", "index.threads=100000", "core.preloadIndex=true")
	set("trace", "since", "trace2.eventTarget=/dev/stderr", "trace2.normalTarget=TRAP")
	set("colour", "since history", "color.ui=always", "color.pager=true", "log.decorate=full", "format.pretty=%x1b[31m%H")
	whole := func(name, commands string, want outcome, hostile func(b *box)) {
		l.seatedGit(class, name, hostile, commands, want)
	}
	whole("config-pipe", "since diff two history check", held(), func(b *box) {
		b.remove(".git/config")
		b.pipe(".git/config")
	})
	whole("config-includes-pipe", "since history", held(), func(b *box) {
		b.pipe(".git/p")
		b.write(".git/config", b.read(".git/config")+"[include]\n\tpath = p\n")
	})
	whole("config-includes-itself", "since two", held(), func(b *box) { b.write(".git/config", b.read(".git/config")+"[include]\n\tpath = config\n") })
	whole("config-zero", "since", held(), func(b *box) { b.remove(".git/config"); b.link(".git/config", "/dev/zero") })
	whole("config-large", "since", held(), func(b *box) { b.write(".git/config", b.read(".git/config")+rep(1000000, "[a \"b\"]\n")) })
	whole("config-nonsense", "since diff check", held(), func(b *box) { b.write(".git/config", "[\x00\xff") })
	whole("config-worktree-pipe", "since", held(), func(b *box) {
		b.write(".git/config", b.read(".git/config")+"[extensions]\n\tworktreeConfig = true\n")
		b.pipe(".git/config.worktree")
	})
	whole("hooks", "since diff two history check", held(), func(b *box) {
		for _, hook := range []string{"pre-commit", "post-checkout", "fsmonitor-watchman", "post-index-change", "reference-transaction", "pre-auto-gc"} {
			b.write(".git/hooks/"+hook, b.read("../outside/trap"))
			executable(b, ".git/hooks/"+hook)
		}
	})
	whole("attributes-filter", "since diff two history", held(), func(b *box) {
		b.write(".git/config", b.read(".git/config")+"[filter \"x\"]\n\tsmudge = "+b.root+"/outside/trap\n\tclean = "+b.root+"/outside/trap\n\tprocess = "+b.root+"/outside/trap\n\trequired = true\n")
		b.write(".git/info/attributes", "* filter=x\n")
	})
	whole("attributes-large", "since", held(), func(b *box) { b.write(".gitattributes", lines(500000, "x%d -text\n")) })
	whole("attributes-wide", "since", held(), func(b *box) { b.write(".gitattributes", "* "+lines(50000, "a%d ")+"\n") })
	whole("attributes-macro", "since", held(), func(b *box) {
		b.write(".gitattributes", "[attr]a0 x\n"+joined(40, func(i int) string { return fmt.Sprintf("[attr]a%d a%d a%d\n", i+1, i, i) })+"* a40\n")
	})
	whole("attributes-link", "since", held(), func(b *box) { b.link(".gitattributes", "/dev/zero") })
	whole("attributes-encoding", "since diff", held(), func(b *box) { b.write(".gitattributes", "*.yaml working-tree-encoding=UTF-16 ident eol=crlf\n") })
	whole("exclude-pipe", "since", held(), func(b *box) { b.remove(".git/info/exclude"); b.pipe(".git/info/exclude") })
	whole("modules", "since diff", held(), func(b *box) {
		b.write(".gitmodules", "[submodule \"x\"]\n\tpath = x\n\turl = ext::"+b.root+"/outside/trap\n\tupdate = !"+b.root+"/outside/trap\n")
	})
}

// gitObjects: objects, references and folders of git that are not what they seem.
func gitObjects(l *list) {
	const class = "git-objects"
	add := func(name, commands string, hostile func(b *box)) {
		want := held()
		if name == "gitdir-file-out" {
			want = want.anywhere() // so do the linked worktrees of git; no change can bring such a file
		}
		l.seatedGit(class, name, hostile, commands, want)
	}
	add("gitdir-file-out", "since check diff", func(b *box) {
		b.git("init", "-q", "../outside/other")
		b.remove(".git")
		b.write(".git", "gitdir: ../outside/other/.git\n")
	})
	add("gitdir-file-pipe", "since check", func(b *box) {
		b.remove(".git")
		b.pipe("p")
		b.write(".git", "gitdir: p\n")
	})
	add("gitdir-file-itself", "since check", func(b *box) {
		b.remove(".git")
		b.write(".git", "gitdir: .git\n")
	})
	add("gitdir-file-large", "since check", func(b *box) {
		b.remove(".git")
		b.sparse(".git", 1<<40)
	})
	add("gitdir-file-control", "since check", func(b *box) {
		b.remove(".git")
		b.write(".git", "gitdir: \x1b[2J\u202e##vso[x]/nowhere\n")
	})
	add("gitdir-empty", "since check diff", func(b *box) { b.remove(".git"); b.dir(".git") })
	add("gitdir-zero", "since", func(b *box) { b.remove(".git"); b.link(".git", "/dev/zero") })
	add("common-dir", "since history", func(b *box) { b.write(".git/commondir", "../../outside\n") })
	add("alternates-out", "since two", func(b *box) { b.write(".git/objects/info/alternates", b.root+"/outside\n") })
	add("alternates-itself", "since two", func(b *box) { b.write(".git/objects/info/alternates", b.path(".git/objects")+"\n") })
	add("alternates-pipe", "since two", func(b *box) { b.pipe(".git/objects/info/alternates") })
	add("alternates-chain", "since", func(b *box) {
		for i := range 20 {
			b.write(fmt.Sprintf("../outside/o%d/info/alternates", i), fmt.Sprintf("%s/outside/o%d\n", b.root, i+1))
		}
		b.write(".git/objects/info/alternates", b.root+"/outside/o0\n")
	})
	add("alternates-many", "since", func(b *box) { b.write(".git/objects/info/alternates", lines(20000, "/nowhere/%d\n")) })
	add("replaced", "since diff two history", func(b *box) {
		good := b.git("rev-parse", "HEAD:v.yaml")
		b.write("../outside/blob", plainYAML("replaced")+"fuses: {main: {class: blade, rated_A: 5}}\n")
		other := b.git("hash-object", "-w", "../outside/blob")
		b.write(".git/refs/replace/"+good, other+"\n")
	})
	add("replaced-commit", "since history", func(b *box) {
		head := b.git("rev-parse", "HEAD")
		b.write(".git/refs/replace/"+head, b.git("rev-parse", "HEAD~1")+"\n")
	})
	add("grafts", "since history", func(b *box) { b.write(".git/info/grafts", b.git("rev-parse", "HEAD")+"\n") })
	add("shallow", "since history two", func(b *box) { b.write(".git/shallow", b.git("rev-parse", "HEAD")+"\n") })
	add("head-ring", "since diff check", func(b *box) {
		b.write(".git/HEAD", "ref: refs/heads/a\n")
		b.write(".git/refs/heads/a", "ref: refs/heads/b\n")
		b.write(".git/refs/heads/b", "ref: refs/heads/a\n")
	})
	add("head-out", "since", func(b *box) { b.write(".git/HEAD", "ref: ../../outside/spec.yaml\n") })
	add("head-long", "since", func(b *box) { b.write(".git/HEAD", "ref: refs/heads/"+rep(1<<20, "x")+"\n") })
	add("refs-pipe", "since", func(b *box) { b.pipe(".git/refs/heads/HEAD"); b.pipe(".git/packed-refs") })
	add("refs-many", "since", func(b *box) {
		head := b.git("rev-parse", "HEAD")
		b.write(".git/packed-refs", "# pack-refs with: peeled fully-peeled sorted \n"+joined(200000, func(i int) string { return fmt.Sprintf("%s refs/tags/t%07d\n", head, i) }))
	})
	add("index-nonsense", "since diff check", func(b *box) { b.write(".git/index", rep(10000, "DIRC\xff")) })
	add("index-pipe", "since", func(b *box) { b.remove(".git/index"); b.pipe(".git/index") })
	add("index-locked", "since diff", func(b *box) { b.write(".git/index.lock", "") })
	add("object-corrupt", "since diff two history", func(b *box) {
		blob := b.git("rev-parse", "HEAD:v.yaml")
		b.remove(".git/objects/" + blob[:2] + "/" + blob[2:])
		b.write(".git/objects/"+blob[:2]+"/"+blob[2:], "nonsense")
	})
	add("object-missing", "since diff two history", func(b *box) {
		blob := b.git("rev-parse", "HEAD:v.yaml")
		b.remove(".git/objects/" + blob[:2] + "/" + blob[2:])
	})
	add("object-pipe", "since history", func(b *box) {
		blob := b.git("rev-parse", "HEAD:v.yaml")
		b.remove(".git/objects/" + blob[:2] + "/" + blob[2:])
		b.pipe(".git/objects/" + blob[:2] + "/" + blob[2:])
	})
	add("object-bomb", "since diff two history", func(b *box) {
		// A few megabytes packed that are more than may be read.
		b.sparse("../outside/zeros", 900<<20)
		b.git("-c", "core.bigFileThreshold=2g", "-c", "core.compression=1", "-c", "core.looseCompression=1", "hash-object", "-w", "../outside/zeros")
		b.fastImport("commit refs/heads/main\ncommitter T <t@example.org> 1900000000 +0000\ndata 1\nx\nfrom refs/heads/main^0\nM 644 " + b.git("hash-object", "../outside/zeros") + " v.yaml\n\n")
		b.remove("../outside/zeros")
	})
	add("pack-nonsense", "since", func(b *box) {
		b.write(".git/objects/pack/pack-0000000000000000000000000000000000000000.idx", "\xfftOc\x00\x00\x00\x02"+rep(2000, "\xff"))
		b.write(".git/objects/pack/pack-0000000000000000000000000000000000000000.pack", "PACK")
	})
	add("pack-many", "since", func(b *box) {
		for i := range 2000 {
			b.write(fmt.Sprintf(".git/objects/pack/pack-%040d.idx", i), "\xfftOc\x00\x00\x00\x02")
			b.write(fmt.Sprintf(".git/objects/pack/pack-%040d.pack", i), "PACK")
		}
	})
	add("graph-nonsense", "history since", func(b *box) { b.write(".git/objects/info/commit-graph", "CGPH"+rep(1000, "\xff")) })
	add("tree-names", "since diff two", func(b *box) {
		blob := b.git("rev-parse", "HEAD:v.yaml")
		b.fastImport("commit refs/heads/main\ncommitter T <t@example.org> 1900000000 +0000\ndata 1\nx\nfrom refs/heads/main^0\n" +
			joined(6, func(i int) string {
				return fmt.Sprintf("M 644 %s %s\n", blob, quoted([]string{"a\nb.yaml", "\x1b[31m.yaml", "##vso[x].yaml", "\xff\xfe.yaml", "::error::x.yaml", "\u202e.yaml"}[i]))
			}) + "\n")
	})
	add("tree-sorted-wrongly", "since two", func(b *box) { b.tree("100644 v.yaml", "100644 a.yaml", "100644 v.yaml") })
	add("tree-dots", "since two", func(b *box) { b.tree("100644 ..", "100644 .git", "100644 a/b.yaml", "100644 ") })
	add("tree-modes", "since two", func(b *box) { b.tree("777777 a.yaml", "160000 b.yaml", "120000 c.yaml", "040000 d.yaml", "0 e.yaml") })
	add("tree-itself-deep", "since two", func(b *box) {
		// Thirty trees, each with the one before twice: 2 to the 30th files.
		tree := b.git("rev-parse", "HEAD^{tree}")
		for range 30 {
			tree = b.object("tree", treeEntry("40000 a", tree)+treeEntry("40000 b", tree))
		}
		b.git("update-ref", "refs/heads/main", b.object("commit", "tree "+tree+"\nparent "+b.git("rev-parse", "HEAD")+"\nauthor T <t@example.org> 1900000000 +0000\ncommitter T <t@example.org> 1900000000 +0000\n\nx\n"))
	})
	add("commit-long", "history since", func(b *box) { b.commit(rep(5<<20, "x")) })
	add("commit-control", "history since", func(b *box) {
		b.write("v.yaml", plainYAML("v")+"zones: {}\n")
		b.commit("\x1b[2J\u202e##vso[x]y\n\n::error::z")
	})
	add("commit-nonsense", "history since two", func(b *box) {
		b.git("update-ref", "refs/heads/main", b.object("commit", "tree "+b.git("rev-parse", "HEAD^{tree}")+"\nparent "+b.git("rev-parse", "HEAD")+"\nauthor \x1b <\xff> 99999999999999999999 +9999\ncommitter <> -1 x\nencoding UTF-16\n\n\xff\xfe\n"))
	})
	add("bare-imitation", "since diff history", func(b *box) {
		b.write("HEAD", "ref: refs/heads/main\n")
		b.write("config", "[core]\n\trepositoryformatversion = 0\n\tbare = true\n\tfsmonitor = "+b.root+"/outside/trap\n")
		b.dir("objects")
		b.dir("refs")
	})
	add("submodule", "since diff two", func(b *box) {
		b.git("update-index", "--add", "--cacheinfo", "160000,"+b.git("rev-parse", "HEAD")+",sub.yaml")
		b.git("commit", "-q", "-m", "Sub")
	})
	add("links-in-tree", "since diff two history", func(b *box) {
		b.link("v2.yaml", "/dev/zero")
		b.link("w", "../outside")
		b.commit("Links")
	})
}

// gitRevisions: names of revisions.
func gitRevisions(l *list) {
	const class = "git-revisions"
	for i, revision := range []string{
		"--upload-pack=touch marked", "-h", "--output=marked", "--exec=touch marked", "HEAD:v.yaml", ":v.yaml", ":/First", "HEAD^{/" + rep(50, "(a*)*") + "}", "@{-1}", "@{u}", "HEAD@{1 year ago}", "HEAD..HEAD", "HEAD...HEAD", "..." /* of nothing */, "HEAD...", "...HEAD", "^HEAD", "HEAD^100000",
		"HEAD~1000000000", rep(1000, "HEAD~0"), rep(40, "0"), rep(64, "f"), rep(50000, "x"), "HEAD\nHEAD", "HEAD HEAD", "HEAD\x1b[2J", "\u202eHEAD", "$(touch marked)", "`touch marked`", "../../outside/spec.yaml", "refs/heads/../../config", "main.lock", "HEAD^{blob}", "HEAD^{tree}", "stash@{99999999999}", "FETCH_HEAD", "*", "?", "[a-z]*", "\xff\xfe", "%s%n", "HEAD^!", "HEAD^@", "HEAD^-", "::error::x", "##vso[x]y", "{", "@", "@{", "",
	} {
		for j, args := range [][]string{{"check", "--since", revision, "--", "./..."}, {"diff", revision}, {"diff", "HEAD", revision}, {"history", "--from", revision, "modes-missing", "v.yaml"}} {
			if (i+j)%3 != 0 {
				continue
			}
			l.add(entry{class: class, name: fmt.Sprintf("%02d-%s", i, []string{"since", "diff", "two", "history"}[j]), needs: []string{"git", "unix"}, args: args, want: held(), files: twoCommits})
		}
	}
}
