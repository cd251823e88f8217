package cli

import (
	"context"
	"strings"
	"time"

	"github.com/spf13/pflag"

	"example.org/headroom/cmd/internal/engine"
	"example.org/headroom/cmd/internal/output"
	"example.org/headroom/cmd/internal/report"
	"example.org/headroom/cmd/internal/revision"
	"example.org/headroom/rules"
)

// completionTime is the longest that anybody waits for the subjects of a
// specification that computes.
const completionTime = 2 * time.Second

// candidates are the values that a choice takes.
func (c *choice) candidates() []string { return c.allowed }

// candidates are the formats; after one and "=" there is a file.
func (d *destinations[R]) candidates() []string { return output.Names(d.formats) }

// repeats marks a flag that may be given more than once.
func (d *destinations[R]) repeats() {}

// flagValues offers the values of a flag: those that it names itself, else by
// what help calls its value.
func (c *Command) flagValues(ctx context.Context, k *completion, f *pflag.Flag) {
	value := strings.TrimPrefix(k.word, k.prefix)
	format, _, toFile := strings.Cut(value, "=")
	if fixed, ok := f.Value.(interface{ candidates() []string }); ok {
		if _, isOut := f.Value.(interface{ repeats() }); isOut && toFile {
			k.prefix += format + "="
			k.add = "files"
			return
		}
		k.offer("", fixed.candidates()...)
		return
	}
	kind, _ := pflag.UnquoteUsage(f)
	switch {
	case kind == "revision":
		revisions(ctx, k)
	case f.Name == "stdin-name":
		k.add = "files"
	}
}

// argument offers what help calls by a placeholder.
func (c *Command) argument(ctx context.Context, k *completion, kind string, typed typedWords) {
	switch kind {
	case "SHELL":
		k.offer("", shells()...)
	case "RULE":
		for _, r := range c.Rules {
			k.offer(r.Title, r.ID)
		}
	case "SUBJECT":
		c.subjects(ctx, k, typed.args)
	case "OLD", "NEW":
		revisions(ctx, k)
		k.add = "files"
	case "PATH", "PART":
		k.add = "files"
	case "DIR":
		k.add = "folders"
	}
}

// revisions offers the branches and tags of the repository that the working
// folder is in, after "A..." too.
func revisions(ctx context.Context, k *completion) {
	repository, err := revision.Open(ctx, ".")
	if err != nil {
		return
	}
	names, err := repository.Names(ctx)
	if err != nil {
		return
	}
	if i := strings.LastIndex(k.word, "..."); i >= len(k.prefix) {
		k.prefix = k.word[:i+len("...")]
	}
	k.offer("", "HEAD")
	k.offer("", names...)
}

// subjects offers those that a rule has in the vehicles at a path, with how
// they fare.
func (c *Command) subjects(ctx context.Context, k *completion, args []string) {
	rule, rest, err := c.ruleOf(args)
	if err != nil || len(rest) == 0 {
		return
	}
	one := *c // no other rule is asked
	one.Rules = []*rules.Rule{rule}
	r, err := one.run(ctx, engine.Request{Paths: rest[:1]}, "", report.Reading{Passes: report.PassesNumbers})
	if err != nil {
		return
	}
	seen := map[string]bool{}
	for _, v := range r.Vehicles {
		for _, res := range resultsOf(v.Results, rule.ID) {
			if !seen[res.Subject] {
				seen[res.Subject] = true
				k.offer(fare(res), res.Subject)
			}
		}
	}
}
