package hostile

import (
	"fmt"
	"os/exec"
	"regexp"
	"strings"
)

// shards: parts for join, which come from other jobs and so from the change.
func shards(l *list) {
	const class = "shards"
	add := func(name, text string, want outcome, args ...string) {
		if args == nil {
			args = []string{"join", "p.json"}
		}
		l.add(entry{class: class, name: name, args: args, want: want, files: func(b *box) { b.write("p.json", text); b.write("p.sarif", text) }})
	}
	malformed := refused(`(?m)^headroom: .*p\.(json|sarif)`)
	for _, c := range []struct{ name, text string }{
		{"empty", ""}, {"nothing", "{}"}, {"list", "[]"}, {"null", "null"}, {"number", "1e1000000000"}, {"text", `"x"`}, {"nul", "\x00"}, {"bytes", rep(1000, "\xff")}, {"open", `{"format": "headroom`},
		{"nested", rep(1<<20, "[")}, {"nested-closed", nested(1<<20, "[", "", "]")}, {"nested-maps", rep(1<<20, `{"a":`)}, {"nested-member", `{"format":"headroom-check","version":1,"vehicles":` + nested(9000, "[", "", "]") + `}`},
		{"version", `{"format":"headroom-check","version":999999999999999999999999}`}, {"version-text", `{"format":"headroom","version":"1","vehicles":[]}`}, {"vehicles-number", `{"format":"headroom","version":1,"vehicles":1}`},
		{"vehicles-null", `{"format":"headroom","version":1,"vehicles":[null,null]}`}, {"keys-repeated", `{"format":"a","format":"b","format":"c","version":1,"version":2}`}, {"keys-many", `{"a":1` + lines(500000, `,"a%d":1`) + "}"},
		{"list-long", `{"format":"headroom","version":1,"vehicles":[` + rep(2000000, "1,") + `1]}`}, {"control", `{"format":"` + `\u001b[2J\u202e##vso[x]\n::error::y` + `","version":1}`},
		{"sarif-empty", `{"version":"2.1.0","runs":[]}`}, {"sarif-runs", `{"version":"2.1.0","runs":[` + rep(300000, "{},") + `{}]}`}, {"sarif-other", `{"version":"2.1.0","runs":[{"tool":{"driver":{"name":"other"}},"results":[]}]}`}, {"sarif-null", `{"version":"2.1.0","runs":[{"tool":null,"results":null,"invocations":[null]}]}`},
		{"specification", plainYAML("x")}, {"trailing", "{} {}"}, {"comment", "/* */ {}"},
	} {
		add(c.name, c.text, malformed)
		if len(c.text)%3 == 0 {
			add(c.name+"-sarif", c.text, malformed, "join", "--out", "sarif=o.sarif", "p.sarif")
		}
	}
	l.add(entry{class: class, name: "huge", heavy: true, args: []string{"join", "p.json"}, want: malformed, files: func(b *box) { b.write("p.json", `{"x":"`+rep(300<<20, "x")+`"}`) }})
	l.add(entry{class: class, name: "huge-list", heavy: true, args: []string{"join", "p.json"}, want: malformed, files: func(b *box) { b.write("p.json", `{"vehicles":[`+rep(30<<20, "{},")+`{}]}`) }})
	l.add(entry{class: class, name: "many", args: append([]string{"join"}, strings.Fields(lines(3000, "p%d.json "))...), want: refused(`p\d+\.json`), files: func(b *box) {
		for i := range 3000 {
			b.write(fmt.Sprintf("p%d.json", i), "{}")
		}
	}})

	// Real parts, changed.
	real := func(name string, edit func(text string) string, want outcome, args ...string) {
		if args == nil {
			args = []string{"join", "1.json", "2.json"}
		}
		l.add(entry{class: class, name: "real-" + name, args: args, want: want, files: func(b *box) {
			b.write("v.yaml", plainYAML("v")+"fuses: {f: {class: blade, rated_A: 5}}\n")
			neighbour(b)
			for i := range 2 {
				cmd := exec.Command(program, "check", "--today", "2027-01-01", "--shard", fmt.Sprintf("%d/2", i+1), "--out", fmt.Sprintf("json=%d.json", i+1), "--out", fmt.Sprintf("sarif=%d.sarif", i+1), "--", "v.yaml", "neighbour.yaml")
				cmd.Dir, cmd.Env = b.path("."), b.env()
				_ = cmd.Run() // it has findings
			}
			b.write("2.json", edit(b.read("2.json")))
			b.write("2.sarif", edit(b.read("2.sarif")))
		}})
	}
	same := func(text string) string { return text }
	replacing := func(from, to string) func(string) string {
		return func(text string) string { return regexp.MustCompile(from).ReplaceAllLiteralString(text, to) }
	}
	of := `"number": 2,\s*"of": 2`
	real("unchanged", same, found())
	real("twice", same, refused(`1\.json`), "join", "1.json", "1.json")
	real("spelled", same, refused(`1\.json`), "join", "1.json", "./1.json", "2.json")
	real("missing", same, refused(`2`), "join", "1.json")
	real("other-formats", same, refused(), "join", "1.json", "2.sarif")
	real("level", replacing(`"error"`, `"note"`), held())
	real("level-unknown", replacing(`"error"`, `"\u001b[31mfatal"`), held())
	real("exit-code", replacing(`"exit_code": \d`, `"exit_code": 0`), held())
	real("exit-code-large", replacing(`"exit_code": \d`, `"exit_code": 300`), held())
	real("exit-code-text", replacing(`"exit_code": \d`, `"exit_code": "0"`), refused(`2\.json`))
	real("counts-negative", replacing(`"errors": \d+`, `"errors": -1`), held())
	real("counts-large", replacing(`"errors": \d+`, `"errors": 99999999999999999999`), refused(`2\.json`))
	real("shard-large", replacing(of, `"number": 2, "of": 2000000000`), refused())
	real("shard-zero", replacing(of, `"number": 0, "of": 0`), refused())
	real("shard-negative", replacing(of, `"number": -1, "of": 2`), refused())
	real("places-large", replacing(`"places": \[[^\]]*\]`, `"places": [99999999999]`), refused())
	real("places-negative", replacing(`"places": \[[^\]]*\]`, `"places": [-1]`), refused())
	real("places-many", replacing(`"places": \[[^\]]*\]`, `"places": [`+rep(1000000, "0,")+`0]`), refused())
	real("split-other", replacing(`"split": "[^"]*"`, `"split": "\u001b[2J\u202e##vso[x]"`), refused())
	real("text", replacing("Neighbour", `x\u001b[2J\u202e\n::error::y ##vso[z]`), held())
	real("text-path", replacing("neighbour.yaml", `../../outside/\u001b[2J\u202e\n::error::y`), held())
	real("cut", func(text string) string { return text[:len(text)/2] }, refused(`2\.json`))
	real("cut-sarif", func(text string) string { return text[:len(text)/2] }, refused(`2\.sarif`), "join", "--out", "sarif=o.sarif", "1.sarif", "2.sarif")
	real("over-part", same, refused(`1\.json`), "join", "--out", "json=1.json", "1.json", "2.json")
	real("over-part-linked", same, refused(`here/1\.json|1\.json`), "join", "--out", "json=./here/../1.json", "1.json", "2.json")
	real("over-specification", same, refused(`v\.yaml`), "join", "--out", "json=v.yaml", "1.json", "2.json")
	real("results-many", func(text string) string {
		i := strings.Index(text, `"results": [`)
		if i < 0 {
			return text
		}
		i += len(`"results": [`)
		return text[:i] + rep(300000, `{"rule":"x"},`) + text[i:]
	}, held())
}

// actionInputs: inputs of the GitHub Action, as its script gets them. No input may run a
// program, or bring the gate to pass without a check.
func actionInputs(l *list) {
	const class = "action"
	base := map[string]string{
		"HEADROOM_PATHS": "./...", "HEADROOM_DIRECTORY": ".", "HEADROOM_SINCE": "none", "HEADROOM_FAIL_ON": "error", "HEADROOM_FORMATS": "", "HEADROOM_CATEGORY": "",
		"HEADROOM_TODAY": "", "HEADROOM_ARGUMENTS": "", "HEADROOM_SHARD": "", "HEADROOM_JOIN": "", "HEADROOM_BASE": "",
	}
	add := func(name string, inputs map[string]string, exit string, files func(b *box)) {
		var env []string
		for key, value := range base {
			if given, ok := inputs[key]; ok {
				value = given
			}
			env = append(env, key+"="+value)
		}
		env = append(env, "RUNNER_TEMP=$BOX/runner", "GITHUB_WORKSPACE=$BOX/repo", "GITHUB_OUTPUT=$BOX/runner/output", "GITHUB_STEP_SUMMARY=$BOX/runner/summary")
		want := outcome{codes: []int{0, 1, 2}, writes: []string{"runner/*", "runner/*/*"}}
		if strings.Contains(strings.Join(env, "\n"), "=json=marked") {
			want = want.writing("marked")
		}
		want.check = func(b *box, r result) string {
			output := b.read("../runner/output")
			gated := r.code != 0 || strings.Contains(output, "exit_code=1\n") || strings.Contains(output, "exit_code=2\n")
			switch {
			case exit == "fails" && !gated:
				return "the gate passes: " + shown(output)
			case strings.Count(output, "exit_code=") > 1:
				return "the exit code is set twice: " + shown(output)
			}
			for line := range strings.Lines(output) {
				if key, _, ok := strings.Cut(line, "="); !ok || strings.Trim(key, "abcdefghijklmnopqrstuvwxyz_") != "" {
					return "an output that is no setting: " + shown(line)
				}
			}
			return ""
		}
		l.add(entry{class: class, name: name, needs: []string{"bash", "git", "linux"}, command: []string{"bash", project + "/action/check.sh"}, env: env, want: want, files: func(b *box) {
			twoCommits(b)
			b.dir("../runner/headroom-program")
			b.link("../runner/headroom-program/headroom", program)
			if files != nil {
				files(b)
			}
		}})
	}
	for i, text := range []string{"$(touch marked)", "`touch marked`", "; touch marked", "\"; touch marked; \"", "' ; touch marked ; '", "--out=json=marked", "-h", "--help", "--version", "::set-output name=exit_code::0", "x\n::set-output name=exit_code::0", "\x1b[2J\u202e", "##vso[task.complete result=Succeeded]", "*", "../outside", "/etc/passwd", "~", "a\nb\nc", "${{ github.token }}", rep(60000, "x"), "%0Aexit_code=0", "exit_code=0"} {
		for j, input := range []string{"PATHS", "DIRECTORY", "SINCE", "FAIL_ON", "FORMATS", "CATEGORY", "TODAY", "ARGUMENTS", "SHARD", "JOIN", "BASE"} {
			if (i+j)%4 != 0 || input == "BASE" && i%2 == 0 {
				continue
			}
			inputs := map[string]string{"HEADROOM_" + input: text}
			if input == "BASE" {
				inputs["HEADROOM_SINCE"] = ""
			}
			exit := "fails" // the neighbour has an error, and a wrong input is none that passes
			if input == "ARGUMENTS" && (text == "-h" || text == "--help") {
				exit = "any"
			}
			add(fmt.Sprintf("%s-%02d", strings.ToLower(strings.ReplaceAll(input, "_", "-")), i), inputs, exit, nil)
		}
	}
	add("directory-linked", map[string]string{"HEADROOM_DIRECTORY": "d"}, "fails", func(b *box) { b.link("d", "../outside") })
	add("directory-linked-deep", map[string]string{"HEADROOM_DIRECTORY": "a/d/e"}, "fails", func(b *box) { b.write("../outside/e/x.yaml", plainYAML("x")); b.link("a/d", "../../outside") })
	add("text-in-specification", map[string]string{"HEADROOM_SINCE": "HEAD~1"}, "fails", func(b *box) {
		b.write("t.json", textVehicle("x\n::set-output name=exit_code::0\n##vso[task.complete]\nexit_code=0"))
	})
	add("names", nil, "fails", func(b *box) { b.write("x\nexit_code=0\n::error::y.yaml", plainYAML("x")+"x: 1\n") })
	add("program-in-repository", nil, "fails", func(b *box) { b.write("headroom", "#!/bin/sh\nexit 0\n"); executable(b, "headroom") })
	add("never", map[string]string{"HEADROOM_FAIL_ON": "never"}, "any", nil)
	add("formats-over", map[string]string{"HEADROOM_FORMATS": "json=v.yaml"}, "fails", nil)
	add("formats-into-git", map[string]string{"HEADROOM_FORMATS": "json=.git/hooks/pre-commit"}, "fails", nil)
	add("join-pattern", map[string]string{"HEADROOM_JOIN": "*.json"}, "fails", func(b *box) { b.write("-x.json", "{}"); b.write("$(touch marked).json", "{}") })
	add("join-linked", map[string]string{"HEADROOM_JOIN": "p.json"}, "fails", func(b *box) { b.link("p.json", "../outside/spec.yaml") })
}
