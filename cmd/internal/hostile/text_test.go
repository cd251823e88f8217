package hostile

import (
	"encoding/json"
	"encoding/xml"
	"fmt"
	"io"
	"strconv"
	"strings"
)

// nasty are texts that mean something to who shows or runs them.
var nasty = []struct{ name, text string }{
	{"escape", "a\x1b[31mred\x1b]0;title\x07\x1b[2J"},
	{"c1", "a\u009b31m\u0085b\u0090c"},
	{"bidi", "a\u202egnp.exe\u2066x\u2069\u200f\u061c"},
	{"zero-width", "a\u200b\u200c\u200d\u2060\ufeffb\U000e0041"},
	{"lines", "a\nb\r\nc\rd\u2028e\u2029f\u0085g\vh\fi"},
	{"runner", "x\n::error file=a::b\n::set-output name=x::y\n::stop-commands::t\n::add-mask::x"},
	{"runner-old", "x ##[error]y ##[set-env name=PATH]z ##[add-path]/tmp"},
	{"agent", "x ##vso[task.setvariable variable=a]b ##vso[task.complete result=Succeeded]"},
	{"team", "x ##teamcity[buildStatus text='|n' status='SUCCESS']"},
	{"markup", "<script>alert(1)</script><img src=x onerror=alert(1)><!-- --></details>"},
	{"markdown", "[x](javascript:alert(1)) ![y](http://example.org/p.png) | a | ```\n# h\n> q\n- [ ] @team #1 https://stranger.example.org/?q=1"},
	{"braces", "{0} {1} {{x}} [link](0) [a](1) {placeholder}"},
	{"format", "%s%n%d%!v(MISSING)%0A%25"},
	{"shell", "$(touch marked) `touch marked` ; rm -rf / & | > x"},
	{"xml", "]]><x a=\"&bogus;\"/>&#0;&#x1b;<![CDATA["},
	{"expression", "${{ secrets.TOKEN }} {{ 7*7 }} #{7*7} ${x:-y} =1+1 @SUM(1)"},
	{"nul", "a\x00b"},
	{"long", strings.Repeat("word ", 20000)},
	{"unbroken", strings.Repeat("x", 100000)},
	{"combining", "a" + strings.Repeat("\u0301", 5000)},
}

// yamlText writes a text so that YAML and JSON read it: in quotes, escaped.
func yamlText(text string) string {
	quoted := strconv.QuoteToASCII(text)
	return strings.NewReplacer(`\a`, `\u0007`, `\v`, `\u000b`).Replace(hexEscapes(quoted))
}

// hexEscapes turns Go's \x1b and \U000e0041 into what JSON has.
func hexEscapes(quoted string) string {
	var out strings.Builder
	for i := 0; i < len(quoted); i++ {
		if quoted[i] != '\\' {
			out.WriteByte(quoted[i])
			continue
		}
		switch quoted[i+1] {
		case 'x':
			out.WriteString(`\u00` + quoted[i+2:i+4])
			i += 3
		case 'U':
			n, _ := strconv.ParseUint(quoted[i+2:i+10], 16, 32)
			n -= 0x10000
			fmt.Fprintf(&out, `\u%04x\u%04x`, 0xd800+n>>10, 0xdc00+n&0x3ff)
			i += 9
		default:
			out.WriteString(quoted[i : i+2])
			i++
		}
	}
	return out.String()
}

// textVehicle has a text in every place that takes one, wrong places too.
func textVehicle(text string) string {
	return strings.NewReplacer("TEXT", yamlText(text)).Replace(`{
  "headroom": 1,
  "vehicle": {"name": TEXT, "use": "off-road", "chassis": "isolated", TEXT: 1},
  "zones": {"z": {"rise_K": 5, "notes": TEXT}, TEXT: {"rise_K": 1}},
  "batteries": {"pack": {"role": "traction", "min_V": 44, "nominal_V": 51, "max_V": 58, "chemistry": TEXT, "source": TEXT}},
  "fuses": {
    "main": {"class": TEXT, "rated_A": TEXT, "label": TEXT, "maker_reference": TEXT, "supplier": TEXT, "order_code": TEXT, "zone": TEXT},
    "second": {"class": "blade", "rated_A": 40, "rated_V_dc": 32, "source": TEXT, "notes": TEXT, "thread": TEXT},
    TEXT: {"class": "blade", "rated_A": 5}
  },
  "wires": {"w": {"from": TEXT, "to": "main.a", "size": TEXT, "length_m": 1, "colour": TEXT, "bundle": TEXT},
            "x": {"from": "pack.pos", "to": "second.a", "size": "6 mm2", "length_m": 1, "colour": TEXT, "bundle": TEXT}},
  "bonds": {"b": {"of": TEXT, "to": TEXT}},
  "panels": {"p": {"width_mm": 1, "height_mm": 1, "material": TEXT, "parts": {TEXT: {"x_mm": 0, "y_mm": 0}}}},
  "modes": {"m": {"closed": [TEXT], "on": [TEXT], "draw": {TEXT: {}}, "notes": TEXT}, TEXT: {}},
  "cycle": [{"mode": TEXT, "for_s": 1}],
  "waivers": [{"rule": TEXT, "subject": TEXT, "reason": TEXT, "approved_by": TEXT, "expires": TEXT},
              {"rule": "modes-missing", "subject": TEXT, "reason": TEXT, "approved_by": TEXT, "expires": "2030-01-01"}],
  "policy": {"required": {TEXT: 1}, "levels": {TEXT: "note", "modes-missing": TEXT}, "ampacity": TEXT, TEXT: 1}
}
`)
}

// soundText is a vehicle whose text is where the definitions allow it, so that all rules run.
func soundText(b *box, text string) string {
	return edited(b, "name: First cart", "name: "+yamlText(text), "source: sheet PK-1", "source: "+yamlText(text), "source: sheet FU-1", "source: "+yamlText(text)+", notes: "+yamlText(text)+", supplier: "+yamlText(text)+", order_code: "+yamlText(text),
		"size: 50 mm2, length_m: 0.5", "size: 16 mm2, length_m: 0.5, colour: "+yamlText(text)+", bundle: "+yamlText(text)) +
		"waivers: [{rule: fuse-above-ampacity, subject: w4, reason: " + yamlText("a reason "+text) + ", approved_by: " + yamlText(text) + ", expires: 2030-01-01}, {rule: torque-missing, subject: " + yamlText(text) + ", reason: " + yamlText("a reason "+text) + ", approved_by: " + yamlText(text) + ", expires: 2030-01-01}]\n"
}

// wellFormed asks that a structured format can be read again.
func wellFormed(format string) func(b *box, r result) string {
	return func(_ *box, r result) string {
		switch format {
		case "sarif", "json", "gitlab":
			if !json.Valid([]byte(r.stdout)) {
				return "standard output is not JSON"
			}
		case "junit":
			for d := xml.NewDecoder(strings.NewReader(r.stdout)); ; {
				if _, err := d.Token(); err == io.EOF {
					return ""
				} else if err != nil {
					return "standard output is not XML: " + err.Error()
				}
			}
		case "dotenv":
			for line := range strings.Lines(r.stdout) {
				if name, _, ok := strings.Cut(line, "="); !ok || strings.Trim(name, "abcdefghijklmnopqrstuvwxyz_") != "" {
					return "a line of dotenv that is no setting: " + line
				}
			}
		}
		return ""
	}
}

// textInSpecifications: each text in each format. The general promises on text are asked of all.
func textInSpecifications(l *list) {
	const class = "text"
	for i, n := range nasty {
		for j, format := range formats {
			if format != "text" && (i+j)%2 != 0 && n.name != "bidi" && n.name != "runner" {
				continue
			}
			broken := entry{class: class, name: "broken-" + n.name + "-" + format, args: []string{"check", "-v", "--today", "2027-01-01", "--out", format, "--", "t.json"}, want: found().or(2).checked(wellFormed(format)),
				files: func(b *box) { b.write("t.json", textVehicle(n.text)) }}
			l.add(broken)
			if (i+j)%4 < 2 {
				l.add(entry{class: class, name: "sound-" + n.name + "-" + format, args: []string{"check", "-v", "--include-passes", "--today", "2027-01-01", "--out", format, "--", "t.yaml"}, want: held().checked(wellFormed(format)),
					files: func(b *box) { b.write("t.yaml", soundText(b, n.text)) }})
			}
		}
	}
	for _, c := range []struct {
		name string
		args []string
	}{
		{"ratings", []string{"ratings", "--all", "t.yaml"}},
		{"ratings-json", []string{"ratings", "--out", "json", "t.yaml"}},
		{"explain", []string{"explain", "fuse-above-ampacity", "t.yaml", "w4"}},
		{"explain-all", []string{"explain", "fuse-above-ampacity", "t.yaml"}},
		{"diff", []string{"diff", "--fail-on", "never", "HEAD"}},
		{"diff-markdown", []string{"diff", "--fail-on", "never", "--out", "markdown", "HEAD"}},
		{"diff-json", []string{"diff", "--fail-on", "never", "--out", "json", "HEAD"}},
		{"diff-sarif", []string{"diff", "--fail-on", "never", "--out", "sarif", "HEAD"}},
		{"since", []string{"check", "--since", "HEAD", "--out", "text", "--", "./..."}},
		{"history", []string{"history", "fuse-above-ampacity", "t.yaml", "w4"}},
		{"history-json", []string{"history", "--out", "json", "fuse-above-ampacity", "t.yaml", "w4"}},
	} {
		for _, n := range nasty {
			switch n.name {
			case "bidi", "runner", "agent", "escape", "zero-width":
			default:
				if n.name != "lines" || c.name != "diff" {
					continue
				}
			}
			l.add(entry{class: class, name: c.name + "-" + n.name, needs: []string{"git"}, args: c.args, want: held(), files: func(b *box) {
				b.repository()
				b.write("t.yaml", edited(b, "length_m: 0.5", "length_m: 0.6"))
				b.commit(n.text[:min(len(n.text), 60)] + " ")
				b.write("t.yaml", soundText(b, n.text))
				b.commit("Second " + strings.ReplaceAll(n.text[:min(len(n.text), 60)], "\x00", ""))
				b.write("t.yaml", soundText(b, n.text+"2"))
			}})
		}
	}
}

// arguments: what is wrong with a command line, and text in it.
func arguments(l *list) {
	const class = "arguments"
	for _, args := range [][]string{
		{}, {""}, {"--"}, {"-"}, {"---"}, {"check", "--out"}, {"check", "--fail-on", ""}, {"check", "--shard", "0/0"}, {"check", "--shard", "9999999999999999999/1"}, {"check", "--shard", "-1/3"},
		{"check", "--shard", "1/1000000000"}, {"check", "--today", "9999999999-99-99"}, {"check", "--today", "0000-00-00"}, {"check", "--today", "2027-02-30"}, {"check", "--category", rep(100000, "x")},
		{"check", "--category", ""}, {"check", "--stdin-name", ""}, {"check", "--color", "x"}, {"check", "--since", ""}, {"diff"}, {"diff", ""}, {"diff", "--", ""}, {"diff", "--threshold", "NaN", "HEAD"},
		{"diff", "--threshold", "-1", "HEAD"}, {"diff", "--threshold", "Inf", "HEAD"}, {"history"}, {"history", ""}, {"history", "--limit", "-1", "modes-missing"}, {"history", "--limit", "99999999999999999999", "modes-missing"},
		{"explain"}, {"explain", ""}, {"explain", "nosuchrule"}, {"explain", rep(100000, "x")}, {"help", rep(100000, "x")}, {"help", "../../../etc/passwd"}, {"completion", "/bin/sh"}, {"init", "--format", "xml"},
		{"join"}, {"join", ""}, {rep(100000, "x")}, {"check", "--" + rep(100000, "x")}, {"check", "--memory", "99999999999TB"}, {"probe"}, {"__complete", ""}, {"check", "--waived", "x"}, {"rules", "--out", "x"}, {"version", "--x"},
	} {
		name := strings.Trim(strings.Map(func(r rune) rune {
			switch {
			case r >= 'a' && r <= 'z' || r >= '0' && r <= '9':
				return r
			case r >= 'A' && r <= 'Z':
				return r + 32
			}
			return '-'
		}, fmt.Sprintf("%.40s", strings.Join(args, " "))), "-")
		l.add(entry{class: class, name: fmt.Sprintf("%02d-%s", len(l.entries)%100, name), args: args, want: held(), files: neighbour})
	}
}

// textInArguments: what the caller passes on comes from strangers as well: branches, paths.
func textInArguments(l *list) {
	const class = "text-in-arguments"
	for i, n := range nasty {
		if strings.Contains(n.text, "\x00") || len(n.text) > 100000 {
			continue // no argument holds them
		}
		commands := [][]string{
			{"check", "--", n.text}, {"check", "--since", n.text, "--", "."}, {"diff", n.text}, {"explain", n.text}, {"explain", "modes-missing", "neighbour.yaml", n.text}, {"history", n.text, "neighbour.yaml"},
			{"help", n.text}, {n.text}, {"check", "--" + n.text}, {"check", "--out", n.text}, {"check", "--today", n.text}, {"check", "--shard", n.text}, {"check", "--fail-on", n.text}, {"check", "--color", n.text},
			{"join", n.text}, {"init", n.text + "/x"}, {"completion", n.text}, {"ratings", n.text}, {"diff", "--threshold", n.text, "HEAD"}, {"check", "--changed", "--", n.text}, {"history", "--from", n.text, "modes-missing", "neighbour.yaml"},
			{"check", "--category", n.text, "--out", "sarif", "--", "neighbour.yaml"},
		}
		for j, args := range commands {
			if (i*7+j)%5 != 0 && n.name != "bidi" {
				continue
			}
			want := held().writing("*", "*/*", "*/*/*", "*/*/*/*", "*/*/*/*/*", "*/*/*/*/*/*", "*/*/*/*/*/*/*", "*/*/*/*/*/*/*/*", "*/*/*/*/*/*/*/*/*")
			l.add(entry{class: class, name: fmt.Sprintf("%s-%02d-%s", n.name, j, strings.Trim(strings.Map(func(r rune) rune {
				if r >= 'a' && r <= 'z' {
					return r
				}
				return -1
			}, fmt.Sprintf("%.10s", args[0])), "-")), args: args, want: want, files: neighbour, needs: []string{"linux"}})
		}
		l.add(entry{class: class, name: n.name + "-stdin-name", stdin: func(*box) string { return plainYAML("x") }, args: []string{"check", "--stdin-name", n.text + ".yaml", "-"}, want: held()})
	}
}

// textInNames: names of files and folders.
func textInNames(l *list) {
	const class = "text-in-names"
	for i, n := range nasty {
		name := strings.NewReplacer("/", "_", "\x00", "").Replace(n.text)
		for len(name) > 240 {
			name = name[:strings.LastIndexAny(name[:240], "x d\u0301")]
		}
		for j, format := range formats {
			if (i+j)%3 != 0 {
				continue
			}
			l.add(entry{class: class, name: n.name + "-" + format, needs: []string{"linux"}, args: []string{"check", "--out", format, "--", "./..."}, want: found().or(2).checked(wellFormed(format)), files: func(b *box) {
				b.write(name+".yaml", plainYAML("x")+"fuses: {f: {class: blade}}\n")
				b.write(name+"/hog.cue", plainCUE("hog")+"x: 1\n")
				b.write(name+".yaml.bak", plainYAML("x"))
				b.link(name+".json", "/etc/passwd")
			}})
		}
		l.add(entry{class: class, name: n.name + "-library", needs: []string{"linux"}, args: []string{"check", "--", "van"}, want: held(), files: func(b *box) {
			module(b)
			b.write("parts/"+name+".cue", "package parts\n\nname: 1\n")
			b.write("van/van.cue", strings.Replace(plainCUE("van"), "\n\n", "\n\nimport \"example.org/fleet/parts\"\n\nvehicle: notes: parts.name\n", 1))
		}})
	}
}
