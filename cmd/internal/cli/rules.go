package cli

import (
	"bytes"
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/pflag"

	"example.org/headroom/cmd/internal/report"
	"example.org/headroom/rules"
)

func rulesCommand() command {
	return command{
		name: "rules", about: "list the rules, family by family",
		help: `"headroom explain RULE" describes one of them.`,
		run: func(c *Command, flags *pflag.FlagSet) func([]string) (int, error) {
			out := &choice{value: "text", allowed: []string{"text", "json", "markdown"}}
			flags.Var(out, "out", "write the list in `format` text or json, or as a page in markdown")
			return func(args []string) (int, error) {
				if err := noArgs(args); err != nil {
					return ExitFailed, err
				}
				text := rulesText(c.Rules)
				switch out.value {
				case "json":
					var err error
					if text, err = rulesJSON(c.Rules, c.Build.Version); err != nil {
						return ExitFailed, err
					}
				case "markdown":
					text = rulesPage(c.Rules)
				}
				_, err := c.Stdout.Write(text)
				return ExitClean, err
			}
		},
	}
}

// rulesText lists the rules in the order of the catalogue, with a line for
// every family.
func rulesText(catalogue []*rules.Rule) []byte {
	width := 0
	for _, r := range catalogue {
		width = max(width, len(r.ID))
	}
	var b bytes.Buffer
	for _, family := range families(catalogue) {
		if b.Len() > 0 {
			b.WriteByte('\n')
		}
		fmt.Fprintf(&b, "%s\n", family)
		for _, r := range catalogue {
			if r.Family == family {
				fmt.Fprintf(&b, "  %-*s  %-7s  %s\n", width, r.ID, r.Level, r.Title)
			}
		}
	}
	return b.Bytes()
}

// families lists the families in the order in which the catalogue names them.
func families(catalogue []*rules.Rule) []string {
	var names []string
	for _, r := range catalogue {
		if f := r.Family; !slices.Contains(names, f) {
			names = append(names, f)
		}
	}
	return names
}

// jsonRule is a rule's documentation as data.
type jsonRule struct {
	ID       string   `json:"id"`
	Family   string   `json:"family"`
	Title    string   `json:"title"`
	Level    string   `json:"level"`
	Why      string   `json:"why"`
	Relation string   `json:"relation"`
	Source   string   `json:"source"`
	Required float64  `json:"required,omitempty"` // absent for a yes-or-no check
	Policy   []string `json:"policy,omitempty"`
	Vital    []string `json:"vital,omitempty"` // fields without which nobody can vouch for the subject
	Fix      string   `json:"fix"`
}

func rulesJSON(catalogue []*rules.Rule, version string) ([]byte, error) {
	out := struct {
		Format  string     `json:"format"` // always "headroom-rules"
		Version int        `json:"version"`
		Tool    string     `json:"tool_version"`
		Rules   []jsonRule `json:"rules"`
	}{"headroom-rules", 1, version, []jsonRule{}}
	for _, r := range catalogue {
		out.Rules = append(out.Rules, jsonRule{
			r.ID, r.Family, r.Title, string(r.Level), r.Why, r.Relation, r.Source, r.Required, r.Policy, r.Vital, r.Fix,
		})
	}
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	err := e.Encode(out)
	return b.Bytes(), err
}

// level says of which level a rule's findings are where that differs; "" where
// it never does.
func level(r *rules.Rule) string {
	if r.Varies == "" {
		return ""
	}
	return string(r.Level) + "; " + r.Varies
}

// ruleDoc writes a rule's documentation.
func ruleDoc(r *rules.Rule) string {
	var b bytes.Buffer
	fmt.Fprintf(&b, "%s (%s)\n%s\n", r.ID, r.Level, report.Sentence(upperFirst(r.Title)))
	add := func(head, body string) {
		if body != "" {
			fmt.Fprintf(&b, "\n%s\n%s", head, wrap(body, 90, "  "))
		}
	}
	add("What goes wrong", report.Sentence(r.Why))
	add("Relation", r.Relation)
	add("Level", level(r))
	if r.Required > 0 {
		add("Required headroom", fmt.Sprintf("%s, unless policy.required sets another one for %q", report.Requirement(r.Required), r.ID))
	}
	for i, p := range r.Policy {
		if i == 0 {
			b.WriteString("\nTuned by\n")
		}
		fmt.Fprintf(&b, "  %s\n", p)
	}
	if len(r.Vital) > 0 {
		add("Vital data, without which nobody can vouch for the subject", strings.Join(r.Vital, ", "))
	}
	add("Source", r.Source)
	if len(r.Example.Edits) > 0 {
		b.WriteString("\nExample: this change to a sound vehicle makes it fail\n")
		for _, e := range r.Example.Edits {
			if e.Value == "" {
				fmt.Fprintf(&b, "  %s: deleted\n", e.Path)
			} else {
				fmt.Fprintf(&b, "  %s: %s\n", e.Path, e.Value)
			}
		}
	}
	add("Example of the mistake", r.Example.Text)
	add("What to do", report.Sentence(r.Fix))
	return b.String()
}
