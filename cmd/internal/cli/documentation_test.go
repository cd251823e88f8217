package cli

import (
	"bytes"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/spf13/pflag"

	"example.org/headroom/cmd/internal/output"
	"example.org/headroom/rules/catalogue"
)

// document is a text that tells people what to type.
type document struct{ name, text string }

// documents are the README, the Action's page and the topics of help.
func documents(t *testing.T) []document {
	t.Helper()
	list := []document{{"README.md", readFile(t, "../../../README.md")}, {"action/README.md", readFile(t, "../../../action/README.md")}}
	for _, topic := range topics() {
		list = append(list, document{"help " + topic.name, topic.text})
	}
	return list
}

// commandLines are the commands of a document that stand on lines of their own.
func (d document) commandLines() (lines []string) {
	for _, m := range regexp.MustCompile(`(?m)^ *(?:- )?headroom (\S+(?: \S+)*)`).FindAllStringSubmatch(d.text, -1) {
		lines = append(lines, m[1])
	}
	return lines
}

// The pages of help are those that help lists; each says what it is about and fits
// a terminal.
func TestTopics(t *testing.T) {
	var files, names, commandNames []string
	entries, err := fs.ReadDir(helpPages, "help")
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		files = append(files, strings.TrimSuffix(e.Name(), ".txt"))
	}
	for _, c := range commands() {
		commandNames = append(commandNames, c.name)
	}
	for _, topic := range topics() {
		names = append(names, topic.name)
		if slices.Contains(commandNames, topic.name) {
			t.Errorf("%s is a command and a topic", topic.name)
		}
		if topic.about == "" || strings.Contains(topic.about, "\n") || len(topic.about) > 80 {
			t.Errorf("%s: the first line must say in at most 80 characters what the page is about: %q", topic.name, topic.about)
		}
		if !strings.HasSuffix(topic.text, "\n") {
			t.Errorf("%s does not end with a line", topic.name)
		}
		for line := range strings.SplitSeq(topic.text, "\n") {
			if len(line) > 100 && !strings.HasPrefix(line, "    ") { // what is copied stays whole
				t.Errorf("%s has a line of %d characters: %s", topic.name, len(line), line)
			}
		}
	}
	slices.Sort(names)
	if !slices.Equal(files, names) {
		t.Errorf("there are pages of help for %v, and help lists %v", files, names)
	}
}

// The topics leave nothing out that they list: formats, families, levels of the gate.
func TestTopicsAreComplete(t *testing.T) {
	page := func(name string) string {
		topic, ok := findTopic(name)
		if !ok {
			t.Fatalf("there is no topic %s", name)
		}
		return topic.text
	}
	for _, name := range output.Names(output.Formats()) {
		if !strings.Contains(page("outputs"), "\n"+name+" ") {
			t.Errorf("outputs does not describe the format %s", name)
		}
	}
	for _, name := range families(catalogue.All()) {
		if !strings.Contains(page("checks"), "\n"+name+" ") {
			t.Errorf("checks does not describe the family %s", name)
		}
	}
	for _, c := range commands() {
		flags := newFlags(c)
		c.run(Default(), flags)
		if f := flags.Lookup("fail-on"); f != nil && !c.hidden {
			for _, value := range f.Value.(*choice).allowed {
				if !strings.Contains(page("exit-codes"), value) {
					t.Errorf("exit-codes does not name --fail-on %s of %s", value, c.name)
				}
			}
		}
	}
}

// Every command, topic and flag that a document names exists.
func TestDocumentationNamesWhatExists(t *testing.T) {
	flags := map[string]bool{"help": true, "version": true}
	exists := map[string]bool{"help": true}
	for _, c := range commands() {
		exists[c.name] = !c.hidden
		set := newFlags(c)
		c.run(Default(), set)
		set.VisitAll(func(f *pflag.Flag) { flags[f.Name] = true })
	}
	mention := regexp.MustCompile("(?m)(?:[\"`]|^ *(?:- |entry: )?)headroom ([a-z-]+)(?: ([a-z-]+))?")
	for _, d := range documents(t) {
		for _, m := range mention.FindAllStringSubmatch(d.text, -1) {
			if name, next := m[1], m[2]; !exists[name] {
				t.Errorf("%s: there is no command %q", d.name, m[0])
			} else if _, isTopic := findTopic(next); name == "help" && next != "" && !isTopic && !exists[next] {
				t.Errorf("%s: there is no page for %q", d.name, m[0])
			}
		}
		for _, m := range regexp.MustCompile("(?m)(?:^|[ \"`(])--([a-z][a-z-]*)").FindAllStringSubmatch(d.text, -1) {
			if !flags[m[1]] {
				t.Errorf("%s: there is no flag --%s", d.name, m[1])
			}
		}
	}
}

// The commands that documents show can be run as they stand, in a repository with
// the README's cart in it. What is shown with a placeholder is not tried.
func TestDocumentedCommandsRun(t *testing.T) {
	placeholder := regexp.MustCompile(`\b(RULE|PATH|SUBJECT|OLD|NEW|FORMAT|NAME|TOPIC|COMMAND|REV)\b`)
	tried := map[string]bool{}
	for _, d := range documents(t) {
		t.Run(d.name, func(t *testing.T) {
			lines := slices.DeleteFunc(d.commandLines(), func(line string) bool { return tried[line] || placeholder.MatchString(line) })
			if len(lines) == 0 {
				return
			}
			t.Chdir(cartRepository(t))
			for _, line := range lines {
				tried[line] = true
				if code, _, stderr := runLine(t, line); code == ExitFailed {
					t.Errorf("headroom %s: exit code %d:\n%s", line, code, stderr)
				}
			}
		})
	}
	if len(tried) < 30 {
		t.Errorf("%d commands tried", len(tried))
	}
}

// The examples of the topics can be copied: what belongs at the end of cart.yaml is
// put there, and what names a file of its own is written there.
func TestDocumentedExamplesAreSound(t *testing.T) {
	block := regexp.MustCompile(`(?m)^    (?://|#) (at the end of cart\.yaml|[a-z./]+\.cue)\n((?:    .*\n|\n)+)`)
	found := 0
	for _, topic := range topics() {
		blocks := block.FindAllStringSubmatch(topic.text+"\n", -1)
		if len(blocks) == 0 {
			continue
		}
		t.Run(topic.name, func(t *testing.T) {
			dir := cartRepository(t)
			for _, m := range blocks {
				found++
				name, ownFile := m[1], true
				if !strings.HasSuffix(name, ".cue") {
					name, ownFile = "cart.yaml", false
				}
				text := strings.ReplaceAll("\n"+m[2], "\n    ", "\n")
				file := filepath.Join(dir, name)
				if ownFile {
					if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
						t.Fatal(err)
					}
				} else {
					text = readFile(t, file) + text
				}
				if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
					t.Fatal(err)
				}
			}
			t.Chdir(dir)
			code, stdout, stderr := runLine(t, "check -v --out text ./...")
			if code == ExitFailed || regexp.MustCompile(`\[(spec|waiver|policy-rule)-`).MatchString(stdout) {
				t.Errorf("exit code %d:\n%s%s", code, stdout, stderr)
			}
			if topic.name == "waivers" && !strings.Contains(stdout, "waived: ") {
				t.Errorf("the waiver of the example accepts nothing:\n%s", stdout)
			}
		})
	}
	if found < 5 {
		t.Errorf("%d examples found", found)
	}
}

// What the README says that a command prints is what it prints: the whole, or the
// beginning up to a line "..."; -update writes it.
func TestReadmeShowsWhatIsPrinted(t *testing.T) {
	const file = "../../../README.md"
	absolute, err := filepath.Abs(file)
	if err != nil {
		t.Fatal(err)
	}
	readme := readFile(t, file)
	t.Chdir(cartRepository(t))
	found := 0
	shown := regexp.MustCompile("(?s)(<!-- prints: headroom ([^\n]*) -->\n```\n)(.*?)(```\n)").ReplaceAllStringFunc(readme, func(s string) string {
		m := regexp.MustCompile("(?s)(<!-- prints: headroom ([^\n]*) -->\n```\n)(.*?)(```\n)").FindStringSubmatch(s)
		found++
		_, printed, _ := runLine(t, m[2])
		if head, cut := strings.CutSuffix(m[3], "...\n"); cut {
			lines := strings.SplitAfter(printed, "\n")
			printed = strings.Join(lines[:min(len(lines), strings.Count(head, "\n"))], "") + "...\n"
		}
		if printed != m[3] && !*update {
			t.Errorf("headroom %s prints\n%s", m[2], printed)
		}
		return m[1] + printed + m[4]
	})
	if found == 0 {
		t.Error("README.md shows no output")
	}
	if *update {
		if err := os.WriteFile(absolute, []byte(shown), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

// cartRepository is a repository with the first specification, a commit that
// changed it, and the README's edit, a thinner w4, in the working tree.
func cartRepository(t *testing.T) string {
	t.Helper()
	d := emptyDemo(t)
	d.copy("../../../testdata/first/first.yaml", "cart.yaml")
	d.commit("first", "workshop", "The first cart")
	d.edit("cart.yaml", "every_s: 300", "every_s: 400")
	d.commit("gentler", "workshop", "A climb every 400 s")
	d.edit("cart.yaml", "to: drive.pos, size: 50 mm2", "to: drive.pos, size: 16 mm2")
	return d.dir
}

// runLine runs a line as a shell would, as far as documents go.
func runLine(t *testing.T, line string) (code int, stdout, stderr string) {
	t.Helper()
	line, stdin, _ := strings.Cut(line, " < ")
	line, _, _ = strings.Cut(line, " > ")
	var out, errs bytes.Buffer
	c := Default()
	c.Stdin, c.Stdout, c.Stderr, c.Terminal = strings.NewReader(""), &out, &errs, false
	if stdin != "" {
		c.Stdin = strings.NewReader(readFile(t, stdin))
	}
	c.Today = time.Date(2027, 1, 1, 0, 0, 0, 0, time.UTC)
	code = c.Main(strings.Fields(line))
	return code, out.String(), errs.String()
}
