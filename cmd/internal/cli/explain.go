package cli

import (
	"bytes"
	"cmp"
	"context"
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/spf13/pflag"

	"example.org/headroom/cmd/internal/engine"
	"example.org/headroom/cmd/internal/output"
	"example.org/headroom/cmd/internal/report"
	"example.org/headroom/cmd/internal/safe"
	"example.org/headroom/cmd/internal/suggest"
	"example.org/headroom/rules"
)

func explainCommand() command {
	return command{
		name: "explain", args: "RULE [PATH [SUBJECT]]",
		about: "explain a rule; with a specification and a subject, show the working",
		help: `With a RULE alone: what goes wrong, the relation that must hold, its source, and
what to do. With a PATH too: the outcome for each subject there, or the working if
there is only one. With a SUBJECT (a part, a conductor, or part.terminal): the
working, step by step, with numbers and where each of them comes from.`,
		run: func(c *Command, flags *pflag.FlagSet) func([]string) (int, error) {
			c.todayFlag(flags)
			c.boundFlags(flags)
			var stdinName string
			stdinNameFlag(flags, &stdinName)
			colour := newColour()
			flags.Var(colour, "color", "colour the text: `when` is auto, always or never")
			return func(args []string) (int, error) { return c.explain(args, stdinName, colour.value) }
		},
	}
}

func (c *Command) explain(args []string, stdinName, colour string) (int, error) {
	if len(args) == 0 {
		return ExitFailed, usagef(`expected a RULE; "headroom rules" lists them`)
	}
	if len(args) > 3 {
		return ExitFailed, usagef("expected RULE, PATH and SUBJECT, found a fourth argument %q", args[3])
	}
	rule, rest, err := c.ruleOf(args)
	if err != nil {
		return ExitFailed, err
	}
	if len(rest) == 0 {
		_, err := io.WriteString(c.Stdout, ruleDoc(rule)+
			fmt.Sprintf("\nFor the working with its numbers: headroom explain %s PATH SUBJECT\n", rule.ID))
		return ExitClean, err
	}
	r, err := c.run(context.Background(), engine.Request{Paths: rest[:1], StdinName: stdinName}, "", everything())
	if err != nil {
		return ExitFailed, err
	}
	c.runErrors(r)
	if r.Broken() {
		return ExitFailed, nil
	}
	subject := onlySubject(r, rule)
	if len(rest) > 1 {
		subject = rest[1]
	}
	var b bytes.Buffer
	if subject == "" {
		err = explainSubjects(safe.Stream(&b, safe.Text), r, rule)
	} else {
		err = explainSubject(&b, r, rule, subject, output.Options{Colour: c.useColour(colour)})
	}
	if err != nil {
		return ExitFailed, err
	}
	if _, err := b.WriteTo(c.Stdout); err != nil {
		return ExitFailed, fmt.Errorf("cannot write to standard output: %w", err)
	}
	if subject != "" {
		c.caution()
	}
	return ExitClean, nil
}

// ruleOf picks the rule out of the arguments: it stands first, or second after
// a path.
func (c *Command) ruleOf(args []string) (*rules.Rule, []string, error) {
	for i := range min(2, len(args)) {
		for _, r := range c.Rules {
			if r.ID == args[i] {
				return r, slices.Delete(slices.Clone(args), i, i+1), nil
			}
		}
	}
	var ids []string
	for _, r := range c.Rules {
		ids = append(ids, r.ID)
	}
	return nil, nil, usagef(`unknown rule %q%s; "headroom rules" lists them`, args[0], suggest.DidYouMean(args[0], ids))
}

// onlySubject names the subject of a rule where it has one alone, so that there
// is nothing to choose from; "" otherwise.
func onlySubject(r *report.Report, rule *rules.Rule) string {
	subject, found := "", 0
	for _, v := range r.Vehicles {
		for _, res := range resultsOf(v.Results, rule.ID) {
			subject = res.Subject
			found++
		}
	}
	if found != 1 {
		return ""
	}
	return subject
}

// explainSubjects lists what a rule says of each subject.
func explainSubjects(w io.Writer, r *report.Report, rule *rules.Rule) error {
	var b safe.Builder[safe.Line]
	for i := range r.Vehicles {
		v := &r.Vehicles[i]
		found := resultsOf(v.Results, rule.ID)
		if len(found) == 0 {
			b.Addf("%s: the rule %s has no subject in this vehicle%s\n", v.Path, rule.ID, hindrance(r, v))
			continue
		}
		b.Addf("%s: %s\n", v.Path, v.Name)
		width := 0
		for _, res := range found {
			width = max(width, len(res.Subject))
		}
		for _, res := range found {
			b.Addf("  %-*s  %s\n", width, res.Subject, fare(res))
		}
		if len(found) == 1 {
			b.Addf("For the working: headroom explain %s %s %s\n", rule.ID, v.Path, found[0].Subject)
		} else {
			b.Addf("For the working of one of them: headroom explain %s %s SUBJECT\n", rule.ID, v.Path)
		}
	}
	return safe.Write(w, b.Text())
}

// fare is the outcome of a check in a few words.
func fare(res rules.Result) string {
	state := string(res.Verdict)
	switch {
	case res.Verdict == rules.CannotVouch:
		state = "nobody can vouch for it: needs " + res.Missing
	case res.Verdict == rules.NotChecked:
		state = "not checked: needs " + res.Missing
	case report.HasHeadroom(res):
		state += ", headroom " + report.Ratio(res.Headroom) + " of " + report.Requirement(res.Required)
	}
	return state
}

// explainSubject writes the working of a rule on one subject, in every vehicle
// that has it.
func explainSubject(w io.Writer, r *report.Report, rule *rules.Rule, subject string, o output.Options) error {
	found := 0
	var subjects []string
	for i := range r.Vehicles {
		v := &r.Vehicles[i]
		for _, res := range resultsOf(v.Results, rule.ID) {
			subjects = append(subjects, res.Subject)
			if res.Subject != subject {
				continue
			}
			if found > 0 {
				if err := safe.Write[safe.Line](w, "\n"); err != nil {
					return err
				}
			}
			found++
			if err := output.Working(w, v, res, o); err != nil {
				return err
			}
		}
	}
	if found > 0 {
		return nil
	}
	because := ""
	for i := range r.Vehicles {
		because = cmp.Or(because, hindrance(r, &r.Vehicles[i]))
	}
	if len(subjects) == 0 {
		return usagef("the rule %s has no subject there%s", rule.ID, because)
	}
	slices.Sort(subjects)
	subjects = slices.Compact(subjects)
	return usagef("the rule %s has no subject %q there%s; its subjects there are %s%s",
		rule.ID, subject, suggest.DidYouMean(subject, subjects), strings.Join(subjects, ", "), because)
}

// hindrance says behind a sentence what in a specification may be the reason.
func hindrance(r *report.Report, v *report.Vehicle) string {
	what, first := r.Hindrance(v)
	if what == "" {
		return ""
	}
	return "; " + what + ": " + first.At.String() + ": " + first.Message
}

func resultsOf(results []rules.Result, rule string) []rules.Result {
	var found []rules.Result
	for _, res := range results {
		if res.Rule == rule {
			found = append(found, res)
		}
	}
	return found
}
