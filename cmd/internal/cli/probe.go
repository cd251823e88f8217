package cli

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"runtime/metrics"
	"strconv"
	"time"

	"github.com/spf13/pflag"

	"example.org/headroom/cmd/internal/revision"
	"example.org/headroom/schema"
)

// The evaluation of a CUE package that computes can neither be cancelled nor
// bounded from within the process, so it is tried first in a process of its
// own that can be killed.
const (
	probeName = "evaluate-for-probe"

	exitOutOfTime   = 3
	exitOutOfMemory = 4
)

// Bound is what the evaluation of one specification may cost.
type Bound struct {
	Time   time.Duration
	Memory uint64 // bytes of the heap
}

// DefaultBound is far above what a vehicle needs: a large one takes well
// below a second and a few megabytes.
func DefaultBound() Bound { return Bound{Time: 10 * time.Second, Memory: 1 << 30} }

// prober returns a function that evaluates a target in a process of its own,
// as it is at a commit if one is named, or within the same part of the disk.
func prober(bound Bound, stdin []byte, stdinName, commit string, files schema.Files) func(context.Context, schema.Target) error {
	root := ""
	if disk, ok := files.(*schema.Disk); ok {
		root = disk.Root()
	}
	return func(ctx context.Context, target schema.Target) error {
		self, err := os.Executable()
		if err != nil {
			return fmt.Errorf("cannot evaluate it in a process of its own: %w", err)
		}
		ctx, cancel := context.WithTimeout(ctx, bound.Time)
		defer cancel()
		child := exec.CommandContext(ctx, self, probeName, "--format", target.Format, "--stdin-name", stdinName, "--commit", commit, "--within", root,
			"--time", bound.Time.String(), "--memory", strconv.FormatUint(bound.Memory, 10), "--", target.Path)
		child.Args[0] = "headroom" // a test binary acts by the name that it is called
		child.Stdin = bytes.NewReader(stdin)
		child.WaitDelay = time.Second
		err = child.Run()
		if err == nil {
			return nil
		}
		exit := new(exec.ExitError)
		switch {
		case ctx.Err() != nil, errors.As(err, &exit) && exit.ExitCode() == exitOutOfTime:
			return fmt.Errorf("its evaluation took more than %g s and was stopped%s", bound.Time.Seconds(), probeFix)
		case errors.As(err, &exit) && exit.ExitCode() == exitOutOfMemory:
			return fmt.Errorf("its evaluation took more than %d MiB of memory and was stopped%s", bound.Memory>>20, probeFix)
		case errors.As(err, &exit):
			return errors.New("its evaluation failed: the CUE evaluator gave up on it; simplify what it computes, or write the values out")
		}
		return fmt.Errorf("cannot evaluate it in a process of its own: %w", err)
	}
}

const probeFix = "; it computes too much: look for a comprehension over a long list, or write the values out"

// evaluateCommand is the other side of the probe: it evaluates one target and
// ends. What is wrong with the specification is no concern of it; the caller
// finds out again when it evaluates the target itself.
func evaluateCommand() command {
	return command{
		name: probeName, args: "PATH", hidden: true, about: "evaluate a specification under a bound (used by check)",
		run: func(c *Command, flags *pflag.FlagSet) func([]string) (int, error) {
			format := flags.String("format", "", "format of the target")
			stdinName := flags.String("stdin-name", "", "name of standard input")
			commit := flags.String("commit", "", "commit to read it at")
			root := flags.String("within", "", "folder that it may be read from")
			limit := DefaultBound()
			flags.DurationVar(&limit.Time, "time", limit.Time, "longest time")
			flags.Uint64Var(&limit.Memory, "memory", limit.Memory, "largest heap, bytes")
			return func(args []string) (int, error) {
				if len(args) != 1 {
					return ExitFailed, usagef("expected one PATH")
				}
				time.AfterFunc(limit.Time, func() { os.Exit(exitOutOfTime) }) // should the caller be gone
				go watchMemory(limit.Memory)
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

// watchMemory ends the process when the heap outgrows its bound.
func watchMemory(limit uint64) {
	sample := []metrics.Sample{{Name: "/memory/classes/heap/objects:bytes"}}
	for range time.Tick(10 * time.Millisecond) {
		metrics.Read(sample)
		if sample[0].Value.Kind() == metrics.KindUint64 && sample[0].Value.Uint64() > limit {
			os.Exit(exitOutOfMemory)
		}
	}
}
