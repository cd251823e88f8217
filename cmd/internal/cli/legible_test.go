package cli

import (
	"bytes"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"example.org/headroom/cmd/internal/engine"
	"example.org/headroom/rules/catalogue"
)

// TestTextFromOutsideGoesThroughSafe looks at the source: nobody beside the package
// safe makes text of a language by conversion, the writers write by its functions
// alone, and so do the commands to standard error. What they write to standard output
// by other ways is the program's own.
func TestTextFromOutsideGoesThroughSafe(t *testing.T) {
	own := []string{"help.go", "schema.go", "version.go", "completion.go", "rules.go", "rulespage.go", "cli.go", "explain.go"}
	languages := []string{"Line", "Markdown", "HTML", "Message", "XML"}
	seen := 0
	for _, folder := range []string{"../output", "."} {
		files, err := filepath.Glob(filepath.Join(folder, "*.go"))
		if err != nil {
			t.Fatal(err)
		}
		for _, name := range files {
			if strings.HasSuffix(name, "_test.go") {
				continue
			}
			set := token.NewFileSet()
			file, err := parser.ParseFile(set, name, nil, 0)
			if err != nil {
				t.Fatal(err)
			}
			ast.Inspect(file, func(n ast.Node) bool {
				call, ok := n.(*ast.CallExpr)
				if !ok {
					return true
				}
				of, ok := call.Fun.(*ast.SelectorExpr)
				if !ok {
					return true
				}
				pkg, _ := of.X.(*ast.Ident)
				called, place := of.Sel.Name, set.Position(call.Pos())
				if pkg != nil && pkg.Name == "safe" {
					seen++
					if slices.Contains(languages, called) {
						t.Errorf("%s: safe.%s(...) takes a string as it comes; use safe.%sf", place, called, called)
					}
					return true
				}
				prints := pkg != nil && (pkg.Name == "fmt" && strings.HasPrefix(called, "Fprint") || pkg.Name == "io" && called == "WriteString")
				if !prints {
					return true
				}
				to := call.Args[0]
				if folder == "../output" && !isHash(to) {
					t.Errorf("%s: write by the package safe", place)
				}
				if s, ok := to.(*ast.SelectorExpr); ok && (s.Sel.Name == "Stderr" || s.Sel.Name == "Stdout" && !slices.Contains(own, filepath.Base(name))) {
					t.Errorf("%s: write by c.say, c.print or the package safe", place)
				}
				return true
			})
		}
	}
	if seen < 100 {
		t.Errorf("the package safe is used %d times", seen)
	}
}

// isHash reports whether something is written to a hash, which nobody reads.
func isHash(to ast.Expr) bool {
	id, ok := to.(*ast.Ident)
	return ok && id.Name == "h"
}

// TestArgumentsAreLegible gives hostile text as every kind of argument to every command
// and reads standard error and standard output as a terminal and a runner do.
func TestArgumentsAreLegible(t *testing.T) {
	dir := fleet(t, 1)
	t.Chdir(dir)
	hostile := []string{
		"a##[command]b", "##vso[task.x]b", "##teamcity[b]", "::error::b", "a\n::set-output name=x::b", "a\r\nheadroom: no errors", "a\x1b[31mb", "a\u009b31mb",
		"a\u202eb", "a\u2066b", "a\u200bb\ufeffc", "a\u2028b\u0085c", "a\U000e0041b", "a\xff\xfeb", "a\u00adb", strings.Repeat("long ", 3000),
	}
	for _, h := range hostile {
		for _, args := range [][]string{
			{h}, {"-" + h}, {"--" + h}, {"help", h}, {"check", h}, {"check", "./" + h}, {"check", "--" + h}, {"check", "-" + h}, {"check", "--fail-on", h}, {"check", "--fail-on=" + h},
			{"check", "--out", h}, {"check", "--out", "json=" + h + "/x"}, {"check", "--out", "text=" + h, "--out", "json=" + h}, {"check", "--since", h}, {"check", "--today", h},
			{"check", "--category", h}, {"check", "--shard", h}, {"check", "--stdin-name", h, "-"}, {"check", "--changed", h}, {"check", "--color", h}, {"check", h + ".yaml"}, {"check", h + "/..."},
			{"ratings", h}, {"ratings", "--out", h}, {"diff", h}, {"diff", h, h}, {"diff", "HEAD", h}, {"diff", h + "..." + h}, {"diff", "--threshold", h, "HEAD"}, {"diff", ".", h}, {"diff", "a", "b", h, "--"},
			{"history", h}, {"history", "fuse-breaking-low", h}, {"history", "fuse-breaking-low", ".", h}, {"history", "--from", h, "fuse-breaking-low"}, {"history", "--limit", h, "fuse-breaking-low"},
			{"explain", h}, {"explain", "fuse-breaking-low", h}, {"explain", "fuse-breaking-low", "cart00.yaml", h}, {"explain", "a", "b", "c", h}, {"rules", h}, {"rules", "--out", h},
			{"schema", h}, {"init", h + "/x", h}, {"init", "--format", h}, {"join", h}, {"join", "cart00.yaml", h}, {"completion", h}, {"version", h},
		} {
			var out, errs bytes.Buffer
			c := &Command{
				Stdin: strings.NewReader("headroom: 1\n"), Stdout: &out, Stderr: &errs,
				Getenv: func(string) string { return "" }, Rules: catalogue.All()[:40], Bound: engine.DefaultBound(), Build: Build{Version: "v1.2.3"},
			}
			c.Main(args)
			for _, stream := range []string{out.String(), errs.String()} {
				if why := illegible(stream); why != "" {
					t.Errorf("%.60q: %s in\n%.600s", args, why, stream)
				}
			}
			if strings.HasPrefix(h, "long") && errs.Len() > 12000 {
				t.Errorf("%.60q: %d bytes on standard error", args, errs.Len())
			}
		}
	}
}

var (
	commandInside = regexp.MustCompile(`(?i)##[a-z]*\[`)
	unreadable    = regexp.MustCompile(`[\x{00}-\x{08}\x{0b}-\x{1f}\x{7f}-\x{9f}\x{ad}\x{200b}-\x{200f}\x{2028}-\x{202e}\x{2060}-\x{206f}\x{fe00}-\x{fe0f}\x{feff}\x{e0000}-\x{e0fff}]`)
)

// illegible says what in a stream a runner or a terminal would take for more than text.
func illegible(s string) string {
	if !utf8.ValidString(s) {
		return "invalid UTF-8"
	}
	if found := unreadable.FindString(s); found != "" {
		return fmt.Sprintf("the character %+q", found)
	}
	for line := range strings.SplitSeq(s, "\n") {
		switch line := strings.TrimLeftFunc(line, unicode.IsSpace); {
		case strings.HasPrefix(line, "::"), commandInside.MatchString(line):
			return "a command to a runner"
		}
		if strings.HasPrefix(line, "headroom: no errors") {
			return "a line that the program did not write"
		}
	}
	return ""
}
