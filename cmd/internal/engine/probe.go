package engine

import (
	"bytes"
	"cmp"
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"strconv"
	"time"

	"example.org/headroom/schema"
)

// The evaluation of a CUE package that computes can neither be cancelled nor
// bounded from within the process, so it is tried first in a process of its
// own that can be killed: the program itself, with the command ProbeCommand.
const (
	ProbeCommand = "evaluate-for-probe"

	ExitOutOfTime   = 3 // of that command
	ExitOutOfMemory = 4
)

// ofProbe is the share of a vehicle's bound that its evaluation may take in a process
// of its own: what passes there is evaluated once more.
func (bound Bound) ofProbe() Bound {
	if bound.Time == 0 {
		return Bound{Time: time.Minute, Memory: cmp.Or(bound.Memory, 1<<40)}
	}
	return Bound{Time: bound.Time / 2, Memory: cmp.Or(bound.Memory, 1<<40) / 4 * 3}
}

// Probe returns a function that evaluates a target of a side in a process of its
// own, as it is at the side's commit, or within the same part of the disk.
func (bound Bound) Probe(s Side, files schema.Files) func(context.Context, schema.Target) error {
	root := ""
	if disk, ok := files.(*schema.Disk); ok {
		root = disk.Root()
	}
	return func(ctx context.Context, target schema.Target) error {
		self, err := os.Executable()
		if err != nil {
			return fmt.Errorf("cannot evaluate it in a process of its own: %w", err)
		}
		ctx, cancel := context.WithTimeout(ctx, (waits+1)*bound.Time)
		defer cancel()
		child := exec.CommandContext(ctx, self, ProbeCommand, "--format", target.Format, "--stdin-name", s.StdinName, "--commit", s.Rev, "--within", root,
			"--time", bound.Time.String(), "--memory", strconv.FormatUint(bound.Memory, 10), "--", target.Path)
		child.Args[0] = "headroom" // a test binary acts by the name that it is called
		child.Stdin = bytes.NewReader(s.Stdin)
		child.WaitDelay = time.Second
		err = child.Run()
		if charge, ok := ctx.Value(chargeKey{}).(func(time.Duration)); ok && child.ProcessState != nil {
			charge(child.ProcessState.UserTime() + child.ProcessState.SystemTime())
		}
		if err == nil {
			return nil
		}
		exit := new(exec.ExitError)
		switch {
		case ctx.Err() != nil, errors.As(err, &exit) && exit.ExitCode() == ExitOutOfTime:
			return fmt.Errorf("its evaluation took more than %s of processor time and was stopped%s", seconds(bound.Time), probeFix)
		case errors.As(err, &exit) && exit.ExitCode() == ExitOutOfMemory:
			return fmt.Errorf("its evaluation took more than %d MiB of memory and was stopped%s", bound.Memory>>20, probeFix)
		case errors.As(err, &exit):
			return errors.New("its evaluation failed: the CUE evaluator gave up on it; simplify what it computes, or write out the values")
		}
		return fmt.Errorf("cannot evaluate it in a process of its own: %w", err)
	}
}

// Enforce ends the process by a code of the probe when it outgrows the bound. It is for
// the process of a probe, which has nothing to lose.
func (bound Bound) Enforce() {
	begin := time.Now()
	go func() {
		for range time.Tick(10 * time.Millisecond) {
			switch {
			case processTime() > bound.Time, time.Since(begin) > waits*bound.Time:
				os.Exit(ExitOutOfTime)
			case memoryInUse() > bound.Memory:
				os.Exit(ExitOutOfMemory)
			}
		}
	}()
}

const probeFix = "; it computes too much: look for a comprehension over a long list, or write out the values"
