package revision

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"os/exec"
	"time"
)

// Git opens whatever its own files are, also a pipe that nobody writes to, and so may
// what its settings include. It is waited for as long as it goes on to answer.
const (
	// Patience is how long git may say nothing.
	patience = 3 * time.Second
	// LongPatience is the same where it may have much to do before it says something,
	// such as to look through a large work tree.
	longPatience = 2 * time.Minute
	// MostOfAnswer is how much git may say, bytes.
	mostOfAnswer = 128 << 20
)

// silentError is the error of a git that said nothing for so long, and was stopped.
type silentError struct{ after time.Duration }

func (e silentError) Error() string {
	return fmt.Sprintf("git said nothing for %g s and was stopped; a file of the repository's own, or one that its settings include, may be a pipe that nobody writes to", e.after.Seconds())
}

var errTalkative = fmt.Errorf("git said more than %d MiB and was stopped", mostOfAnswer>>20)

// answer collects what git says, and stops it when it says nothing for too long, or
// too much.
type answer struct {
	bytes.Buffer
	patience time.Duration
	timer    *time.Timer
	stop     context.CancelCauseFunc
}

func (a *answer) Write(p []byte) (int, error) {
	a.timer.Reset(a.patience)
	if a.Len()+len(p) > mostOfAnswer {
		a.stop(errTalkative)
		return 0, errTalkative
	}
	return a.Buffer.Write(p)
}

// run runs git and returns what it prints.
func (r *Repository) run(ctx context.Context, stdin io.Reader, wait time.Duration, args ...string) ([]byte, error) {
	ctx, stop := context.WithCancelCause(ctx)
	defer stop(nil)
	timer := time.AfterFunc(wait, func() { stop(silentError{wait}) })
	defer timer.Stop()
	out := &answer{patience: wait, timer: timer, stop: stop}
	var complaint bytes.Buffer
	cmd := r.command(ctx, args...)
	cmd.Stdin, cmd.Stdout, cmd.Stderr, cmd.WaitDelay = stdin, out, &complaint, time.Second
	err := cmd.Run()
	if cause := context.Cause(ctx); cause != nil && !errors.Is(cause, context.Canceled) {
		return nil, cause
	}
	if err != nil {
		return out.Bytes(), complaintOf(complaint.String(), err)
	}
	return out.Bytes(), nil
}

// watch kills a process of git if it is not stopped within git's patience.
func watch(cmd *exec.Cmd) (stop func() (silent bool)) {
	timer := time.AfterFunc(patience, func() { _ = cmd.Process.Kill() })
	return func() bool { return !timer.Stop() }
}
