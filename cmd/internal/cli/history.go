package cli

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/pflag"

	"example.org/headroom/cmd/internal/engine"
	"example.org/headroom/cmd/internal/output"
	"example.org/headroom/cmd/internal/report"
	"example.org/headroom/cmd/internal/revision"
	"example.org/headroom/cmd/internal/suggest"
	"example.org/headroom/rules"
	"example.org/headroom/schema"
)

func historyCommand() command {
	return command{
		name: "history", args: "RULE [PATH [SUBJECT]]",
		about: "which commits moved the headroom of one check, and by which edits",
		help: `Lists the commits that moved the headroom of one check or changed its verdict,
newest first: the headroom after each, how much it moved, and the edits that caused
it. It follows first parents, and vehicles that were moved or renamed. PATH is one
vehicle as it is in the newest commit (default the working directory). SUBJECT is
a part, a conductor, or part.terminal; it may be left out if the rule has only one.
What is not committed is ignored.

Nothing is checked out: commits are read from git's objects.

Exit code: 0; 2 if the run could not be done.`,
		run: func(c *Command, flags *pflag.FlagSet) func([]string) (int, error) {
			opts := historyOptions{
				out:    destinations[*report.History]{formats: output.HistoryFormats()},
				colour: newColour(),
			}
			flags.Var(&opts.out, "out", outHelp(output.HistoryFormats()))
			flags.StringVar(&opts.from, "from", "HEAD", "start at this `revision` and go back")
			flags.IntVar(&opts.limit, "limit", 0, "list at most this `number` of commits, the newest (default all)")
			flags.Float64Var(&opts.threshold, "threshold", 0.1, "list a commit if it moved the headroom by this many `percent` or more")
			c.boundFlags(flags)
			flags.Var(opts.colour, "color", "colour the text: `when` is auto, always or never")
			return func(args []string) (int, error) { return c.history(context.Background(), args, opts) }
		},
	}
}

type historyOptions struct {
	out       destinations[*report.History]
	colour    *choice
	from      string
	limit     int
	threshold float64
}

func (c *Command) history(ctx context.Context, args []string, opts historyOptions) (int, error) {
	switch {
	case opts.threshold < 0:
		return ExitFailed, usagef("--threshold is %g percent; it must not be negative", opts.threshold)
	case opts.limit < 0:
		return ExitFailed, usagef("--limit is %d; it must not be negative", opts.limit)
	case len(args) == 0:
		return ExitFailed, usagef(`expected a RULE; "headroom rules" lists them`)
	case len(args) > 3:
		return ExitFailed, usagef("expected RULE, PATH and SUBJECT, found a fourth argument %q", args[3])
	}
	rule, rest, err := c.ruleOf(args)
	if err != nil {
		return ExitFailed, err
	}
	path, subject := ".", ""
	if len(rest) > 0 {
		path = rest[0]
	}
	if len(rest) > 1 {
		subject = rest[1]
	}
	if path == schema.Stdin {
		return ExitFailed, usagef("standard input has no history; give the PATH of a vehicle")
	}
	h, err := c.historyOf(ctx, rule, path, subject, opts)
	if err != nil {
		return ExitFailed, err
	}
	if err := write(c, h, opts.out, nil, opts.colour.value); err != nil {
		return ExitFailed, err
	}
	if err := output.HistorySummary(c.Stderr, h); err != nil {
		return ExitFailed, err
	}
	c.caution()
	return ExitClean, nil
}

// historyOf walks the history of one check.
func (c *Command) historyOf(ctx context.Context, rule *rules.Rule, path, subject string, opts historyOptions) (*report.History, error) {
	repository, err := revision.Open(ctx, ".")
	if err != nil {
		return nil, err
	}
	newest, err := repository.Commit(ctx, opts.from)
	if err != nil {
		return nil, fmt.Errorf("--from: %w", err)
	}
	entries, err := repository.Log(ctx, newest, 0)
	if err != nil {
		return nil, fmt.Errorf("the history of %s cannot be listed: %w", opts.from, err)
	}
	one := *c // no other rule is asked
	one.Rules = []*rules.Rule{rule}
	w := &walker{command: &one, repository: repository, entries: entries, threshold: opts.threshold / 100, limit: opts.limit}
	vehicle, result, err := w.find(ctx, rule, path, subject, opts.from)
	if err != nil {
		return nil, err
	}
	w.at, w.key = vehicle.Path, result.Key()
	h := &report.History{
		Version: c.Build.Version, From: opts.from, Rule: rule.ID, Subject: result.Subject,
		Name: vehicle.Name, Path: vehicle.Path, Now: result, Threshold: w.threshold,
	}
	return h, w.walk(ctx, h)
}

// find picks the one vehicle and subject that are meant, at the newest commit.
func (w *walker) find(ctx context.Context, rule *rules.Rule, path, subject, from string) (*engine.Vehicle, rules.Result, error) {
	newest := w.entries[0].Hash
	vehicles, tree, errs, err := w.load(ctx, newest, path)
	if err == nil && tree.FollowedLink() {
		// The link may be younger than what it leads to.
		if real, ok := tree.Real(path); ok {
			vehicles, tree, errs, err = w.load(ctx, newest, real)
		}
	}
	if err == nil && len(errs) > 0 {
		err = fmt.Errorf("in %s: %s; only what is committed has a history", from, strings.Join(errs, "; "))
	}
	if err != nil {
		return nil, rules.Result{}, err
	}
	w.links = tree.FollowedLink()
	if len(vehicles) == 1 {
		if why := vehicles[0].Unloadable(); why != "" {
			return nil, rules.Result{}, fmt.Errorf("%s does not load in %s: %s; give --from a revision in which it does", vehicles[0].Path, from, why)
		}
	}
	var vehicle *engine.Vehicle
	var found []rules.Result
	var subjects, paths []string
	for _, v := range vehicles {
		for _, r := range resultsOf(v.Results, rule.ID) {
			subjects = append(subjects, r.Subject)
			if subject == "" || r.Subject == subject {
				vehicle = v
				found = append(found, unwaived(r))
				paths = append(paths, v.Path)
			}
		}
	}
	if len(found) == 1 {
		return vehicle, found[0], nil
	}
	return nil, rules.Result{}, notOne(rule, path, subject, from, sortedOnce(subjects), sortedOnce(paths))
}

// notOne says what to name so that one check is meant: of the subjects that the
// rule has, and the paths of the vehicles that have the one asked for.
func notOne(rule *rules.Rule, path, subject, from string, subjects, paths []string) error {
	switch {
	case len(subjects) == 0:
		return usagef("the rule %s has no subject in %s at %s", rule.ID, path, from)
	case len(paths) == 0:
		return usagef("the rule %s has no subject %q%s at %s; its subjects there are %s; for one that was removed give --from a revision that has it",
			rule.ID, subject, suggest.DidYouMean(subject, subjects), from, strings.Join(subjects, ", "))
	case len(paths) > 1:
		return usagef("%s means more than one vehicle; name one of %s", path, strings.Join(paths, ", "))
	}
	return usagef("the rule %s has more than one subject there; name one of %s", rule.ID, strings.Join(subjects, ", "))
}

func sortedOnce(list []string) []string {
	slices.Sort(list)
	return slices.Compact(list)
}

// unwaived is a result as it is without a waiver: a decision to accept a
// finding moves no headroom.
func unwaived(r rules.Result) rules.Result {
	if r.Verdict == rules.Waived {
		r.Verdict, r.Waiver = rules.Failed, nil
	}
	return r
}
