package hostile

import "strings"

// environments: settings of the caller's that change what programs do. A run depends on the
// files and the flags alone.
func environments(l *list) {
	const class = "environment"
	for _, c := range []struct {
		name string
		env  []string
		git  bool
	}{
		{"git-dir-out", []string{"GIT_DIR=$BOX/outside/git"}, true},
		{"git-dir-pipe", []string{"GIT_DIR=$BOX/runner/pipe"}, true},
		{"git-dir-zero", []string{"GIT_DIR=/dev/zero"}, true},
		{"git-work-tree", []string{"GIT_WORK_TREE=$BOX/outside"}, true},
		{"git-index", []string{"GIT_INDEX_FILE=/dev/zero"}, true},
		{"git-objects", []string{"GIT_OBJECT_DIRECTORY=$BOX/outside", "GIT_ALTERNATE_OBJECT_DIRECTORIES=$BOX/outside"}, true},
		{"git-config", []string{"GIT_CONFIG_COUNT=2", "GIT_CONFIG_KEY_0=core.fsmonitor", "GIT_CONFIG_VALUE_0=$BOX/outside/trap", "GIT_CONFIG_KEY_1=alias.cat-file", "GIT_CONFIG_VALUE_1=!$BOX/outside/trap"}, true},
		{"git-config-parameters", []string{"GIT_CONFIG_PARAMETERS='core.fsmonitor'='$BOX/outside/trap'"}, true},
		{"git-config-global", []string{"GIT_CONFIG_GLOBAL=$BOX/runner/pipe"}, true},
		{"git-external-diff", []string{"GIT_EXTERNAL_DIFF=$BOX/outside/trap", "GIT_PAGER=$BOX/outside/trap", "GIT_EDITOR=$BOX/outside/trap", "GIT_ASKPASS=$BOX/outside/trap", "GIT_SSH_COMMAND=$BOX/outside/trap", "GIT_PROXY_COMMAND=$BOX/outside/trap"}, true},
		{"git-trace", []string{"GIT_TRACE=1", "GIT_TRACE2=1", "GIT_TRACE_SETUP=1", "GIT_TRACE2_EVENT=$BOX/outside/events"}, true},
		{"git-exec-path", []string{"GIT_EXEC_PATH=$BOX/outside"}, true},
		{"git-template", []string{"GIT_TEMPLATE_DIR=$BOX/outside", "GIT_NAMESPACE=x", "GIT_CEILING_DIRECTORIES=$BOX/repo", "GIT_DISCOVERY_ACROSS_FILESYSTEM=1"}, true},
		{"git-attr-source", []string{"GIT_ATTR_SOURCE=HEAD~1", "GIT_ATTR_NOSYSTEM="}, true},
		{"git-replace", []string{"GIT_NO_REPLACE_OBJECTS=", "GIT_REPLACE_REF_BASE=refs/heads/"}, true},
		{"git-literal", []string{"GIT_LITERAL_PATHSPECS=0", "GIT_GLOB_PATHSPECS=1", "GIT_ICASE_PATHSPECS=1", "GIT_QUARANTINE_PATH=x", "GIT_PREFIX=../outside/"}, true},
		{"git-optional", []string{"GIT_FLUSH=0", "GIT_ALLOW_PROTOCOL=ext:file", "GIT_PROTOCOL_FROM_USER=1", "GIT_TERMINAL_PROMPT=1"}, true},
		{"git-shallow", []string{"GIT_SHALLOW_FILE=/dev/zero", "GIT_GRAFT_FILE=$BOX/outside/spec.yaml"}, true},
		{"home-missing", []string{"HOME="}, true},
		{"home-relative", []string{"HOME=.", "XDG_CONFIG_HOME=."}, true},
		{"home-hostile", []string{"HOME=$BOX/runner/home"}, true},
		{"path-empty", []string{"PATH="}, true},
		{"path-here", []string{"PATH=."}, true},
		{"path-relative", []string{"PATH=bin:./bin:" + "/usr/bin:/bin"}, true},
		{"temporary", []string{"TMPDIR=/nonexistent"}, false},
		{"temporary-proc", []string{"TMPDIR=/proc"}, true},
		{"cue-debug", []string{"CUE_DEBUG=opendef"}, false},
		{"cue-debug-unknown", []string{"CUE_DEBUG=nosuch=1"}, false},
		{"cue-debug-log", []string{"CUE_DEBUG=logeval=9"}, false},
		{"cue-experiment", []string{"CUE_EXPERIMENT=evalv3=0,embed,decodeint64"}, false},
		{"cue-experiment-unknown", []string{"CUE_EXPERIMENT=nosuch"}, false},
		{"cue-registry", []string{"CUE_REGISTRY=http://127.0.0.1:9/", "CUE_CACHE_DIR=/dev/null", "CUE_CONFIG_DIR=/dev/null"}, false},
		{"go-debug", []string{"GODEBUG=gctrace=1,schedtrace=1000,inittrace=1"}, false},
		{"go-debug-init", []string{"GODEBUG=inittrace=1"}, false},
		{"go-traceback", []string{"GOTRACEBACK=crash"}, false},
		{"go-procs", []string{"GOMAXPROCS=512"}, false},
		{"go-procs-nonsense", []string{"GOMAXPROCS=\x1b[31m"}, false},
		{"go-memory", []string{"GOMEMLIMIT=1"}, false},
		{"go-collect", []string{"GOGC=off"}, false},
		{"go-collect-one", []string{"GOGC=1"}, false},
		{"go-flags", []string{"GOFLAGS=-toolexec=touch", "GOROOT=$BOX/outside", "GOTOOLCHAIN=go9.99"}, false},
		{"go-coverage", []string{"GOCOVERDIR=$BOX/outside"}, false},
		{"time-zone", []string{"TZ=$BOX/outside/spec.yaml"}, false},
		{"time-zone-pipe", []string{"TZ=:$BOX/runner/pipe"}, false},
		{"time-zone-zero", []string{"TZ=/dev/zero"}, false},
		{"zone-info", []string{"ZONEINFO=$BOX/runner/pipe", "TZ=Europe/Nowhere"}, false},
		{"locale", []string{"LC_ALL=tr_TR.UTF-8", "LANG=tr_TR", "LANGUAGE=tr"}, false},
		{"locale-nonsense", []string{"LC_ALL=../../../../etc/passwd"}, false},
		{"terminal", []string{"TERM=../../../x", "COLUMNS=-1", "LINES=99999999999", "FORCE_COLOR=1", "CLICOLOR_FORCE=1"}, false},
		{"colour", []string{"NO_COLOR=\x1b[31m", "COLORTERM=truecolor"}, false},
		{"runner", []string{"CI=true", "GITHUB_ACTIONS=true", "GITHUB_STEP_SUMMARY=$BOX/outside/summary", "GITHUB_OUTPUT=$BOX/outside/output", "GITHUB_WORKSPACE=/", "RUNNER_DEBUG=1", "TF_BUILD=True", "TEAMCITY_VERSION=1"}, false},
		{"proxy", []string{"HTTP_PROXY=http://127.0.0.1:9", "HTTPS_PROXY=http://127.0.0.1:9", "ALL_PROXY=socks5://127.0.0.1:9"}, false},
		{"loader", []string{"LD_LIBRARY_PATH=$BOX/outside", "LD_BIND_NOW=1"}, true},
		{"headroom", []string{"HEADROOM=x", "HEADROOM_PROBE=1", "HEADROOM_CHILD=1", "HEADROOM_MEMORY=99999999999", "HEADROOM_TIME=0", "HEADROOM_PATHS=/", "HEADROOM_SINCE=x", "HEADROOM_ARGUMENTS=--out json=x"}, false},
		{"many", []string{"X=" + rep(100000, "x"), "Y=" + rep(100000, "y"), "Z=" + rep(100000, "z")}, false},
		{"invalid", []string{"\xff=\xff", "=x", "A\x1b=B"}, false},
	} {
		args, want := []string{"check", "--", "neighbour.yaml", "hog"}, found().beside()
		needs := []string{"unix"}
		if c.git {
			args, want = []string{"check", "--since", "HEAD", "--", "./..."}, held()
			needs = append(needs, "git")
			if strings.Contains(c.name, "git-dir") || strings.Contains(c.name, "git-objects") {
				want = want.anywhere() // the caller says where git's own files are
			}
		}
		l.add(entry{class: class, name: c.name, needs: needs, args: args, env: c.env, want: want, files: func(b *box) {
			twoCommits(b)
			b.write("hog/hog.cue", plainCUE("hog")+"zones: {for a in [\"x\"] {(a): rise_K: 1}}\nx: 1\n")
			b.write("../outside/trap", "#!/bin/sh\ntouch "+b.path("../marked")+"\ncat\n")
			executable(b, "../outside/trap")
			b.git("init", "-q", "--bare", "../outside/git")
			b.pipe("../runner/pipe")
			b.write("../runner/home/.gitconfig", "[core]\n\tfsmonitor = "+b.root+"/outside/trap\n\tpager = "+b.root+"/outside/trap\n[alias]\n\tcat-file = !"+b.root+"/outside/trap\n")
			for _, dir := range []string{".", "bin"} {
				b.write(dir+"/git", b.read("../outside/trap"))
				executable(b, dir+"/git")
			}
		}})
	}
}
