package cli

import (
	"context"

	"github.com/spf13/pflag"

	"example.org/headroom/cmd/internal/engine"
	"example.org/headroom/cmd/internal/revision"
	"example.org/headroom/schema"
)

// evaluateCommand is the other side of the probe: it evaluates one target and
// ends. What is wrong with the specification is no concern of it; the caller
// finds out again when it evaluates the target itself.
func evaluateCommand() command {
	return command{
		name: engine.ProbeCommand, args: "PATH", hidden: true, about: "evaluate a specification under a bound (used by check)",
		run: func(c *Command, flags *pflag.FlagSet) func([]string) (int, error) {
			format := flags.String("format", "", "format of the target")
			stdinName := flags.String("stdin-name", "", "name of standard input")
			commit := flags.String("commit", "", "commit to read it at")
			root := flags.String("within", "", "folder that it may be read from")
			limit := engine.DefaultBound()
			flags.DurationVar(&limit.Time, "time", limit.Time, "longest time")
			flags.Uint64Var(&limit.Memory, "memory", limit.Memory, "largest heap, bytes")
			return func(args []string) (int, error) {
				if len(args) != 1 {
					return ExitFailed, usagef("expected one PATH")
				}
				limit.Enforce()
				target := schema.Target{Path: args[0], Format: *format}
				opts := schema.Options{Stdin: c.Stdin, StdinName: *stdinName}
				if *root != "" {
					opts.Files = schema.Within(*root)
				}
				if *commit != "" {
					tree, err := treeOf(*commit)
					if err != nil {
						return ExitFailed, err
					}
					defer tree.Close() //nolint:errcheck // what was read is read
					opts.Files = tree
				}
				_ = schema.Evaluate(target, opts)
				return ExitClean, nil
			}
		},
	}
}

// treeOf is the files of a commit of the repository of the working folder.
func treeOf(commit string) (*revision.Tree, error) {
	repository, err := revision.Open(context.Background(), ".")
	if err != nil {
		return nil, err
	}
	return repository.Tree(context.Background(), commit)
}
