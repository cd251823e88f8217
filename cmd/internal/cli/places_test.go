package cli

import (
	"encoding/json"
	"encoding/xml"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"example.org/headroom/cmd/internal/engine"
	"example.org/headroom/rules/catalogue"
)

// tiny are specifications of hardly anything. Each has a finding.
var tiny = []struct{ name, text string }{
	{"braces.cue", "{}"}, {"empty.cue", ""}, {"line.cue", "\n"}, {"bom.cue", "\ufeff"}, {"open.cue", "{"}, {"package.cue", "package x"}, {"zero.cue", "\x00"}, {"bytes.cue", "\xff\xfe"}, {"comment.cue", "//"},
	{"bottom.cue", "_|_"}, {"number.cue", "1"}, {"list.cue", "[]"}, {"version.cue", "headroom: 1"}, {"other_version.cue", "headroom: 99"}, {"conflict.cue", "headroom: 1 & 2"}, {"import.cue", `import "x"`},
	{"empty.yaml", ""}, {"line.yaml", "\n\n"}, {"bom.yaml", "\ufeff"}, {"begin.yaml", "---"}, {"two.yaml", "---\n---\n"}, {"null.yaml", "~"}, {"word.yaml", "x"}, {"list.yaml", "- x"}, {"open.yaml", "{"}, {"tab.yaml", "\t"},
	{"zero.yaml", "\x00"}, {"utf16.yaml", "\xff\xfe"}, {"comment.yaml", "#"}, {"version.yaml", "headroom: 1"}, {"other_version.yaml", "headroom: 99"}, {"text_version.yaml", "headroom: x"},
	{"no_parts.yaml", "headroom: 1\nvehicle: {name: a, use: road, chassis: isolated}\n"}, {"no_vehicle.yaml", "headroom: 1\nvehicle:\n"}, {"key.yaml", "? "},
	{"empty.json", ""}, {"bom.json", "\ufeff"}, {"braces.json", "{}"}, {"list.json", "[]"}, {"null.json", "null"}, {"open.json", "{"}, {"number.json", "1"}, {"two.json", "{}{}"}, {"zero.json", "\x00"},
	{"version.json", `{"headroom":1}`}, {"no_parts.json", `{"headroom":1,"vehicle":{"name":"a","use":"road","chassis":"isolated"}}`},
}

// TestEveryFindingHasAPlace checks specifications of hardly anything, by name, and
// some in a folder of their own and on standard input: every finding has file, line and column in
// every output.
func TestEveryFindingHasAPlace(t *testing.T) {
	for _, in := range tiny {
		ways := []string{"file"}
		if strings.HasPrefix(in.name, "empty") || strings.HasPrefix(in.name, "braces") || strings.HasPrefix(in.name, "no_parts") {
			ways = []string{"file", "folder", "standard input"}
		}
		for _, way := range ways {
			t.Run(in.name+"/"+way, func(t *testing.T) {
				dir := t.TempDir()
				t.Chdir(dir)
				args := []string{"check", "--fail-on", "note"}
				for _, format := range []string{"json", "sarif", "gitlab", "junit", "github", "markdown", "text"} {
					args = append(args, "--out", format+"="+format+".out")
				}
				stdin := ""
				switch way {
				case "standard input":
					stdin = in.text
					args = append(args, "--stdin-name", in.name, "-")
				default:
					if err := os.WriteFile(in.name, []byte(in.text), 0o666); err != nil {
						t.Fatal(err)
					}
					args = append(args, map[string]string{"file": in.name, "folder": "."}[way])
				}
				var errs strings.Builder
				c := &Command{
					Stdin: strings.NewReader(stdin), Stdout: &strings.Builder{}, Stderr: &errs,
					Getenv: func(string) string { return "" }, Rules: catalogue.All(), Bound: engine.DefaultBound(), Build: Build{Version: "v1.2.3"},
				}
				code := c.Main(args)
				if code == ExitFailed && !strings.Contains(errs.String(), in.name) && way != "folder" {
					t.Fatalf("standard error names no file:\n%s", errs.String())
				}
				if code == ExitFailed {
					return // no finding, but a run that could not be done
				}
				placed(t, dir, in.name, code == ExitFindings)
			})
		}
	}
}

// placed checks the places of the findings in the outputs of a folder.
func placed(t *testing.T, dir, file string, found bool) {
	t.Helper()
	read := func(format string) string {
		data, err := os.ReadFile(filepath.Join(dir, format+".out"))
		if err != nil {
			t.Fatal(err)
		}
		return string(data)
	}
	type position struct {
		File         string
		Line, Column int
	}
	whole := func(format string, at position) {
		if at.File != file || at.Line < 1 || at.Column < 1 {
			t.Errorf("a finding in %s is at %v", format, at)
		}
	}
	findings := 0
	var report struct {
		Vehicles []struct {
			Results []struct {
				Verdict string
				At      position
			}
		}
	}
	decode(t, read("json"), &report)
	for _, v := range report.Vehicles {
		for _, r := range v.Results {
			whole("json", r.At)
			findings++
		}
	}
	if found && findings == 0 {
		t.Error("there is no finding")
	}
	var log struct {
		Runs []struct {
			Results []struct {
				Locations []struct {
					PhysicalLocation struct {
						ArtifactLocation struct{ URI string }
						Region           struct{ StartLine, StartColumn int }
					}
				}
			}
		}
	}
	decode(t, read("sarif"), &log)
	for _, r := range log.Runs[0].Results {
		at := r.Locations[0].PhysicalLocation
		whole("sarif", position{at.ArtifactLocation.URI, at.Region.StartLine, at.Region.StartColumn})
	}
	var issues []struct {
		Location struct {
			Path  string
			Lines struct{ Begin int }
		}
	}
	decode(t, read("gitlab"), &issues)
	for _, i := range issues {
		whole("gitlab", position{i.Location.Path, i.Location.Lines.Begin, 1})
	}
	var suites struct {
		Cases []struct {
			Failure []string `xml:"failure"`
		} `xml:"testsuite>testcase"`
	}
	if err := xml.Unmarshal([]byte(read("junit")), &suites); err != nil {
		t.Fatal(err)
	}
	place := regexp.MustCompile(regexp.QuoteMeta(file) + `:[1-9][0-9]*:[1-9]`)
	for _, c := range suites.Cases {
		for _, text := range c.Failure {
			if !place.MatchString(text) {
				t.Errorf("a failure in junit has no place: %s", text)
			}
		}
	}
	for line := range strings.Lines(read("github")) {
		if !strings.Contains(line, "title=Headroom::") && !regexp.MustCompile(`file=[^,]+,line=[1-9][0-9]*,col=[1-9]`).MatchString(line) {
			t.Errorf("an annotation has no place: %s", line)
		}
	}
	for line := range strings.Lines(read("text")) {
		if !strings.HasPrefix(line, " ") && !place.MatchString(line) {
			t.Errorf("a finding in text has no place: %s", line)
		}
	}
	for line := range strings.Lines(read("markdown")) {
		if strings.HasPrefix(line, "- **") && !place.MatchString(line) {
			t.Errorf("a finding in markdown has no place: %s", line)
		}
	}
}

func decode(t *testing.T, text string, into any) {
	t.Helper()
	if err := json.Unmarshal([]byte(text), into); err != nil {
		t.Fatal(err)
	}
}
